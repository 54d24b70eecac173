"""Turns between many pairs of states at once: out straight, round, across, round, in straight.

Here only the plain turn is tried, on two arcs to its own hand with the least radius
(`path.two_arcs`): where that can be ridden, a better one may be.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from diagram.geometry.corner import ALONG, ASIDE
from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.path.two_arcs import Ends, TwoArcs, two_arcs
from diagram.solver.relations import Turning

ON_ARC, ON_LINE = 8, 3
"""Places looked at on each arc and each straight of a turn."""


class Hand(Struct, frozen=True):
    """How one turn is ridden: to the left or not, metres straight at both ends, and radius."""

    left: bool
    straight: float
    radius: float

    @classmethod
    def of(cls, turn: Turning, straight: float) -> Hand:
        """The tightest that a turn allows, with so many metres straight or what it must have."""
        radius = turn.radius / ASIDE
        return cls(turn.left, max(straight, turn.straight - radius * ALONG), radius)


class Turned(Struct, frozen=True, dict=True):
    """Turns between ends, all of one shape (...), and what terms ask of them."""

    ways: TwoArcs

    @property
    def possible(self) -> NDArray[np.bool_]:
        """Whether one can be ridden so."""
        return self.ways.possible

    @property
    def net(self) -> Floats:
        """Radians turned in all."""
        return self.ways.net

    @cached_property
    def length(self) -> Floats:
        """Metres along each; 0 where there is none."""
        return np.where(self.possible, self.ways.length, 0.0)

    @cached_property
    def across(self) -> Floats:
        """The heading of the straight between the arcs; 0 where there is none."""
        heading = np.arctan2(self.ways.across.imag, self.ways.across.real)
        return np.where(self.possible, heading, 0.0)

    @property
    def far(self) -> Floats:
        """How far that straight goes, in metres; 0 where there is none."""
        return np.where(self.possible, self.ways.far, 0.0)

    @property
    def straight(self) -> Floats:
        """Metres straight at both ends together."""
        return self.ways.out + self.ways.into

    def places(self) -> Numbers:
        """Places (..., K) along the turns, in order."""
        return self.ways.places(ON_ARC, ON_LINE)


def turned(start: Ends, end: Ends, hand: Hand) -> Turned:
    """Turns from starts to ends, broadcast together."""
    return Turned(two_arcs(start, end, hand.left, hand.straight, hand.radius))
