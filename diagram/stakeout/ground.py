"""The ground while a crew works: marks, pegs and fences that stand, and the errors made so far.

It grows fence by fence and is seen by nothing but the three ways of setting one. Everything is
looked for from where the readings before have put it, so that rounding does not add up.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

import numpy as np
from msgspec.structs import replace

from diagram.exercise.fence import PlacedFence
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point, Pose
from diagram.planning import Plan
from diagram.stakeout.crew import Crew
from diagram.stakeout.known import Known, SetFence, crossed, sine_between, spread
from diagram.stakeout.pegs import Peg, PegSpot, pegs_to, round_spots, round_step
from diagram.stakeout.points import ROWS, RowPoint, as_first_jumped, fixed_points
from diagram.stakeout.sides import visible
from diagram.stakeout.taped import Reading

LEAST_SINE = math.sin(math.radians(35))
"""Flatter crossings are not asked for: an inch on each tape is 2½ in along them. (The textbook
limit of the well-conditioned triangle is 30 degrees; five are kept for a peg off its place.)"""

FLATTEST_SINE = math.sin(math.radians(15))
"""Where nothing crosses better, down to here; the expected error then says what it costs."""

NEW_PEG = 1.25
"""A new peg must be better by more than this than a mark that is there: it is one more reading."""

SHORTEST_M = 1.0
"""No tape is held to a mark nearer than this to set a direction."""

SAME_M = 1e-6

SAG = 0.15
"""By this share a whole tape, in the wind, must be better than one that is hardly run out."""

ROW_ERRORS = 12
"""Independent errors that setting one fence may bring, its pegs and a crooked tape included."""

Choice = tuple[float, ...]


class Ground:
    """What stands so far: `marks` by name, `pegs` in order, and the spots they were `asked` for.
    Spots that are `wanted` in any case may have their pegs before their turn; numbers of pegs go
    on from `pegs_before`, those of an earlier leaf."""

    def __init__(
        self, plan: Plan, crew: Crew, count: int, there: Mapping[str, Pose],
        wanted: Sequence[PegSpot] = (), pegs_before: int = 0,
    ) -> None:  # fmt: skip
        self.plan, self.crew, self.wanted = plan, crew, wanted
        self.pegs_before = pegs_before
        self.asked: list[PegSpot] = []
        self.width = ROW_ERRORS * count + 2
        still = np.zeros((2, self.width))
        self.marks = {name: Known(name, at, still) for name, at in fixed_points(plan.arena).items()}
        self.pegs: list[Peg] = []
        self._spots: tuple[tuple[PegSpot, Known, float], ...] | None = None
        self._column = 2
        self._outlines: list[tuple[Point, ...]] = []
        for name, pose in there.items():
            self.stand(plan.fence(name), SetFence(pose, np.zeros((3, self.width))))

    def stand(self, placed: PlacedFence, stands: SetFence) -> None:
        """The rows of a fence are marks from now on."""
        planes = placed.fence.parts.planes or (0.0,)
        for x, row in zip(planes, ROWS[len(planes)], strict=True):
            name = RowPoint(placed.name, row).name
            self.marks[name] = stands.known(name, x)
        self._outlines.append(tuple(placed.outline))

    def crosses_a_fence(self, a: Point, b: Point) -> bool:
        """Whether a tape from `a` to `b` lies through the feet or poles of a fence that stands."""
        shares = np.linspace(0.0, 1.0, max(2, math.ceil(math.dist(a, b) / 0.1)))[:, None]
        places = np.array(a) + shares * (np.array(b) - np.array(a))
        return any(_inside(np.array(corners), places) for corners in self._outlines)

    def error(self) -> int:
        """The column of one more independent error; the first two are kept for trials."""
        self._column += 1
        return self._column - 1

    def rounded(self, metres: float) -> float:
        """The reading nearest to an exact length."""
        return round(metres / self.crew.rounding) * self.crew.rounding

    def both(self, metres: float) -> tuple[float, ...]:
        """The two readings next to an exact length, the nearer first."""
        low = math.floor(metres / self.crew.rounding) * self.crew.rounding
        return tuple(sorted((low, low + self.crew.rounding), key=lambda r: abs(r - metres)))

    # --- Pegs ----------------------------------------------------------------------------------

    def peg_at(self, spot: PegSpot) -> Peg | None:
        """The peg that stands where the rounded reading would put one for a spot."""
        within = self.crew.rounding / 2 + 1e-6
        near = (p for p in self.pegs if p.side == spot.side and math.dist(p.at, spot.at) <= within)
        return next(near, None)

    def pegs_for(self, spot: PegSpot) -> tuple[Peg, ...]:
        """What it would take to have a peg at a spot."""
        return () if self.peg_at(spot) else self._pegs_to(spot)

    def _pegs_to(self, spot: PegSpot, more: Sequence[Peg] = ()) -> tuple[Peg, ...]:
        step, tape = round_step(self.crew.units), self.crew.tape_length
        every, arena = [*self.pegs, *more], self.plan.arena
        return pegs_to(spot, every, tape, step, arena, self.wanted, self.pegs_before)

    @property
    def spots(self) -> tuple[tuple[PegSpot, Known, float], ...]:
        """Round spots on the rails, the marks that pegs there would be, and what each costs."""
        if self._spots is None:
            step, still = round_step(self.crew.units), np.zeros((2, self.width))
            self._spots = tuple(
                (spot, Known("", spot.at, still), NEW_PEG ** len(self.pegs_for(spot)))
                for spot in round_spots(self.plan.arena, step, self.pegs)
            )
        return self._spots

    def add_pegs(self, spot: PegSpot) -> tuple[Peg, ...]:
        """Set a peg at a spot, as its rounded reading puts it; and those on the way to it."""
        self.asked.append(spot)
        return tuple(self._add(peg) for peg in self.pegs_for(spot))

    def _add(self, peg: Peg) -> Peg:
        begin, zero = self.marks[peg.start], self.marks[peg.zero]
        length = math.dist(zero.at, peg.at)
        read = self.rounded(length - math.dist(zero.at, begin.at))
        along = np.array(peg.at) / length - np.array(zero.at) / length
        x, y = np.array(begin.at) + read * along
        drift = begin.drift.copy()
        drift[:, self.error()] += along * self.crew.reading_error(read)
        at = (float(x), float(y))
        before = next((p.readings for p in self.pegs if p.name == peg.start), 0)
        out = replace(peg, along_m=math.dist(zero.at, at), metres=read, at=at, readings=before + 1)
        self.pegs.append(out)
        self._spots = None
        self.marks[out.name] = Known(out.name, at, drift)
        return out

    # --- Which mark gives the second tape --------------------------------------------------------

    def best_second(
        self, first: Known, at: Point, without: Iterable[str] = (), also: Sequence[Point] = ()
    ) -> tuple[str | PegSpot, float] | None:
        """The mark, or the spot for a new peg, whose tape crosses that from `first` best at `at`,
        and the error that is left in metres; None where none is within a tape of it and of
        what it must reach `also`.
        """
        places = list(self._candidates({first.name, *without}))
        there = np.array([known.at for _, known, _ in places])
        reached = np.full(len(places), True)
        for to in (at, *also):
            # Within a tape, and a hair more: what follows looks exactly.
            reached &= np.hypot(*(there - np.array(to)).T) < self.crew.tape_length + SAME_M
        places = [places[n] for n in np.flatnonzero(reached)]
        seen = visible(self.plan.arena, at, there[reached])
        near = [
            (which, known, price)
            for (which, known, price), open_ground in zip(places, seen, strict=True)
            if open_ground and math.dist(known.at, at) >= SHORTEST_M
            and not any(self.crew.joined(math.dist(known.at, to)) for to in (at, *also))
        ]  # fmt: skip
        for limit in (LEAST_SINE, FLATTEST_SINE):
            priced = []
            for n, (which, known, price) in enumerate(near):
                if sine_between(first.at, known.at, at) >= limit:
                    error = self._trial(first, known, at)
                    long = SAG * math.dist(known.at, at) / self.crew.tape_length
                    priced.append((round(error * price * (1 + long), 9), n, which, error))
            if priced:
                _, _, which, error = min(priced, key=lambda found: found[:2])
                return which, error
        return None

    def _candidates(self, skip: set[str]) -> Iterator[tuple[str | PegSpot, Known, float]]:
        """Marks that stand, then round spots on the rails, each with what it costs."""
        for name, mark in self.marks.items():
            if name not in skip:
                yield name, mark, 1.0
        yield from self.spots

    def _trial(self, a: Known, b: Known, at: Point) -> float:
        return spread(crossed(a, b, at, (self.crew.tape_error,) * 2, (0, 1)))

    def mark(self, which: str | PegSpot) -> tuple[Known, tuple[Peg, ...]]:
        """A mark by name, or a peg set now at a spot, with the pegs that it took."""
        if isinstance(which, str):
            return self.marks[which], ()
        there = self.peg_at(which)
        pegs = () if there else self.add_pegs(which)
        return self.marks[(there or pegs[-1]).name], pegs

    def both_marks(
        self, first: str | PegSpot, second: str | PegSpot
    ) -> tuple[Known, Known, tuple[Peg, ...]]:
        """Two marks, the pegs among them set in the order in which a crew walks to them; and those
        pegs."""
        if self._sooner(second, first):
            other, pegs = self.mark(second)
            one, more = self.mark(first)
            return one, other, pegs + more
        one, pegs = self.mark(first)
        other, more = self.mark(second)
        return one, other, pegs + more

    def _sooner(self, one: str | PegSpot, other: str | PegSpot) -> bool:
        """Whether a peg is better set before another: it takes fewer so, or it comes first on the
        way along their rail from one corner."""
        if isinstance(one, str) or isinstance(other, str):
            return False
        to_one, to_other = self.pegs_for(one), self.pegs_for(other)
        if one.side != other.side or not to_one or not to_other:
            return False
        so = len(to_one) + len(self._pegs_to(other, to_one))
        otherwise = len(to_other) + len(self._pegs_to(one, to_other))
        if so != otherwise:
            return so < otherwise
        a, b = to_one[-1], to_other[-1]
        return (a.side, a.zero) == (b.side, b.zero) and a.along_m < b.along_m

    # --- Fences ----------------------------------------------------------------------------------

    def pose(self, placed: PlacedFence) -> Pose:
        """Where a fence should stand, facing as it is first jumped."""
        return as_first_jumped(self.plan, placed)

    def planned(self, row: RowPoint) -> Point:
        """Where the middle of a row should be."""
        placed = self.plan.fence(row.fence)
        return self.pose(placed).ahead(row_x(placed, row)).point

    def best_rounding(
        self,
        choices: Iterable[Choice],
        stand: Callable[..., Pose | None],
        placed: PlacedFence,
    ) -> tuple[Choice, Pose]:
        """Of the readings to choose from, those that put the worst foot least off its place."""
        half, pose = placed.fence.measures.width_m / 2, self.pose(placed)
        corners = [(x, y) for x in placed.fence.parts.planes or (0.0,) for y in (half, -half)]
        best: tuple[float, Choice, Pose] | None = None
        for read in choices:
            made = stand(*read)
            if made is None:
                continue
            off = max(math.dist(made.ahead(*at).point, pose.ahead(*at).point) for at in corners)
            if best is None or off < best[0] - 1e-9:
                best = (off, read, made)
        assert best is not None, "tapes that cross do so with some reading next to the exact one"
        return best[1], best[2]

    def square_read(self, exact: Sequence[float]) -> Choice:
        """Rounded readings to both feet; the same one twice where they are hardly different.

        Each to its own nearest: a pair that only turns the fence a little better would tell
        another length of the line than its own tape.
        """
        if abs(exact[0] - exact[1]) < self.crew.rounding:
            return (self.rounded(sum(exact) / 2),) * 2
        return self.rounded(exact[0]), self.rounded(exact[1])


def along(pegs: Iterable[Peg]) -> list[Reading]:
    """The readings along the rail that set pegs."""
    return [Reading("along", p.start, (p.name,), (p.metres,), (p.metres,)) for p in pegs]


def row_x(placed: PlacedFence, row: RowPoint) -> float:
    """Where a row stands in the fence's frame, as first jumped."""
    planes = placed.fence.parts.planes or (0.0,)
    return planes[ROWS[len(planes)].index(row.row)]


def feet_names(placed: PlacedFence, at_x: float) -> tuple[str, str]:
    """Names of the left and the right foot of the row at `at_x`."""
    planes = placed.fence.parts.planes or (0.0,)
    row = ROWS[len(planes)][planes.index(at_x)]
    left, right = (" ".join(w for w in (placed.name, s, row) if w) for s in ("left", "right"))
    return left, right


def standing(made: Pose, row: Floats, turn: Floats, at_x: float) -> SetFence:
    """A fence as it stands, from the drift of the middle of the row at `at_x` and of its turn."""
    c, s = made.direction
    arm = np.array([[at_x * s], [-at_x * c]])
    return SetFence(made, np.vstack([row + arm * turn, turn[None, :]]))


def _inside(corners: Floats, places: Floats) -> bool:
    """Whether any of `places` (n, 2) is inside the convex outline (m, 2), either way round."""
    edges = np.roll(corners, -1, axis=0) - corners
    out = places[:, None, :] - corners[None, :, :]
    sides = edges[None, :, 0] * out[:, :, 1] - edges[None, :, 1] * out[:, :, 0]
    return bool(np.any(np.all(sides >= 0, axis=1) | np.all(sides <= 0, axis=1)))
