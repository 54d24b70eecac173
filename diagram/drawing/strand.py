"""The ride as one strand on paper: what belongs to a place of the ride is threaded on it.

All legs and the fences between them are one line, measured in mm of paper from the start along
the ground line. Where two passes run over one ground they are drawn side by side: ridden
opposite ways each keeps to its own right, ridden the same way the later one moves to the left.
"""

from __future__ import annotations

import itertools
import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from functools import cached_property

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from diagram.drawing.frame import Frame
from diagram.drawing.parts import parts_of
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.planning import Plan, PlanLeg

Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]

STEP = 1.0
"""Millimetres between places: a chord strays 0.01 mm from the tightest turn drawn."""
PLACE_MM = 2.5
COARSE = 4
"""Places from one to the next that is looked at for shared ground and crossings."""
LANE = 1.6
"""Millimetres that a pass moves aside; opposite passes are twice that apart."""
MOST_LANES = 10
"""Passes one way that are told apart; more would leave the arena, and begin again on the first."""
SAME_MM, SAME_SINE = 2.6, math.sin(math.radians(17))
"""Passes nearer and flatter to each other than this run over one ground."""
SHORTEST_SHARED = 4
"""Coarse places: less is a crossing or a joint."""
NEIGHBOUR_MM = 30.0
"""Along the strand: nearer places belong to one pass."""
TOUCHING_MM = 50.0
"""A pass that keeps beside another of its own leg for less than this only touches it."""
EASE_MM = 14.0
AT_ONCE = 256
"""Places, or chords, that are held against all others in one go: what bounds the memory of a long
ride."""
START_CLEAR, FINISH_CLEAR = 4.2, 3.7
"""Millimetres from the middle of the start's ring, or of the finish's bar, to any other pass."""
MOST_CUT, LEAST_SLOW = 0.6, 4.5
"""Share of the first and of the last leg that may stay undrawn; mm of walk or trot that is kept."""


class LegSpan(Struct, frozen=True):
    """Where a leg lies on the strand, mm, and the part of the ride it belongs to."""

    begin: float
    end: float
    leg: PlanLeg
    part: int

    @property
    def length(self) -> float:
        """Millimetres."""
        return self.end - self.begin


class Strand(Struct, frozen=True, dict=True):
    """Places every STEP mm or less: `s` along the strand, where drawn, and how far aside.

    `spans` are the legs in order; between two of them lies a fence. `opposed` tells for each
    place whether another pass comes the other way beside it, `leads` and `follows` whether one
    keeps beside it in the same direction that comes later or came earlier.
    """

    s: Floats
    points: Floats
    ways: Floats
    aside: Floats
    spans: tuple[LegSpan, ...]
    opposed: Flags
    leads: Flags
    follows: Flags
    mm_per_m: float

    @cached_property
    def _lists(self) -> tuple[list[float], list[list[float]], list[list[float]]]:
        """The arrays as lists: single places are asked for thousands of times."""
        return self.s.tolist(), self.points.tolist(), self.ways.tolist()

    def _between(self, s: float, values: list[list[float]]) -> Point:
        along = self._lists[0]
        n = min(max(bisect_right(along, s) - 1, 0), len(along) - 2)
        if n < 0:
            return values[0][0], values[0][1]
        share = min(max((s - along[n]) / (along[n + 1] - along[n]), 0.0), 1.0)
        (ax, ay), (bx, by) = values[n], values[n + 1]
        return ax + (bx - ax) * share, ay + (by - ay) * share

    def at(self, s: float) -> Point:
        """A place as drawn."""
        return self._between(s, self._lists[1])

    def way(self, s: float) -> Point:
        """The unit vector along the strand as drawn; y down."""
        x, y = self._between(s, self._lists[2])
        length = math.hypot(x, y) or 1.0
        return x / length, y / length

    def beside(self, s: float, right: float) -> Point:
        """A place `right` mm to the right of the strand as drawn."""
        return aside_of(self.at(s), self.way(s), right)

    @cached_property
    def rows(self) -> tuple[Floats, npt.NDArray[np.intp]]:
        """For each span places from its beginning to its end, as drawn, PLACE_MM or less apart, all
        in one table; and where those of each begin in it."""
        pieces = [max(12, math.ceil(span.length / PLACE_MM)) for span in self.spans]
        along = np.concatenate([
            span.begin + span.length * np.arange(count + 1) / count
            for span, count in zip(self.spans, pieces, strict=True)
        ])  # fmt: skip
        table = np.stack([np.interp(along, self.s, self.points[:, n]) for n in (0, 1)], axis=-1)
        return table, np.cumsum([0, *(count + 1 for count in pieces[:-1])])

    def distances(self, point: Point) -> list[float]:
        """Millimetres from a point to the nearest of the `places` of each span."""
        table, begins = self.rows
        apart = np.hypot(table[:, 0] - point[0], table[:, 1] - point[1])
        nearest: list[float] = np.minimum.reduceat(apart, begins).tolist()
        return nearest

    def index(self, s: float) -> int:
        """The nearest place to `s`."""
        return min(bisect_left(self._lists[0], s), len(self.s) - 1)

    def is_opposed(self, s: float) -> bool:
        """Whether another pass comes the other way beside this place."""
        return bool(self.opposed[self.index(s)])

    def room_for_others(self, s: float, opposed: float, same: float) -> float:
        """Millimetres to the right by which a sign lets the other passes by; to the left below 0.

        `opposed` where one comes the other way, `same` where one runs close beside.
        """
        at = self.index(s)
        if self.opposed[at]:
            return opposed
        if self.follows[at]:
            return -same
        return same if self.leads[at] else 0.0

    def part(self, begin: float, end: float) -> tuple[Point, ...]:
        """The polyline of a stretch."""
        low = int(np.searchsorted(self.s, begin, "right"))
        high = int(np.searchsorted(self.s, end, "left"))
        inside = [(x, y) for x, y in self.points[low:high].tolist()]
        return (self.at(begin), *_thinned(inside), self.at(end))


