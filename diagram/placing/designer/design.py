"""Designs for a problem: found on a grid, then polished by least squares till they hold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.placing.designer.ground import STRAIGHT_STRIDES, Ground
from diagram.placing.designer.search import Dry, Found, search
from diagram.placing.designer.states import Grid
from diagram.solver.descent import System, Weights, settle
from diagram.solver.relations import OnLine, Problem, Turning
from diagram.solver.solve import Arrangement, measured
from diagram.solver.starts import assembled
from diagram.solver.ways import extra_columns

DOZEN = 12
"""Arrangements that are polished, best first."""
COARSE_PLACES, FINE_STRIDES = 7, 0.5
POLISH, POLISH_STEPS = Weights(30.0, 30.0, 0.0), 40


def designs(problem: Problem, gate: Point | None) -> Iterator[Arrangement]:
    """Arrangements as a designer would make them that fit, best first."""
    ground = Ground(problem, gate)
    if not ground.lines:
        return
    stride = problem.limits.canter.stride_m
    for level in range(len(STRAIGHT_STRIDES)):
        for grid in (Grid(stride, COARSE_PLACES), Grid(FINE_STRIDES * stride)):
            found = search(ground, grid, level)
            if isinstance(found, Found):
                fitting = list(_polished(ground, found))
                if fitting:
                    yield from fitting
                    return
        if isinstance(found, Dry):
            return


def _polished(ground: Ground, found: Found) -> Iterator[Arrangement]:
    """Those of the best dozen that fit: as found, or after the least that makes them."""
    problem = ground.problem
    guesses = _guesses(ground, found)[:DOZEN]
    for n, guess in enumerate(guesses):
        as_found = measured(problem, guess)
        if as_found.fits:
            yield as_found
            continue
        held = replace(problem, relations=(*problem.relations, *_on_carriers(ground, found, n)))
        for tried in (held, problem):
            moved = settle(System.of(tried), guess[None], POLISH, POLISH_STEPS).unknowns[0]
            arrangement = measured(problem, moved)
            if arrangement.fits:
                yield arrangement
                break


def _guesses(ground: Ground, found: Found) -> Floats:
    poses = {}
    for states in found.states.values():
        for column, body in enumerate(states.piece.bodies):
            at = states.place[:, column]
            poses[body] = np.stack([at.real, at.imag, states.heading[:, column]], axis=1)
    guesses = assembled(ground.problem, poses)
    columns = extra_columns(ground.problem)
    for number, relation in enumerate(ground.problem.relations):
        if isinstance(relation, Turning):
            hand = found.hands[number]
            guesses[:, columns[number] : columns[number] + 2] = hand.straight
            guesses[:, columns[number] + 2] = hand.radius
    return guesses


def _on_carriers(ground: Ground, found: Found, n: int) -> list[OnLine]:
    """Each piece's first fence held on the line that it was put on."""
    out: list[OnLine] = []
    for line in ground.lines:
        states = found.states[line.piece]
        if states.carrier[n] < 0 or any(o.body in states.piece.bodies for o in out):
            continue
        place, heading = (v[n : n + 1] for v in states.end(line.first))
        through = ((float(place[0].real), float(place[0].imag)), float(heading[0]))
        out.append(OnLine(line.first.body, (through,), True, (), "on its carrier"))
    return out
