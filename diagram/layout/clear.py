"""Room: how far every track and fence keeps from the rail, from fences and from each other.

For each track only its nearest place counts, and for each track and fence only the nearest few
fences: what is far away crowds nobody.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from diagram.geometry.curve import Floats
from diagram.layout.relations import Problem
from diagram.layout.rows import Block, Ints, Trials, body_columns
from diagram.layout.tracks import Track, Whose
from diagram.trade import gaits

NEAREST = 4
BETWEEN = 4
"""How finely the way between two places of a track is looked at: a fence end-on is narrow."""
FREE_AFTER = 4.0
"""Metres from either end over which a way's own fences are no obstacle to it."""
NOWHERE_M = 1e3
"""Metres of room where a way has nothing to keep clear of."""
BETWEEN_FENCES_M = 1.0
"""Metres from standard to standard, for the crew to pass (common practice, no source)."""
RAIL_SCALE, FENCE_SCALE, APART_SCALE = 2.0, 2.5, 3.0
"""Metres of room to spare at which a thing crowds half as much as with none."""


@dataclass(frozen=True, slots=True)
class Standing:
    """The single fences of a problem: body, offset in it, half width and half depth.

    `pairs` (P, 2) are fences of different bodies.
    """

    body: Ints
    offset: Floats
    half: Floats
    thick: Floats
    names: tuple[str, ...]
    pairs: Ints
    pair_numbers: tuple[tuple[int, int], ...]

    @classmethod
    def of(cls, problem: Problem) -> Standing:
        """The single fences in order. Poles on the ground count as well."""
        found = [
            (number, pose, fence)
            for number, body in enumerate(problem.bodies)
            for fence, pose in body.parts
        ]
        placed = [fence.at(pose) for _, pose, fence in found]
        body = np.array([number for number, _, _ in found])
        pairs = [(i, j) for i in range(len(found)) for j in range(len(found)) if body[i] != body[j]]
        return cls(
            body,
            np.array([(pose.x, pose.y, pose.heading) for _, pose, _ in found]),
            np.array([p.reach_m for p in placed]),
            np.array([p.fence.depth_m / 2 for p in placed]),
            tuple(fence.name for _, _, fence in found),
            np.array(pairs, dtype=np.int64).reshape(-1, 2),
            tuple(pairs),
        )


@dataclass(frozen=True, slots=True)
class Ground:
    """Where the single fences stand in each trial: middles (S, F, 2) and units along the poles."""

    middle: Floats
    along: Floats
    body: Floats


def _ground(fences: Standing, trials: Trials) -> Ground:
    at = trials.unknowns[:, fences.body[:, None] * 3 + np.arange(3)]
    c, s = np.cos(at[..., 2]), np.sin(at[..., 2])
    dx, dy, dh = fences.offset.T
    middle = np.stack([at[..., 0] + c * dx - s * dy, at[..., 1] + s * dx + c * dy], axis=-1)
    heading = at[..., 2] + dh
    along = np.stack([-np.sin(heading), np.cos(heading)], axis=-1)
    return Ground(middle, along, at[..., :2])


def clear_rows(
    problem: Problem, fences: Standing, trials: Trials, track: Track | None, whose: Whose | None
) -> list[Block]:
    """Blocks of limits with room to spare."""
    ground = _ground(fences, trials)
    out = [_fence_to_rail(problem, fences, ground)]
    if track and whose:
        out.append(_track_to_rail(problem, track, whose))
        out.append(_track_to_fences(problem, track, whose, fences, ground))
    if len(fences.pairs):
        out.append(_fence_to_fence(fences, ground))
    return out


