"""Readings rounded to what a tape can hold, together, so that the lines keep their distances.

Rounding each reading to the nearest step by itself moves feet by up to a step, and a line
between two fences gets what its ends happen to add up to. Here each reading may go down or up
to its neighbouring step, and those are chosen that leave the lines, then the spreads and the
lengths of the poles, nearest to the plan. Both ways to every foot are rounded in one go: the
lines come out right whichever way each fence is set.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import product

from msgspec import Struct

from diagram.geometry.pose import Point
from diagram.stakeout.crossing import crossing
from diagram.stakeout.lines import TapedLine, between
from diagram.stakeout.points import Foot
from diagram.stakeout.ways import FootWays, Way

LINE_WEIGHT, SPREAD_WEIGHT, POLE_WEIGHT = 10.0, 3.0, 1.0
"""What a step of error costs, squared: in a line, between two rows, between two feet."""

MOST_ROUNDS = 12

FEW_LINES = 48
"""Lines, counted once for each way of setting their ends, up to which both ends of every one
are tried together; beyond that, only of lines that are off by a quarter of a step."""

MOST_LOOKED_AT = 3_000_000
"""Distances and feet reckoned in all; where hundreds of fences hang on one another, what has not
been tried by then keeps the nearest readings."""

Readings = tuple[float, float]
Key = tuple[str, Way]
"""A foot by name, and the way it is set."""


class Rounded(Struct, frozen=True):
    """Rounded readings of each foot by way, in metres, and where they put it.

    Feet that `stand` already have a place and no readings.
    """

    readings: dict[Key, Readings]
    places: dict[Key, Point]
    standing: dict[str, Point]

    def feet(self, ways: Mapping[str, Way]) -> dict[str, Point]:
        """Where every foot stands when each is set the way that is said."""
        return {**self.standing, **{name: self.places[name, way] for name, way in ways.items()}}


class _Term(Struct, frozen=True):
    """One distance that ought to be kept: between places that are found from feet."""

    keys: tuple[Key, ...]
    metres: float
    weight: float
    line: TapedLine | None = None

    def now(self, places: Mapping[Key, Point]) -> float:
        feet = [places[key] for key in self.keys]
        if self.line is None:
            return math.dist(feet[0], feet[1])
        start = between(feet[0], feet[1], self.line.start.left_m)
        return math.dist(start, between(feet[2], feet[3], self.line.end.left_m))


def round_together(
    ways: Sequence[FootWays],
    lines: Iterable[TapedLine],
    fixed: Mapping[str, Point],
    step: float,
    standing: Mapping[str, Point] | None = None,
    told: Mapping[tuple[str, str], float] | None = None,
) -> Rounded:
    """Readings of all `ways`, each a multiple of `step` metres next to its exact value.

    What is `told` already of a foot, by its name and that of the mark the tape is held to, is kept.

    `fixed` are the points of the arena, `standing` the feet of fences that are left where they
    are. Feet come in the order in which they are set. The search is local: no single row of
    standards, and no pair of rows at the ends of one line, can be improved by other
    neighbouring readings of its own.
    """
    return _Search(ways, tuple(lines), fixed, step, standing or {}, told or {}).run()


def line_errors(rounded: Rounded, ways: Sequence[FootWays], line: TapedLine) -> tuple[float, float]:
    """Metres by which a line comes out longer: set by the better ways, and the largest of all
    combinations of ways (with its sign)."""
    best = rounded.feet({way.foot.name: way.best for way in ways})
    known = _known(ways, rounded.standing)
    places = {**rounded.places, **{(n, "tapes"): p for n, p in rounded.standing.items()}}
    every = [term.now(places) - line.straight_m for term in _line_terms(line, known)]
    return line.taped(best) - line.straight_m, max(every, key=abs)


def _known(ways: Sequence[FootWays], standing: Mapping[str, Point]) -> dict[str, tuple[Way, ...]]:
    """How each foot may come to its place; one that stands has a single place."""
    known: dict[str, tuple[Way, ...]] = dict.fromkeys(standing, ("tapes",))
    return known | {way.foot.name: _ways_of(way) for way in ways}


def _ways_of(way: FootWays) -> tuple[Way, ...]:
    return ("tapes", "offset") if way.offset else ("tapes",)


def _line_terms(line: TapedLine, known: Mapping[str, tuple[Way, ...]]) -> Iterator[_Term]:
    """A line with every combination of ways at its ends; both feet of a row are set alike."""
    first, second = line.start.names, line.end.names
    if any(name not in known for name in (*first, *second)):
        return
    for a, b in product(_both(first, known), _both(second, known)):
        keys: tuple[Key, ...] = (*((n, a) for n in first), *((n, b) for n in second))
        yield _Term(keys, line.straight_m, LINE_WEIGHT, line)


def _both(names: tuple[str, str], known: Mapping[str, tuple[Way, ...]]) -> list[Way]:
    return [way for way in known[names[0]] if way in known[names[1]]]


class _Search:
    def __init__(
        self,
        ways: Sequence[FootWays],
        lines: Sequence[TapedLine],
        fixed: Mapping[str, Point],
        step: float,
        standing: Mapping[str, Point],
        told: Mapping[tuple[str, str], float],
    ) -> None:
        self.told, self.left = told, MOST_LOOKED_AT
        self.ways = {way.foot.name: way for way in ways}
        self.fixed, self.step, self.standing = {**fixed, **standing}, step, dict(standing)
        self.readings: dict[Key, Readings] = {}
        self.places: dict[Key, Point] = {(name, "tapes"): at for name, at in standing.items()}
        known = _known(ways, standing)
        keys = [(name, kind) for name in self.ways for kind in known[name]]
        self.moved = self._moved(keys)
        for key in keys:
            self._place(key, self._neighbours(key)[0])
        self.rows = _rows([way.foot for way in ways], known)
        self.terms = [
            *(term for line in lines for term in _line_terms(line, known)),
            *_fence_terms([way.foot for way in ways], known),
        ]
        of_key: dict[Key, set[int]] = {key: set() for key in keys}
        for n, term in enumerate(self.terms):
            for key in term.keys:
                of_key.setdefault(key, set()).add(n)
        # Terms that change when a foot is set otherwise, those of feet hung from it too.
        self.touching = {key: set().union(*(of_key[k] for k in self.moved[key])) for key in keys}

    def run(self) -> Rounded:
        for _ in range(MOST_ROUNDS):
            improved = [self._improve(row) for row in self.rows]
            if not any(improved):
                break
        of_lines = [term for term in self.terms if term.line]
        for term in of_lines:
            off = abs(term.now(self.places) - term.metres)
            if len(of_lines) <= FEW_LINES or off >= self.step / 4:
                self._improve(tuple(key for key in term.keys if key in self.readings))
        places = {key: place for key, place in self.places.items() if key in self.readings}
        return Rounded(self.readings, places, self.standing)

    def _improve(self, keys: tuple[Key, ...]) -> bool:
        """Try every choice of neighbouring readings of some feet at once; keep the best."""
        touched = sorted(set().union(*(self.touching[key] for key in keys)))
        start = tuple(self.readings[key] for key in keys)
        best, least = start, self._cost(touched, math.inf) - 1e-9
        moved = {key for first in keys for key in self.moved[first]}
        # Feet are set in the order of `readings`: whatever a tape hangs on comes before.
        after = [key for key in self.readings if key in moved]
        self.left -= (len(touched) + len(after)) * 4 ** len(keys)
        if self.left < 0:
            return False
        for choice in product(*(self._neighbours(key) for key in keys)):
            if self._set(dict(zip(keys, choice, strict=True)), after):
                cost = self._cost(touched, least)
                if cost < least:
                    best, least = choice, cost
        self._set(dict(zip(keys, best, strict=True)), after)
        return best is not start

    def _cost(self, touched: Iterable[int], most: float) -> float:
        """What some terms cost; no further than to `most`, for more is not wanted anyhow."""
        total = 0.0
        for n in touched:
            term = self.terms[n]
            off = (term.now(self.places) - term.metres) / self.step
            total += term.weight * off * off
            if total >= most:
                break
        return total

    def _neighbours(self, key: Key) -> list[Readings]:
        """The four choices, those nearest to the exact readings first."""
        exact = self._exact(key)
        each = [(math.floor(value / self.step), math.ceil(value / self.step)) for value in exact]
        if key[1] == "tapes":
            tapes = self.ways[key[0]].tapes
            for n, mark in enumerate((tapes.first, tapes.second)):
                read = self.told.get((key[0], mark))
                if read is not None and abs(read - exact[n]) < self.step:
                    each[n] = (round(read / self.step),) * 2
        choices = [(a * self.step, b * self.step) for a, b in product(*map(set, each))]
        return sorted(choices, key=lambda c: (math.dist(c, exact), c))

    def _exact(self, key: Key) -> Readings:
        way = self.ways[key[0]]
        if key[1] == "offset" and way.offset:
            return way.offset.along_m, way.offset.out_m
        return way.tapes.first_m, way.tapes.second_m

    def _set(self, chosen: Mapping[Key, Readings], moved: Iterable[Key]) -> bool:
        """Take readings for some feet, and move what hangs on them; False where the tapes of one
        that was chosen no longer meet."""
        for key in moved:
            if not self._place(key, chosen.get(key, self.readings[key])) and key in chosen:
                return False
        return True

    def _place(self, key: Key, readings: Readings) -> bool:
        """Put one foot where readings say; False where the tapes do not meet."""
        way = self.ways[key[0]]
        place: Point | None
        if key[1] == "offset" and way.offset:
            place = way.offset.place(*readings)
        else:
            first, second = self._at(way.tapes.first), self._at(way.tapes.second)
            place = crossing(first, readings[0], second, readings[1], way.tapes.left)
        if place is None:
            if key not in self.places:
                self.readings[key], self.places[key] = self._exact(key), way.foot.point
            return False
        self.readings[key], self.places[key] = readings, place
        return True

    def _at(self, name: str) -> Point:
        """Where a tape hangs: what is fixed, or a foot as it is set the better way."""
        if name in self.fixed:
            return self.fixed[name]
        return self.places[name, self.ways[name].best]

    def _moved(self, keys: Iterable[Key]) -> dict[Key, set[Key]]:
        """With each foot and way those that move with it, itself among them: their tapes hang on
        it as it is set the better way, or on what does."""
        hung: dict[str, list[str]] = {name: [] for name in self.ways}
        for name, way in self.ways.items():
            for mark in {way.tapes.first, way.tapes.second} & hung.keys():
                hung[mark].append(name)
        after: dict[str, set[Key]] = {}
        for name in reversed(self.ways):
            after[name] = set()
            for held in hung[name]:
                after[name].add((held, "tapes"))
                after[name] |= after[held] if self.ways[held].best == "tapes" else set()
        return {
            key: {key} | (after[key[0]] if key[1] == self.ways[key[0]].best else set())
            for key in keys
        }


def _rows(feet: Sequence[Foot], known: Mapping[str, tuple[Way, ...]]) -> list[tuple[Key, ...]]:
    """The feet of each row of standards that are set one way, to be rounded together."""
    out: dict[tuple[str, str, Way], list[Key]] = {}
    for foot in feet:
        for way in known[foot.name]:
            out.setdefault((foot.fence, foot.row, way), []).append((foot.name, way))
    return [tuple(keys) for keys in out.values()]


def _fence_terms(feet: Sequence[Foot], known: Mapping[str, tuple[Way, ...]]) -> Iterator[_Term]:
    """Poles, spreads and the diagonals between rows that keep a fence square."""
    for n, one in enumerate(feet):
        for other in feet[n + 1 :]:
            if other.fence != one.fence:
                continue
            weight = POLE_WEIGHT if one.row == other.row else SPREAD_WEIGHT
            for way in known[one.name]:
                if way in known[other.name]:
                    keys: tuple[Key, ...] = ((one.name, way), (other.name, way))
                    yield _Term(keys, math.dist(one.point, other.point), weight)
