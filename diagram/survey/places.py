"""Where every fence stands, from tapes: each fence a rigid figure, or each foot on its own.

The tapes are adjusted together (`adjustment`), blunders among them found (`blunders`). What
comes out for a fence is its pose, its covariance, and whether the tapes determine it at all.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct

from diagram.geometry.pose import Point, Pose, wrap
from diagram.planning import Plan
from diagram.stakeout.points import fence_feet
from diagram.survey.adjustment import Adjustment, Array
from diagram.survey.blunders import Snooped, snoop
from diagram.survey.marks import Marks, marks_of
from diagram.survey.network import ARM_M, Network, Rigid, Tape

WIDEST_M = 0.3
"""Metres. A fence that is known with a larger standard error than this is not known."""

POOR_FIT = 3.0
"""Posterior sigma over which another way of standing is tried for each fence."""

BEYOND_NOISE = 2.5
"""Standard errors of a foot by which it must be off the fence's shape to be spoken of."""

MUCH_BETTER = 0.25
"""By this share vᵀPv must fall for a fence to be taken to stand the other way round."""


class Places(Struct, frozen=True):
    """What the tapes say.

    `used` are the tapes that took part. `poses` has every fence, one that is not determined as
    near to the plan as the tapes allow. `moves` (3, n) says for each fence how x, y and heading
    follow the parameters of the network; `misfit_m` how far its worst foot is off its shape.
    """

    marks: Marks
    network: Network
    used: tuple[Tape, ...]
    snooped: Snooped
    poses: dict[str, Pose]
    moves: dict[str, Array]
    misfit_m: dict[str, float]

    @property
    def adjustment(self) -> Adjustment:
        """The adjustment of the tapes that agree."""
        return self.snooped.adjustment

    def determined(self, name: str) -> bool:
        """Whether the tapes say where a fence stands and which way it faces."""
        rows = self.moves[name] * np.array([[1.0], [1.0], [ARM_M]])
        return all(self.adjustment.determines(row) for row in rows)

    def covariance(self, name: str) -> Array:
        """Cofactors (3, 3) of x, y and heading."""
        return self.adjustment.covariance_of(self.moves[name])


def find_places(plan: Plan, tapes: Sequence[Tape], feet_free: bool = False) -> Places:
    """The fences of a plan where `tapes` say they stand.

    With `feet_free` every foot is a point of its own, and a fence stands where its feet fit
    best; tapes to a centre are then not used, for there is nothing at that place.
    """
    marks = marks_of(plan)
    network = Network(marks.fixed, figures_of(plan, marks, feet_free))
    usable = [t for t in tapes if all(p in network.known or p in network.owner for p in ends(t))]
    start = network.start()
    if not feet_free:
        start = _right_way_round(network, usable, start)
    snooped = snoop(usable, lambda some: network.adjusted(some, WIDEST_M, start))
    x = snooped.adjustment.x
    poses, moves, misfit = {}, {}, {}
    for fence in plan.fences:
        own = list(dict.fromkeys(network.owner[foot] for foot in marks.of(fence.name)))
        if feet_free:
            found = _fit(network, snooped.adjustment, own, fence.pose)
            poses[fence.name], moves[fence.name], misfit[fence.name] = found
        else:
            poses[fence.name], misfit[fence.name] = network.pose(x, own[0]), 0.0
            rows = np.zeros((3, len(x)))
            rows[:, network.columns(own[0])] = np.diag([1.0, 1.0, 1 / ARM_M])
            moves[fence.name] = rows
    return Places(marks, network, tuple(usable), snooped, poses, moves, misfit)


def ends(tape: Tape) -> tuple[str, str]:
    """Both points of a tape."""
    return tape.first, tape.second


def figures_of(plan: Plan, marks: Marks, feet_free: bool = False) -> tuple[Rigid, ...]:
    """Figures of the fences in their own frames; or one body for each foot."""
    out: list[Rigid] = []
    for fence in plan.fences:
        feet = {name: marks.feet[name] for name in marks.of(fence.name)}
        if feet_free:
            out += [Rigid(name, {name: (0.0, 0.0)}, Pose(*at, 0.0)) for name, at in feet.items()]
            continue
        feet |= {n: at for n, at in marks.centres.items() if marks.fence[n] == fence.name}
        local = {n: Pose(*at, 0.0).seen_from(fence.pose).point for n, at in feet.items()}
        out.append(Rigid(fence.name, local, fence.pose))
    return tuple(out)


def _right_way_round(network: Network, tapes: Sequence[Tape], start: Array) -> Array:
    """A start from which the tapes are met: fences turned about where that fits far better.

    From the planned pose the steps of the adjustment do not find the way to a fence that stands
    back to front, or whose left and right were taken the other way round.
    """
    found = network.adjusted(tapes, WIDEST_M, start)
    while found.sigma0 > POOR_FIT:
        better = None
        for number, body in enumerate(network.bodies):
            if body.free or not any(p in body.points for t in tapes for p in ends(t)):
                continue
            turned = start.copy()
            turned[network.columns(number)][2:] += math.pi * ARM_M
            trial = network.adjusted(tapes, WIDEST_M, turned)
            best = (better or found)[1].weighted_sum if better else found.weighted_sum
            if trial.weighted_sum < best * (1.0 if better else MUCH_BETTER):
                better = (turned, trial)
        if better is None:
            return start
        start, found = better
    return start


