"""Turns between many pairs of states at once: out straight, round, across, round, in straight.

The closed form of two circles of one hand and their common tangent (the LSL case of Dubins, On
curves of minimal length with a constraint on average curvature, American Journal of Mathematics
79, 1957), for all pairs of places at once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.geometry.region import Region
from diagram.path.arcs import AHEAD_M, SHORTEST_TURN, SHORTEST_TURN_BACK
from diagram.placing.designer.states import pairs
from diagram.solver.rows import Ints

OPENED_OUT = math.radians(25)
"""How far a rider opens out to the other hand before a turn; a wider swing is another turn."""
SQUARE_RAD = math.radians(0.5)
ON_ARC = np.linspace(0.0, 1.0, 7)
ON_LINE = np.linspace(0.0, 1.0, 5)[1:-1]
PLACES = 2 * len(ON_ARC) + len(ON_LINE) + 2
"""Places looked at along one turn, both ends among them."""


@dataclass(frozen=True, slots=True)
class Hand:
    """How one turn is ridden: to the left or not, straight at both ends and radius, metres."""

    left: bool
    straight: float
    radius: float


@dataclass(frozen=True, slots=True)
class Turned:
    """Turns between ends, all of one shape (...): metres, radians turned in all, the heading of
    the straight between the circles and how `far` that goes, metres `straight` at both ends, and
    whether one can be ridden so."""

    length: Floats
    net: Floats
    across: Floats
    far: Floats
    straight: Floats
    possible: np.ndarray


@dataclass(frozen=True, slots=True)
class Form:
    """In the frames of their starts, mirrored for right turns: the middles of the first circles,
    the way from those to the last ones, and the radians turned on both."""

    first: Numbers
    between: Numbers
    first_arc: Floats
    last_arc: Floats

    def at(self, i: Ints, j: Ints) -> Form:
        """Some of a table of turns, by rows and columns."""
        shape = self.last_arc.shape
        parts = (self.first, self.between, self.first_arc, self.last_arc)
        first, between, first_arc, last_arc = (np.broadcast_to(p, shape)[i, j] for p in parts)
        return Form(first, between, first_arc, last_arc)


def turned(
    start: tuple[Numbers, Floats], end: tuple[Numbers, Floats], hand: Hand
) -> tuple[Turned, Form]:
    """Turns from starts to ends (broadcast together), and their forms, which `places_on` needs."""
    sign = 1.0 if hand.left else -1.0
    (p, a), (q, b) = start, end
    # Everything in the frame of the start, mirrored for a right turn.
    gap = (q - p) * np.exp(-1j * a)
    gap = gap.real + 1j * sign * gap.imag
    behind = gap.real < AHEAD_M - 1e-6
    least = np.where(behind, SHORTEST_TURN_BACK, SHORTEST_TURN)
    net = (sign * (b - a) - least - 1e-9) % (2 * math.pi) + least + 1e-9
    r, s = hand.radius, hand.straight
    # Where the lines run opposite ways, the end that lies further on stays straight for longer, so
    # that the turn goes square across.
    square = np.abs(net - math.pi) < SQUARE_RAD
    out = s + np.where(square, np.maximum(gap.real, 0.0), 0.0)
    into = s + np.where(square, np.maximum(-gap.real, 0.0), 0.0)
    first = out + 1j * r
    last = gap + np.exp(1j * net) * (1j * r - into)
    between = last - first
    far = np.abs(between)
    direction = np.where(far > 1e-6, np.angle(between + 0.0), net / 2)
    first_arc = (direction + math.pi / 2) % (2 * math.pi) - math.pi / 2
    last_arc = net - first_arc
    possible = (first_arc > -OPENED_OUT) & (last_arc > -OPENED_OUT)
    length = out + into + r * (np.abs(first_arc) + np.abs(last_arc)) + far
    across = a + sign * direction
    found = Turned(length, net, across, far, out + into, possible)
    return found, Form(first, between, first_arc, last_arc)


def places_on(
    start: tuple[Numbers, Floats], end: tuple[Numbers, Floats], hand: Hand,
    form: Form,
) -> Numbers:  # fmt: skip
    """Places (..., PLACES) along turns, ends included."""
    sign = 1.0 if hand.left else -1.0
    first, between = form.first[..., None], form.between[..., None]
    first_arc, last_arc = form.first_arc[..., None], form.last_arc[..., None]
    r = hand.radius
    spoke = -1j * r
    on_first = first + spoke * np.exp(1j * first_arc * ON_ARC)
    tangent = first + spoke * np.exp(1j * first_arc)
    on_line = tangent + between * ON_LINE
    on_last = first + between + spoke * np.exp(1j * (first_arc + last_arc * ON_ARC))
    local = np.concatenate([on_first, on_line, on_last], axis=-1)
    local = local.real + 1j * sign * local.imag
    (p, a), (q, _) = start, end
    shape = local.shape[:-1]
    p = np.broadcast_to(p, shape)[..., None]
    ground = p + np.exp(1j * np.broadcast_to(a, shape))[..., None] * local
    found: Numbers = np.concatenate([p, ground, np.broadcast_to(q, shape)[..., None]], axis=-1)
    return found


def within(region: Region, places: Numbers, rail: float) -> np.ndarray:
    """Whether all places (..., K) keep `rail` metres inside the region."""
    return np.asarray(region.inside(pairs(places)).min(axis=-1) > rail)