def aside_of(place: Point, way: Point, right: float) -> Point:
    """A place `right` mm to the right of another on a way; y down."""
    return place[0] - way[1] * right, place[1] + way[0] * right


FLAT_MM = 0.004


def _thinned(points: list[Point]) -> list[Point]:
    """Places on a straight piece left out."""
    if len(points) < 3:
        return points
    kept = [points[0]]
    for here, after in itertools.pairwise(points[1:]):
        (ax, ay), (x, y), (bx, by) = kept[-1], here, after
        length = math.hypot(bx - ax, by - ay) or 1.0
        if abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / length > FLAT_MM:
            kept.append(here)
    return [*kept, points[-1]]


def strand_of(plan: Plan, frame: Frame) -> Strand:
    """The strand of a plan on paper."""
    k = frame.mm_per_m
    pieces, lengths, spans, at = [], [], [], 0.0
    parts = parts_of(plan)
    for leg in plan.legs:
        stations = leg.curve.stations(STEP / k) if leg.track_m > 0 else np.array([0.0])
        x, y, _, _ = leg.curve.locate(stations)
        pieces.append(_on_paper(x, y, frame))
        lengths.append(at + stations * k)
        spans.append(LegSpan(at, at + leg.track_m * k, leg, parts.of(leg)))
        depth = leg.second.depth_m if leg.second else 0.0
        at += (leg.track_m + depth) * k
    points, s = np.concatenate(pieces), np.concatenate(lengths)
    kept = np.concatenate([[True], np.diff(s) > 1e-6])
    points, s = points[kept], s[kept]
    drawn_part = _drawn_part(s, points, spans)
    s, points = s[drawn_part], points[drawn_part]
    ways = _ways(points)
    legs = np.searchsorted([span.begin for span in spans], s, side="right")
    lanes, opposed, leads, follows = _lanes(s, points, ways, legs)
    aside = np.stack([-ways[:, 1], ways[:, 0]], axis=1) * lanes[:, None]
    drawn = points + aside
    drawn_ways = _ways(drawn) if lanes.any() else ways
    return Strand(s, drawn, drawn_ways, lanes, tuple(spans), opposed, leads, follows, k)


def _drawn_part(s: Floats, points: Floats, spans: list[LegSpan]) -> slice:
    """The places drawn: start and finish are taken nearer where they would lie on another pass.

    Where exactly a ride begins and ends is of no matter, whose track a sign stands on is.
    """
    begin, end = 0, len(s)
    first, last = spans[0], spans[-1]
    if first.leg.first is None:
        most = int(np.searchsorted(s, first.begin + MOST_CUT * first.length))
        begin = next((n for n in range(most) if _clear_of_passes(n, s, points, START_CLEAR)), 0)
    if last.leg.second is None:
        slow = [one for one in last.leg.ridden.stretches[1:] if one.gait != "canter"]
        k = last.length / last.leg.track_m if last.leg.track_m else 0.0
        kept = last.begin + (
            slow[-1].begin_m * k + LEAST_SLOW if slow else (1 - MOST_CUT) * last.length
        )
        least = min(int(np.searchsorted(s, kept)), len(s) - 1)
        if slow:
            # Nobody walks on over the track just ridden: it would hide both.
            onward = range(least, len(s))
            met = next(
                (n for n in onward if not _clear_of_passes(n, s, points, FINISH_CLEAR)), len(s)
            )
            end = met if met > least else len(s)
        else:
            back = range(len(s) - 1, least, -1)
            end = next(
                (n + 1 for n in back if _clear_of_passes(n, s, points, FINISH_CLEAR)), len(s)
            )
    return slice(begin, end)


