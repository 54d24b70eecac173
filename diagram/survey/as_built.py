"""As built: from measured tapes to where the fences stand, how the lines ride, what to move.

One frozen value, `AsBuilt`, that the report reads in all its forms.
"""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct

from diagram.diagnostics import Diagnostic
from diagram.geometry.pose import Pose, wrap
from diagram.planning import Plan, plan_of_places
from diagram.stakeout.points import as_first_jumped
from diagram.survey.adjustment import Ellipse, ellipse
from diagram.survey.blunders import Blunder
from diagram.survey.lines_now import LineNow, PlannedLine, Ruler, lines_of
from diagram.survey.measured import Measured
from diagram.survey.moves import Remedy, fewest_moves, new_findings
from diagram.survey.network import Tape
from diagram.survey.places import (
    Places,
    ends,
    feet_at,
    find_places,
    tapes_to_fence,
    tapes_to_line,
)

BARELY = 0.05
"""Redundancy number under which a tape is hardly checked by the others."""

CLOSE = 3.0
"""Standard errors within which a tape fits between other points."""

TELLING_M = 0.025
TELLING_RAD = math.radians(1)
"""An inch, and a degree: nobody moves a fence by less."""

TWO_SIDED = 1.96
"""Standard errors to either side that hold the truth in 95 of 100."""


class Options(Struct, frozen=True):
    """What the trainer may set.

    `tape_m` is the length of the longest tape, `within_m` how exactly a line is to be set, None
    for what is usual; `feet_free` lets the feet of a fence stand as they like.
    """

    tape_m: float
    within_m: float | None = None
    feet_free: bool = False


class FoundFence(Struct, frozen=True):
    """A fence as it stands.

    `ahead_m`, `left_m` and `turned` (radians, left positive) are how far it is off the plan, as
    seen when it is first jumped; `ellipse` and `turn_error` hold the truth with 95 % (the
    direction of the ellipse is that of the arena's frame), and `within` says whether the planned
    place lies in the ellipse. `found` is False where the tapes do
    not say; `more` are then the tapes that would. `tapes` were used; `checked` says that they
    check each other, `doubtful` that one of them may be wrong. `misfit_m` is how far the worst
    foot stands off the shape the fence should have, where feet are free.
    """

    fence: str
    pose: Pose
    found: bool
    ahead_m: float
    left_m: float
    turned: float
    ellipse: Ellipse
    turn_error: float
    tapes: int
    checked: bool
    doubtful: bool
    misfit_m: float
    within: bool
    more: tuple[tuple[str, str], ...]

    @property
    def distance_m(self) -> float:
        """Metres off the plan."""
        return math.hypot(self.ahead_m, self.left_m)

    @property
    def off(self) -> bool:
        """Off by more than the tapes leave open, and by enough to speak of."""
        return self.skewed or self.moved

    @property
    def moved(self) -> bool:
        """Off in its place."""
        return not self.within and self.distance_m > TELLING_M

    @property
    def skewed(self) -> bool:
        """Off in its angle."""
        return abs(self.turned) > max(self.turn_error, TELLING_RAD)

    @property
    def back_to_front(self) -> bool:
        """Turned about, or taped with its left and right mixed up."""
        return abs(self.turned) > math.pi / 2


class WrongTape(Struct, frozen=True):
    """A tape that does not agree with the others.

    `line` is its line in the file, `error_m` how much too long it reads, `fits` a pair of points
    between which it would be right, `or_else` tapes that may be wrong in its place. `against` is
    what it contradicts: other tapes, or the plan itself, where both its ends belong to one fence
    or to the arena.
    """

    tape: Tape
    line: int
    error_m: float
    against: Literal["tapes", "fence", "arena"]
    fits: tuple[str, str] | None
    or_else: tuple[Tape, ...]


class AsBuilt(Struct, frozen=True):
    """Everything that the tapes say.

    `remedy` are the fewest moves after which each line rides as planned, `exact` those after
    which each is set as exactly as asked; None when no moves were found, or none can be said.
    `sigma0` is the posterior standard deviation of unit weight. `built` is the plan with the
    fences as they stand.
    """

    plan: Plan
    measured: Measured
    options: Options
    fences: tuple[FoundFence, ...]
    wrong: tuple[WrongTape, ...]
    lines: tuple[LineNow, ...]
    remedy: Remedy | None
    exact: Remedy | None
    built: Plan
    more: dict[PlannedLine, tuple[tuple[str, str], ...]]
    findings: tuple[Diagnostic, ...]
    sigma0: float
    freedom: int
    unused: int

    @property
    def doubtful(self) -> bool:
        """Whether a tape has to be taken again before anything else is believed."""
        return any(wrong.or_else for wrong in self.wrong)

    @property
    def all_well(self) -> bool:
        """Whether the lines are known and ride as planned, and no tape is in doubt."""
        rides = self.remedy is not None and not self.remedy.moves
        known = all(now.known for now in self.lines) and all(f.found for f in self.fences)
        turned = any(fence.found and fence.back_to_front for fence in self.fences)
        return rides and known and not self.doubtful and not turned and not self.findings

    def standing(self, name: str) -> FoundFence:
        """A fence by name. Raises KeyError."""
        found = {fence.fence: fence for fence in self.fences}
        return found[name]


