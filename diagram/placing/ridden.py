"""The design that is best when it is ridden: what it costs, and what the ride falls short of."""

from __future__ import annotations

import math
from itertools import islice

from msgspec import Struct

from diagram.geometry.pose import Point
from diagram.placing.designer.design import Design, finer_designs, lone_designs, stages
from diagram.placing.squared import Bad
from diagram.solver.relations import Problem
from diagram.solver.solve import Arrangement

RIDDEN, LOOKED_AT = 16, 200
"""Designs that are ridden at most, best first, and those among which they are looked for."""
ALIKE_M = 1.0
"""Metres: no design is ridden of which every fence stands so near to where it stood in another."""
LONE_RIDDEN = 4
"""Places of a piece that is all there is that are ridden at most."""
FINER_RIDDEN = 2
"""Of those that differ from the best by a little along their lines, so many are ridden at most."""
A_METRE_SHORT = 20.0
"""What a metre that a ride falls short by is worth among the terms of a design: no term outweighs
what the checks would stop, and a start with little ground behind it does not turn all about."""


def best_ridden(
    problem: Problem, gate: Point | None, bad: Bad, under: float, enough: float, thorough: bool
) -> tuple[Arrangement | None, float]:
    """The design that costs least, what it falls short of its limits when ridden counted in, its
    pieces then moved a little along their lines; and by how much that is, less than `under`.

    No designs are pushed till they hold where one falls short by no more than is good `enough`.
    Unless it is to be `thorough`, pieces are left where they are.
    """
    rides = _Rides(bad, under, [])
    _ride_designs(rides, problem, gate, enough, thorough)
    if rides.best is None:
        return None, math.inf
    if not thorough:
        return rides.best.arrangement, rides.least
    for design in islice(finer_designs(problem, gate, rides.best), FINER_RIDDEN):
        if design.cost >= rides.worth or rides.ride(design):
            break
    return rides.best.arrangement, rides.least


def lone_ridden(problem: Problem, gate: Point | None, bad: Bad) -> tuple[Arrangement | None, float]:
    """Where one piece is all there is, and no plain turn leads back to it: where it rides best of
    all its places on the usual lines, and by how much that falls short."""
    rides = _Rides(bad, math.inf, [])
    for design in lone_designs(problem, gate):
        if design.cost >= rides.worth or len(rides.ridden) == LONE_RIDDEN:
            break
        rides.ride(design)
    return (rides.best.arrangement if rides.best else None), rides.least


def _ride_designs(
    rides: _Rides, problem: Problem, gate: Point | None, enough: float, thorough: bool
) -> None:
    for stage in stages(problem, gate, lambda: rides.worth, thorough):
        if stage.pushed and rides.least <= enough:
            return
        for design in islice(stage.designs, LOOKED_AT):
            if design.cost >= rides.worth and not stage.pushed:
                break
            if any(_alike(design.arrangement, other) for other in rides.ridden):
                continue
            rides.ride(design)
            if len(rides.ridden) == RIDDEN:
                return


class _Rides(Struct):
    """What was ridden, and the best of it: by how many metres that falls short, and what it is
    worth, all in all."""

    bad: Bad
    under: float
    ridden: list[Arrangement]
    best: Design | None = None
    least: float = math.inf
    worth: float = math.inf

    def ride(self, design: Design) -> bool:
        """Whether a design is the best so far."""
        most = min((self.worth - design.cost) / A_METRE_SHORT, self.under)
        short = self.bad(design.arrangement, most)
        if math.isinf(short):
            return False
        self.ridden.append(design.arrangement)
        worth = design.cost + A_METRE_SHORT * short
        if short >= self.under or worth >= self.worth:
            return False
        self.best, self.least, self.worth = design, short, worth
        return True


def _alike(one: Arrangement, other: Arrangement) -> bool:
    pairs = zip(one.poses, other.poses, strict=True)
    return all(a.distance(b.point) < ALIKE_M for a, b in pairs)
