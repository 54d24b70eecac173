"""Solving a layout: from many guesses to the roomiest arrangement that holds every relation."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from diagram.geometry.curve import Floats
from diagram.geometry.pose import Pose, wrap
from diagram.solver.descent import System, Weights, crowding_of, equations, settle, tabled
from diagram.solver.relations import FacingIs, PlaceIs, Problem

GUESSES, ATTEMPTS, PUSHED = 24, 2, 3
"""Guesses that a search begins from, searches till one fits, and what is finished if none does."""
FEW_BODIES, FINISHED = 6, 2
"""Bodies up to which there is time to push the best arrangement about, and how many of those that
come of it are finished."""
CLOSE_M = 0.1
"""Metres within which equations may be closed without walking downhill again."""
HANDED_ON = 9
"""Decimals of metres and radians that an arrangement has."""
HOLDS_M = 0.01
"""Metres within which an equation holds: what a tape can tell."""
KEPT_M = 0.10
"""Metres within which a limit counts as kept: no horse holds its line closer (common practice)."""
SHAPES = ("hand", "too far round", "too near")
"""Limits that are part of what a line or bend is: broken, it is another thing."""

ROOMY = Weights(50.0, 20.0, 1.0)
"""A limit that weighs no more than it must is no wall that the search for room gets stuck at."""
ONLY_MUSTS = Weights(30.0, 30.0, 0.0)
STRICT, STRICT_STEPS = Weights(6000.0, 600.0, 1.0), 60
"""What is asked goes before room: only so is "does not fit" told from "contradicts itself"."""


class Arrangement(Struct, frozen=True):
    """Poses of all bodies, what the relations and limits are off by, and how crowded it is.

    `off_m` is the worst equation, `short_m` the worst limit (both 0 or more).
    """

    poses: tuple[Pose, ...]
    unknowns: Floats
    off_m: float
    short_m: float
    crowding: float

    @property
    def holds(self) -> bool:
        """Whether every relation holds."""
        return self.off_m < HOLDS_M

    @property
    def fits(self) -> bool:
        """Whether every limit is kept as well."""
        return self.holds and self.short_m < KEPT_M


def solve(
    problem: Problem, near: Floats | None = None, search: int = 0, briefly: bool = False
) -> list[Arrangement]:
    """Arrangements, best first: those that fit before those that do not, roomier ones first.

    `near` (n,) is one more guess to begin from, tried before the others. As long as nothing fits,
    all begins anew from other guesses, ATTEMPTS times in all; `briefly`, it does not, and is given
    up sooner. Another `search` begins from other guesses as well.
    """
    system = System.of(problem)
    found: list[Arrangement] = []
    for attempt in range(search * ATTEMPTS, search * ATTEMPTS + (1 if briefly else ATTEMPTS)):
        if _some_fit(found):
            break
        trials = _tried(system, near, attempt, briefly)
        found += [_arrangement(system, trial) for trial in trials]
        if not _some_fit(found):
            found += strict_arrangements(system, trials)
        for arrangement in sorted(found, key=_rank)[:PUSHED]:
            if not _some_fit(found):
                found.append(_loosened(system, arrangement, STRICT))
    return sorted(found, key=_rank)


def _some_fit(found: list[Arrangement]) -> bool:
    return any(arrangement.fits for arrangement in found)


# What is remembered is only measured, and has no need of the search, which takes a while to load.


def _tried(system: System, near: Floats | None, attempt: int, briefly: bool) -> Floats:
    from diagram.solver.search import ROUNDS, searched
    from diagram.solver.starts import starts

    guesses = starts(system.problem, GUESSES, attempt=attempt)
    if near is not None:
        guesses = np.concatenate([near[None], guesses])
    return _exact(system, searched(system, guesses, ROUNDS, briefly))


def strict_arrangements(system: System, trials: Floats) -> list[Arrangement]:
    """Trials (S, n), and what comes of them when what is asked goes before room; best first."""
    stricter = settle(system, trials, STRICT, STRICT_STEPS, enough=1e-7).unknowns
    closed = _exact(system, np.concatenate([stricter, trials]))
    return sorted((_arrangement(system, trial) for trial in closed), key=_rank)


def moved_about(problem: Problem, fitting: list[Arrangement]) -> Iterator[Arrangement]:
    """Arrangements that fit, moved about for room, most promising first."""
    for number, arrangement in enumerate(fitting):
        moved = roomier(problem, arrangement)
        if not number and len(problem.bodies) <= FEW_BODIES:
            moved = _otherwise(problem, moved)
        yield moved


def _otherwise(problem: Problem, arrangement: Arrangement) -> Arrangement:
    """The roomiest of an arrangement and of what comes of pushing it about."""
    from diagram.solver.search import shaken

    system = System.of(problem)
    pushed = _exact(system, shaken(system, arrangement.unknowns))
    others = sorted((_arrangement(system, trial) for trial in pushed), key=_rank)[:FINISHED]
    moved = [_loosened(system, other, ROOMY) for other in others if other.fits]
    return min([arrangement, *moved], key=_rank)


def roomier(problem: Problem, arrangement: Arrangement) -> Arrangement:
    """An arrangement that fits, moved about to the last as long as that gains room."""
    return _loosened(System.of(problem), arrangement, ROOMY)


def _loosened(system: System, arrangement: Arrangement, weights: Weights) -> Arrangement:
    from diagram.solver.loosen import loosened

    moved = _exact(system, loosened(system, arrangement.unknowns, weights)[None])[0]
    return min(arrangement, _arrangement(system, moved), key=_rank)


def nearest(problem: Problem, guess: Floats) -> Arrangement:
    """The arrangement next to a guess (n,) that holds what must hold, roomy or not.

    First only the curves are fitted between the bodies as they stand, then the bodies may move.
    """
    here = [guess[3 * n : 3 * n + 3] for n in range(len(problem.bodies))]
    places = tuple(PlaceIs(n, (x, y), (), "") for n, (x, y, _) in enumerate(here))
    headings = tuple(FacingIs(n, h, False, (), "") for n, (_, _, h) in enumerate(here))
    held = replace(problem, relations=(*problem.relations, *places, *headings))
    curved = settle(System.of(held), guess[None], ONLY_MUSTS, 40).unknowns
    system = System.of(problem)
    trials = settle(system, curved, ONLY_MUSTS, 60).unknowns
    return _arrangement(system, _exact(system, trials)[0])


def measured(problem: Problem, unknowns: Floats, system: System | None = None) -> Arrangement:
    """An arrangement as it stands, measured and not improved; by the `system` of the problem, if
    that was made ready before."""
    return _arrangement(system or System.of(problem), unknowns)


def poses_of(problem: Problem, unknowns: Floats) -> tuple[Pose, ...]:
    """Where the bodies stand, as an arrangement has them."""
    trial = handed_on(unknowns)
    return tuple(
        Pose(float(trial[3 * i]), float(trial[3 * i + 1]), wrap(float(trial[3 * i + 2])))
        for i in range(len(problem.bodies))
    )


def handed_on(unknowns: Floats) -> Floats:
    """Unknowns (n,) rounded: so no heading is a hair to either side of square, and no zero has a
    sign."""
    rounded: Floats = np.round(unknowns, HANDED_ON) + 0.0
    return rounded


def which_fit(problem: Problem, trials: Floats) -> NDArray[np.bool_]:
    """Which of some trials (S, n) hold every relation and keep every limit as they stand."""
    fits = np.ones(len(trials), dtype=bool)
    for block in System.of(problem).blocks(np.round(trials, HANDED_ON), sloped=False):
        if block.sort == "must":
            fits &= np.abs(block.value).max(axis=1, initial=0.0) < HOLDS_M
        elif block.sort == "limit":
            allowed = HOLDS_M if block.what in SHAPES else KEPT_M
            fits &= -block.value.min(axis=1, initial=0.0) < allowed
    return fits


def _rank(arrangement: Arrangement) -> tuple[bool, float, float, float, float]:
    """What fits first, then what is off least, then the roomiest, then nearest to the origin."""
    off = 0.0 if arrangement.holds else round(arrangement.off_m, 3)
    short = 0.0 if arrangement.fits else round(arrangement.short_m, 3)
    first = arrangement.poses[0]
    place = round(first.x + 1.7 * first.y, 1)
    return not arrangement.fits, off, short, round(arrangement.crowding, 3), place


def _exact(system: System, trials: Floats) -> Floats:
    """Trials (S, n) with their equations closed to rounding, moved as little as possible."""
    for _ in range(4):
        residual, slope = equations(system, trials)
        close = np.abs(residual).max(axis=1, initial=0.0) <= CLOSE_M
        back = np.linalg.pinv(slope, rcond=1e-6)
        trials = trials - np.where(close[:, None], (back @ residual[..., None])[..., 0], 0.0)
    return trials


def _arrangement(system: System, trial: Floats) -> Arrangement:
    trial = handed_on(trial)
    blocks = system.blocks(trial[None], sloped=False)
    musts = [float(np.abs(b.value).max()) for b in blocks if b.sort == "must"]
    shapes = [float(-b.value.min()) for b in blocks if b.what in SHAPES]
    shorts = [float(-b.value.min()) for b in blocks if b.sort == "limit"]
    off, short = max([0.0, *musts, *shapes]), max([0.0, *shorts])
    crowding = float(crowding_of(tabled(blocks))[0])
    return Arrangement(poses_of(system.problem, trial), trial, off, short, crowding)
