"""Which lines of a file cannot hold together: the smallest set, found by solving.

A set of relations holds if some arrangement satisfies all of them, wherever the rails are and
however tight the turns. From a set that does not hold, one relation after another is left out;
it stays out if the rest still does not hold. What remains is a smallest conflict: without any
one of its members it would hold (deletion filter: Chinneck and Dravnieks, Locating minimal
infeasible constraint sets in linear programs, ORSA Journal on Computing 3, 1991).
"""

from __future__ import annotations

import numpy as np
from msgspec.structs import replace

from diagram.geometry.curve import Floats
from diagram.solver.descent import System, Weights, settle, tabled
from diagram.solver.relations import Bending, Problem, Relation, posed_by
from diagram.solver.solve import HOLDS_M
from diagram.solver.starts import starts

GUESSES = 32
STEPS = 40
SHAPE = Weights(10.0, 10.0, 0.0)


def holds(problem: Problem) -> bool:
    """Whether every relation can hold at once, room and tightness left out of account."""
    return not problem.relations or len(holding(problem)) > 0


def holding(problem: Problem) -> Floats:
    """Arrangements (S, n) at which every relation holds, room and tightness left out of account.

    There are none where the relations contradict each other.
    """
    loose = _loosened(problem)
    system = System.of(loose)
    guesses = starts(loose, GUESSES, with_room=False)
    if not loose.relations:
        return guesses
    settled = settle(system, guesses, SHAPE, STEPS, with_room=False)
    table = tabled(system.blocks(settled.unknowns, with_room=False, sloped=False))
    off = np.abs(table.value[:, table.must]).max(axis=1, initial=0.0)
    short = -table.value[:, table.limit].min(axis=1, initial=0.0)
    held: Floats = settled.unknowns[np.maximum(off, short) < HOLDS_M]
    return held


def smallest_conflict(problem: Problem) -> tuple[Relation, ...]:
    """Relations that cannot hold together, none of which can be spared; none if all hold."""
    kept = [relation for relation in problem.relations if posed_by(relation)]
    if holds(_only(problem, kept)):
        return ()
    for relation in list(kept):
        rest = [other for other in kept if other is not relation]
        if not holds(_only(problem, rest)):
            kept = rest
    return tuple(kept)


def _only(problem: Problem, relations: list[Relation]) -> Problem:
    """The problem with some of its relations."""
    return replace(problem, relations=tuple(relations))


def _loosened(problem: Problem) -> Problem:
    """The shapes alone: bends as tight as they like, with no straight, and nothing of turns."""
    relations = tuple(
        replace(relation, straight=0.0, radius=0.5) if isinstance(relation, Bending) else relation
        for relation in problem.relations
        if posed_by(relation)
    )
    return replace(problem, relations=relations, opens=())