def _clear_of_passes(n: int, s: Floats, points: Floats, clear: float) -> bool:
    """Whether no other pass comes nearer than `clear` mm; what is little further along is the
    same pass."""
    far = np.hypot(points[:, 0] - points[n, 0], points[:, 1] - points[n, 1])
    return not bool((far[np.abs(s - s[n]) > 4 * clear] < clear).any())


def _on_paper(x: Floats, y: Floats, frame: Frame) -> Floats:
    k = frame.mm_per_m
    if frame.turned:
        return np.stack([frame.left - y * k, frame.bottom - x * k], axis=1)
    return np.stack([frame.left + x * k, frame.bottom - y * k], axis=1)


def _ways(points: Floats) -> Floats:
    """Unit vectors along a polyline."""
    if len(points) < 2:
        return np.array([[1.0, 0.0]] * len(points))
    step = np.gradient(points, axis=0)
    ways: Floats = step / np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-9)[:, None]
    return ways


def _lanes(
    s: Floats, points: Floats, ways: Floats, legs: Indices
) -> tuple[Floats, Flags, Flags, Flags]:
    """Millimetres to the right for every place, and what keeps beside it."""
    some = np.unique(np.append(np.arange(0, len(s), COARSE), len(s) - 1))
    near = _same_ground(s[some], points[some], ways[some], legs[some])
    aside = np.zeros(len(some))
    opposed = np.zeros(len(some), bool)
    leads = np.zeros(len(some), bool)
    follows = np.zeros(len(some), bool)
    for i in np.flatnonzero(near.any(axis=1)).tolist():
        before, after, against = _passes(i, near[i], ways[some])
        if against:
            aside[i] = LANE * (after % MOST_LANES + 1)
        else:
            aside[i] = -LANE * (before % MOST_LANES)
        opposed[i], leads[i], follows[i] = bool(against), bool(after), bool(before)
    full = _eased(np.interp(s, s[some], aside), s)
    nearest = np.clip(np.round(np.arange(len(s)) / COARSE).astype(int), 0, len(some) - 1)
    return full, opposed[nearest], leads[nearest], follows[nearest]


def _same_ground(s: Floats, points: Floats, ways: Floats, legs: Indices) -> Flags:
    """(n, n): pairs of places of two passes over one ground."""
    i, j = _within(points, SAME_MM)
    apart, wi, wj = points[i] - points[j], ways[i], ways[j]
    sine = wi[:, 0] * wj[:, 1] - wi[:, 1] * wj[:, 0]
    same = ((apart**2).sum(axis=1) < SAME_MM**2) & (np.abs(sine) < SAME_SINE)
    same &= np.abs(s[i] - s[j]) > NEIGHBOUR_MM
    near: Flags = np.zeros((len(s), len(s)), bool)
    near[i[same], j[same]] = True
    _without_touching(near, s, legs)
    if not near.any():
        return near
    shared = np.asarray(near.any(axis=1))
    alone = ~_long_runs(shared)
    near[alone] = False
    near[:, alone] = False
    # A place in the middle of shared ground whose partner was just missed belongs to it.
    for n in np.flatnonzero(~alone & ~near.any(axis=1)).tolist():
        near[n] = near[n - 1] if n else near[n + 1]
    return near


def _without_touching(near: Flags, s: Floats, legs: Indices) -> None:
    """Take out of `near` where a circle closes: it touches the line of its own leg, and the two
    are easier to read as they are ridden than side by side."""
    own = near & (legs[:, None] == legs)
    for begin, end in runs_of(own.any(axis=1)):
        if s[end - 1] - s[begin] < TOUCHING_MM:
            near[begin:end] &= ~own[begin:end]


def _within(points: Floats, reach: float) -> tuple[Indices, Indices]:
    """Numbers (k,) of places that lie within `reach` mm of each other, across and down."""
    pairs: list[tuple[Indices, Indices]] = []
    for begin in range(0, len(points), AT_ONCE):
        some = points[begin : begin + AT_ONCE]
        across = np.abs(some[:, None, 0] - points[None, :, 0]) < reach
        down = np.abs(some[:, None, 1] - points[None, :, 1]) < reach
        i, j = np.nonzero(across & down)
        pairs.append((i + begin, j))
    i, j = (np.concatenate([pair[n] for pair in pairs]) for n in (0, 1))
    return i, j


def _passes(i: int, row: Flags, ways: Floats) -> tuple[int, int, int]:
    """Of the other passes: how many go the same way earlier and later, and how many against."""
    places = np.flatnonzero(row)
    starts = places[np.concatenate([[True], np.diff(places) > 3])]
    same = ways[starts] @ ways[i] > 0
    return (
        int((same & (starts < i)).sum()), int((same & (starts > i)).sum()), int((~same).sum()),
    )  # fmt: skip


