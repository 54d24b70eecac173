"""Where the fences of an exercise stand: as pinned, or worked out, with the outcome named."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from diagram.diagnostics import Diagnostic, RejectedError, Severity
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Pose
from diagram.layout.changes import Change, tried_changes
from diagram.layout.conflict import smallest_conflict
from diagram.layout.descent import System, equations
from diagram.layout.forced import forced
from diagram.layout.posing import Setting, pose_problem
from diagram.layout.relations import Path, Problem, Relation
from diagram.layout.remembered import recall, remember
from diagram.layout.rows import LEVER_M
from diagram.layout.solve import KEPT_M, Arrangement, measured, nearest, roomier, solve

Outcome = Literal[
    "placed as pinned", "placed", "placed, with room to choose", "does not fit this arena"
]


@dataclass(frozen=True, slots=True)
class Residual:
    """What a relation is off by: metres in place, radians in heading."""

    words: str
    path: Path
    off_m: float
    off_rad: float


@dataclass(frozen=True, slots=True)
class Shortage:
    """A limit that is not kept, and by how many metres."""

    words: str
    path: Path
    short_m: float


@dataclass(frozen=True, slots=True)
class Layout:
    """How the places came about.

    `freedom` counts what is left to choose (a sideways shift, a turn of the whole, ...);
    `crowding` is what the roomiest arrangement makes smallest. `shortages` are there when it
    does not fit, worst first, and `changes` are what would help, best first.
    """

    outcome: Outcome
    poses: dict[str, Pose]
    residuals: tuple[Residual, ...] = ()
    freedom: int = 0
    crowding: float = 0.0
    shortages: tuple[Shortage, ...] = ()
    changes: tuple[Change, ...] = ()


Judge = Callable[[dict[str, Pose]], float]
"""Says how badly bodies at these poses ride, in metres; 0 if as well as was reckoned."""


MUCH_BETTER_M = 0.05
"""Metres by which an arrangement has to ride better than a roomier one to be taken for it."""


def arrange(
    setting: Setting,
    near: dict[str, Pose] | None = None,
    stay: bool = False,
    judge: Judge | None = None,
) -> Layout:
    """Places for every body. Raises RejectedError when the file contradicts itself.

    `near` are poses to begin from, besides the usual guesses. To `stay`, nothing moves from there
    further than the relations and limits make it, if they can be kept at all that way. Of the
    arrangements that fit, the roomiest that the `judge` has nothing against is taken.
    """
    problem, problems = pose_problem(setting)
    if problems:
        raise RejectedError(problems, _sources(setting))
    pinned = setting.pinned.poses
    if len(pinned) == len(problem.bodies) and not setting.definition.arrange:
        return Layout("placed as pinned", dict(pinned))
    guess = _guess(problem, near)
    best = nearest(problem, guess) if stay and guess is not None else None
    if best is None or not best.fits:
        best = _solved(problem, guess, judge)
    if not best.holds:
        members = smallest_conflict(problem)
        if members:
            raise RejectedError([_contradiction(members, setting)], _sources(setting))
        best = min([best, *forced(problem)[:1]], key=lambda a: not a.holds)
    poses = {body.name: best.poses[n] for n, body in enumerate(problem.bodies)} | pinned
    residuals = _residuals(problem, best)
    freedom = _freedom(problem, best)
    if best.fits:
        outcome: Outcome = "placed, with room to choose" if freedom else "placed"
        return Layout(outcome, poses, residuals, freedom, best.crowding)
    return Layout(
        "does not fit this arena", poses, residuals, freedom, best.crowding,
        shortages_of(problem, best.unknowns), tried_changes(setting, best.unknowns),
    )  # fmt: skip


def _solved(problem: Problem, guess: Floats | None, judge: Judge | None) -> Arrangement:
    """The roomiest arrangement found; a remembered one if the same was asked before."""
    known = recall(problem) if guess is None else None
    if known is not None:
        remembered = measured(problem, known)
        if remembered.fits:
            return remembered
    best = _judged(problem, solve(problem, guess), judge)
    if best.fits and guess is None:
        remember(problem, best.unknowns)
    return best


def _judged(problem: Problem, found: list[Arrangement], judge: Judge | None) -> Arrangement:
    """The first that fits and that the judge has nothing against, or has least against.

    Each is judged at its roomiest, and if that rides badly, as it was found.
    """
    best: tuple[float, Arrangement] | None = None
    for arrangement in found:
        if not arrangement.fits:
            break
        for candidate in (roomier(problem, arrangement), arrangement):
            poses = dict(zip(_names(problem), candidate.poses, strict=True))
            bad = judge(poses) if judge else 0.0
            if best is None or bad < best[0] - MUCH_BETTER_M:
                best = bad, candidate
            if bad == 0.0:
                return candidate
    return best[1] if best else found[0]


def _names(problem: Problem) -> list[str]:
    return [body.name for body in problem.bodies]


def _sources(setting: Setting) -> dict[str, str]:
    return {setting.document.name: setting.document.text}


def _guess(problem: Problem, near: dict[str, Pose] | None) -> Floats | None:
    if near is None:
        return None
    from diagram.layout.starts import starts

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


def _residuals(problem: Problem, best: Arrangement) -> tuple[Residual, ...]:
    """One for every relation that has an equation, in the order of the file."""
    off: dict[int, tuple[float, float]] = {}
    for rows in System.of(problem).blocks(best.unknowns[None], with_room=False):
        if rows.sort != "must":
            continue
        for i, about in enumerate(rows.about):
            metres, angle = off.get(about[0], (0.0, 0.0))
            value = abs(float(rows.value[0, i]))
            if rows.what in ("heading", "turn"):
                angle = max(angle, value / LEVER_M)
            else:
                metres = max(metres, value)
            off[about[0]] = metres, angle
    return tuple(
        Residual(problem.relations[n].words, problem.relations[n].path, *off[n])
        for n in sorted(off)
    )


def _freedom(problem: Problem, best: Arrangement) -> int:
    """In how many independent ways the bodies could still be moved: 3 a body, less the rank."""
    _, slope = equations(System.of(problem), best.unknowns)
    places = 3 * len(problem.bodies)
    if not len(slope):
        return places
    _, sizes, rows = np.linalg.svd(slope, full_matrices=True)
    null = rows[(np.concatenate([sizes, np.zeros(len(rows) - len(sizes))]) < 1e-7)]
    # The radius of a bend may change while its fences stay: only what moves bodies counts.
    return int(np.linalg.matrix_rank(null[:, :places], tol=1e-6)) if len(null) else 0


def shortages_of(problem: Problem, unknowns: Floats) -> tuple[Shortage, ...]:
    """Limits that are not kept, worst first."""
    out = []
    for rows in System.of(problem).blocks(unknowns[None]):
        if rows.sort != "limit":
            continue
        for i, about in enumerate(rows.about):
            short = -float(rows.value[0, i])
            if short > KEPT_M:
                out.append(_shortage(problem, rows.what, about, short))
    worst: dict[str, Shortage] = {}
    for shortage in sorted(out, key=lambda s: -s.short_m):
        worst.setdefault(shortage.words, shortage)
    return tuple(worst.values())


_SHORT = {
    "hand": "does not bend to the hand it should",
    "too far round": "turns too far for one bend",
    "radius": "is tighter than these horses should go, by so much radius",
    "straight after": "is too little straight after the first fence",
    "straight before": "is too little straight before the second fence",
    "too near": "is too short",
    "too short": "is too short",
    "too long": "is too long",
    "turn away first": "has to swing out to the other hand first",
    "turn away last": "has to swing out to the other hand at the end",
}


def _shortage(problem: Problem, what: str, about: tuple[int, ...], short: float) -> Shortage:
    names = [(fence.name, body) for body in problem.bodies for fence, _ in body.parts]

    def of_fence(number: int) -> Path:
        return ("fences", names[number][1].name)

    if what == "fence to rail":
        words = f"{names[about[0]][0]} stands too near the rail"
        return Shortage(words, of_fence(about[0]), short)
    if what == "fence to fence":
        words = f"{names[about[0]][0]} and {names[about[1]][0]} stand too near each other"
        return Shortage(words, of_fence(about[0]), short)
    if what in ("way to rail", "way to fence"):
        is_open, number = about[:2]
        way = problem.opens[number] if is_open else problem.relations[number]
        near = "the rail" if what == "way to rail" else "another fence"
        return Shortage(f"{way.words} runs too near {near}", way.path, short)
    relation = problem.relations[about[0]]
    return Shortage(f"{relation.words} {_SHORT[what]}", relation.path, short)
