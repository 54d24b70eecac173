"""Turns between many pairs of states at once: out straight, round, across, round, in straight.

The closed form is that of the drawing (`path.arcs`). Here only the plain turn is tried, on two
arcs to its own hand with the least radius: where that can be ridden, a better one may be.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from diagram.geometry.corner import ALONG, ASIDE
from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.path.arcs import Pairs, Ways, arc_line_arc
from diagram.solver.relations import Turning

SQUARE_RAD = math.radians(0.5)
ON_ARC, ON_LINE = 8, 6
"""Places looked at on each arc and each straight of a turn."""
Ends = tuple[Numbers, Floats]
"""Places and headings."""


@dataclass(frozen=True, slots=True)
class Hand:
    """How one turn is ridden: to the left or not, metres straight at both ends, and radius."""

    left: bool
    straight: float
    radius: float

    @classmethod
    def of(cls, turn: Turning, straight: float) -> Hand:
        """The tightest that a turn allows, with so many metres straight or what it must have."""
        radius = turn.radius / ASIDE
        return cls(turn.left, max(straight, turn.straight - radius * ALONG), radius)


@dataclass(frozen=True, slots=True)
class Turned:
    """Turns between ends, all of one shape (...): metres, radians turned in all, the heading of
    the straight between the arcs and how `far` that goes, metres `straight` at both ends, and
    whether one can be ridden so."""

    ways: Ways
    length: Floats
    net: Floats
    across: Floats
    far: Floats
    straight: Floats
    possible: NDArray[np.bool_]


def turned(start: Ends, end: Ends, hand: Hand) -> Turned:
    """Turns from starts to ends, broadcast together.

    Where the lines run opposite ways, the end that lies further on stays straight for longer, so
    that the turn goes square across.
    """
    shape = np.broadcast_shapes(start[0].shape, end[0].shape)
    sign = np.broadcast_to(1.0 if hand.left else -1.0, shape)
    pairs = Pairs(
        np.broadcast_to(start[0], shape), np.broadcast_to(start[1], shape),
        np.broadcast_to(end[0], shape), np.broadcast_to(end[1], shape), sign,
    )  # fmt: skip
    net, gap = pairs.net, pairs.gap.real
    square = np.abs(net - math.pi) < SQUARE_RAD
    out = hand.straight + np.where(square, np.maximum(gap, 0.0), 0.0)
    into = hand.straight + np.where(square, np.maximum(-gap, 0.0), 0.0)
    ways = arc_line_arc(pairs, out, into, np.array(hand.radius))
    length = ways.length
    across = pairs.facing + sign * ways.arcs[..., 0]
    possible = ways.good & np.isfinite(length)
    return Turned(
        ways, np.where(possible, length, 0.0), net, np.where(possible, across, 0.0),
        np.where(possible, ways.lines[..., 1], 0.0), out + into, possible,
    )  # fmt: skip


def places_on(ways: Ways) -> Numbers:
    """Places (..., K) along turns, in order."""
    places = ways.points(ON_ARC, ON_LINE)
    lines = places[..., : 4 * ON_LINE].reshape(*places.shape[:-1], 4, ON_LINE)
    arcs = places[..., 4 * ON_LINE :].reshape(*places.shape[:-1], 3, ON_ARC)
    parts = [lines[..., 0, :], arcs[..., 0, :], lines[..., 1, :], arcs[..., 1, :], lines[..., 3, :]]
    found: Numbers = np.concatenate(parts, axis=-1)
    return np.where(np.isfinite(found), found, NOWHERE)


NOWHERE = complex(-1e6, -1e6)
