"""Fences moved by hand: they go there, and the rest follows as little as it may."""

from __future__ import annotations

from msgspec.structs import replace

from diagram.diagnostics import Diagnostic, RejectedError, Severity, near
from diagram.placing.outcome import Layout
from diagram.placing.posing import PosedExercise, pose_problem


def moved(setting: PosedExercise, layout: Layout) -> Layout:
    """The layout with its fences moved as the file says. Raises RejectedError.

    Lines and bends stay exactly as long as they are to be; of all arrangements in which the moved
    fences stand where they were moved to, the one next to the old is taken.
    """
    from diagram.placing.telling import freedom_of, residuals_of, shortages_of
    from diagram.solver.descent import System
    from diagram.solver.relations import PlaceIs
    from diagram.solver.solve import nearest
    from diagram.solver.starts import assembled

    problem, problems = pose_problem(setting)
    problems += _unknown(setting)
    if problems:
        raise RejectedError(problems, {setting.document.name: setting.document.text})
    number = {body.name: n for n, body in enumerate(problem.bodies)}
    poses = dict(layout.poses)
    places = []
    for index, said in enumerate(setting.definition.move):
        poses[said.fence] = poses[said.fence].ahead(said.ahead_m, said.left_m)
        words = f"{said.fence} stands where it was moved to"
        places.append(PlaceIs(number[said.fence], poses[said.fence].point, ("move", index), words))
    bodies = {place.body for place in places}
    kept = [r for r in problem.relations if not (isinstance(r, PlaceIs) and r.body in bodies)]
    held = replace(problem, relations=(*kept, *places))
    import numpy as np

    rows = {number[n]: np.array([[p.x, p.y, p.heading]]) for n, p in poses.items()}
    found = nearest(held, assembled(held, rows)[0])
    if not found.holds:
        span = setting.document.span_at(("move",))
        message = "the fences cannot be moved so: their lines would not hold"
        hint = "move them less, or along their line; or move the whole line"
        problem_found = Diagnostic("move", Severity.ERROR, message, span, hint)
        raise RejectedError([problem_found], {setting.document.name: setting.document.text})
    system = System.of(held)
    return Layout(
        layout.outcome if found.fits else "does not fit this arena",
        dict(zip((body.name for body in held.bodies), found.poses, strict=True)),
        residuals_of(system, found.unknowns), freedom_of(system, found.unknowns), found.crowding,
        () if found.fits else shortages_of(system, found.unknowns),
    )  # fmt: skip


def _unknown(setting: PosedExercise) -> list[Diagnostic]:
    names = [body.name for body in setting.pinned.bodies]
    out = []
    for index, said in enumerate(setting.definition.move):
        if said.fence not in names:
            span = setting.document.span_of(("move", index), said.fence)
            message = f'no fence is called "{said.fence}"'
            out.append(Diagnostic("move", Severity.ERROR, message, span, near(said.fence, names)))
    return out
