"""Pieces of the best design lie where a small step along their lines costs no less."""

import math
from itertools import product
from pathlib import Path

import numpy as np
import pytest
from said import SIXTY
from test_sixty import placed

from diagram.geometry.pose import Pose
from diagram.model import Definition, validate
from diagram.placing.designer.design import FINE_STRIDES, GAINED, Design, designs, finer_designs
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.reckoning import reckoned
from diagram.placing.designer.search import MOVED
from diagram.placing.posing import pose_problem
from diagram.planning import read_setting
from diagram.source import read_text

SOME = ("two outside lines", "line, diagonal", "two outside lines, gate on the long side")
CIRCLE = Path(__file__).parents[2] / "exercises/circle-of-four.yaml"


def ground_of(text: str, name: str = "said.yaml") -> DesignGround:
    document = read_text(text, name)
    setting = read_setting(document, validate(document, Definition))
    gate = setting.arena.gate
    return DesignGround(pose_problem(setting)[0], gate.middle if gate else None)


def found(ground: DesignGround) -> tuple[Design, Design]:
    """The first design, and the same with its pieces moved along their lines."""
    first = next(designs(ground.problem, ground.gate))
    return first, next(finer_designs(ground.problem, ground.gate, first), first)


def cost(ground: DesignGround, poses: tuple[Pose, ...]) -> float:
    names = (body.name for body in ground.problem.bodies)
    return sum(c.cost for c in reckoned(ground, dict(zip(names, poses, strict=True))))


@pytest.mark.parametrize("said", [s for s in SIXTY if s.name in SOME], ids=lambda s: s.name)
def test_moved_along_its_line_by_less_than_a_place_of_the_grid_it_costs_less(said) -> None:
    ground = ground_of(said.text)
    first, finer = found(ground)
    assert finer.cost <= first.cost - GAINED
    assert cost(ground, finer.arrangement.poses) < cost(ground, first.arrangement.poses)
    # Half a stride is from one place on the grid to the next.
    most = FINE_STRIDES * ground.problem.limits.canter.stride_m + 1e-6
    for before, after in zip(first.arrangement.poses, finer.arrangement.poses, strict=True):
        assert after.heading == pytest.approx(before.heading, abs=1e-9)
        moved = after.seen_from(before)
        assert abs(moved.y) < 1e-6
        assert abs(moved.x) <= most


@pytest.mark.parametrize("said", [s for s in SIXTY if s.name in SOME], ids=lambda s: s.name)
def test_no_single_step_along_a_line_costs_much_less(said) -> None:
    ground = ground_of(said.text)
    _, finer = found(ground)
    poses = finer.arrangement.poses
    least = cost(ground, poses)
    step = ground.problem.limits.canter.stride_m / 8
    for piece, way in product(ground.pieces, (step, -step)):
        lead = poses[piece.bodies[0]].heading
        shift = way * math.cos(lead), way * math.sin(lead)
        moved = tuple(
            Pose(p.x + shift[0], p.y + shift[1], p.heading) if n in piece.bodies else p
            for n, p in enumerate(poses)
        )
        # What a move has to gain, and what it is priced with; five in a hundred is what a change of
        # arrangement has to gain.
        most = max(GAINED + MOVED * step, 0.05 * least)
        assert cost(ground, moved) > least - most - 1e-6


def test_a_circle_that_is_all_there_is_stays_in_the_middle() -> None:
    """By the terms it would go nearly half a metre along the arena, to use more of that."""
    ground = ground_of(CIRCLE.read_text(encoding="utf-8"), str(CIRCLE))
    first, finer = found(ground)
    assert finer is first
    along = np.mean([p.x for p in finer.arrangement.poses])
    assert along == pytest.approx(ground.middle.real, abs=1e-6)


def test_a_fence_jumped_back_and_forth_stands_along_the_rail_about_the_middle() -> None:
    """No plain turn leads back over the same fence; it stands on a usual line all the same."""
    (eight,) = (s for s in SIXTY if s.name == "eight over one fence")
    (fence,) = placed(eight).fences
    # What pushes it till it fits holds a fence to its line within a tenth of a degree.
    assert abs(math.sin(fence.pose.heading)) < math.radians(0.1)
    assert fence.pose.x == pytest.approx(30.0, abs=0.1)
