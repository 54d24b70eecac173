"""The arrangement of a problem: remembered, as a designer would make it, or the roomiest."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from msgspec import Struct
from msgspec.structs import replace

from diagram.geometry.corner import ASIDE
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point, Pose
from diagram.path.turns_short import BADLY_M, OFF_THE_WALL_M
from diagram.placing.arrange import Judge
from diagram.placing.remembered import Remembered, recall, remember
from diagram.placing.squared import squared
from diagram.solver.mirrored import mirrored, reflected, reflected_point, right_handed
from diagram.solver.relations import (
    Bending,
    Beyond,
    FacingIs,
    OnLine,
    PlaceIs,
    Problem,
    Straight,
    Turning,
)
from diagram.solver.solve import Arrangement, measured, moved_about, nearest, poses_of, solve

TIGHTER = (0.95, 0.905)
"""Shares of the radius that turns are tried with where nothing fits: what is much tighter than
is wanted is stopped (`diagram.path.turns_short`), so much is cautioned about."""
SAME_M = 0.05
"""Metres within which a fence that is pinned stands where it was put anyhow."""
SEARCHES, CANDIDATES = 3, 4
"""Blind searches at most, as long as what they find rides badly; and what is ridden of each."""
SEARCHED = PlaceIs | FacingIs | OnLine | Beyond | Straight | Bending | Turning
"""What designs are searched for with: where none is found, a blind search begins but once."""
NEARLY_M, WORTH_M = 2.0, 1.0
"""Metres by which a design may fall short in all before a blind search is asked as well, and by
which what that finds must ride better to be worth standing anyhow."""
FEW_ENOUGH = 14
"""Fences for which all is tried. Of more, tighter turns are not looked for, which is a whole search
once more; designs are pushed only where none is near to what can be ridden; and no fences are moved
along their lines for what is less than a stride, or along the arena to stand square."""
PUSHED_M = 0.1
"""Metres that the best design may fall short before others are pushed till they hold."""
GAINED = 2.5
"""Metres that a turn needs less of the ground, at the very most, for each metre of radius less: it
is two across, from the one side to the other, and hardly more along."""
MUCH_BETTER_M = 0.05
"""Metres by which an arrangement has to ride better than a roomier one to be taken for it."""


def found(
    problem: Problem, guess: Floats | None, gate: Point | None, judge: Judge | None, asked: str
) -> Arrangement:
    """The best arrangement found; a remembered one if the same was `asked` before.

    `asked` says all that the judge goes by and the problem does not hold.

    Of a problem and its mirror image only the one is solved whose first turn is to the left. As a
    designer would make it, where one of the usual lines will do; else the roomiest.
    """
    short = _with_short_ways(problem)
    known = recall(problem, asked) if guess is None else None
    if known is not None and known.fitted:
        remembered = _fitting(known.values, (problem, short, *_with_tighter_turns(problem)))
        if remembered.fits:
            return remembered
    elif known is not None:
        # The same search would find nothing that fits again.
        return measured(problem, known.values)
    best = _unpinned(problem, gate, judge) if guess is None else None
    if best is None:
        best = _Seen.of(problem, judge).best(guess, gate)
    if not best.fits and guess is None and short != problem:
        # Nobody is sent off a wall or into one where it can be helped; here it can not.
        best = _Seen.of(short, judge).designed(gate) or best
    if guess is None:
        remember(problem, asked, Remembered(best.unknowns.tolist(), best.fits))
    return best


def _fitting(unknowns: Floats, problems: tuple[Problem, ...]) -> Arrangement:
    """An arrangement as the first of some problems has it that it fits; if none, the first."""
    for problem in problems:
        found = measured(problem, unknowns)
        if found.fits:
            return found
    return measured(problems[0], unknowns)


def _with_tighter_turns(problem: Problem) -> Iterator[Problem]:
    """The same with turns a little tighter than these horses want, but none under the floor for
    the gait: what is ridden in a ring that has no more room, and cautioned about."""
    floor = problem.limits.canter.floor_radius * ASIDE
    for share in TIGHTER:
        relations = tuple(
            replace(r, radius=max(share * r.radius, min(r.radius, floor)))
            if isinstance(r, Turning) else r
            for r in problem.relations
        )  # fmt: skip
        if relations != problem.relations:
            yield replace(problem, relations=relations)


def _most_gained(problem: Problem, tighter: Problem) -> float:
    """Metres by which an arrangement may fall short at most that is mended by tighter turns."""
    less = (
        wide.radius - tight.radius
        for wide, tight in zip(problem.relations, tighter.relations, strict=True)
        if isinstance(wide, Turning) and isinstance(tight, Turning)
    )
    return GAINED * sum(less)


def _with_short_ways(problem: Problem) -> Problem:
    """The same with straight ways to the first fence and from the last as short as may be, where
    all the fences are a ring of bends: that has no line which could lie elsewhere."""
    ways = [r for r in problem.relations if isinstance(r, Straight | Bending | Turning)]
    bends = [r for r in ways if isinstance(r, Bending) and r.between is None]
    if not len(bends) >= len(problem.bodies) > 2 or any(not isinstance(r, Bending) for r in ways):
        return problem
    opens = tuple(replace(way, short=way.left is None) for way in problem.opens)
    return replace(problem, opens=opens)


def _unpinned(problem: Problem, gate: Point | None, judge: Judge | None) -> Arrangement | None:
    """The design without the pins, where it has its fences where they are pinned anyhow.

    So a fence pinned at the place found moves nothing.
    """
    pinned = {r.body: r for r in problem.relations if isinstance(r, PlaceIs)}
    if not pinned or len(pinned) == len(problem.bodies):
        return None
    free = tuple(
        r for r in problem.relations
        if not (isinstance(r, PlaceIs | FacingIs) and r.body in pinned)
    )  # fmt: skip
    seen = _Seen.of(replace(problem, relations=free), judge)
    design = seen.designed(gate)
    if design is None:
        return None
    for body, pin in pinned.items():
        if design.poses[body].distance(pin.point) > SAME_M:
            return None
    held = nearest(problem, design.unknowns)
    return held if held.fits else None


class _Seen(Struct, frozen=True):
    """A problem as it is solved, in a mirror or not; `bad` says how badly arrangements ride."""

    asked: Problem
    solved: Problem
    bad: Callable[[Arrangement, float], float]

    @classmethod
    def of(cls, problem: Problem, judge: Judge | None) -> _Seen:
        flipped = right_handed(problem)

        def bad(arrangement: Arrangement, most: float) -> float:
            if judge is None:
                return 0.0
            own = arrangement.poses
            if flipped:
                own = poses_of(problem, reflected(problem, arrangement.unknowns))
            names = (body.name for body in problem.bodies)
            poses: dict[str, Pose] = dict(zip(names, own, strict=True))
            return judge(poses, most)

        return cls(problem, mirrored(problem) if flipped else problem, bad)

    def best(self, guess: Floats | None, gate: Point | None) -> Arrangement:
        if self.solved is self.asked:
            return self._best(guess, gate)
        seen = None if guess is None else reflected(self.asked, guess)
        best = self._best(seen, reflected_point(self.asked, gate))
        # What was found with tighter turns fits with those alone.
        tighter = _with_tighter_turns(self.asked) if best.fits else ()
        return _fitting(reflected(self.asked, best.unknowns), (self.asked, *tighter))

    @property
    def few(self) -> bool:
        """Whether there are so few fences that all is tried."""
        return len(self.solved.bodies) <= FEW_ENOUGH

    def designed(self, gate: Point | None) -> Arrangement | None:
        """The best design that rides well, as it is asked for."""
        if self.solved is self.asked:
            return self._designed(gate)[0]
        found = self._designed(reflected_point(self.asked, gate))[0]
        if found is None:
            return None
        return measured(self.asked, reflected(self.asked, found.unknowns))

    def _best(self, guess: Floats | None, gate: Point | None) -> Arrangement:
        if guess is not None:
            return self._blind(guess, False)[0]
        designed, short = self._designed(gate)
        lone = False
        if designed is None:
            designed, short = self._lone(gate)
            lone = designed is not None
        best = designed
        if designed is None or short > NEARLY_M:
            blind, bad = self._blind(None, designed is None or lone)
            if designed is None or (blind.fits and short >= bad + WORTH_M):
                best = blind
            short = bad if best is blind else short
        assert best is not None
        best = squared(self.solved, best, self.bad, NEARLY_M, self.few) if best.fits else best
        if (best.fits and short <= PUSHED_M) or lone or not self.few:
            return best
        return self._tighter(gate, best, short if best.fits else math.inf) or best

    def _lone(self, gate: Point | None) -> tuple[Arrangement | None, float]:
        from diagram.placing.ridden import lone_ridden

        return lone_ridden(self.solved, gate, self.bad)

    def _tighter(self, gate: Point | None, best: Arrangement, short: float) -> Arrangement | None:
        """With turns tighter than is wanted: a design that falls less `short` of all else, or
        else something near the `best` that there is."""
        tighter = tuple(_with_tighter_turns(self.solved))
        # The tightest are cautioned about themselves: they are no gain for a single caution.
        for problem in tighter[:1] if short <= OFF_THE_WALL_M else tighter:
            found, _ = replace(self, solved=problem)._designed(gate, short - MUCH_BETTER_M)
            if found is not None:
                return found
        # What is not near with the tightest turns is not with wider ones.
        if best.fits or not tighter or best.short_m > _most_gained(self.solved, tighter[-1]):
            return None
        tightest = nearest(tighter[-1], best.unknowns)
        if not tightest.fits:
            return None
        for problem in tighter[:-1]:
            held = nearest(problem, best.unknowns)
            if held.fits:
                return squared(problem, held, self.bad, NEARLY_M)
        return squared(tighter[-1], tightest, self.bad, NEARLY_M)

    def _blind(self, guess: Floats | None, alone: bool) -> tuple[Arrangement, float]:
        """What a search from anywhere finds, and how badly that rides."""
        # Where no design was found at all, another search has little to find, and less time.
        briefly = alone and all(isinstance(r, SEARCHED) for r in self.solved.relations)
        best, bad = self._judged(solve(self.solved, guess, briefly=briefly))
        for search in range(1, 1 if alone else SEARCHES):
            if not best.fits or bad == 0.0:
                break
            other, less = self._judged(solve(self.solved, guess, search))
            if other.fits and less < bad - MUCH_BETTER_M:
                best, bad = other, less
        return best, bad

    def _designed(
        self, gate: Point | None, under: float = math.inf
    ) -> tuple[Arrangement | None, float]:
        """The design that costs least, what it falls short of its limits when ridden counted in;
        and by how much that is, which is less than `under`."""
        from diagram.placing.ridden import best_ridden

        enough = PUSHED_M if self.few else BADLY_M
        return best_ridden(self.solved, gate, self.bad, under, enough, self.few)

    def _judged(self, some: list[Arrangement]) -> tuple[Arrangement, float]:
        """The first candidate that there is nothing against, or least; and how much that is.

        Those that fit are moved about for room first; only where all of those ride badly are they
        ridden as they were found.
        """
        fitting = [one for one in some if one.fits][:CANDIDATES]
        best, least = some[0], math.inf
        for tried in (moved_about(self.solved, fitting), fitting):
            for candidate in tried:
                bad = self.bad(candidate, least)
                if bad < least - MUCH_BETTER_M:
                    best, least = candidate, bad
                if bad == 0.0:
                    return candidate, 0.0
            if least <= BADLY_M:
                break
        return best, least
