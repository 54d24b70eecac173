"""What the printed pages say, as plain values: so that others can make pages of their own.

Metres in the frame of the arena, degrees anticlockwise, curvature in 1/m with the left positive.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from diagram.drawing.beads import changes_over
from diagram.drawing.parts import parts_of
from diagram.drawing.strand import crossings
from diagram.exercise.arena import Arena
from diagram.exercise.course import ElementLesson
from diagram.exercise.fence import Fence
from diagram.plain import degrees, metres
from diagram.planning import Plan, PlanLeg

TRACK_STEP_M, CROSSING_STEP_M = 1.0, 0.5
"""Metres between points of a track, and between those that are looked at for crossings."""
AT_FENCE_M = 1.5
"""Metres of a fence within which passes meet because both jump it."""


def _point(point: tuple[float, float]) -> list[float]:
    return [metres(point[0]), metres(point[1])]


def arena_values(arena: Arena) -> dict[str, Any]:
    """Sides by name, gate, letters and posts."""
    gate = arena.gate
    return {
        "sides": {name: [_point(a), _point(b)] for name, (a, b) in arena.sides.items()},
        "gate": None
        if gate is None
        else {"side": gate.side, "middle": _point(gate.middle), "width_m": metres(gate.width)},
        "letters": {name: _point(at) for name, at in arena.letters.items()},
        "posts": {name: _point(at) for name, at in arena.posts.items()},
    }


def exercise_texts(plan: Plan) -> dict[str, Any]:
    """What is said of the whole exercise."""
    said = plan.definition
    return {
        "purpose": said.purpose,
        "scenario": said.scenario,
        "minutes": said.minutes,
        "level_m": None if said.level is None else metres(said.level),
        "if_it_goes_wrong": list(said.if_it_goes_wrong),
        "warm_up": list(said.warm_up),
        "easier": list(said.easier),
        "harder": list(said.harder),
        "leads_to": list(said.leads_to),
        "notes": list(said.notes),
        "allow": dict(said.allow),
    }


def lesson_values(lesson: ElementLesson) -> dict[str, Any]:
    """What is taught of one way or one jump."""
    return {
        "purpose": lesson.purpose,
        "watch": list(lesson.watch),
        "passed_when": lesson.passed_when,
        "if_it_goes_wrong": list(lesson.if_it_goes_wrong),
    }


def jump_values(plan: Plan) -> list[dict[str, Any]]:
    """Every jump in order: its side, the lead it lands on, and whether that is changed over it."""
    parts = parts_of(plan)
    out = []
    for leg in plan.legs:
        if leg.second is None:
            continue
        jump = leg.second.jump
        after = plan.legs[leg.number + 1]
        out.append(
            {
                "number": jump.number,
                "fence": jump.fence,
                "part_of": jump.whole or None,
                "phase": parts.of(leg) + 1,
                "other_side": jump.from_behind,
                "angle_deg": degrees(jump.angle),
                "landing_lead": after.lead,
                "asked_lead": jump.land,
                "changed_over_fence": changes_over(leg, after),
                "texts": lesson_values(jump.lesson),
            }
        )
    return out


def curve_values(leg: PlanLeg) -> dict[str, Any]:
    """The track of a leg: where it begins, its pieces of even curvature, and points along it."""
    start = leg.curve.start
    points = leg.curve.points(TRACK_STEP_M) if leg.track_m > 0 else np.array([start.point])
    return {
        "begins": [*_point(start.point), round(math.degrees(start.heading), 4) + 0.0],
        "pieces": [
            {"length_m": metres(p.length), "k0": round(p.k0, 6) + 0.0, "k1": round(p.k1, 6) + 0.0}
            for p in leg.curve.pieces
        ],
        "points_m": [_point((x, y)) for x, y in points.tolist()],
    }


def crossing_values(plan: Plan) -> list[dict[str, Any]]:
    """Where the ridden line crosses itself: the place, the leg ridden later and the earlier one."""
    points, along, legs = [], [], []
    at = 0.0
    for leg in plan.legs:
        s = leg.curve.stations(CROSSING_STEP_M)
        x, y, _, _ = leg.curve.locate(s)
        points.append(np.stack([x, y], axis=1))
        along.append(at + s)
        legs.append((at, at + leg.track_m, leg.number))
        at += leg.track_m + 1e-6
    s, places = np.concatenate(along), np.concatenate(points)
    out = []
    for under, over, sine in crossings(places, s):
        where = [float(np.interp(over, s, places[:, axis])) for axis in (0, 1)]
        if any(math.dist(where, fence.pose.point) < AT_FENCE_M for fence in plan.fences):
            continue
        out.append(
            {
                "place": [metres(value) for value in where],
                "later_leg": _leg_at(over, legs),
                "earlier_leg": _leg_at(under, legs),
                "angle_deg": round(math.degrees(math.asin(min(sine, 1.0))), 1),
            }
        )
    return out


def _leg_at(s: float, legs: list[tuple[float, float, int]]) -> int:
    return next((number for _, end, number in legs if s <= end + 1e-6), legs[-1][2])


def parts_values(fence: Fence) -> dict[str, Any]:
    """What a fence is built of, in its own frame: x the way it is first jumped, y to its left."""
    return {
        "filler": fence.measures.filler,
        "ground_line": fence.measures.ground_line,
        "ground_line_m": metres(fence.measures.ground_line_m),
        "bars": [
            {
                "kind": bar.kind,
                "from": _point(bar.start),
                "to": _point(bar.end),
                "height_m": metres(bar.height_m),
            }
            for bar in fence.parts.bars
        ],
        "safety_cups_at": [metres(x) for x in fence.parts.safety_cups],
        "standards_at": [metres(x) for x in fence.parts.planes],
    }
