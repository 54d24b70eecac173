"""The plain turn of two arcs to one hand, for tens of thousands of pairs of poses at once.

It is the turn of `arcs.arc_line_arc` with both arcs to the hand of the turn: the same shape to
rounding error. Here directions are unit vectors, so that no sine or cosine is taken where a whole
table is priced: with the corner's ``z = ALONG + i hand ASIDE`` the centres lie ``radius * z`` on
from where the first arc begins and back from where the second ends, the straight across runs from
the one towards the other, and its ends lie ``radius * conj(z)`` on and ``radius * z`` back.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from diagram.geometry.corner import ALONG, ASIDE, EASE
from diagram.geometry.curve import Floats
from diagram.geometry.region import ALIKE, Region
from diagram.path.arcs import AHEAD_M, SHORTEST_TURN, SHORTEST_TURN_BACK, Places

Ends = tuple[Places, Floats]
"""Places and headings."""
SQUARE_RAD = math.radians(0.5)
TAU = 2 * np.pi


class TwoArcs(Struct, frozen=True):
    """Turns of one shape (...), all to the left or all to the right with one `radius`.

    `out`, `far` and `into` are metres straight before, between and after the arcs, which turn
    `first` and `last` radians to the hand; `net` is both. `ahead`, `across` and `in_line` are the
    directions of the straights, as unit vectors. Where a turn is not `possible` so, its figures
    mean nothing.
    """

    start: Places
    ahead: Places
    end: Places
    in_line: Places
    across: Places
    out: Floats
    far: Floats
    into: Floats
    first: Floats
    last: Floats
    net: Floats
    possible: NDArray[np.bool_]
    hand: float
    radius: float

    @property
    def length(self) -> Floats:
        """Metres along each."""
        arcs = self.radius * (self.net + 2 * EASE)
        length: Floats = self.out + self.far + self.into + arcs
        return length

    def __getitem__(self, chosen: Any) -> TwoArcs:
        """Some of the turns."""
        shape = self.possible.shape
        parts = {
            name: np.broadcast_to(getattr(self, name), shape)[chosen]
            for name in self.__struct_fields__
            if name not in ("hand", "radius")
        }
        return TwoArcs(**parts, hand=self.hand, radius=self.radius)

    def _joints(self) -> tuple[Places, ...]:
        """The five places between the ends: both centres, and where arcs and straights meet."""
        spoke = self.radius * complex(ALONG, self.hand * ASIDE)
        begin = self.start + self.out * self.ahead
        finish = self.end - self.into * self.in_line
        one, other = begin + spoke * self.ahead, finish - spoke.conjugate() * self.in_line
        return begin, one, one + spoke.conjugate() * self.across, other - spoke * self.across, other

    def inside(self, region: Region) -> Floats:
        """Metres that each turn (...) stays inside a region; exact where that is convex.

        An arc comes nearest to a straight rail at its ends or where it runs along the rail.
        """
        walls = region.half_planes
        if walls is None:
            places = self.places(12, 7)
            depth = region.inside(np.stack([places.real, places.imag], axis=-1))
            lowest: Floats = depth.min(axis=-1)
            return lowest
        begin, one, leave, meet, other = self._joints()
        finish = self.end - self.into * self.in_line
        least = np.full(self.possible.shape, np.inf)
        for (nx, ny), offset in zip(*walls, strict=True):
            for place in (self.start, begin, leave, meet, finish, self.end):
                np.minimum(least, place.real * nx + place.imag * ny - offset, out=least)
            # The direction of the track where an arc to this hand is nearest to the wall.
            along = -1j * self.hand * complex(nx, ny)
            for centre, facing, turned in (
                (one, self.ahead, self.first), (other, self.across, self.last),
            ):  # fmt: skip
                gap = centre.real * nx + centre.imag * ny - offset - self.radius
                low = np.flatnonzero(gap < least)
                if len(low):
                    passed = _turn(facing[low], np.full(len(low), along), self.hand) <= turned[low]
                    here = low[passed]
                    least[here] = gap[here]
        return least

    def places(self, on_arc: int, on_line: int) -> Places:
        """Places (..., K) along the turns in order; straight from line to line where there is no
        such turn."""
        begin, one, leave, meet, other = self._joints()
        finish = self.end - self.into * self.in_line
        share, turned = np.linspace(0.0, 1.0, on_line), (np.arange(on_arc) + 0.5) / on_arc
        lines = [a[..., None] + (b - a)[..., None] * share
                 for a, b in ((self.start, begin), (leave, meet), (finish, self.end))]  # fmt: skip
        arcs = []
        for centre, facing, angle in (
            (one, self.ahead, self.first), (other, self.across, self.last),
        ):  # fmt: skip
            spoke = -1j * self.hand * self.radius * facing
            round_it = np.exp(1j * self.hand * angle[..., None] * turned)
            arcs.append(centre[..., None] + spoke[..., None] * round_it)
        there: Places = np.concatenate([arcs[0], lines[1], arcs[1]], axis=-1)
        straight = np.linspace(0.0, 1.0, there.shape[-1])
        instead = begin[..., None] + (finish - begin)[..., None] * straight
        there = np.where(self.possible[..., None], there, instead)
        return np.concatenate([lines[0], there, lines[2]], axis=-1)


def two_arcs(start: Ends, end: Ends, left: bool, straight: float, radius: float) -> TwoArcs:
    """Turns from starts to ends, broadcast together, `straight` metres at both ends.

    Where the lines run opposite ways, the end that lies further on stays straight for longer, so
    that the turn goes square across.
    """
    hand = 1.0 if left else -1.0
    (p, a), (q, b) = start, end
    ahead, in_line = np.exp(1j * a), np.exp(1j * b)
    gap = (q - p) * ahead.conj()
    low = np.where(gap.real < AHEAD_M - ALIKE, SHORTEST_TURN_BACK, SHORTEST_TURN) - ALIKE
    net = _around((b - a) * hand - low) + low
    square = np.abs(net - math.pi) < SQUARE_RAD
    out = straight + np.where(square, np.maximum(gap.real, 0.0), 0.0)
    into = straight + np.where(square, np.maximum(-gap.real, 0.0), 0.0)
    spoke = radius * complex(ALONG, hand * ASIDE)
    apart = (q - (into + spoke.conjugate()) * in_line) - (p + (out + spoke) * ahead)
    feet = np.sqrt(apart.real**2 + apart.imag**2)
    across = apart / np.maximum(feet, ALIKE)
    far = feet - 2 * ALONG * radius
    first = _turn(ahead, across, hand)
    last = net - first
    with np.errstate(invalid="ignore"):
        possible = (far >= -ALIKE) & (first >= EASE) & (last >= EASE)
    return TwoArcs(
        p, ahead, q, in_line, across, out, far, into, first, last, net, possible, hand, radius
    )


def _turn(facing: Places, then: Places, hand: float) -> Floats:
    """Radians to the hand from one direction to another, in [0, 2 pi)."""
    seen = then * facing.conj()
    turned = np.arctan2(hand * seen.imag, seen.real)
    back: Floats = turned + TAU * (turned < -ALIKE)
    return back


def _around(angle: Floats) -> Floats:
    """An angle brought into [0, 2 pi)."""
    around: Floats = angle - TAU * np.floor(angle / TAU)
    return around
