"""Designs for a problem: found on a grid, then polished by least squares till they hold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from diagram.geometry.corner import ALONG, ASIDE, run
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.geometry.region import ALIKE
from diagram.placing.designer.beam import Beam
from diagram.placing.designer.ground import LAST_LEVEL, DesignGround
from diagram.placing.designer.pieces import UNSAID_M
from diagram.placing.designer.search import search
from diagram.placing.designer.states import Grid, Sort
from diagram.solver.descent import System, Weights, settle
from diagram.solver.relations import Bending, OnLine, Problem, Turning
from diagram.solver.solve import Arrangement, measured, which_fit
from diagram.solver.starts import assembled
from diagram.solver.ways import extra_columns

DOZEN, LOOKED_AT, POLISHED = 12, 100, 4
"""Arrangements whose carriers are looked at again on a finer grid; those of which it is looked
whether they fit as they are; and those that are pushed till they do, where none did."""
COARSE, MIDDLING = 7, 11
"""Places on each carrier at first, and where that leads nowhere."""
FINE_STRIDES = 0.5
SOFTER = 1.0
"""What an arrangement with half a stride less straight at its turns must gain to be taken."""
POLISH, POLISH_STEPS = Weights(30.0, 30.0, 0.0), 40


@dataclass(frozen=True, slots=True)
class Design:
    """An arrangement that fits, the designer's cost of it, and whether it had to be `pushed` for
    that, which changes what it costs a little."""

    arrangement: Arrangement
    cost: float
    pushed: bool = False


def designs(problem: Problem, gate: Point | None) -> Iterator[Design]:
    """Arrangements as a designer would make them that fit, best first; then those pushed till they
    do.

    Coarse first, then finely on the carriers of the best dozen; with fewer straight strides, and
    more places, only where that leads nowhere.
    """
    ground = DesignGround(problem, gate)
    if not ground.lines:
        return
    some = list(_found(ground))
    fitting: list[tuple[float, Floats]] = []
    for price, found in some:
        guesses = _guesses(ground, found)[:LOOKED_AT]
        fits = which_fit(problem, guesses).nonzero()[0]
        fitting += [(round(price + float(found.cost[n]), 6), guesses[n]) for n in fits]
    for cost, guess in sorted(fitting, key=lambda pair: pair[0]):
        yield Design(measured(problem, guess), cost)
    for price, found in some:
        yield from _polished(ground, found, price)


def _found(ground: DesignGround) -> Iterator[tuple[float, Beam]]:
    """What the searches bring, what promises most first, with what is put on their costs."""
    stride = ground.problem.limits.canter.stride_m
    rough: dict[int, Beam] = {}
    for places, level in ((COARSE, 0), (COARSE, 1), (COARSE, LAST_LEVEL), (MIDDLING, LAST_LEVEL)):
        if level == LAST_LEVEL and rough:
            break
        most = min((f.cost[0] + SOFTER * at for at, f in rough.items()), default=np.inf)
        found = search(ground, Grid(stride, places), level, most - SOFTER * level)
        if isinstance(found, Beam):
            rough[level] = found
    if not rough:
        return
    fine = Grid(FINE_STRIDES * stride, None, _sorts(list(rough.values())))
    out: list[tuple[float, float, Beam]] = []
    for level, found in sorted(rough.items()):
        price = SOFTER * level
        out.append((found.cost[0] + price, price, found))
        if out[-1][0] <= min(one[0] for one in out):
            again = search(ground, fine, level)
            if isinstance(again, Beam):
                out.append((again.cost[0] + price, price, again))
    for _, price, beam in sorted(out, key=lambda one: (round(one[0], 6), one[1])):
        yield price, beam


def _sorts(rough: list[Beam]) -> dict[int, frozenset[Sort]]:
    """The sorts of state, by the first body of each piece, that the best dozens stand on."""
    out: dict[int, frozenset[Sort]] = {}
    for found in rough:
        best = np.arange(min(DOZEN, len(found.cost)))
        for states in found.states.values():
            body = states.piece.bodies[0]
            out[body] = out.get(body, frozenset()) | states.picked(best).sorts()
    return out


def _polished(ground: DesignGround, found: Beam, price: float) -> Iterator[Design]:
    """The best few after the least that makes them fit, on their carriers if that can be."""
    problem = ground.problem
    guesses = _guesses(ground, found)[:POLISHED]
    for carried in (True, False):
        for n, guess in enumerate(guesses):
            held = problem
            if carried:
                lines = _on_carriers(ground, found, n)
                held = replace(problem, relations=(*problem.relations, *lines))
            moved = settle(System.of(held), guess[None], POLISH, POLISH_STEPS).unknowns[0]
            arrangement = measured(problem, moved)
            if arrangement.fits:
                yield Design(arrangement, price + float(found.cost[n]), pushed=True)


def _guesses(ground: DesignGround, found: Beam) -> Floats:
    poses = {}
    for states in found.states.values():
        for column, body in enumerate(states.piece.bodies):
            at = states.place[:, column]
            poses[body] = np.stack([at.real, at.imag, states.heading[:, column]], axis=1)
    guesses = assembled(ground.problem, poses)
    columns = extra_columns(ground.problem)
    for number, relation in enumerate(ground.problem.relations):
        if isinstance(relation, Bending) and relation.between is None:
            first, second = (poses[end.body] for end in (relation.first, relation.second))
            headings = (second[:, 2] + relation.second.pose.heading) - (
                first[:, 2] + relation.first.pose.heading
            )
            turn = np.abs(np.remainder(headings + np.pi, 2 * np.pi) - np.pi)
            length = relation.length or UNSAID_M
            if relation.round:
                arc = relation.exact or length / np.maximum(turn, 1e-6)
                guesses[:, columns[number]] = arc
                continue
            unit = np.maximum(run(turn), 1e-6)
            fair = length - 2 * relation.straight >= relation.radius * unit - ALIKE
            even = np.where(fair, relation.straight, min(relation.straight, length / 4))
            least = np.minimum(relation.radius, length / unit)
            guesses[:, columns[number]] = np.maximum((length - 2 * even) / unit, least)
        if isinstance(relation, Turning):
            hand = found.hands[number]
            straight, radius = hand.straight + hand.radius * ALONG, hand.radius * ASIDE
            guesses[:, columns[number] : columns[number] + 2] = straight
            guesses[:, columns[number] + 2] = radius
    return guesses


def _on_carriers(ground: DesignGround, found: Beam, n: int) -> list[OnLine]:
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
