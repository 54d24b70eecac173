"""How thick a fence is counts against the room, in the layout and on the track; by shapely."""

from __future__ import annotations

import math

import numpy as np
import pytest
from sensible_layouts import setting_of
from shapely import LineString, Point

from diagram.geometry.pose import Pose
from diagram.geometry.region import Region
from diagram.path.room import Room
from diagram.placing.posing import pose_problem
from diagram.solver.descent import System
from diagram.solver.standing import BETWEEN_FENCES_M

TEXT = """\
tapeline: 1
title: Two oxers and a third beside
purpose: P.
level: 3'
arena: 60 x 40 m
fences:
  birch: {kind: oxer, spread: 4', at: [20 m, 20 m], facing: 0°}
  hazel: {kind: vertical, at: [42 m, 20 m], facing: 0°}
  elm: {kind: oxer, spread: 5', at: [23 m, 20 m], facing: 0°}
  oak: {kind: oxer, spread: 5', at: [31 m, 24 m], facing: 0°}
ride:
  - jump: birch
  - line: 5 strides
  - jump: hazel
"""


def _blocks() -> tuple[System, dict[str, list[float]]]:
    problem, wrong = pose_problem(setting_of(TEXT))
    assert wrong == []
    places = {"birch": (20, 20), "hazel": (42, 20), "elm": (23, 20), "oak": (31, 24)}
    unknowns = np.zeros(problem.size)
    for n, body in enumerate(problem.bodies):
        unknowns[3 * n : 3 * n + 2] = places[body.name]
    system = System.of(problem)
    values: dict[str, list[float]] = {}
    for block in system.blocks(unknowns[None]):
        values.setdefault(block.what, []).extend(float(value) for value in block.value[0])
    return system, values


def test_two_fences_keep_apart_by_their_own_thickness() -> None:
    system, values = _blocks()
    fences = {b.name: b.parts[0][0] for b in system.problem.bodies}
    assert fences["elm"].half_thick_m == pytest.approx(5 * 0.3048 / 2, abs=0.1)
    # Elm stands 3 m behind birch, side by side: the least gap is that less half of either spread.
    wanted = 3 - fences["birch"].half_thick_m - fences["elm"].half_thick_m - BETWEEN_FENCES_M
    assert min(values["fence to fence"]) == pytest.approx(wanted, abs=0.001)


def test_a_way_keeps_from_the_nearer_face_of_a_fence_beside_it() -> None:
    system, values = _blocks()
    oak = next(b.parts[0][0] for b in system.problem.bodies if b.name == "oak")
    (x0, y0), (x1, y1) = oak.at(Pose(31.0, 24.0, 0.0)).span
    apart = LineString([(x0, y0), (x1, y1)]).distance(LineString([(20, 20), (42, 20)]))
    wanted = apart - oak.half_thick_m - system.problem.limits.canter.manner.fences
    # Places along the way are a stride apart at the most; from one to the pole is hardly longer.
    assert min(abs(value - wanted) for value in values["way to fence"]) < 0.1


def test_a_track_keeps_from_the_nearer_face_of_a_fence() -> None:
    thick = np.array([0.75, 0.1])
    ends = np.array([[[10.0, 10.0], [14.0, 10.0]], [[30.0, 5.0], [30.0, 9.0]]])
    region = Region(((0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (0.0, 40.0)))
    room = Room(region, ends[:, 0], ends[:, 1], thick)
    for place in [(12.0, 13.0), (17.0, 14.0), (28.0, 7.0), (31.0, 12.0)]:
        wanted = min(
            LineString(pole).distance(Point(place)) - half
            for pole, half in zip(ends.tolist(), thick, strict=True)
        )
        assert math.isclose(float(room.clearance(np.array(place))), wanted, abs_tol=1e-9)
