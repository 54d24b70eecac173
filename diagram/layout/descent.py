"""Damped least squares for many trial arrangements at once.

Levenberg-Marquardt with Marquardt's scaling (Marquardt 1963, as in More, The
Levenberg-Marquardt algorithm: implementation and theory, 1978), each trial with a damping of
its own. Equations and broken limits weigh much more than room, which is what is left to decide.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from diagram.geometry.curve import Floats
from diagram.layout.clear import Standing, clear_rows
from diagram.layout.pinned_rows import pinned_rows
from diagram.layout.relations import Problem
from diagram.layout.rows import Block, Trials
from diagram.layout.tracks import Whose, joined, joined_owners
from diagram.layout.turns import Opens, Turns
from diagram.layout.ways import Bends, Lines, extra_columns

ROUNDED = 4
"""Decimals of metres and radians that are handed on: a tenth of a millimetre."""
FAR_M = 15.0
"""Metres of room to spare beyond which more makes no difference."""
LONGEST_STEP_M, LONGEST_STEP_RAD = 8.0, 0.7


@dataclass(frozen=True, slots=True)
class Weights:
    """What counts how much: equations, limits (both per metre) and room."""

    must: float
    limit: float
    room: float


@dataclass(frozen=True, slots=True)
class System:
    """All equations and limits of a problem, made ready once for many evaluations."""

    problem: Problem
    ways: tuple[Lines | Bends | Turns | Opens, ...]
    fences: Standing
    whose: Whose | None

    @classmethod
    def of(cls, problem: Problem) -> System:
        """The rows of a problem, ready to be worked out."""
        extra = extra_columns(problem)
        made = (
            Lines.of(problem), Bends.of(problem, extra), Turns.of(problem, extra),
            Opens.of(problem),
        )  # fmt: skip
        ways = tuple(way for way in made if way is not None)
        whose = joined_owners([way.whose for way in ways]) if ways else None
        return cls(problem, ways, Standing.of(problem), whose)

    def blocks(self, unknowns: Floats, with_room: bool = True, sloped: bool = True) -> list[Block]:
        """All rows for trials `unknowns` (S, n), with those of rails and fences if wanted."""
        trials = Trials.of(unknowns, sloped)
        rows = pinned_rows(self.problem, trials)
        tracks = []
        for way in self.ways:
            more, track = way.rows(trials)
            rows += more
            tracks.append(track)
        if not with_room:
            return rows
        every = joined(tracks) if tracks else None
        return rows + clear_rows(self.problem, self.fences, trials, every, self.whose)


@dataclass(frozen=True, slots=True)
class Table:
    """All rows side by side: values (S, m), slopes (S, m, n), and for each row what it is.

    `scale` is 0 for limits of which more is no better.
    """

    value: Floats
    slope: Floats
    must: NDArray[np.bool_]
    limit: NDArray[np.bool_]
    wish: NDArray[np.bool_]
    scale: Floats


def tabled(blocks: list[Block], width: int) -> Table:
    """The rows of all blocks with their slopes by all `width` unknowns; by none for width 0."""
    counts = [rows.value.shape[1] for rows in blocks]
    trials = len(blocks[0].value)
    slope = np.zeros((trials, sum(counts) if width else 0, width + 1))
    at = 0
    for rows, count in zip(blocks, counts, strict=True):
        if not width:
            break
        if rows.columns is None:
            slope[:, at : at + count, :width] = rows.slope
        else:
            slope[:, np.arange(at, at + count)[:, None], rows.columns] = rows.slope
        at += count
    sort = np.repeat([rows.sort for rows in blocks], counts)
    return Table(
        np.concatenate([rows.value for rows in blocks], axis=1),
        slope[..., :width],
        sort == "must",
        sort == "limit",
        sort == "wish",
        np.repeat([rows.scale or 0.0 for rows in blocks], counts),
    )


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
    value = np.where(spare < 0, 1 - spare / scale, scale / over) - floor
    slope = np.where(spare < 0, -1 / scale, -scale / over**2)
    near = (spare < FAR_M) / (1 - floor)
    return value * near, slope * near


def weighted(table: Table, weights: Weights) -> tuple[Floats, Floats, Floats]:
    """Cost of each trial (S,), and for each row (S, m) its pull and its stiffness.

    The pull is half the derivative of the cost by the row's value; the stiffness is the square
    of the derivative of its residual (Gauss and Newton's part of the second derivative).
    """
    value = table.value
    weight = weights.must * table.must + weights.room * table.wish
    weight = weight + weights.limit * (table.limit & (value < 0))
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


@dataclass(frozen=True, slots=True)
class Settled:
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
) -> Settled:
    """Walk every trial downhill for at most `steps` steps.

    Without room, rails and other fences are left out of account altogether. The walk ends when
    no trial gains more than `enough` of its cost.
    """
    n = system.problem.size
    longest = _longest(system.problem, n)
    here = unknowns
    table = tabled(system.blocks(here, with_room), n)
    cost, pull, stiffness = weighted(table, weights)
    damping = np.full(len(here), 1e-2)
    for _ in range(steps):
        transposed = table.slope.transpose(0, 2, 1)
        normal = transposed @ (stiffness[..., None] * table.slope)
        down = (transposed @ pull[..., None])[..., 0]
        diagonal = np.maximum(np.einsum("sii->si", normal), 1e-6)
        damped = normal + (damping[:, None] * diagonal)[..., None] * np.eye(n)
        step = -np.linalg.solve(damped, down[..., None])[..., 0]
        step *= np.minimum(1.0, (longest / np.maximum(np.abs(step), 1e-12)).min(axis=1))[:, None]
        there = here + step
        trial = tabled(system.blocks(there, with_room), n)
        new_cost, new_pull, new_stiffness = weighted(trial, weights)
        better = new_cost < cost
        gained = np.where(better, cost - new_cost, 0.0)
        settled = (gained <= enough * (1 + cost)) & (better | (damping > 1e4))
        here = np.where(better[:, None], there, here)
        table = _chosen(trial, table, better)
        cost = np.where(better, new_cost, cost)
        pull = np.where(better[:, None], new_pull, pull)
        stiffness = np.where(better[:, None], new_stiffness, stiffness)
        damping = np.where(better, np.maximum(damping / 4, 1e-9), np.minimum(damping * 5, 1e6))
        if settled.all():
            break
    # Processors differ in the last digits; here that difference ends before it grows.
    return Settled(np.round(here, ROUNDED), np.round(cost, ROUNDED))


def _chosen(new: Table, old: Table, better: NDArray[np.bool_]) -> Table:
    """For each trial the rows of the new place where it is better, else of the old."""
    if better.all():
        return new
    return replace(
        new,
        value=np.where(better[:, None], new.value, old.value),
        slope=np.where(better[:, None, None], new.slope, old.slope),
    )


def cost_of(system: System, unknowns: Floats, weights: Weights, with_room: bool = True) -> Floats:
    """Cost (S,) of trials as they stand."""
    blocks = system.blocks(unknowns, with_room, sloped=False)
    return weighted(tabled(blocks, 0), weights)[0]


def equations(system: System, trial: Floats) -> tuple[Floats, Floats]:
    """Residuals (m,) of the equations of one trial (n,) and their slopes (m, n)."""
    if not system.problem.relations:
        return np.zeros(0), np.zeros((0, len(trial)))
    table = tabled(system.blocks(trial[None], with_room=False), system.problem.size)
    return table.value[0, table.must], table.slope[0, table.must]


def _longest(problem: Problem, n: int) -> Floats:
    longest = np.full(n, LONGEST_STEP_M)
    longest[2 : 3 * len(problem.bodies) : 3] = LONGEST_STEP_RAD
    return longest
