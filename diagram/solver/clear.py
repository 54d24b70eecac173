"""Room: how far every track and fence keeps from the rail, from fences and from each other.

For each track only its nearest place counts, and for each track and fence only the nearest few
fences: what is far away crowds nobody.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Dual, Numbers
from diagram.geometry.region import ALIKE, first_least
from diagram.path.room import FREE_AFTER
from diagram.solver.relations import Problem
from diagram.solver.rows import Ints, RowBlock, Trials, along_slope
from diagram.solver.standing import BETWEEN_FENCES_M, Excused, Standing, StandingAt
from diagram.solver.tracks import Paths
from diagram.trade import gaits

NEAREST = 4
NOWHERE_M = 1e3
"""Metres of room where there is nothing near to keep clear of."""
RAIL_SCALE, FENCE_SCALE, APART_SCALE = 2.0, 2.5, 3.0
"""Metres of room to spare at which a thing crowds half as much as with none."""
ALONG_FENCE = np.array([-1.0, -0.5, 0.0, 0.5, 1.0])


class Clearances(Struct, frozen=True):
    """What has to keep clear of what in a problem, made ready once for many evaluations."""

    problem: Problem
    fences: Standing
    paths: Paths | None
    excused: tuple[Excused, ...]
    about: tuple[tuple[int, ...], ...]

    @classmethod
    def of(cls, problem: Problem, paths: Paths | None) -> Clearances:
        """For the fences of a problem and its ways."""
        fences = Standing.of(problem)
        both = (paths.given, paths.close) if paths else ()
        excused = tuple(Excused.of(fences.body, paths, spots) for spots in both if paths)
        few = min(NEAREST, len(fences.body))
        ways = paths.about if paths else ()
        about = tuple((kind, n, k) for kind, n in ways for k in range(few))
        return cls(problem, fences, paths, excused, about)

    def size(self, fine: bool) -> int:
        """Number of distances of places from fences in each trial."""
        if not self.paths:
            return len(self.fences.body)
        return len(self.fences.body) * len((self.paths.given, self.paths.close)[fine].way)

    def rows(self, trials: Trials, tracks: list[Dual]) -> list[RowBlock]:
        """Blocks of limits with room to spare. `tracks` (S, R, K) are those of all ways."""
        ground = StandingAt.of(self.fences, trials)
        out = [_fence_to_rail(self, ground, trials.sloped)]
        if self.paths:
            track = self.paths.joined(tracks)
            out.append(_track_to_rail(self, self.paths, track))
            out.append(_track_to_fences(self, self.paths, track, ground, trials.fine))
        if self.fences.pairs.size:
            out.append(_fence_to_fence(self.fences, ground, trials.sloped))
        return out


def _at(values: Numbers, numbers: Ints) -> Numbers:
    """Entries of the last axis of (..., P), by their numbers (..., R)."""
    rows, columns = values.reshape(-1, values.shape[-1]), numbers.reshape(-1, numbers.shape[-1])
    found: Numbers = rows[np.arange(len(rows))[:, None], columns]
    return found.reshape(numbers.shape)


def _pairs(places: Numbers) -> Floats:
    """Places (...) as coordinates (..., 2)."""
    return np.ascontiguousarray(places).view(np.float64).reshape(*places.shape, 2)


def _inward(problem: Problem, places: Numbers) -> Numbers:
    """Directions away from the nearest rail."""
    _, normal = problem.region.inside_and_slope(_pairs(places))
    inward: Numbers = normal[..., 0] + 1j * normal[..., 1]
    return inward


def _fence_to_rail(clear: Clearances, ground: StandingAt, sloped: bool) -> RowBlock:
    """The corner of each fence that is nearest to the rail."""
    problem, count = clear.problem, clear.fences.fences
    middle, along, arm = (v[:, :count] for v in (ground.middle, ground.along, ground.arm))
    corners = middle[..., None] + along[..., None] * (clear.fences.corners * -1j)
    depth = problem.region.inside(_pairs(corners))
    nearest = first_least(depth)[..., None]
    value = _at(depth, nearest)[..., 0] - gaits.clearance("fence to rail").low
    slope = np.zeros((*value.shape, 0))
    if sloped:
        corner = _at(corners, nearest)[..., 0]
        slope = along_slope(_inward(problem, corner), corner - middle + arm)
    about = tuple((n,) for n in range(count))
    columns = clear.fences.columns[:count]
    return RowBlock("limit", "fence to rail", value, slope, columns, about, RAIL_SCALE)


def _track_to_rail(clear: Clearances, paths: Paths, track: Dual) -> RowBlock:
    problem = clear.problem
    depth = problem.region.inside(_pairs(track.value))
    nearest = paths.given.nearest(depth)
    value = _at(depth, nearest) - problem.limits.canter.manner.rail
    slope = np.zeros((*value.shape, 0))
    if track.slope.shape[-1]:
        inward = _inward(problem, _at(track.value, nearest))
        moving = np.take_along_axis(track.slope, nearest[..., None], 1)
        slope = (inward.conj()[..., None] * moving).real
    return RowBlock("limit", "way to rail", value, slope, paths.columns, paths.about, RAIL_SCALE)


def _track_to_fences(
    clear: Clearances, paths: Paths, track: Dual, ground: StandingAt, fine: bool
) -> RowBlock:
    """For each way the nearest fences, at the place of the way nearest to each."""
    fences = clear.fences
    spots = paths.close if fine else paths.given
    places = paths.closely(track.value) if fine else track.value
    squared = _squared_distances(places, fences, ground)
    _excuse(squared, places, clear.excused[fine])
    nearest = spots.nearest(squared)
    gaps = np.sqrt(_at(squared, nearest)).transpose(0, 2, 1) - fences.thick
    few = min(NEAREST, gaps.shape[2])
    which = np.argsort(gaps + ALIKE * np.arange(gaps.shape[2]), axis=2)[:, :, :few]
    gap = _at(gaps, which)
    excused = ~np.isfinite(gap)
    gap[excused] = NOWHERE_M
    value = (gap - clear.problem.limits.canter.manner.fences).reshape(len(gap), -1)
    slope = np.zeros((*value.shape, 0))
    if track.slope.shape[-1]:
        at = _at(nearest.transpose(0, 2, 1), which)
        trial = np.arange(len(at))[:, None, None]
        moving = track.slope[trial, paths.before[at]] if fine else track.slope[trial, at]
        if fine:
            # A place between two others moves with both, in the shares it was put between them.
            ahead = track.slope[trial, paths.after[at]]
            moving = moving + (ahead - moving) * paths.share[at][..., None]
        wide = _way_to_fence_slopes(
            clear,
            paths,
            moving,
            places[trial, at],
            StandingAt(
                ground.middle[trial, which], ground.along[trial, which], ground.arm[trial, which]
            ),
            which,
        )
        wide[excused] = 0.0
        slope = wide.reshape(*value.shape, -1)
    return RowBlock("limit", "way to fence", value, slope, None, clear.about, FENCE_SCALE)


def _squared_distances(places: Numbers, fences: Standing, ground: StandingAt) -> Floats:
    """Squares (S, F, P) of the distances of places (S, P) from the poles of fences.

    This is the widest array of all, so it is gone over few times: how far along the poles and
    across them the places lie is one product of matrices.
    """
    back = ground.along.conj()
    origin = -ground.middle * back
    # Along is the real part of (place - middle) * back, across the imaginary part.
    rows = np.empty((len(back), 2, back.shape[1], 3))
    rows[:, 0, :, 0], rows[:, 0, :, 1], rows[:, 0, :, 2] = back.real, -back.imag, origin.real
    rows[:, 1, :, 0], rows[:, 1, :, 1], rows[:, 1, :, 2] = back.imag, back.real, origin.imag
    columns = np.ones((len(places), 1, 3, places.shape[1]))
    columns[:, 0, 0], columns[:, 0, 1] = places.real, places.imag
    both = rows @ columns
    along, across = both[:, 0], both[:, 1]
    np.abs(along, out=along)
    along -= fences.half[:, None]
    np.maximum(along, 0.0, out=along)
    along *= along
    across *= across
    along += across
    squared: Floats = along
    return squared


def _excuse(squared: Floats, places: Numbers, excused: Excused) -> None:
    """Put fences infinitely far from the places (S, F, P) that need not keep clear of them."""
    fence, place = excused.always
    squared[:, fence, place] = np.inf
    fence, place, first, last = excused.near
    at = places[:, place]
    near = np.minimum(np.abs(at - places[:, first]), np.abs(at - places[:, last])) < FREE_AFTER
    squared[:, fence, place] += np.where(near, np.inf, 0.0)


def _way_to_fence_slopes(
    clear: Clearances, paths: Paths, moving: Numbers, place: Numbers, near: StandingAt, which: Ints
) -> Floats:
    """Slopes (S, R, few, n) of the gap between places of ways and fences, by all unknowns.

    `moving` (S, R, few, q) is how the places move; `near` holds the fences, `which` their numbers.
    They differ from trial to trial, so the slopes are by all unknowns.
    """
    fences = clear.fences
    half = fences.half[which]
    seen = (place - near.middle) * near.along.conj()
    reach = np.minimum(np.maximum(seen.real, -half), half)
    foot = near.middle + reach * near.along
    away = place - foot
    unit = away / np.maximum(np.abs(away), 1e-9)
    trials, rows, few = which.shape
    trial = np.arange(trials)[:, None, None]
    row, nth = np.arange(rows)[:, None], np.arange(few)
    wide = np.zeros((trials, rows, few, clear.problem.size + 1))
    by_way = (unit.conj()[..., None] * moving).real
    wide[:, row[:, None], nth[:, None], paths.columns[:, None]] = by_way
    of_fence = along_slope(unit, foot - near.middle + near.arm)
    for axis in range(3):
        wide[trial, row, nth, fences.columns[which, axis]] -= of_fence[..., axis]
    return wide[..., : clear.problem.size]


def _fence_to_fence(fences: Standing, ground: StandingAt, sloped: bool) -> RowBlock:
    """Ends and middle of one fence, or a post, against the poles of another: the nearest place.

    Only pairs that are close enough to matter are looked at.
    """
    i, j = fences.pairs
    apart = np.abs(ground.middle[:, i] - ground.middle[:, j])
    trial, pair = (apart < fences.reach).nonzero()
    i, j = i[pair], j[pair]
    own, other = ground.along[trial, i], ground.along[trial, j]
    reach = (fences.half[i] * own)[:, None] * ALONG_FENCE
    middles = ground.middle[trial, i] - ground.middle[trial, j]
    seen = (middles[:, None] + reach) * other.conj()[:, None]
    foot = np.clip(seen.real, -fences.half[j][:, None], fences.half[j][:, None])
    away = seen - foot
    gaps = np.abs(away)
    nearest = first_least(gaps)[:, None]
    gap = _at(gaps, nearest)[:, 0]
    value = np.full(apart.shape, NOWHERE_M)
    value[trial, pair] = gap - fences.thick[i] - fences.thick[j] - BETWEEN_FENCES_M
    slope = np.zeros((*value.shape, 6 if sloped else 0))
    if sloped:
        unit = _at(away, nearest)[:, 0] / np.maximum(gap, 1e-9) * other
        arm = _at(reach, nearest)[:, 0] + ground.arm[trial, i]
        other_arm = _at(foot, nearest)[:, 0] * other + ground.arm[trial, j]
        both = along_slope(unit, arm), -along_slope(unit, other_arm)
        slope[trial, pair] = np.concatenate(both, axis=-1)
    columns = fences.columns[fences.pairs].transpose(1, 0, 2).reshape(-1, 6)
    about = tuple((one, two) for one, two in fences.pairs.T.tolist())
    return RowBlock("limit", "fence to fence", value, slope, columns, about, APART_SCALE)
