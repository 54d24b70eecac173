"""An arrangement with its fences turned along or across the arena, wherever that rides as
well: nobody signs a line that stands some odd degrees off the rail for no reason."""

from __future__ import annotations

import math
from collections.abc import Callable

from msgspec.structs import replace

from diagram.geometry.pose import wrap
from diagram.placing.designer.carriers import carriers_of
from diagram.placing.designer.pieces import pieces_of
from diagram.solver.relations import FacesMark, FacingIs, OnLine, Problem
from diagram.solver.solve import Arrangement, nearest, roomier

LEAST_RAD, MOST_RAD = math.radians(0.05), math.radians(30)
"""Off a line that designers use by less is along it already; off the sides of the arena by more, it
may be meant to lie across a corner."""
WORSE_M = 0.05
"""Metres by which the ride may fall shorter of its limits: what rounding moves."""
AHEAD_M = (0.0, 3.0, -3.0)
"""Metres by which all is pushed along the arena where it does not ride as well as it stands."""
HOPELESS_M = 1.0
"""Metres by which it may ride worse as it stands that a push along the arena can mend."""

Bad = Callable[[Arrangement, float], float]
"""By how many metres an arrangement falls short when ridden; infinite where that is known to be
more than so much."""


Turn = tuple[FacingIs, ...]
"""How the fences of one piece would face."""


def squared(
    problem: Problem, found: Arrangement, bad: Bad, ridable_m: float, thorough: bool = True
) -> Arrangement:
    """`found` with as many of its fences along or across the arena as can be ridden so.

    All at once if that can be, else one line after another, what is least askew first. `bad` says
    by how many metres an arrangement falls short when ridden: one that falls short by more than
    `ridable_m` stays as it is, for what nobody can ride is no better for being tidy. Unless that is
    to be `thorough`, nothing is pushed along the arena to make room for it.
    """
    pushes = AHEAD_M if thorough else AHEAD_M[:1]
    turns = _askew(problem, found)
    if not turns:
        return found
    short = bad(found, math.inf)
    if short > ridable_m:
        return found
    most = short + WORSE_M
    every = _ridden(problem, found, turns, pushes, bad, most)
    if every is not None or len(turns) == 1:
        return every or found
    held: list[Turn] = []
    for turn in turns:
        tried = _ridden(problem, found, [*held, turn], pushes, bad, most)
        if tried is not None:
            held.append(turn)
            found = tried
    return found


def _askew(problem: Problem, found: Arrangement) -> list[Turn]:
    """How the fences of each piece would face, turned as one; what is least off first."""
    along = _along(problem)
    carriers = {carrier.heading for carrier in carriers_of(problem.region)}
    said = {r.body for r in problem.relations if isinstance(r, FacingIs | FacesMark | OnLine)}
    turns: list[tuple[float, Turn]] = []
    for piece in pieces_of(problem):
        headings = {body: found.poses[body].heading for body in piece.bodies}
        off = min((wrap(4 * (h - along)) / 4 for h in headings.values()), key=abs)
        carried = any(
            abs(wrap(2 * (h - line))) < 2 * LEAST_RAD
            for h in headings.values()
            for line in carriers
        )
        if not carried and not said & headings.keys() and abs(off) < MOST_RAD:
            turn = tuple(FacingIs(body, h - off, False, (), "") for body, h in headings.items())
            turns.append((abs(off), turn))
    return [turn for _, turn in sorted(turns, key=lambda pair: round(pair[0], 6))]


def _ridden(
    problem: Problem, found: Arrangement, turns: list[Turn], pushes: tuple[float, ...], bad: Bad,
    most: float,
) -> Arrangement | None:  # fmt: skip
    """The arrangement with these turns made, or one near it, that rides as well as wanted."""
    facing = tuple(one for turn in turns for one in turn)
    held = replace(problem, relations=(*problem.relations, *facing))
    along = _along(problem)
    for ahead in pushes:
        guess = found.unknowns.copy()
        for body in range(len(problem.bodies)):
            guess[3 * body] += ahead * math.cos(along)
            guess[3 * body + 1] += ahead * math.sin(along)
        turned = nearest(held, guess)
        least = 0.0 if not turned.fits else math.inf
        for tried in (roomier(held, turned), turned) if turned.fits else ():
            short = bad(tried, most)
            if short <= most:
                return tried
            least = min(least, short)
        if least > most + HOPELESS_M:
            break
    return None


def _along(problem: Problem) -> float:
    """Heading of the longest side of the arena."""
    (ax, ay), (bx, by) = max(problem.region.edges, key=lambda edge: round(math.dist(*edge), 6))
    return math.atan2(by - ay, bx - ax)
