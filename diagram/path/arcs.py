"""Ways from pose to pose over arcs and straight lines, in closed form, for many pairs at once.

Between two poses lie up to three arcs of one radius and the straights beside and between them:
``lines[0], arcs[0], lines[1], arcs[1], lines[2], arcs[2], lines[3]``. Every arc is an eased corner
(`geometry.corner`), whose centre lies ``radius * ALONG`` ahead of where it begins and
``radius * ASIDE`` to its side: so circles joined by straight lines are solved as with plain
arcs, by the vector from centre to centre, and the way ends on the end pose to rounding error.

Everything is reckoned for a turn to the left, seen from the start; a turn to the right is the
same in a mirror. Places are complex numbers. Arrays broadcast; whatever cannot be ridden is nan.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from diagram.geometry.corner import ALONG, ASIDE, EASE, corner_pieces, run
from diagram.geometry.curve import Curve, CurvePiece, Floats
from diagram.geometry.pose import Pose
from diagram.geometry.region import ALIKE, Region

Places = NDArray[np.complex128]
TAU = 2 * np.pi
SHORTEST_TURN, SHORTEST_TURN_BACK, AHEAD_M = math.radians(15), math.radians(90), 1.0
"""A turn of less goes once round as well; the second to an end not so many metres ahead."""


class Pairs(Struct, frozen=True, dict=True):
    """Pairs of poses to join by a turn: places, headings in radians, and 1 for left, -1 for right.

    All of one shape. `gap` is the end in the frame of the start and `net` what is turned in all,
    both mirrored for a right turn.
    """

    start: Places
    facing: Floats
    end: Places
    end_facing: Floats
    hand: Floats

    @classmethod
    def of(cls, start: Pose, end: Pose, left: bool) -> Pairs:
        """One pair."""
        return cls(
            np.array([complex(start.x, start.y)]), np.array([start.heading]),
            np.array([complex(end.x, end.y)]), np.array([end.heading]),
            np.array([1.0 if left else -1.0]),
        )  # fmt: skip

    @classmethod
    def joined(cls, parts: Sequence[Pairs]) -> Pairs:
        """Rows of pairs one after another."""
        names = parts[0].names
        return cls(*(np.concatenate([getattr(part, name) for part in parts]) for name in names))

    @cached_property
    def gap(self) -> Places:
        """Ahead and to the inner hand of the start."""
        seen = (self.end - self.start) * np.exp(-1j * self.facing)
        mirrored: Places = seen.real + 1j * seen.imag * self.hand
        return mirrored

    @cached_property
    def net(self) -> Floats:
        """Radians to the hand in all: in (15, 375] degrees, or in (90, 450] to an end behind."""
        least = np.where(self.gap.real < AHEAD_M - ALIKE, SHORTEST_TURN_BACK, SHORTEST_TURN)
        low: Floats = np.asarray(least, dtype=np.float64) - ALIKE
        turned: Floats = ((self.end_facing - self.facing) * self.hand - low) % TAU + low
        return turned

    @property
    def names(self) -> tuple[str, ...]:
        """Of the parts."""
        return tuple(self.__struct_fields__)

    def __getitem__(self, chosen: Any) -> Pairs:
        """Some of the pairs, or the same with more axes."""
        return Pairs(*(getattr(self, name)[chosen] for name in self.names))


class Ways(Struct, frozen=True):
    """Ways for pairs: `lines` (..., 4) in metres, `arcs` (..., 3) in radians to the hand, and the
    `radius` (...)."""

    pairs: Pairs
    lines: Floats
    arcs: Floats
    radius: Floats

    def __getitem__(self, chosen: Any) -> Ways:
        """Some of the ways."""
        return Ways(self.pairs[chosen], self.lines[chosen], self.arcs[chosen], self.radius[chosen])

    def flat(self) -> Ways:
        """The same in one row."""
        pairs = Pairs(*(getattr(self.pairs, name).reshape(-1) for name in self.pairs.names))
        lines, arcs = self.lines.reshape(-1, 4), self.arcs.reshape(-1, 3)
        return Ways(pairs, lines, arcs, self.radius.reshape(-1))

    @property
    def length(self) -> Floats:
        """Metres along each way; nan where it cannot be ridden."""
        lines: Floats = of_three(self.lines) + self.lines[..., 3]
        return lines + self.radius * of_three(run(self.arcs))

    @property
    def good(self) -> NDArray[np.bool_]:
        """Which of them can be ridden: forwards all the way, no arc that is only a twitch."""
        with np.errstate(invalid="ignore"):
            forwards = self.lines >= -ALIKE
            arcs = (self.arcs == 0) | (np.abs(self.arcs) >= EASE)
            good: NDArray[np.bool_] = self.radius > 0
            for flags in (forwards, arcs):
                for n in range(flags.shape[-1]):
                    good = good & flags[..., n]
        return good

    @property
    def turned(self) -> Floats:
        """Radians turned on all arcs of each way, to either hand."""
        return of_three(np.abs(self.arcs))

    def _begins(self) -> tuple[Places, Floats]:
        """Places and headings (..., 4) where each line begins, seen from the start."""
        headings = np.concatenate([np.zeros((*self.arcs.shape[:-1], 1)), self.arcs], axis=-1)
        headings = headings.cumsum(axis=-1)
        facing = np.exp(1j * headings)
        over = _corner_end(self.arcs) * self.radius[..., None]
        steps = (self.lines[..., :3] + over) * facing[..., :3]
        first = np.zeros((*self.arcs.shape[:-1], 1), dtype=np.complex128)
        return np.concatenate([first, steps.cumsum(axis=-1)], axis=-1), headings

    def _laid(self, places: Places) -> Places:
        """Places (..., K) seen from the starts as places on the ground."""
        pairs = self.pairs
        mirrored = places.real + 1j * places.imag * pairs.hand[..., None]
        laid: Places = pairs.start[..., None] + mirrored * np.exp(1j * pairs.facing)[..., None]
        return laid

    def points(self, on_arc: int = 6, on_line: int = 3) -> Places:
        """Places (..., K) along the ways, so many on each arc and each line, and both ends."""
        begin, heading = self._begins()
        facing = np.exp(1j * heading)
        share = np.linspace(0.0, 1.0, on_line)
        lines = begin[..., None] + (facing * self.lines)[..., None] * share
        at = begin[..., :3] + facing[..., :3] * self.lines[..., :3]
        sign = np.where(self.arcs < 0, -1.0, 1.0)
        turned = self.arcs[..., None] * (np.arange(on_arc) + 0.5) / on_arc
        spoke = (ALONG + 1j * sign * ASIDE)[..., None] - 1j * sign[..., None] * np.exp(1j * turned)
        spoke = np.where(self.arcs[..., None] == 0, 0.0, spoke * self.radius[..., None, None])
        arcs = at[..., None] + facing[..., :3, None] * spoke
        flat = [part.reshape(*part.shape[:-2], -1) for part in (lines, arcs)]
        return self._laid(np.concatenate(flat, axis=-1))

    def middle(self) -> Places:
        """The middle of the straight across, or of the single arc."""
        begin, heading = self._begins()
        across = begin[..., 1] + np.exp(1j * heading[..., 1]) * self.lines[..., 1] / 2
        turned = self.arcs[..., 0]
        hand = np.where(turned < 0, -1.0, 1.0)
        spoke = ALONG + 1j * hand * ASIDE - 1j * hand * np.exp(0.5j * turned)
        single = self.lines[..., 0] + self.radius * spoke
        place = np.where(self.arcs[..., 1] == 0, single, across)
        return self._laid(place[..., None])[..., 0]

    def inside(self, region: Region) -> Floats:
        """Metres that each way stays inside a region; exact where the region is convex.

        An arc comes nearest to a straight rail at its ends or where it runs along the rail.
        """
        walls = region.half_planes
        if walls is None:
            places = self.points(12, 7)
            depth = region.inside(np.stack([places.real, places.imag], axis=-1))
            lowest: Floats = depth.min(axis=-1)
            return lowest
        begin, heading = self._begins()
        facing = np.exp(1j * heading)
        at = begin + facing * self.lines
        joints = self._laid(np.concatenate([begin, at], axis=-1))
        sign = np.where(self.arcs < 0, -1.0, 1.0)
        radius = self.radius[..., None]
        centre = self._laid(at[..., :3] + radius * (ALONG + 1j * sign * ASIDE) * facing[..., :3])
        hand = self.pairs.hand[..., None] * sign
        facing_there = self.pairs.facing[..., None] + self.pairs.hand[..., None] * heading[..., :3]
        bent = self.arcs != 0
        least = np.full(self.radius.shape, np.inf)
        for normal, offset in zip(*walls, strict=True):
            gaps = joints.real * normal[0] + joints.imag * normal[1]
            # The heading at which an arc to this hand is nearest to the wall.
            nearest = np.angle(complex(*normal)) + hand * (np.pi / 2) + np.pi
            passed = ((nearest - facing_there) * hand) % TAU <= np.abs(self.arcs)
            out = centre.real * normal[0] + centre.imag * normal[1] - offset - radius
            out = np.where(passed & bent, out, np.inf)
            both = np.minimum(gaps.min(axis=-1) - offset, out.min(axis=-1))
            least = np.minimum(least, both)
        return least

    def curve(self, index: int | tuple[int, ...]) -> Curve:
        """One of the ways as a curve."""
        pairs, hand = self.pairs[index], float(self.pairs.hand[index])
        start = Pose(float(pairs.start.real), float(pairs.start.imag), float(pairs.facing))
        radius, pieces = float(self.radius[index]), []
        for n in range(4):
            pieces.append(CurvePiece(max(float(self.lines[index][n]), 0.0)))
            arc = float(self.arcs[index][n]) if n < 3 else 0.0
            if arc:
                pieces.extend(corner_pieces(arc * hand, radius))
        return Curve.of(start, tuple(pieces))


def of_three(parts: Floats) -> Floats:
    """The sum of the first three along the last axis: numpy is slow over an axis so short."""
    total: Floats = parts[..., 0] + parts[..., 1] + parts[..., 2]
    return total


def _corner_end(arcs: Floats) -> Places:
    """Ends of corners of radius 1 m to either hand, none where nothing is turned."""
    sign = np.where(arcs < 0, -1.0, 1.0)
    centre = ALONG + 1j * sign * ASIDE
    end: Places = np.where(arcs == 0, 0.0, centre + centre.conj() * np.exp(1j * arcs))
    return end


def one_arc(pairs: Pairs, into: Floats) -> Ways:
    """Out straight, round on one arc, and `into` metres straight before the end.

    The radius and the straight out follow: with the corner of radius 1 m ending at (cx, cy) and
    the end at (X, Y), ``r = (Y - into sin net) / cy`` and ``out = X - r cx - into cos net``.
    """
    gap, net = np.broadcast_arrays(pairs.gap, pairs.net)
    into, net, gap = np.broadcast_arrays(into, net, gap)
    corner = _corner_end(net)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        radius = (gap.imag - into * np.sin(net)) / corner.imag
        radius = np.where(np.abs(corner.imag) > 0.05, radius, np.nan)
        out = gap.real - radius * corner.real - into * np.cos(net)
    none = np.zeros_like(net)
    return _ways(pairs, (out, none, none, into), (net, none, none), radius)


def arc_line_arc(
    pairs: Pairs, out: Floats, into: Floats, radius: Floats, first: int = 1, last: int = 1
) -> Ways:
    """Out straight, an arc, a straight across, an arc, straight in: arcs of `radius` metres.

    `first` and `last` are 1 for an arc to the hand of the turn, -1 for one that opens out to the
    other hand. With the centres ``d`` apart the straight across runs at ``arg d`` less the angle
    under which it crosses over, ``atan2((last - first) rho, m)``, and is ``m`` long between the
    feet of the centres, ``m^2 = |d|^2 - ((last - first) rho)^2``.
    """
    first_centre, last_centre = _centres(pairs, out, into, radius, first, last)
    apart, crossing = last_centre - first_centre, (last - first) * ASIDE * radius
    with np.errstate(invalid="ignore"):
        feet = np.sqrt(np.abs(apart) ** 2 - crossing**2)
    heading = np.angle(apart) - np.arctan2(crossing, feet)
    turned = _to_hand(heading, first)
    rest = pairs.net - turned
    rest = np.where(rest * last >= EASE, rest, np.nan)
    # An arc that is only a twitch is none: then the way is of another shape.
    turned = np.where(turned * first >= EASE, turned, np.nan)
    none = np.zeros_like(turned)
    across = feet - 2 * ALONG * radius
    return _ways(pairs, (out, across, none, into), (turned, rest, none), radius)


def three_arcs(pairs: Pairs, out: Floats, into: Floats, radius: Floats) -> Ways:
    """Out, open out on an arc, round on a second, back on a third, in: the bulb of a tight turn.

    The three centres form a triangle with two sides alike, each `2 rho` long and seen from the
    track under the angle ``atan2(ASIDE, ALONG)``.
    """
    first_centre, last_centre = _centres(pairs, out, into, radius, -1, -1)
    apart = last_centre - first_centre
    side, lean = 2 * radius * np.hypot(ALONG, ASIDE), np.arctan2(ASIDE, ALONG)
    with np.errstate(invalid="ignore"):
        half = np.arccos(np.abs(apart) / (2 * side))
    bearing = np.angle(apart)
    opened = _to_hand(bearing - half - lean, -1)
    round_it = 2 * half + 2 * lean
    back = pairs.net - opened - round_it
    back = np.where(back < 0, back, np.nan)
    none = np.zeros_like(opened)
    return _ways(pairs, (out, none, none, into), (opened, round_it, back), radius)


def _centres(
    pairs: Pairs, out: Floats, into: Floats, radius: Floats, first: int, last: int
) -> tuple[Places, Places]:
    turned = np.exp(1j * pairs.net)
    return (
        out + radius * (ALONG + 1j * first * ASIDE),
        pairs.gap - turned * (into + radius * (ALONG - 1j * last * ASIDE)),
    )


def _to_hand(heading: Floats, sign: int) -> Floats:
    """A heading as what an arc to one hand turns: in [0, 2 pi) or in (-2 pi, 0]."""
    around: Floats = (heading * sign + ALIKE) % TAU - ALIKE
    return around * sign


def _ways(
    pairs: Pairs, lines: tuple[Floats, ...], arcs: tuple[Floats, ...], radius: Floats
) -> Ways:
    shape = np.broadcast_shapes(
        pairs.hand.shape, radius.shape, *(part.shape for part in (*lines, *arcs))
    )
    spread = Pairs(*(np.broadcast_to(getattr(pairs, name), shape) for name in pairs.names))
    stacked = [np.stack([np.broadcast_to(p, shape) for p in parts], -1) for parts in (lines, arcs)]
    return Ways(spread, stacked[0], stacked[1], np.broadcast_to(radius, shape))