def _fit(
    network: Network, found: Adjustment, own: Sequence[int], planned: Pose
) -> tuple[Pose, Array, float]:
    """The pose that fits the feet best, how it follows the parameters, and the worst misfit.

    Feet that the tapes do not determine take no part where two others do; a misfit within their
    errors is none. The fit is the
    least-squares one of a rigid figure in the plane: middles on each other, turned by the
    angle of the summed cross and dot products.
    """
    n = len(found.x)
    unit = np.eye(n)
    sure = [k for k in own if all(found.determines(r) for r in unit[network.columns(k)])]
    used = sure if len(sure) > 1 else list(own)
    planned_at = [network.bodies[k].start.point for k in used]
    local = np.array([Pose(*at, 0.0).seen_from(planned).point for at in planned_at])
    now = np.array([network.pose(found.x, k).point for k in used])
    middle_local, middle_now = local.mean(axis=0), now.mean(axis=0)
    a, b = local - middle_local, now - middle_now
    cross = float(np.sum(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]))
    heading = math.atan2(cross, float(np.sum(a * b)))
    c, s = math.cos(heading), math.sin(heading)
    turn = np.array([[c, -s], [s, c]])
    at = middle_now - turn @ middle_local
    pose = Pose(float(at[0]), float(at[1]), wrap(heading))
    # How the feet follow the pose; its pseudo-inverse is how the pose follows the feet.
    arms = local @ turn.T
    design = np.zeros((2 * len(used), 3))
    design[0::2, 0] = design[1::2, 1] = 1.0
    design[0::2, 2], design[1::2, 2] = -arms[:, 1], arms[:, 0]
    columns = [c for k in used for c in range(*network.columns(k).indices(n))]
    moves = np.linalg.pinv(design) @ unit[columns]
    misfit = float(np.max(np.linalg.norm(now - (at + arms), axis=1)))
    spread = math.sqrt(float(np.max(np.diag(found.covariance_of(unit[columns])))))
    return pose, moves, misfit if misfit > BEYOND_NOISE * spread else 0.0


def tapes_to_fence(
    plan: Plan, places: Places, name: str, longest_m: float, sigma_m: float
) -> tuple[tuple[str, str], ...]:
    """The fewest further tapes that fix a fence, each from a point that is known to a foot.

    Empty where no tapes of `longest_m` metres reach.
    """
    marks = places.marks
    sure = [fence.name for fence in plan.fences if places.determined(fence.name)]
    known = [*marks.fixed, *(foot for fence in sure for foot in marks.of(fence))]
    rows = places.moves[name] * np.array([[1.0], [1.0], [ARM_M]])
    pairs = [(first, second) for first in known for second in marks.of(name)]
    return _further(places, rows, WIDEST_M, pairs, longest_m, sigma_m)


def tapes_to_line(
    places: Places,
    rows: Array,
    widest_m: float,
    ends: tuple[str, str],
    longest_m: float,
    sigma_m: float,
) -> tuple[tuple[str, str], ...]:
    """The fewest further tapes between two fences that tell a figure with gradients `rows`."""
    first, second = (places.marks.of(name) for name in ends)
    pairs = [(a, b) for a in first for b in second]
    return _further(places, rows, widest_m, pairs, longest_m, sigma_m)


MOST_FURTHER = 5


def _further(
    places: Places,
    rows: Array,
    widest_m: float,
    pairs: Sequence[tuple[str, str]],
    longest_m: float,
    sigma_m: float,
) -> tuple[tuple[str, str], ...]:
    """Tapes among `pairs`, one by one the one after which the figure would be known best.

    With the row h of a tape and its standard error s the covariance P of the parameters becomes
    P - P hᵀ h P / (h P hᵀ + s²).
    """
    x = places.adjustment.x
    covariance = places.adjustment.covariance_of(np.eye(len(x)))
    reach = {
        pair: row
        for pair in pairs
        for length, row in [places.network.row(x, *pair)]
        if length <= longest_m
    }
    out: list[tuple[str, str]] = []
    while _loosest(rows, covariance) > widest_m**2 and reach and len(out) < MOST_FURTHER:
        after = {pair: updated(covariance, row, sigma_m) for pair, row in reach.items()}
        best = min(after, key=lambda pair: float(np.trace(rows @ after[pair] @ rows.T)))
        out.append(best)
        covariance = after[best]
        del reach[best]
    return tuple(out) if _loosest(rows, covariance) <= widest_m**2 else ()


def _loosest(rows: Array, covariance: Array) -> float:
    return float(np.max(np.diag(rows @ covariance @ rows.T)))


def updated(covariance: Array, row: Array, sigma_m: float) -> Array:
    """The covariance once a tape with this row is known too."""
    gain = covariance @ row
    return np.asarray(covariance - np.outer(gain, gain) / (float(row @ gain) + sigma_m**2))


def feet_at(plan: Plan, poses: Mapping[str, Pose]) -> dict[str, Point]:
    """Where the feet of fences at `poses` stand, by the names of the feet."""
    planned = {fence.name: fence.pose for fence in plan.fences}
    return {
        foot.name: Pose(*foot.point, 0.0)
        .seen_from(planned[foot.fence])
        .placed_in(poses.get(foot.fence, planned[foot.fence]))
        .point
        for foot in fence_feet(plan)
    }