def as_built(plan: Plan, measured: Measured, options: Options) -> AsBuilt:
    """What was really built, from the tapes of `measured`."""
    places = find_places(plan, measured.tapes, options.feet_free)
    wrong = tuple(_wrong(b, plan, measured, places) for b in places.snooped.blunders)
    fences = tuple(
        _standing(fence.name, plan, measured, places, options, wrong) for fence in plan.fences
    )
    ruler = Ruler(plan)
    poses = {fence.name: _as_ridden(fence.pose, places.poses[fence.name]) for fence in plan.fences}
    lines = tuple(ruler.now(line, poses, places) for line in lines_of(plan, options.within_m))
    more = {
        now.line: tapes_to_line(
            places, ruler.gradients(now.line, poses, places)[:1], now.line.tolerance_m,
            now.line.ends, options.tape_m, measured.error_m,
        )
        for now in lines
        if not now.known
    }  # fmt: skip
    known = [now.line for now in lines if now.known]
    loose = frozenset(fence.fence for fence in fences if not fence.found)
    remedy = fewest_moves(plan, known, poses, loose, lambda now: now.rideable)
    exact = fewest_moves(plan, known, poses, loose, lambda now: now.as_asked)
    sure = {fence.fence: poses[fence.fence] for fence in fences if fence.found}
    built = plan_of_places(plan, sure, ruler.arcs(poses))
    adjustment = places.adjustment
    return AsBuilt(
        plan, measured, options, fences, wrong, lines, remedy, exact, built, more,
        new_findings(plan, built), adjustment.sigma0, adjustment.freedom,
        len(measured.tapes) - len(places.used),
    )  # fmt: skip


def _as_ridden(planned: Pose, found: Pose) -> Pose:
    """A pose that is turned about is ridden the way that the plan says all the same."""
    about = abs(wrap(found.heading - planned.heading)) > math.pi / 2
    return found.reversed() if about else found


def _standing(
    name: str,
    plan: Plan,
    measured: Measured,
    places: Places,
    options: Options,
    wrong: tuple[WrongTape, ...],
) -> FoundFence:
    adjustment, fence_of = places.adjustment, places.marks.fence
    planned, pose = plan.fence(name).pose, places.poses[name]
    variance, freedom = adjustment.variance
    covariance = places.covariance(name)
    area = ellipse(covariance[:2, :2], variance, freedom)
    turn = math.sqrt(variance * float(covariance[2, 2]))
    off = Pose(pose.x, pose.y, 0.0).seen_from(as_first_jumped(plan, plan.fence(name)))
    found = places.determined(name)
    own = [
        n
        for n, kept in enumerate(places.snooped.kept)
        if any(fence_of.get(p) == name for p in ends(places.used[kept]))
    ]
    suspects = [t for w in wrong if w.or_else for t in (w.tape, *w.or_else)]
    return FoundFence(
        fence=name,
        pose=pose,
        found=found,
        ahead_m=off.x,
        left_m=off.y,
        turned=wrap(pose.heading - planned.heading),
        ellipse=area,
        turn_error=TWO_SIDED * turn,
        tapes=len(own),
        checked=bool(own) and all(adjustment.redundancy[n] > BARELY for n in own),
        doubtful=any(fence_of.get(p) == name for t in suspects for p in ends(t)),
        misfit_m=places.misfit_m[name],
        within=area.holds(planned.x - pose.x, planned.y - pose.y),
        more=() if found else tapes_to_fence(plan, places, name, options.tape_m, measured.error_m),
    )


def _wrong(blunder: Blunder, plan: Plan, measured: Measured, places: Places) -> WrongTape:
    tape = places.used[blunder.number]
    first, second = (places.marks.fence.get(point) for point in ends(tape))
    against: Literal["tapes", "fence", "arena"] = "tapes"
    if first == second:
        against = "arena" if first is None else "fence"
    return WrongTape(
        tape,
        measured.lines[measured.tapes.index(tape)],
        blunder.error_m,
        against,
        _fits(tape, plan, places),
        tuple(places.used[n] for n in blunder.or_else),
    )


def _fits(tape: Tape, plan: Plan, places: Places) -> tuple[str, str] | None:
    """Points between which a tape would be right: held to another foot, or another corner."""
    at = {**places.network.known, **feet_at(plan, places.poses)}
    fence_of = places.marks.fence
    best, least = None, CLOSE * tape.sigma_m
    for first, second in (ends(tape), ends(tape)[::-1]):
        for other in at:
            same = fence_of.get(other) == fence_of.get(first)
            if other in ends(tape) or not same or second not in at:
                continue
            misfit = abs(math.dist(at[other], at[second]) - tape.metres)
            if misfit < least:
                pair = (other, second) if first == tape.first else (second, other)
                best, least = pair, misfit
    return best