def _long_runs(flags: Flags) -> Flags:
    """Runs of fewer than SHORTEST_SHARED places dropped, then such gaps closed."""
    kept = _dropped(flags)
    return ~_dropped(~kept) if kept.any() else kept


def runs_of(flags: Flags) -> Iterator[tuple[int, int]]:
    """Where each run of set flags (n,) begins, and where it has ended."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(int))).tolist()
    return zip(edges[::2], edges[1::2], strict=True)


def _dropped(flags: Flags) -> Flags:
    kept = flags.copy()
    for begin, end in runs_of(flags):
        if end - begin < SHORTEST_SHARED:
            kept[begin:end] = False
    return kept


def _eased(aside: Floats, s: Floats) -> Floats:
    """A running mean taken twice, so that a line moves over without a kink."""
    if not aside.any():
        return aside
    even = np.arange(0.0, s[-1] + STEP, STEP)
    width = int(EASE_MM / STEP / 2) | 1
    values = np.interp(even, s, aside)
    for _ in range(2):
        padded = np.pad(values, width // 2, mode="edge")
        values = np.convolve(padded, np.ones(width) / width, mode="valid")
    eased: Floats = np.interp(s, even, values)
    return eased


class Bridge(Struct, frozen=True):
    """A crossing on the paper: the later pass at `over`, the earlier at `under`, mm along."""

    over: float
    under: float
    sine: float
    at: Point


FLATTEST = math.sin(math.radians(12))
"""Flatter than this, lines join rather than cross."""
FROM_FENCE = 6.0
"""Millimetres of a fence within which a crossing is one of the fence itself."""


def bridges(strand: Strand) -> tuple[Bridge, ...]:
    """Where the strand crosses itself: never within FROM_FENCE of a fence both passes jump."""
    some = np.unique(np.append(np.arange(0, len(strand.s), COARSE), len(strand.s) - 1))
    return tuple(
        Bridge(over, under, sine, strand.at(over))
        for under, over, sine in crossings(strand.points[some], strand.s[some])
        if not (_at_fence(strand, under) and _at_fence(strand, over))
    )


def crossings(points: Floats, s: Floats) -> Iterator[tuple[float, float, float]]:
    """Where a polyline crosses itself: the earlier and the later place by `s`, and the sine."""
    if len(points) < 3:
        return
    for first, second in _boxes_meet(points):
        yield from _crossed(points, s, first, second)


def _crossed(
    points: Floats, s: Floats, first: Indices, second: Indices
) -> Iterator[tuple[float, float, float]]:
    begins, steps = points[:-1], np.diff(points, axis=0)
    d1, d2, apart = steps[first], steps[second], begins[second] - begins[first]
    cross = d1[:, 0] * d2[:, 1] - d1[:, 1] * d2[:, 0]
    length = np.hypot(*d1.T) * np.hypot(*d2.T)
    sine = np.abs(cross) / np.maximum(length, 1e-12)
    safe = np.where(sine > FLATTEST, cross, 1.0)
    t = (apart[:, 0] * d2[:, 1] - apart[:, 1] * d2[:, 0]) / safe
    u = (apart[:, 0] * d1[:, 1] - apart[:, 1] * d1[:, 0]) / safe
    met = (sine > FLATTEST) & (t >= 0) & (t < 1) & (u >= 0) & (u < 1)
    for n in np.flatnonzero(met).tolist():
        low, up = int(first[n]), int(second[n])
        under = float(s[low] + (s[low + 1] - s[low]) * t[n])
        over = float(s[up] + (s[up + 1] - s[up]) * u[n])
        yield under, over, float(sine[n])


def _at_fence(strand: Strand, s: float) -> bool:
    joints = [(a.end, b.begin) for a, b in itertools.pairwise(strand.spans)]
    return any(begin - FROM_FENCE < s < end + FROM_FENCE for begin, end in joints)


def _boxes_meet(points: Floats) -> Iterator[tuple[Indices, Indices]]:
    """Chords whose boxes overlap and that do not follow each other, by AT_ONCE of the first."""
    low = np.minimum(points[:-1], points[1:])
    high = np.maximum(points[:-1], points[1:])
    for begin in range(0, len(low), AT_ONCE):
        some_low, some_high = (
            low[begin : begin + AT_ONCE, None],
            high[begin : begin + AT_ONCE, None],
        )
        near = ((some_low <= high[begin:]) & (low[begin:] <= some_high)).all(axis=-1)
        first, second = np.nonzero(np.triu(near, 2))
        yield first + begin, second + begin
