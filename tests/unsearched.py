"""Places without a search, for tests that ask what a file says and not where its fences stand."""

from __future__ import annotations

from diagram.solver.relations import Problem
from diagram.solver.solve import Arrangement, nearest
from diagram.solver.starts import starts


def unsearched(problem: Problem, *_: object) -> Arrangement:
    """What is next to the first guess, whatever room there is. To stand in for
    `diagram.placing.working_out.found`."""
    return nearest(problem, starts(problem, 1)[0])
