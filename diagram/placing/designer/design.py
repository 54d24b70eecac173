"""Designs for a problem: found on a grid, then polished by least squares till they hold."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from itertools import product

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from diagram.geometry.corner import ALONG, ASIDE, reaches, run
from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.geometry.pose import Point
from diagram.geometry.region import ALIKE
from diagram.placing.designer.beam import Beam
from diagram.placing.designer.ground import LAST_LEVEL, DesignGround
from diagram.placing.designer.pieces import UNSAID_M
from diagram.placing.designer.search import Dry, finer, own_cost, search
from diagram.placing.designer.states import Grid, Sort, States, states_of
from diagram.solver.descent import System, Weights, settle
from diagram.solver.relations import Bending, End, OnLine, Problem, Turning
from diagram.solver.solve import Arrangement, measured, which_fit
from diagram.solver.starts import assembled
from diagram.solver.ways import extra_columns

DOZEN, LOOKED_AT, POLISHED = 12, 100, 4
"""Arrangements whose carriers are looked at again on a finer grid; those of which it is looked
whether they fit as they are; and those that are pushed till they do, where none did."""
FITTED = 40
"""Arrangements of which it is looked in one go whether they fit: seldom are many more ridden."""
COARSE, MIDDLING = 7, 11
"""Places on each carrier at first, and where that leads nowhere."""
FINE_STRIDES = 0.5
FINER = 1.5
"""What an arrangement on the fine grid may cost more than the best on the coarse one: more of them
are looked at in case that one cannot be ridden."""
SOFTER = 1.0
"""What an arrangement with half a stride less straight at its turns must gain to be taken."""
GENTLE_RAD = math.radians(8)
"""A bend that turns less is as long in all radii."""
GAINED, QUARTER = 0.05, 0.25
"""What a design must cost less to be taken for one that differs but by a little along its lines,
and the share of arrangements kept to look for it."""
HALF = 0.5
"""The share of arrangements kept to see whether one that is straighter at its turns costs less,
where one that is less straight is known: with a third some trial courses came out worse."""
MOST_DRY, AROUND = 2, 40
"""Turns that are looked at tighter than they can be ridden, where no places on the usual lines lead
round; and arrangements that are then pushed till all can be ridden."""
PUSHED_ALIKE_M = 2.0
"""Metres within which all bodies of two arrangements stand that are pushed to the same place."""
POLISH, POLISH_STEPS = Weights(30.0, 30.0, 0.0), 40


class Design(Struct, frozen=True):
    """An arrangement that fits, and the designer's cost of it; how its pieces stand, and at which
    level of straight at the turns, where it is as it was found."""

    arrangement: Arrangement
    cost: float
    stood: dict[int, States] | None = None
    level: int = 0


class Stage(Struct, frozen=True):
    """Designs, worked out as they are asked for; whether they are `pushed` till they fit, which
    changes what they cost a little, or fit as they were found, best first."""

    designs: Iterator[Design]
    pushed: bool = False


def designs(problem: Problem, gate: Point | None) -> Iterator[Design]:
    """Arrangements as a designer would make them that fit, of all stages."""
    for stage in stages(problem, gate, lambda: math.inf):
        yield from stage.designs


def stages(
    problem: Problem, gate: Point | None, worth: Callable[[], float], thorough: bool = True
) -> Iterator[Stage]:
    """Arrangements as a designer would make them that fit, a stage at a time.

    Coarse first, then finely on the carriers of the best dozen; with less straight at turns, and
    more places, where that leads nowhere. Then with one step less straight, if that can cost less
    than the best known so far is `worth`; at last those pushed till they hold. Where that is not
    to be so `thorough`, what is cheaper of the first two, looked at coarsely, is alone looked at
    finely.
    """
    ground = DesignGround(problem, gate)
    if not ground.lines:
        return
    level, rough = _first_found(ground) if thorough else _cheaper_found(ground)
    if rough is None:
        yield Stage(_around(ground), pushed=True)
        return
    some = _both(ground, rough, level, math.inf)
    yield Stage(_fitting(ground, some))
    if level == 0:
        grid = Grid(ground.problem.limits.canter.stride_m, COARSE)
        found = search(ground, grid, 1, worth() - SOFTER)
        if isinstance(found, Beam):
            softer = _both(ground, found, 1, worth())
            yield Stage(_fitting(ground, softer))
            some += softer
    yield Stage(_polished(ground, some, worth), pushed=True)


def lone_designs(problem: Problem, gate: Point | None) -> Iterator[Design]:
    """Where one piece is all there is: its places on the usual lines, pushed along those till they
    fit, best first; whatever the turns back to it are like."""
    ground = DesignGround(problem, gate)
    if len(ground.pieces) != 1 or not ground.lines:
        return
    (piece,) = ground.pieces
    grid = Grid(problem.limits.canter.stride_m, COARSE)
    states = states_of(problem, piece, ground.carriers_for(piece), grid)
    if len(states):
        cost = own_cost(ground, 0, states)
        order = np.argsort(np.round(cost, 6), kind="stable")
        hands = {number: ground.hand(way, LAST_LEVEL) for number, way in ground.turns}
        beam = Beam({0: states.picked(order)}, cost[order], hands)
        guesses = _guesses(ground, beam)
        for n in range(len(guesses)):
            yield from _pushed(ground, beam, n, guesses[n], True, float(beam.cost[n]))


Levelled = tuple[int, Beam]
"""How much less straight there is at turns, which costs SOFTER each time, and a beam."""


def finer_designs(problem: Problem, gate: Point | None, design: Design) -> Iterator[Design]:
    """Designs that fit and cost GAINED less than one that was found on the grid, with its pieces a
    little further along or back on their lines; best first."""
    if design.stood is None:
        return
    ground = DesignGround(problem, gate)
    most = design.cost - GAINED
    found = finer(ground, design.stood, design.level, most - SOFTER * design.level, QUARTER)
    if isinstance(found, Beam):
        for other in _fitting(ground, [(design.level, found)]):
            if other.cost > most:
                return
            yield other


def _cheaper_found(ground: DesignGround) -> tuple[int, Beam | None]:
    """The coarse beam with half a stride less straight at turns, or that with all of it if it costs
    less; it is not looked for beyond that."""
    grid = Grid(ground.problem.limits.canter.stride_m, COARSE)
    softer = search(ground, grid, 1)
    if not isinstance(softer, Beam):
        return _first_found(ground, tried=1)
    straighter = search(ground, grid, 0, float(softer.cost[0]) + SOFTER, HALF)
    if isinstance(straighter, Beam) and straighter.cost[0] < softer.cost[0] + SOFTER:
        return 0, straighter
    return 1, softer


def _first_found(ground: DesignGround, tried: int | None = None) -> tuple[int, Beam | None]:
    """The first beam there is, ever less straight at turns, with more places at last; a level that
    was `tried` coarsely is not tried again."""
    stride = ground.problem.limits.canter.stride_m
    for places, level in ((COARSE, 0), (COARSE, 1), (COARSE, LAST_LEVEL), (MIDDLING, LAST_LEVEL)):
        if level == tried:
            continue
        found = search(ground, Grid(stride, places), level)
        if isinstance(found, Beam):
            return level, found
    return 0, None


def _around(ground: DesignGround) -> Iterator[Design]:
    """Designs pushed till they hold, of which a turn or two could not be ridden between any places
    on the usual lines: all else stands as a designer would have it."""
    grid = Grid(ground.problem.limits.canter.stride_m, COARSE)
    found = search(ground, grid, LAST_LEVEL)
    while isinstance(found, Dry):
        dry = ground.problem.relations[found.relation]
        if not isinstance(dry, Turning) or len(ground.tight) == MOST_DRY or dry in ground.tight:
            return
        ground = replace(ground, tight=ground.tight | {dry})
        found = search(ground, grid, LAST_LEVEL)
    if found is None:
        return
    system = System.of(ground.problem)
    moved = settle(system, _guesses(ground, found)[:AROUND], POLISH, POLISH_STEPS).unknowns
    for n, unknowns in enumerate(moved):
        arrangement = measured(ground.problem, unknowns, system)
        if arrangement.fits:
            yield Design(arrangement, SOFTER * LAST_LEVEL + float(found.cost[n]))


def _both(ground: DesignGround, rough: Beam, level: int, worth: float) -> list[Levelled]:
    """A coarse beam and a fine one on its carriers, what promises more first."""
    fine = Grid(FINE_STRIDES * ground.problem.limits.canter.stride_m, None, _sorts(rough))
    most = min(float(rough.cost[0]) + FINER, worth - SOFTER * level)
    again = search(ground, fine, level, most)
    out = [(level, rough), *([(level, again)] if isinstance(again, Beam) else [])]
    return sorted(out, key=lambda one: round(float(one[1].cost[0]), 6))


def _fitting(ground: DesignGround, some: list[Levelled]) -> Iterator[Design]:
    """The arrangements that fit as they were found, best first."""
    guesses: list[Floats] = []
    rows: list[tuple[float, int, Beam, int]] = []
    for level, found in some:
        guesses.append(_guesses(ground, found)[:LOOKED_AT])
        for n, cost in enumerate(found.cost[:LOOKED_AT].tolist()):
            rows.append((round(SOFTER * level + cost, 6), level, found, n))
    if not rows:
        return
    every, system = np.concatenate(guesses), System.of(ground.problem)
    order = np.argsort([cost for cost, *_ in rows], kind="stable")
    for first in range(0, len(order), FITTED):
        here = order[first : first + FITTED]
        for k in here[which_fit(ground.problem, every[here])]:
            cost, level, found, n = rows[k]
            stood = {piece: states.picked(np.array([n])) for piece, states in found.states.items()}
            yield Design(measured(ground.problem, every[k], system), cost, stood, level)


def _sorts(rough: Beam) -> dict[int, frozenset[Sort]]:
    """The sorts of state, by the first body of each piece, that the best dozen stand on."""
    best = np.arange(min(DOZEN, len(rough.cost)))
    return {s.piece.bodies[0]: s.picked(best).sorts() for s in rough.states.values()}


def _polished(
    ground: DesignGround, some: list[Levelled], worth: Callable[[], float]
) -> Iterator[Design]:
    """The best few after the least that makes them fit, on their carriers if that can be."""
    for level, found in some:
        guesses = _guesses(ground, found)[:POLISHED]
        for carried, n in product((True, False), _unlike(ground.problem, guesses)):
            cost = SOFTER * level + float(found.cost[n])
            if cost < worth():
                yield from _pushed(ground, found, n, guesses[n], carried, cost)


def _unlike(problem: Problem, guesses: Floats) -> list[int]:
    """Which of some guesses (K, n) have not all bodies near to where an earlier one has them: those
    would come to stand as that does."""
    at = guesses[:, : 3 * len(problem.bodies)].reshape(len(guesses), -1, 3)[..., :2]
    kept: list[int] = []
    for n in range(len(guesses)):
        if all(np.abs(at[n] - at[other]).max() >= PUSHED_ALIKE_M for other in kept):
            kept.append(n)
    return kept


def _pushed(
    ground: DesignGround, found: Beam, n: int, guess: Floats, carried: bool, cost: float
) -> Iterator[Design]:
    problem = ground.problem
    held = problem
    if carried:
        lines = _on_carriers(ground, found, n)
        held = replace(problem, relations=(*problem.relations, *lines))
    moved = settle(System.of(held), guess[None], POLISH, POLISH_STEPS).unknowns[0]
    arrangement = measured(problem, moved)
    if arrangement.fits:
        yield Design(arrangement, cost)


def _guesses(ground: DesignGround, found: Beam) -> Floats:
    poses = {}
    for states in found.states.values():
        for column, body in enumerate(states.piece.bodies):
            at = states.place[:, column]
            poses[body] = np.stack([at.real, at.imag, states.heading[:, column]], axis=1)
    guesses = assembled(ground.problem, poses)
    columns = extra_columns(ground.problem)
    for number, relation in enumerate(ground.problem.relations):
        if isinstance(relation, Bending):
            ends = _stand(poses, relation.first), _stand(poses, relation.second)
            guesses[:, columns[number]] = _radius(relation, *ends)
        if isinstance(relation, Turning):
            hand = found.hands[number]
            straight, radius = hand.straight + hand.radius * ALONG, hand.radius * ASIDE
            radius = max(radius, relation.radius)
            guesses[:, columns[number] : columns[number] + 2] = straight
            guesses[:, columns[number] + 2] = radius
    return guesses


Stood = tuple[Numbers, Floats]


def _stand(poses: dict[int, Floats], end: End) -> Stood:
    """Places and headings (K,) of an end of a body whose `poses` are (K, 3)."""
    x, y, heading = poses[end.body].T
    offset = complex(end.pose.x, end.pose.y)
    return x + 1j * y + np.exp(1j * heading) * offset, heading + end.pose.heading


def _radius(bend: Bending, first: Stood, second: Stood) -> Floats:
    """Metres of radius (K,) of bends from ends to ends: as long as they are asked to be, or as near
    the middle of what will do; even where that does not say it."""
    (p, a), (q, b) = first, second
    turn = np.maximum(np.abs(np.remainder(b - a + np.pi, 2 * np.pi) - np.pi), 1e-6)
    unit = np.maximum(run(turn), 1e-6)
    length = bend.length or (sum(bend.between) / 2 if bend.between else UNSAID_M)
    if bend.round:
        return np.asarray(bend.exact or length / turn)
    fair = length - 2 * bend.straight >= bend.radius * unit - ALIKE
    even = np.where(fair, bend.straight, min(bend.straight, length / 4))
    least = np.minimum(bend.radius, length / unit)
    widest = np.maximum((length - 2 * even) / unit, least)
    # The lines of both fences meet in a corner, so far after the one and before the other.
    gap = (q - p) * np.exp(-1j * a)
    after = np.abs(gap.imag) / np.maximum(np.sin(turn), 1e-6)
    before = gap.real - after * np.cos(turn)
    reach = np.asarray(reaches(np.clip(turn, GENTLE_RAD, np.pi - GENTLE_RAD))[0])
    long = (before + after - length) / np.maximum(2 * reach - unit, 1e-6)
    most = np.maximum((np.minimum(before, after) - bend.straight) / reach, least)
    plain = (turn > GENTLE_RAD) & (turn < np.pi - GENTLE_RAD)
    return np.asarray(np.where(plain, np.clip(long, least, most), widest))


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
