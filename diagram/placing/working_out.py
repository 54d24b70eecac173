"""Working out places from relations: solved or remembered, judged, and the outcome named."""

from __future__ import annotations

import math

from diagram.diagnostics import Diagnostic, RejectedError, Severity
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Pose
from diagram.placing.arrange import Judge
from diagram.placing.changes import tried_changes
from diagram.placing.outcome import Layout, Outcome
from diagram.placing.posing import Setting, pose_problem
from diagram.placing.remembered import recall, remember
from diagram.placing.telling import freedom_of, residuals_of, shortages_of
from diagram.solver.conflict import smallest_conflict
from diagram.solver.descent import System
from diagram.solver.forced import forced
from diagram.solver.relations import Problem, Relation
from diagram.solver.solve import Arrangement, candidates, measured, nearest, solve
from diagram.solver.starts import starts

SEARCHES = 3
"""Searches at most, as long as what they find rides badly."""
MUCH_BETTER_M = 0.05
"""Metres by which an arrangement has to ride better than a roomier one to be taken for it."""


def work_out(
    setting: Setting, near: dict[str, Pose] | None, stay: bool, judge: Judge | None
) -> Layout:
    """Places for every body, as `arrange` says. Raises RejectedError."""
    problem, problems = pose_problem(setting)
    if problems:
        raise RejectedError(problems, _sources(setting))
    guess = _guess(problem, near)
    best = nearest(problem, guess) if stay and guess is not None else None
    if best is None or not best.fits:
        best = _solved(problem, guess, judge)
    if not best.holds:
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
        shortages_of(system, best.unknowns), tried_changes(setting, best.unknowns),
    )  # fmt: skip


def _solved(problem: Problem, guess: Floats | None, judge: Judge | None) -> Arrangement:
    """The roomiest arrangement found; a remembered one if the same was asked before."""
    known = recall(problem) if guess is None else None
    if known is not None:
        remembered = measured(problem, known)
        if remembered.fits:
            return remembered
    best, bad = _judged(problem, solve(problem, guess), judge)
    for search in range(1, SEARCHES):
        if not best.fits or bad == 0.0:
            break
        other, less = _judged(problem, solve(problem, guess, search), judge)
        if other.fits and less < bad - MUCH_BETTER_M:
            best, bad = other, less
    if best.fits and guess is None:
        remember(problem, best.unknowns)
    return best


def _judged(
    problem: Problem, found: list[Arrangement], judge: Judge | None
) -> tuple[Arrangement, float]:
    """The first candidate that the judge has nothing against, or has least against; and that."""
    best, least = found[0], math.inf
    for candidate in candidates(problem, found):
        poses = dict(zip(_names(problem), candidate.poses, strict=True))
        bad = judge(poses) if judge else 0.0
        if bad < least - MUCH_BETTER_M:
            best, least = candidate, bad
        if bad == 0.0:
            return candidate, 0.0
    return best, least


def _names(problem: Problem) -> list[str]:
    return [body.name for body in problem.bodies]


def _sources(setting: Setting) -> dict[str, str]:
    return {setting.document.name: setting.document.text}


def _guess(problem: Problem, near: dict[str, Pose] | None) -> Floats | None:
    if near is None:
        return None
    guess: Floats = starts(problem, 1)[0]
    for n, body in enumerate(problem.bodies):
        if body.name in near:
            pose = near[body.name]
            guess[3 * n : 3 * n + 3] = (pose.x, pose.y, pose.heading)
    return guess


def _contradiction(members: tuple[Relation, ...], setting: Setting) -> Diagnostic:
    document = setting.document
    spans = sorted(
        ((document.span_at(r.path), r.words) for r in members), key=lambda pair: pair[0].line
    )
    words = "; ".join(text for _, text in spans)
    return Diagnostic(
        "contradicts-itself",
        Severity.ERROR,
        f"these cannot all hold: {words}",
        spans[0][0],
        "change or delete any one of them",
        related=tuple(spans[1:]),
        facts=(("lines", tuple(span.line for span, _ in spans)),),
    )
