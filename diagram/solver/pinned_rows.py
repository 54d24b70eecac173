"""Equations of places, headings and what lies parallel, square, mirrored or equally far."""

from __future__ import annotations

from diagram.solver.constraints import constraints
from diagram.solver.relations import Problem
from diagram.solver.rows import RowBlock, Trials


def pinned_rows(problem: Problem, trials: Trials) -> list[RowBlock]:
    """Blocks of every relation that is no way from fence to fence."""
    out: list[RowBlock] = []
    for kind, rows in constraints().items():
        some = [(n, r) for n, r in enumerate(problem.relations) if isinstance(r, kind)]
        if some:
            out += rows(some, trials)
    return out
