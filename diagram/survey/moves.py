"""The fewest fences to move so that every line is right again.

Sets of fences are tried by size, none first. A set can only do if each line that is wrong ends
at one of its fences. The fences of a set are put where the plan has them, or, where that does
not do because their neighbours stand a little off, where the lines to the neighbours come out
best; then every line is measured anew. The first size at which some set does is the fewest.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import combinations, islice

import numpy as np
from msgspec import Struct

from diagram.checks import check
from diagram.diagnostics import Diagnostic, Severity
from diagram.geometry.pose import Pose, wrap
from diagram.planning import Plan, plan_of_places
from diagram.survey.adjustment import Array, adjust
from diagram.survey.lines_now import NUDGE_M, LineNow, PlannedLine, Ruler
from diagram.survey.network import ARM_M

MOST_TRIED = 3000
"""Sets of fences that are tried before the search gives up. Twelve fences have 4,095."""

HALF_POLE_M = 1.8
"""Metres from the middle of a usual pole to its end."""

TOWARDS_PLAN = 0.05
"""How much less a metre off the plan weighs than a metre off in a line to a neighbour."""

Good = Callable[[LineNow], bool]


class Move(Struct, frozen=True):
    """A fence to be moved, from one pose to another."""

    fence: str
    start: Pose
    end: Pose

    @property
    def metres(self) -> float:
        """How far its middle moves, and its turn as metres at the end of half a pole."""
        turn = abs(wrap(self.end.heading - self.start.heading)) * HALF_POLE_M
        return math.hypot(self.start.distance(self.end.point), turn)


class Remedy(Struct, frozen=True):
    """Moves that bring all known lines right, and the lines as they are then.

    `to_plan` says that the fences go where the plan has them. `instead` are other sets of as few
    fences that would do.
    """

    moves: tuple[Move, ...]
    lines: tuple[LineNow, ...]
    to_plan: bool
    instead: tuple[tuple[str, ...], ...] = ()


def fewest_moves(
    plan: Plan,
    lines: Sequence[PlannedLine],
    poses: Mapping[str, Pose],
    fixed: frozenset[str],
    good: Good,
) -> Remedy | None:
    """The fewest moves after which every one of `lines` is `good`.

    `poses` is where the fences stand; those in `fixed` have no known place of their own, so that
    they can be moved only in relation to others. None when no set was found.
    """
    ruler = Ruler(plan)
    standing = tuple(ruler.now(line, poses) for line in lines)
    wrong = [now.line for now in standing if not good(now)]
    if not wrong:
        return Remedy((), standing, True)
    names = [name for name in poses if any(name in line.ends for line in lines)]
    search, tried = _Search(ruler, standing, poses, good), 0
    for size in range(1, len(names) + 1):
        sets = list(islice(_covering(names, size, wrong), MOST_TRIED - tried))
        tried += len(sets)
        tries = [search.to_plan(some) for some in sets if not fixed & set(some)]
        tries += [search.to_neighbours(some) for some in sets]
        found = _first_of_each(tries)
        found.sort(key=lambda r: _ease(r, names))
        stopped = _stops(plan)
        for n, best in enumerate(found):
            after = dict(poses) | {move.fence: move.end for move in best.moves}
            if _stops(check(plan_of_places(plan, after))) <= stopped:
                others = tuple(tuple(m.fence for m in r.moves) for r in found[n + 1 :])
                return Remedy(best.moves, best.lines, best.to_plan, others)
    return None


def _ease(remedy: Remedy, names: Sequence[str]) -> tuple[bool, float, list[int]]:
    """To the plan before elsewhere, near before far, later fences of a line before its first."""
    metres = round(sum(move.metres for move in remedy.moves), 2)
    return not remedy.to_plan, metres, [-names.index(move.fence) for move in remedy.moves]


def _covering(
    names: Sequence[str], size: int, wrong: Sequence[PlannedLine]
) -> Iterator[tuple[str, ...]]:
    """Sets of fences with one at least at each line that is wrong."""
    for some in combinations(names, size):
        if all(set(line.ends) & set(some) for line in wrong):
            yield some


def _stops(plan: Plan) -> set[tuple[str, object]]:
    """What must not be ridden, by rule and place."""
    return {(f.rule, f.span) for f in plan.findings if f.severity is Severity.STOP}


def _first_of_each(found: Iterable[Remedy | None]) -> list[Remedy]:
    """The remedies there are, only the first with each set of fences."""
    out: dict[tuple[str, ...], Remedy] = {}
    for remedy in found:
        if remedy is not None:
            out.setdefault(tuple(move.fence for move in remedy.moves), remedy)
    return list(out.values())


class _Search:
    """Tries sets of fences against the lines as they stand.

    Fences of a set that share no line are put up each by itself, so that what was found out
    about a group of neighbours holds in every set that it is part of.
    """

    def __init__(
        self,
        ruler: Ruler,
        standing: tuple[LineNow, ...],
        poses: Mapping[str, Pose],
        good: Good,
    ) -> None:
        self.ruler, self.standing, self.poses, self.good = ruler, standing, poses, good
        self.groups: dict[tuple[tuple[str, ...], bool], dict[str, Pose] | None] = {}

    def to_plan(self, some: tuple[str, ...]) -> Remedy | None:
        """These fences where the plan has them, if that puts every line right."""
        return self._tried(some, to_plan=True)

    def to_neighbours(self, some: tuple[str, ...]) -> Remedy | None:
        """These fences where they stand best towards their neighbours, if that does."""
        return self._tried(some, to_plan=False)

    def _tried(self, some: tuple[str, ...], to_plan: bool) -> Remedy | None:
        ends: dict[str, Pose] = {}
        for group in self._neighbours(some):
            found = self._group(group, to_plan)
            if found is None:
                return None
            ends |= found
        after = {**self.poses, **ends}
        lines = tuple(
            self.ruler.now(now.line, after) if set(now.line.ends) & set(some) else now
            for now in self.standing
        )
        moves = tuple(Move(name, self.poses[name], ends[name]) for name in some)
        return Remedy(moves, lines, to_plan) if all(map(self.good, lines)) else None

    def _neighbours(self, some: tuple[str, ...]) -> list[tuple[str, ...]]:
        """`some` in groups that lines join."""
        groups: list[set[str]] = []
        for name in some:
            joined = {name}
            for now in self.standing:
                if name in now.line.ends:
                    joined |= set(now.line.ends) & set(some)
            touching = [group for group in groups if group & joined]
            groups = [group for group in groups if not group & joined]
            groups.append(joined.union(*touching))
        return [tuple(name for name in some if name in group) for group in groups]

    def _group(self, group: tuple[str, ...], to_plan: bool) -> dict[str, Pose] | None:
        """Where the fences of a group are put, or None if their lines are wrong even then."""
        key = (group, to_plan)
        if key not in self.groups:
            planned = {name: self.ruler.placed[name].pose for name in group}
            ends = planned if to_plan else self._fitted(group)
            after = {**self.poses, **ends}
            own = [now.line for now in self.standing if set(now.line.ends) & set(group)]
            right = all(self.good(self.ruler.now(line, after)) for line in own)
            self.groups[key] = ends if right else None
        return self.groups[key]

    def _fitted(self, some: tuple[str, ...]) -> dict[str, Pose]:
        """Least squares over the lines of these fences, lengths and angles by their tolerance."""
        own = [now.line for now in self.standing if set(now.line.ends) & set(some)]
        planned = [self.ruler.placed[name].pose for name in some]

        def places(x: Array) -> dict[str, Pose]:
            return {
                name: Pose(x[3 * n], x[3 * n + 1], x[3 * n + 2] / ARM_M)
                for n, name in enumerate(some)
            }

        def off(x: Array) -> Array:
            now = {**self.poses, **places(x)}
            out: list[float] = []
            for line in own:
                length, *skew = self.ruler.measure(line, now)
                out.append((length - line.planned_m) / line.tolerance_m)
                out += [turn * line.half_m / line.tolerance_m for turn in skew]
            for n, pose in enumerate(planned):
                dx, dy = x[3 * n] - pose.x, x[3 * n + 1] - pose.y
                turn = wrap(x[3 * n + 2] / ARM_M - pose.heading) * ARM_M
                out += [TOWARDS_PLAN * value for value in (dx, dy, turn)]
            return np.array(out)

        def model(x: Array) -> tuple[Array, Array]:
            steps = np.eye(len(x)) * NUDGE_M
            slopes = [(off(x + step) - off(x - step)) / (2 * NUDGE_M) for step in steps]
            return off(x), np.array(slopes).T

        start = np.array([v for p in planned for v in (p.x, p.y, p.heading * ARM_M)])
        values = off(start)
        found = adjust(model, np.zeros(len(values)), np.ones(len(values)), start)
        return places(found.x)


LEFT_TO_LINES = ("line-not-straight", "distance-off", "too-little-straight")
"""Rules that a line set to the centimetre keeps and one set by a crew does not."""

BEYOND = 0.05
"""By this share a limit must be passed that the plan itself just keeps."""


def new_findings(plan: Plan, built: Plan) -> tuple[Diagnostic, ...]:
    """What the checks say of the fences as they stand and did not say of the plan.

    How the lines ride is judged by `LineNow`, with tolerances that a crew can hold.
    """
    known = {(f.rule, f.span) for f in plan.findings}
    straight = {plan.document.span_at(leg.path).line for leg in plan.legs if leg.shape == "line"}
    return tuple(
        f
        for f in check(built).findings
        if (f.rule, f.span) not in known
        and f.rule not in LEFT_TO_LINES
        and not (f.rule == "turn-too-tight" and f.span and f.span.line in straight)
        and _matters(f)
    )


def _matters(finding: Diagnostic) -> bool:
    facts = dict(finding.facts)
    if finding.severity is not Severity.CAUTION or not {"figure", "limit"} <= set(facts):
        return finding.severity in (Severity.STOP, Severity.CAUTION)
    return bool(abs(facts["figure"] - facts["limit"]) > BEYOND * abs(facts["limit"]))
