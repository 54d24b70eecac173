"""The plan as plain values for machines: metres, degrees, seconds, rounded to a tenth of a mm."""

from __future__ import annotations

import math
from typing import Any

from diagram.drawing.parts import parts_of
from diagram.exercise.fence import PlacedFence
from diagram.geometry.pose import Pose
from diagram.plain import degrees, metres
from diagram.planning import Plan, PlanLeg
from diagram.writers.json_page import (
    arena_values,
    crossing_values,
    curve_values,
    exercise_texts,
    jump_values,
    lesson_values,
    parts_values,
)  # fmt: skip
from diagram.writers.json_ride import clock_values, ride_values


def plan_values(plan: Plan) -> dict[str, Any]:
    """The whole plan as dictionaries and lists.

    Frame: origin in a corner of the arena, x along a long side, y to its left. `heading_deg` is
    the way a fence is first jumped, anticlockwise from x.
    """
    totals = plan.totals
    return {
        "title": plan.definition.title,
        "file": plan.document.name,
        **({"ride": plan.name} if plan.name else {}),
        "arena": {
            "name": plan.arena.name,
            "corners": [[metres(x), metres(y)] for x, y in plan.arena.region.corners],
            **arena_values(plan.arena),
        },
        "horses": {
            "size": plan.terms.horses.size,
            "stride_m": metres(plan.terms.horses.stride_m),
            "experience": plan.terms.horses.experience,
        },
        "layout": _layout(plan),
        "phases": list(parts_of(plan).names),
        "texts": exercise_texts(plan),
        "fences": [_fence(plan, fence) for fence in plan.fences],
        "jumps": jump_values(plan),
        "legs": [_leg(leg, parts_of(plan).of(leg)) for leg in plan.legs],
        "crossings": crossing_values(plan),
        "totals": {
            "track_m": metres(totals.track_m),
            "seconds": round(totals.seconds, 2),
            "jumps": totals.jumps,
            "efforts": totals.efforts,
            "left_turns": totals.left_turns,
            "right_turns": totals.right_turns,
            **clock_values(plan),
        },
        "findings": [finding.to_json() for finding in plan.findings],
    }


def _layout(plan: Plan) -> dict[str, Any]:
    layout = plan.layout
    return {
        "outcome": layout.outcome,
        "freedom": layout.freedom,
        "relations": [
            {
                "line": plan.document.span_at(residual.path).line,
                "words": residual.words,
                "off_m": metres(residual.off_m),
                "off_deg": degrees(residual.off_rad),
            }
            for residual in layout.residuals
        ],
        "shortages": [{"words": s.words, "short_m": metres(s.short_m)} for s in layout.shortages],
        "changes": [change.words for change in layout.changes],
    }


def _fence(plan: Plan, placed: PlacedFence) -> dict[str, Any]:
    fence, pose = placed.fence, placed.pose
    jumped = plan.numbers()[placed.name]
    first = next((c for c in plan.crossings if c.jump.fence == placed.name), None)
    heading = pose.reversed().heading if first and first.jump.from_behind else pose.heading
    return {
        "name": placed.name,
        "kind": fence.kind.name,
        "part_of": fence.whole or None,
        "x_m": metres(pose.x),
        "y_m": metres(pose.y),
        "heading_deg": round(math.degrees(heading), 3) % 360 + 0.0,
        "height_m": metres(fence.measures.height_m),
        "spread_m": metres(fence.depth_m),
        "poles_m": metres(fence.measures.width_m),
        "feet": [[metres(x), metres(y)] for x, y in placed.feet] if fence.parts.planes else [],
        "jumped_as": list(jumped),
        **parts_values(fence),
    }


def _pose(pose: Pose) -> list[float]:
    """x and y in metres and the heading in degrees, as ridden."""
    return [metres(pose.x), metres(pose.y), round(math.degrees(pose.heading), 3) % 360 + 0.0]


def _leg(leg: PlanLeg, part: int) -> dict[str, Any]:
    radius = leg.min_radius_m
    return {
        "number": leg.number,
        "from": leg.first.jump.fence if leg.first else "start",
        "to": leg.second.jump.fence if leg.second else "finish",
        "shape": leg.shape,
        "phase": part + 1,
        "texts": lesson_values(leg.link.lesson),
        "strides": leg.strides,
        "target_m": None if leg.target_m is None else metres(leg.target_m),
        "range_m": None
        if leg.asked is None
        else [metres(leg.asked.low_m), metres(leg.asked.high_m)],
        "begin": _pose(leg.curve.start),
        "end": _pose(leg.curve.end),
        "track_m": metres(leg.track_m),
        "straight_m": metres(leg.straight_m),
        "min_radius_m": metres(radius) if math.isfinite(radius) else None,
        "turn_deg": round(math.degrees(leg.curve.turn), 2) + 0.0,
        "seconds": round(leg.seconds, 2),
        "gait": [stretch.gait for stretch in leg.ridden.stretches],
        "lead": leg.lead,
        "rides_as": leg.rides.words if leg.rides else None,
        **ride_values(leg),
        **curve_values(leg),
        "other_ways": [
            {
                "strides": other.strides,
                "track_m": metres(other.way.curve.length),
                "range_m": [metres(other.asked.low_m), metres(other.asked.high_m)],
                "min_radius_m": metres(min(other.way.curve.min_radius, 1e6)),
                "angle_deg": round(math.degrees(other.way.angle), 2) + 0.0,
                "rides_as": other.rides.words,
            }
            for other in leg.others
        ],
    }