def _fence_to_rail(problem: Problem, fences: Standing, ground: Ground) -> Block:
    """The end of each fence that is nearer to the rail."""
    sides = np.array([1.0, -1.0])
    reach = sides[:, None, None] * fences.half[:, None]
    ends = ground.middle[:, None] + reach * ground.along[:, None]
    depth, normal = problem.region.inside_and_slope(ends)
    side = depth.argmin(axis=1)[:, None]
    depth = np.take_along_axis(depth, side, 1)[:, 0]
    normal = np.take_along_axis(normal, side[..., None], 1)[:, 0]
    end = np.take_along_axis(ends, side[..., None], 1)[:, 0]
    slope = np.concatenate([normal, _turning(normal, end - ground.body)], axis=-1)
    least = gaits.clearance("fence to rail").low
    about = tuple((n,) for n in range(len(fences.names)))
    columns = body_columns(fences.body)
    return Block("limit", "fence to rail", depth - least, slope, columns, about, RAIL_SCALE)


def _turning(direction: Floats, arm: Floats) -> Floats:
    """Slope along `direction` of a point at `arm` from a pose as the pose turns, (..., 1)."""
    return (direction[..., 1] * arm[..., 0] - direction[..., 0] * arm[..., 1])[..., None]


def _track_to_rail(problem: Problem, track: Track, whose: Whose) -> Block:
    places = np.stack([track.x.value, track.y.value], axis=-1)
    depth, normal = problem.region.inside_and_slope(places)
    nearest = depth.argmin(axis=-1)[..., None]
    depth = np.take_along_axis(depth, nearest, -1)[..., 0]
    normal = np.take_along_axis(normal, nearest[..., None], 2)[:, :, 0]
    dx = np.take_along_axis(track.x.slope, nearest[..., None], 2)[:, :, 0]
    dy = np.take_along_axis(track.y.slope, nearest[..., None], 2)[:, :, 0]
    slope = dx * normal[..., 0, None] + dy * normal[..., 1, None]
    least = problem.limits.canter.manner.rail
    columns = whose.columns
    return Block("limit", "way to rail", depth - least, slope, columns, whose.about, RAIL_SCALE)


def _track_to_fences(
    problem: Problem, track: Track, whose: Whose, fences: Standing, ground: Ground
) -> Block:
    """For each way the nearest fences, at the place of the way nearest to each.

    Both coordinates are kept apart here: this is the widest array of all.
    """
    px, py = _between(track.x.value), _between(track.y.value)
    (mx, my), (ax, ay) = (np.moveaxis(v, -1, 0) for v in (ground.middle, ground.along))
    dx = px[..., None] - mx[:, None, None]
    dy = py[..., None] - my[:, None, None]
    share = dx * ax[:, None, None]
    share += dy * ay[:, None, None]
    np.clip(share, -fences.half, fences.half, out=share)
    dx -= share * ax[:, None, None]
    dy -= share * ay[:, None, None]
    squared = dx * dx
    squared += dy * dy
    squared[_excused(whose, fences, px, py)] = np.inf
    nearest = squared.argmin(axis=2)
    gap = np.take_along_axis(squared, nearest[:, :, None], 2)[:, :, 0]
    gap = np.sqrt(gap) - fences.thick
    few = min(NEAREST, gap.shape[2])
    which = np.argsort(gap, axis=2, kind="stable")[:, :, :few]
    gap = np.take_along_axis(gap, which, 2)
    if not track.x.slope.shape[-1]:
        return _gathered(problem, whose, fences, gap, None, which)
    trial, row = np.arange(len(gap))[:, None, None], np.arange(gap.shape[1])[None, :, None]
    sample = np.take_along_axis(nearest, which, 2)
    at = trial, row, sample, which
    away = np.stack([dx[at], dy[at]], axis=-1)
    place = np.stack([px[at[:3]], py[at[:3]]], axis=-1)
    unit = away / np.maximum(np.sqrt((away**2).sum(-1)), 1e-9)[..., None]
    arm = place - away - ground.body[trial, which]
    # A place between two others moves with both, in the shares it was put between them.
    before, part = sample // BETWEEN, (sample % BETWEEN / BETWEEN)[..., None]
    after = np.minimum(before + 1, track.x.value.shape[2] - 1)
    sx, sy = (
        (1 - part) * dual.slope[trial, row, before] + part * dual.slope[trial, row, after]
        for dual in (track.x, track.y)
    )
    slope = np.concatenate(
        [sx * unit[..., :1] + sy * unit[..., 1:], -unit, -_turning(unit, arm)], axis=-1
    )
    return _gathered(problem, whose, fences, gap, slope, which)


