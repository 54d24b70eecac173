"""The fewest moves, against a search that tries every set of fences."""

from __future__ import annotations

from itertools import chain, combinations, pairwise

import numpy as np
import pytest
from as_built_trials import TAPE_M, exercise, taped

from diagram.geometry.bend import saving, vertex_distances
from diagram.geometry.pose import Pose, wrap
from diagram.planning import Plan, plan_of_places
from diagram.survey.as_built import Options, as_built
from diagram.survey.lines_now import Ruler, lines_of
from diagram.survey.moves import fewest_moves

GRID = "grid-from-trot-on-the-centre-line"
BENDS = "forward-wait-and-a-double"
ANGLE = "straight-out-and-home-on-an-angle"


def _rides(plan: Plan, poses: dict[str, Pose]) -> bool:
    """Whether each line of the plan, ridden anew, is as long as planned within 6 in or 1 ft.

    Those figures are common practice, no source.
    """
    built = plan_of_places(plan, poses)
    for leg in plan.legs:
        if leg.shape != "line" or leg.first is None or leg.second is None:
            continue
        strides = leg.strides or 0
        allowed = 0.1524 if strides <= 2 else 0.3048
        if abs(built.legs[leg.number].track_m - leg.track_m) > allowed:
            return False
    return True


@pytest.mark.parametrize("seed", range(6))
def test_no_smaller_set_would_do(seed: int) -> None:
    """Every smaller set of fences, put anywhere on a fine grid along the line, leaves it wrong."""
    plan = exercise(GRID)
    random = np.random.default_rng(seed)
    poses = {f.name: f.pose.ahead(float(random.choice([-0.5, 0, 0, 0.4]))) for f in plan.fences}
    found = fewest_moves(plan, lines_of(plan), poses, frozenset(), lambda now: now.as_asked)
    assert found is not None
    moved = dict(poses) | {move.fence: move.end for move in found.moves}
    assert _rides(plan, moved)
    names = list(poses)
    along = {name: [float(poses[name].x - plan.fence(name).pose.x)] for name in names}
    steps = np.linspace(-1.0, 1.0, 41)
    for some in chain.from_iterable(combinations(names, n) for n in range(len(found.moves))):
        assert not _some_place_does(plan, along, some, steps), some


def _some_place_does(
    plan: Plan, along: dict[str, list[float]], some: tuple[str, ...], steps: np.ndarray
) -> bool:
    """Whether the fences of `some` can be shifted along the grid so that all gaps are right.

    All fences stand in one line, so a gap changes by the difference of two shifts: one pass along
    the line with the shifts that are still possible settles it.
    """
    fences = [fence.name for fence in plan.fences]
    gaps = {
        (leg.first.jump.fence, leg.second.jump.fence): 0.1524
        for leg in plan.legs
        if leg.first and leg.second
    }
    possible = list(steps) if fences[0] in some else along[fences[0]]
    for before, after in pairwise(fences):
        shifts = list(steps) if after in some else along[after]
        allowed = gaps[before, after]
        possible = [s for s in shifts if any(abs(s - p) <= allowed + 1e-9 for p in possible)]
    return bool(possible)


def test_a_line_at_the_end_of_its_range_is_mended_only_when_asked() -> None:
    """Off by twenty inches over five strides: it rides as five, so nothing must be moved."""
    plan = exercise(ANGLE)
    found = as_built(plan, taped(plan, {"alder": (0.5, 0.0, 0.0)}), Options(TAPE_M))
    assert found.remedy is not None
    assert found.exact is not None
    assert not found.remedy.moves
    assert [move.fence for move in found.exact.moves] == ["alder"]
    assert found.exact.to_plan
    loose = as_built(plan, taped(plan, {"alder": (0.5, 0.0, 0.0)}), Options(TAPE_M, within_m=0.8))
    assert loose.exact is not None
    assert not loose.exact.moves


def test_a_whole_exercise_that_is_shifted_stays() -> None:
    """Everything 40 cm to the east: the fences are off, the lines are right, nothing is moved."""
    plan = exercise(BENDS)
    poses = {f.name: Pose(f.pose.x + 0.4, f.pose.y, f.pose.heading) for f in plan.fences}
    found = fewest_moves(plan, lines_of(plan), poses, frozenset(), lambda now: now.as_asked)
    assert found is not None
    assert found.moves == ()


def test_the_neighbour_that_stays_off_is_followed() -> None:
    """Two fences of a three-fence line off alike: one is moved, to where its lines are right."""
    plan = exercise(GRID)
    poses = {f.name: f.pose for f in plan.fences}
    for name in ("grid c", "grid d"):
        poses[name] = poses[name].ahead(0.5)
    found = fewest_moves(plan, lines_of(plan), poses, frozenset(), lambda now: now.as_asked)
    assert found is not None
    ruler = Ruler(plan)
    moved = dict(poses) | {move.fence: move.end for move in found.moves}
    assert all(ruler.now(line, moved).as_asked for line in lines_of(plan))
    assert len(found.moves) == 2


def test_bends_are_measured_on_the_planned_arc() -> None:
    """The track of a bend is a + b - r (2 reach - run), with the radius r that the plan has."""
    plan = exercise(BENDS)
    line = next(line for line in lines_of(plan) if line.leg.shape == "bend")
    ruler = Ruler(plan)
    first, second = line.ends
    poses = {f.name: f.pose for f in plan.fences}
    poses[second] = poses[second].ahead(0.4)
    length, *_ = ruler.measure(line, poses)
    start = poses[first].ahead(plan.fence(first).fence.depth_m / 2)
    end = poses[second].ahead(-plan.fence(second).fence.depth_m / 2)
    distances = vertex_distances(start, end)
    assert distances is not None
    turn = wrap(end.heading - start.heading)
    assert length == pytest.approx(sum(distances) - line.leg.min_radius_m * saving(turn), abs=1e-6)
    # Forty centimetres on in the direction of the second fence are forty more of track.
    assert length - line.planned_m == pytest.approx(0.4, abs=1e-6)
