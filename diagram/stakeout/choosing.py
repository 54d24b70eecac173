"""Which tapes to hold where: the pair of marks, or the side, that misses a foot by least.

Errors are carried on exactly, to first order: a foot that is set from another foot inherits
how that one was set. Each reading is an independent error; the place of a foot is linear in
all readings before it, and its drift is that linear map.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np

from diagram.exercise.arena import Arena
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point, unit_towards
from diagram.stakeout.crew import Crew
from diagram.stakeout.crossing import is_left
from diagram.stakeout.known import Known
from diagram.stakeout.points import Foot, fixed_points
from diagram.stakeout.sides import nearer_to, visible
from diagram.stakeout.ways import FootWays, Offset, Tapes

SAME_HOOKS = 1.10
"""All feet of a fence are taped from one pair of marks where that costs no foot more than a
tenth of its error: the crew hooks the tapes in once for the whole fence."""

SAG = 0.10
"""A whole tape in the wind must be better by this share than one that is hardly run out."""

FLATTEST = math.sin(math.radians(10))
"""Sine of the flattest crossing that is worth anything: an inch in each tape is 8 in along it."""

SHORTEST = 0.5
"""Metres. A mark nearer than this is no use for a tape."""

MOST_MARKS = 120
"""Marks that the tapes of a fence are chosen among, the nearest of all."""

SOURCES = 5
"""Independent errors in setting one foot: two tapes; along, out and the right angle."""


def choose(
    fences: Sequence[Sequence[Foot]], arena: Arena, crew: Crew, standing: Iterable[Known] = ()
) -> list[FootWays]:
    """The ways to every foot, fence after fence in the order in which they are set.

    Each fence may use the fixed points of the arena, the `standing` marks and the feet of the
    fences before it.
    """
    already = list(standing)
    width = sum(mark.drift.shape[1] for mark in already[:1]) or 0
    total = width + SOURCES * sum(len(fence) for fence in fences)
    marks = [Known(name, at, np.zeros((2, total))) for name, at in fixed_points(arena).items()]
    marks += [Known(m.name, m.at, _widened(m.drift, total)) for m in already]
    out: list[FootWays] = []
    for fence in fences:
        first = width + SOURCES * len(out)
        found, stands = _fence(fence, marks, arena, crew, first)
        out += found
        marks += stands
    return out


def _widened(drift: Floats, total: int) -> Floats:
    return np.pad(drift, ((0, 0), (0, total - drift.shape[1])))


def _fence(
    fence: Sequence[Foot], marks: Sequence[Known], arena: Arena, crew: Crew, first: int
) -> tuple[list[FootWays], list[Known]]:
    if len(marks) > MOST_MARKS:
        middle = fence[0].point
        order = sorted(range(len(marks)), key=lambda n: round(math.dist(marks[n].at, middle), 9))
        marks = [marks[n] for n in sorted(order[:MOST_MARKS])]
    drifts = np.array([mark.drift for mark in marks])
    tables = [_Pairs(foot.point, marks, drifts, arena, crew) for foot in fence]
    pairs = _pairs_for(tables)
    columns = [first + SOURCES * n for n in range(len(fence))]
    tapes = [t.tapes(pair, arena) for t, pair in zip(tables, pairs, strict=True)]
    offsets = _offsets(fence, arena, crew)
    by_tapes = sum(way.error_m for way in tapes)
    by_offset = sum(way.error_m if way else math.inf for way in offsets)
    best: list[FootWays] = []
    stands: list[Known] = []
    for n, foot in enumerate(fence):
        offset = offsets[n]
        if by_offset < by_tapes and offset is not None:
            best.append(FootWays(foot, tapes[n], offset, "offset"))
            drift = _offset_drift(offset, crew, columns[n], marks[0].drift.shape[1])
        else:
            best.append(FootWays(foot, tapes[n], offset, "tapes"))
            drift = tables[n].drift(pairs[n], columns[n])
        stands.append(Known(foot.name, foot.point, drift))
    return best, stands


Pair = tuple[int, int]


def _pairs_for(tables: Sequence[_Pairs]) -> list[Pair]:
    """The best pair of each foot, or one pair for all where it is nearly as good for each."""
    own = [table.best() for table in tables]
    shares = np.array(
        [table.ranked / table.ranked[pair] for table, pair in zip(tables, own, strict=True)]
    )
    worst = shares.max(axis=0)
    i, j = divmod(int(worst.argmin()), worst.shape[1])
    return [(i, j)] * len(own) if worst[i, j] <= SAME_HOOKS else own


class _Pairs:
    """Every pair of marks for one foot, and the error of each.

    `errors` (marks, marks) is infinite where a pair may not be used: in the lower half, and
    where a mark cannot be seen. `ranked` is the same with what long and joined tapes cost.
    """

    def __init__(
        self, foot: Point, marks: Sequence[Known], drifts: Floats, arena: Arena, crew: Crew
    ) -> None:
        self.foot, self.marks = foot, marks
        places = np.array([mark.at for mark in marks])
        gap = np.array(foot) - places
        self.lengths = np.hypot(gap[:, 0], gap[:, 1])
        self.units = gap / np.maximum(self.lengths, 1e-9)[:, None]
        self.readings = np.array([crew.reading_error(r) for r in self.lengths])
        # What each tape's reading is moved by errors in the place of the mark it hangs on.
        self.moved = (self.units[:, None, :] @ drifts)[:, 0, :]
        shared = self.moved @ self.moved.T
        variance = self.readings**2 + np.diag(shared)
        self.cosine = np.clip(self.units @ self.units.T, -1.0, 1.0)
        squared = 1 - self.cosine**2
        both = variance[:, None] + variance[None, :] - 2 * shared * self.cosine
        with np.errstate(divide="ignore", invalid="ignore"):
            errors = np.sqrt(both / squared)
        near = self.lengths > SHORTEST
        usable = near & visible(arena, foot, places)
        # A foot outside the rail, or behind a corner, is taped past it all the same.
        usable = usable if usable.sum() >= 2 else near
        allowed = usable[:, None] & usable[None, :] & (squared > 1e-9)
        allowed &= np.triu(np.ones_like(allowed), 1).astype(bool)
        reaches = np.array([not crew.joined(r) for r in self.lengths])
        both_reach = allowed & reaches[:, None] & reaches[None, :] & (squared > FLATTEST**2)
        # A tape laid twice cannot be swung: it crosses nothing while there is another way.
        allowed = both_reach if both_reach.any() else allowed
        self.errors = np.where(allowed, errors, math.inf)
        single = 1 + SAG * np.minimum(self.lengths / crew.tape_length, 1.0)
        self.ranked = self.errors * np.maximum(single[:, None], single[None, :])

    def best(self) -> Pair:
        i, j = divmod(int(self.ranked.argmin()), len(self.marks))
        return i, j

    def tapes(self, pair: Pair, arena: Arena) -> Tapes:
        i, j = pair
        a, b = self.marks[i], self.marks[j]
        return Tapes(
            a.name, b.name, float(self.lengths[i]), float(self.lengths[j]),
            is_left(a.at, b.at, self.foot),
            nearer_to(arena, a.at, b.at, self.foot),
            float(np.arccos(self.cosine[i, j])),
            float(self.errors[i, j]),
        )  # fmt: skip

    def _inverse(self, pair: Pair) -> Floats:
        """How the place moves with the two readings: the inverse of their gradients."""
        inverse: Floats = np.linalg.inv(self.units[list(pair)])
        return inverse

    def drift(self, pair: Pair, column: int) -> Floats:
        """How the foot moves with every error, those of its own readings at `column`."""
        moved = self.moved[list(pair)].copy()
        moved[0, column] += self.readings[pair[0]]
        moved[1, column + 1] += self.readings[pair[1]]
        drift: Floats = self._inverse(pair) @ moved
        return drift


def _offsets(fence: Sequence[Foot], arena: Arena, crew: Crew) -> list[Offset | None]:
    """One side and one corner for all feet of a fence, or the best for each by itself."""
    choices = [
        [_offset(foot.point, side, end, arena, crew) for foot in fence]
        for side in arena.sides
        for end in (0, 1)
    ]
    whole = [ways for ways in choices if all(ways)]
    if whole:
        best: list[Offset | None] = list(min(whole, key=_total))
        return best
    return [
        min((way for way in ways if way), key=lambda way: way.error_m, default=None)
        for ways in zip(*choices, strict=True)
    ]


def _total(ways: Iterable[Offset | None]) -> tuple[float, float]:
    """By error, then by length along the side: from the nearer corner."""
    there = [way for way in ways if way]
    return round(sum(way.error_m for way in there), 6), sum(way.along_m for way in there)


def _offset(point: Point, side: str, end: int, arena: Arena, crew: Crew) -> Offset | None:
    """A foot from one end of one side; None where the square from it does not meet the side."""
    begin, finish = arena.sides[side]
    zero, far = (begin, finish) if end == 0 else (finish, begin)
    along = unit_towards(zero, far)
    # Sides run anticlockwise, so the arena lies to the left of a side.
    turn = 1 if end == 0 else -1
    inward = (-along[1] * turn, along[0] * turn)
    dx, dy = point[0] - zero[0], point[1] - zero[1]
    t, h = dx * along[0] + dy * along[1], dx * inward[0] + dy * inward[1]
    foot = np.array([[zero[0] + t * along[0], zero[1] + t * along[1]]])
    if not 0 <= t <= math.dist(zero, far) or h < 0 or not visible(arena, point, foot)[0]:
        return None
    name = next(n for n, at in fixed_points(arena).items() if math.dist(at, zero) < 1e-9)
    square = h * crew.right_angle_error
    error = math.hypot(crew.reading_error(t), crew.reading_error(h), square)
    return Offset(side, name, zero, along, inward, t, h, error)


def _offset_drift(way: Offset, crew: Crew, column: int, total: int) -> Floats:
    drift = np.zeros((2, total))
    drift[:, column + 2] = np.array(way.along) * crew.reading_error(way.along_m)
    drift[:, column + 3] = np.array(way.inward) * crew.reading_error(way.out_m)
    drift[:, column + 4] = np.array(way.along) * way.out_m * crew.right_angle_error
    return drift
