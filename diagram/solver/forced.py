"""Arrangements in which every relation holds, whatever room that takes.

Where an exercise does not fit, a search that weighs relations against room may end between the
two. These begin where the relations hold and give way in room alone.
"""

from __future__ import annotations

from diagram.geometry.curve import Floats
from diagram.solver.conflict import holding
from diagram.solver.descent import System
from diagram.solver.relations import Bending, Problem, posed_by
from diagram.solver.solve import Arrangement, strict_arrangements
from diagram.solver.starts import assembled
from diagram.solver.ways import extra_columns

FORCED = 4
"""Arrangements that are walked downhill in search of room."""


def forced(problem: Problem) -> list[Arrangement]:
    """Arrangements that hold every relation, best first; none where the relations contradict."""
    held = holding(problem)[:FORCED]
    return strict_arrangements(System.of(problem), _completed(problem, held)) if len(held) else []


def _completed(problem: Problem, held: Floats) -> Floats:
    """Unknowns (S, n) of the whole problem, with the places and radii of `held`."""
    bodies = len(problem.bodies)
    out = assembled(problem, {n: held[:, 3 * n : 3 * n + 3] for n in range(bodies)})
    columns = extra_columns(problem)
    bends = [
        columns[n] for n, r in enumerate(problem.relations)
        if isinstance(r, Bending) and posed_by(r)
    ]  # fmt: skip
    out[:, bends] = held[:, 3 * bodies :]
    return out