def _between(values: Floats) -> Floats:
    """Coordinates (S, R, K) with more places put between each and the next."""
    steps = np.arange(BETWEEN) / BETWEEN
    parts = values[..., :-1, None] + steps * np.diff(values, axis=-1)[..., None]
    dense = parts.reshape(*values.shape[:2], -1)
    return np.concatenate([dense, values[..., -1:]], axis=2)


def _excused(whose: Whose, fences: Standing, px: Floats, py: Floats) -> NDArray[np.bool_]:
    """Whether a place (S, R, K) is excused from keeping clear of a fence (F).

    The fences at its own ends stand in nobody's way, except further on in a turn.
    """
    own = (whose.own[:, :, None] == fences.body).any(axis=1)
    near = np.zeros(px.shape, dtype=bool)
    for end in (0, -1):
        near |= (px - px[..., end, None]) ** 2 + (py - py[..., end, None]) ** 2 < FREE_AFTER**2
    near |= ~whose.looks_back[:, None]
    excused: NDArray[np.bool_] = near[..., None] & own[None, :, None]
    return excused


def _gathered(
    problem: Problem, whose: Whose, fences: Standing, gap: Floats, slope: Floats | None, which: Ints
) -> Block:
    """Rows whose fence differs from trial to trial, so that their slopes are by all unknowns."""
    trials, rows, few = gap.shape
    least = problem.limits.canter.manner.fences
    excused = ~np.isfinite(gap)
    value = np.where(excused, NOWHERE_M, gap - least).reshape(trials, rows * few)
    about = tuple((kind, n, k) for kind, n in whose.about for k in range(few))
    if slope is None:
        none = np.zeros((trials, rows * few, 0))
        return Block("limit", "way to fence", value, none, None, about, FENCE_SCALE)
    q = slope.shape[-1] - 3
    wide = np.zeros((trials, rows, few, problem.size + 1))
    for n in range(few):
        wide[:, np.arange(rows)[:, None], n, whose.columns] = slope[:, :, n, :q]
    trial, row, near = np.ogrid[:trials, :rows, :few]
    at = 3 * fences.body[which]
    for axis in range(3):
        wide[trial, row, near, at + axis] += slope[..., q + axis]
    wide[excused] = 0.0
    dense = wide[..., : problem.size].reshape(trials, rows * few, problem.size)
    return Block("limit", "way to fence", value, dense, None, about, FENCE_SCALE)


def _fence_to_fence(fences: Standing, ground: Ground) -> Block:
    """Ends and middle of one fence against the poles of another, nearest place of each pair."""
    i, j = fences.pairs.T
    share = np.array([-1.0, -0.5, 0.0, 0.5, 1.0])
    reach = share[None, None, :, None] * fences.half[i][:, None, None]
    places = ground.middle[:, i, None] + reach * ground.along[:, i, None]
    from_middle = places - ground.middle[:, j, None]
    along = (from_middle * ground.along[:, j, None]).sum(-1)
    along = np.clip(along, -fences.half[j][:, None], fences.half[j][:, None])
    away = from_middle - along[..., None] * ground.along[:, j, None]
    gap = np.sqrt((away**2).sum(-1))
    nearest = gap.argmin(axis=-1)[..., None]
    gap = np.take_along_axis(gap, nearest, -1)[..., 0]
    away = np.take_along_axis(away, nearest[..., None], 2)[:, :, 0]
    place = np.take_along_axis(places, nearest[..., None], 2)[:, :, 0]
    unit = away / np.maximum(gap, 1e-9)[..., None]
    slope = np.concatenate(
        [
            unit, _turning(unit, place - ground.body[:, i]),
            -unit, -_turning(unit, place - away - ground.body[:, j]),
        ],
        axis=-1,
    )  # fmt: skip
    value = gap - fences.thick[i] - fences.thick[j] - BETWEEN_FENCES_M
    columns = body_columns(fences.body[i], fences.body[j])
    return Block("limit", "fence to fence", value, slope, columns, fences.pair_numbers, APART_SCALE)
