"""Working out places from relations: found, or told why not, and the outcome named."""

from __future__ import annotations

from msgspec.structs import replace

from diagram.diagnostics import Diagnostic, RejectedError, Severity
from diagram.exercise.course import ElementLesson, Jump, Link
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point, Pose
from diagram.placing.arrange import Judge
from diagram.placing.finding import found
from diagram.placing.outcome import Layout, Outcome
from diagram.placing.posing import PosedExercise, pose_problem
from diagram.placing.telling import freedom_of, residuals_of, shortages_of
from diagram.solver.descent import System
from diagram.solver.relations import Bending, Problem, Relation
from diagram.solver.solve import nearest


def work_out(
    setting: PosedExercise, near: dict[str, Pose] | None, stay: bool, judge: Judge | None
) -> Layout:
    """Places for every body, as `arrange` says. Raises RejectedError."""
    problem, problems = pose_problem(setting)
    if problems:
        raise RejectedError(problems, _sources(setting))
    guess = _guess(problem, near)
    best = nearest(problem, guess) if stay and guess is not None else None
    if best is None or not best.fits:
        best = found(problem, guess, _gate(setting), judge, _asked(setting, judge))
    if not best.holds:
        from diagram.solver.conflict import smallest_conflict
        from diagram.solver.forced import forced

        members = smallest_conflict(problem)
        if members:
            raise RejectedError([_contradiction(members, setting)], _sources(setting))
        best = min([best, *forced(problem)[:1]], key=lambda a: not a.holds)
    poses = {
        body.name: best.poses[n] for n, body in enumerate(problem.bodies)
    } | setting.pinned.poses
    system = System.of(problem)
    residuals = residuals_of(system, best.unknowns)
    freedom = freedom_of(system, best.unknowns)
    if best.fits:
        outcome: Outcome = "placed, with room to choose" if freedom else "placed"
        return Layout(outcome, poses, residuals, freedom, best.crowding)
    return Layout(
        "does not fit this arena", poses, residuals, freedom, best.crowding,
        shortages_of(system, best.unknowns),
    )  # fmt: skip


def _asked(setting: PosedExercise, judge: Judge | None) -> str:
    """What the rides say that decides how an arrangement is judged; no words of a lesson do."""
    rides = () if judge is None else setting.rides
    said = [
        (ride.course.start, ride.course.finish, ride.terms.horses, ride.limits, _ways(ride))
        for ride in rides
    ]
    return repr((_gate(setting), said))


def _ways(ride: PosedExercise) -> list[object]:
    """Every way without its lesson."""
    return [
        (_silent_way(leg.link), leg.gait, leg.target_m, leg.begin, leg.end) for leg in ride.legs
    ]


def _silent_way(link: Link) -> Link:
    first, second = _silent(link.first), _silent(link.second)
    return replace(link, first=first, second=second, lesson=ElementLesson())


def _silent(jump: Jump | None) -> Jump | None:
    return replace(jump, lesson=ElementLesson(), judged=ElementLesson()) if jump else None


def _gate(setting: PosedExercise) -> Point | None:
    return setting.arena.gate.middle if setting.arena.gate else None


def _sources(setting: PosedExercise) -> dict[str, str]:
    return {setting.document.name: setting.document.text}


def _guess(problem: Problem, near: dict[str, Pose] | None) -> Floats | None:
    if near is None:
        return None
    from diagram.solver.starts import starts

    guess: Floats = starts(problem, 1)[0]
    for n, body in enumerate(problem.bodies):
        if body.name in near:
            pose = near[body.name]
            guess[3 * n : 3 * n + 3] = (pose.x, pose.y, pose.heading)
    return guess


def _contradiction(members: tuple[Relation, ...], setting: PosedExercise) -> Diagnostic:
    document = setting.document
    spans = sorted(
        ((document.span_at(r.path), r.words) for r in members), key=lambda pair: pair[0].line
    )
    words = "; ".join(text for _, text in spans)
    hint = "change or delete any one of them"
    if all(isinstance(r, Bending) for r in members) and len({r.path[:2] for r in members}) == 1:
        # Both are said of one bend: its angle leaves no room for a second count.
        hint = "say one count, or leave the angle out: only a wider turn is ridden in two counts"
    return Diagnostic(
        "contradicts-itself",
        Severity.ERROR,
        f"these cannot all hold: {words}",
        spans[0][0],
        hint,
        related=tuple(spans[1:]),
        facts=(("lines", tuple(span.line for span, _ in spans)),),
    )
