"""What there is to tell of an arrangement: what is off, what is free, and what falls short."""

from __future__ import annotations

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.outcome import Residual, Shortage
from diagram.solver.descent import System, equations
from diagram.solver.relations import Path, Problem
from diagram.solver.rows import LEVER_M
from diagram.solver.solve import KEPT_M


def residuals_of(system: System, unknowns: Floats) -> tuple[Residual, ...]:
    """One for every relation that has an equation, in the order of the file."""
    off: dict[int, tuple[float, float]] = {}
    for rows in system.blocks(unknowns[None], with_room=False):
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
    problem = system.problem
    return tuple(
        Residual(problem.relations[n].words, problem.relations[n].path, *off[n])
        for n in sorted(off)
    )


def freedom_of(system: System, unknowns: Floats) -> int:
    """In how many independent ways the bodies could still be moved: 3 a body, less the rank."""
    slope = equations(system, unknowns[None])[1][0]
    places = 3 * len(system.problem.bodies)
    if not len(slope):
        return places
    _, sizes, rows = np.linalg.svd(slope, full_matrices=True)
    null = rows[(np.concatenate([sizes, np.zeros(len(rows) - len(sizes))]) < 1e-7)]
    # The radius of a bend may change while its fences stay: only what moves bodies counts.
    return int(np.linalg.matrix_rank(null[:, :places], tol=1e-6)) if len(null) else 0


def shortages_of(system: System, unknowns: Floats) -> tuple[Shortage, ...]:
    """Limits that are not kept, worst first."""
    out = []
    for rows in system.blocks(unknowns[None]):
        if rows.sort != "limit":
            continue
        for i, about in enumerate(rows.about):
            short = -float(rows.value[0, i])
            if short > KEPT_M:
                out.append(_shortage(system.problem, rows.what, about, short))
    worst: dict[str, Shortage] = {}
    for shortage in sorted(out, key=lambda s: -s.short_m):
        worst.setdefault(shortage.words, shortage)
    return tuple(worst.values())


_SHORT = {
    "hand": "does not bend to the hand it should",
    "too far round": "turns too far for one bend",
    "radius": "is tighter than these horses should go, by so much radius",
    "straight after": "has too little straight after the first fence",
    "straight before": "has too little straight before the second fence",
    "too near": "is too short",
    "too short": "is too short",
    "too long": "is too long",
    "turn away first": "has to swing out to the other hand first",
    "turn away last": "has to swing out to the other hand at the end",
}


def _standing(problem: Problem) -> str:
    return "another fence or a post" if problem.posts else "another fence"


def _shortage(problem: Problem, what: str, about: tuple[int, ...], short: float) -> Shortage:
    names = [(fence.name, body) for body in problem.bodies for fence, _ in body.parts]

    def of_fence(number: int) -> Path:
        return ("fences", names[number][1].name)

    if what == "fence to rail":
        words = f"{names[about[0]][0]} stands too near the rail"
        return Shortage(words, of_fence(about[0]), short)
    if what == "fence to fence":
        if about[0] >= len(names):
            return Shortage(
                f"{names[about[1]][0]} stands too near a post", of_fence(about[1]), short
            )
        words = f"{names[about[0]][0]} and {names[about[1]][0]} stand too near each other"
        return Shortage(words, of_fence(about[0]), short)
    if what in ("way to rail", "way to fence"):
        is_open, number = about[:2]
        way = problem.opens[number] if is_open else problem.relations[number]
        near = "the rail" if what == "way to rail" else _standing(problem)
        return Shortage(f"{way.words} runs too near {near}", way.path, short)
    relation = problem.relations[about[0]]
    return Shortage(f"{relation.words} {_SHORT[what]}", relation.path, short, what == "radius")
