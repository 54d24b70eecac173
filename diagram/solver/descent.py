"""Damped least squares for many trial arrangements at once.

Levenberg-Marquardt with Marquardt's scaling (Marquardt 1963, as in More, The
Levenberg-Marquardt algorithm: implementation and theory, 1978), each trial with a damping of
its own. Equations and broken limits weigh much more than room, which is what is left to decide.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from diagram.geometry.curve import Floats
from diagram.geometry.region import ALIKE
from diagram.solver.clear import Clearances
from diagram.solver.pinned_rows import pinned_rows
from diagram.solver.relations import Problem
from diagram.solver.rows import RowBlock, Trials
from diagram.solver.standing import FAR_M
from diagram.solver.tracks import Paths
from diagram.solver.turns import Opens, Turns
from diagram.solver.ways import Bends, Lines, extra_columns

ROUNDED = 4
"""Decimals of metres and radians that are handed on: a tenth of a millimetre."""
RADIANS_FOR_METRE = 0.1
"""A body turned so far is moved about as much as one put a metre aside."""
LONGEST_STEP_M, LONGEST_STEP_RAD = 8.0, 0.7


class Weights(Struct, frozen=True):
    """What counts how much: equations, limits (both per metre) and room."""

    must: float
    limit: float
    room: float


class System(Struct, frozen=True):
    """All equations and limits of a problem, made ready once for many evaluations."""

    problem: Problem
    ways: tuple[Lines | Bends | Turns | Opens, ...]
    clearances: Clearances

    @classmethod
    def of(cls, problem: Problem) -> System:
        """The rows of a problem, ready to be worked out."""
        extra = extra_columns(problem)
        made = (
            Lines.of(problem), Bends.of(problem, extra), Turns.of(problem, extra),
            Opens.of(problem),
        )  # fmt: skip
        ways = tuple(way for way in made if way is not None)
        paths = Paths.of([way.whose for way in ways]) if ways else None
        return cls(problem, ways, Clearances.of(problem, paths))

    def blocks(
        self, unknowns: Floats, with_room: bool = True, sloped: bool = True, fine: bool = True
    ) -> list[RowBlock]:
        """All rows for trials `unknowns` (S, n), with those of rails and fences if wanted."""
        trials = Trials.of(unknowns, sloped, fine)
        rows = pinned_rows(self.problem, trials)
        tracks = []
        for way in self.ways:
            more, track = way.rows(trials, with_room)
            rows += more
            if track is not None:
                tracks.append(track)
        return rows + self.clearances.rows(trials, tracks) if with_room else rows

    def musts(self, unknowns: Floats, sloped: bool = True) -> list[RowBlock]:
        """Rows among which are all the equations, for trials (S, n)."""
        trials = Trials.of(unknowns, sloped)
        rows = pinned_rows(self.problem, trials)
        for way in self.ways:
            if isinstance(way, Lines | Bends):
                rows += way.rows(trials, tracked=False)[0]
        return rows


class Table(Struct, frozen=True):
    """Values of all rows side by side (S, m), and for each row what it is.

    `scale` is 0 for limits of which more is no better.
    """

    value: Floats
    must: NDArray[np.bool_]
    limit: NDArray[np.bool_]
    wish: NDArray[np.bool_]
    scale: Floats


def tabled(blocks: list[RowBlock]) -> Table:
    """The values of all blocks."""
    counts = [rows.value.shape[1] for rows in blocks]
    must, limit, wish = (
        np.repeat([rows.sort == sort for rows in blocks], counts)
        for sort in ("must", "limit", "wish")
    )
    scale = np.repeat([rows.scale or 0.0 for rows in blocks], counts)
    value = np.concatenate([rows.value for rows in blocks], axis=1)
    return Table(value, must, limit, wish, scale)


def slopes_of(
    blocks: list[RowBlock], width: int, wanted: NDArray[np.bool_] | None = None
) -> Floats:
    """Slopes (S, m, width) of the rows of all blocks, or of those `wanted` (of m), by all
    `width` unknowns."""
    counts = [rows.value.shape[1] for rows in blocks]
    if wanted is None:
        wanted = np.ones(sum(counts), dtype=bool)
    slope = np.zeros((len(blocks[0].value), int(wanted.sum()), width + 1))
    first = at = 0
    for rows, count in zip(blocks, counts, strict=True):
        own = wanted[first : first + count].nonzero()[0]
        here = slice(at, at + len(own))
        if rows.columns is None:
            slope[:, here, :width] = rows.slope[:, own]
        else:
            slope[:, np.arange(at, at + len(own))[:, None], rows.columns[own]] = rows.slope[:, own]
        first, at = first + count, at + len(own)
    return slope[..., :width]


def crowding_of(table: Table) -> Floats:
    """How crowded each trial is (S,): the sum that the roomiest arrangement makes smallest."""
    roomy = table.scale > 0
    crowd, _ = _crowd(table.value[:, roomy], table.scale[roomy])
    total: Floats = (crowd**2).sum(axis=1) + (table.value[:, table.wish] ** 2).sum(axis=1)
    return total


def _crowd(spare: Floats, scale: Floats) -> tuple[Floats, Floats]:
    """Crowding of rows with metres to spare, and its derivative: 1 with none, 0 from FAR_M on."""
    over = np.maximum(spare, 0.0) + scale
    floor = scale / (scale + FAR_M)
    value = scale / over - np.minimum(spare, 0.0) / scale - floor
    near = (spare < FAR_M - ALIKE) / (1 - floor)
    return value * near, -scale / over**2 * near


def weighted(table: Table, weights: Weights) -> tuple[Floats, Floats, Floats]:
    """Cost of each trial (S,), and for each row (S, m) its pull and its stiffness.

    The pull is half the derivative of the cost by the row's value; the stiffness is the square
    of the derivative of its residual (Gauss and Newton's part of the second derivative).
    """
    value = table.value
    weight = weights.must * table.must + weights.room * table.wish
    weight = weight + weights.limit * (table.limit & (value < -ALIKE))
    residual = weight * value
    pull, stiffness = weight * residual, weight**2
    cost = (residual**2).sum(axis=1)
    if weights.room:
        roomy = table.scale > 0
        crowd, slope = _crowd(value[:, roomy], table.scale[roomy])
        crowd, slope = crowd * weights.room, slope * weights.room
        cost = cost + (crowd**2).sum(axis=1)
        pull[:, roomy] += crowd * slope
        stiffness[:, roomy] += slope**2
    return cost, pull, stiffness


class Local(Struct, frozen=True):
    """Trials where they stand: unknowns (S, n), cost (S,), its slope (S, n) and stiffness
    (S, n, n), both halved."""

    unknowns: Floats
    cost: Floats
    slope: Floats
    stiffness: Floats

    @classmethod
    def at(
        cls,
        unknowns: Floats,
        system: System,
        weights: Weights,
        with_room: bool = True,
        fine: bool = True,
    ) -> Local:
        """At some unknowns."""
        blocks = system.blocks(unknowns, with_room, fine=fine)
        cost, pull, stiffness = weighted(tabled(blocks), weights)
        wanted = (stiffness != 0).any(axis=0)
        slope = slopes_of(blocks, system.problem.size, wanted)
        turned = slope.transpose(0, 2, 1)
        return cls(
            unknowns,
            cost,
            (turned @ pull[:, wanted, None])[..., 0],
            turned @ (stiffness[:, wanted, None] * slope),
        )

    def or_where(self, better: NDArray[np.bool_], other: Local) -> Local:
        """For each trial the other place where that is better."""
        return Local(
            np.where(better[:, None], other.unknowns, self.unknowns),
            np.where(better, other.cost, self.cost),
            np.where(better[:, None], other.slope, self.slope),
            np.where(better[:, None, None], other.stiffness, self.stiffness),
        )


class Settled(Struct, frozen=True):
    """Trials after the descent (S, n), and what is left of their cost (S,)."""

    unknowns: Floats
    cost: Floats


def settle(
    system: System,
    unknowns: Floats,
    weights: Weights,
    steps: int,
    with_room: bool = True,
    enough: float = 1e-9,
    fine: bool = True,
) -> Settled:
    """Walk every trial downhill for at most `steps` steps.

    Without room, rails and other fences are left out of account altogether. The walk ends when
    no trial gains more than `enough` of its cost.
    """
    n = system.problem.size
    longest = _longest(system.problem, n)
    here = Local.at(unknowns, system, weights, with_room, fine)
    damping = np.full(len(unknowns), 1e-2)
    for _ in range(steps):
        damped = here.stiffness.copy()
        diagonal = damped.reshape(len(damped), -1)[:, :: n + 1]
        diagonal += damping[:, None] * np.maximum(diagonal, 1e-6)
        step = -np.linalg.solve(damped, here.slope[..., None])[..., 0]
        step *= np.minimum(1.0, (longest / np.maximum(np.abs(step), 1e-12)).min(axis=1))[:, None]
        there = Local.at(here.unknowns + step, system, weights, with_room, fine)
        better = there.cost < here.cost
        gained = np.where(better, here.cost - there.cost, 0.0)
        settled = (gained <= enough * (1 + there.cost)) & (better | (damping > 1e4))
        here = here.or_where(better, there)
        damping = np.where(better, np.maximum(damping / 4, 1e-9), np.minimum(damping * 5, 1e6))
        if settled.all():
            break
    # Processors differ in the last digits; here that difference ends before it grows.
    return Settled(np.round(here.unknowns, ROUNDED), np.round(here.cost, ROUNDED))


ROWS_AT_ONCE = 2**17
"""Distances of places from fences worked out in one go: more would not stay near the processor."""


def cost_of(
    system: System, unknowns: Floats, weights: Weights, with_room: bool = True, fine: bool = True
) -> Floats:
    """Cost (S,) of trials as they stand."""
    some = max(1, ROWS_AT_ONCE // system.clearances.size(fine)) if with_room else len(unknowns)
    costs = [
        weighted(tabled(system.blocks(unknowns[at : at + some], with_room, False, fine)), weights)[
            0
        ]
        for at in range(0, len(unknowns), max(1, some))
    ]
    return np.concatenate(costs)


def equations(system: System, trials: Floats) -> tuple[Floats, Floats]:
    """Residuals (S, m) of the equations of trials (S, n) and their slopes (S, m, n)."""
    count, n = trials.shape
    blocks = system.musts(trials)
    if not blocks:
        return np.zeros((count, 0)), np.zeros((count, 0, n))
    table = tabled(blocks)
    return table.value[:, table.must], slopes_of(blocks, n, table.must)


def _longest(problem: Problem, n: int) -> Floats:
    longest = np.full(n, LONGEST_STEP_M)
    longest[2 : 3 * len(problem.bodies) : 3] = LONGEST_STEP_RAD
    return longest
