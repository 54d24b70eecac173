"""The ride as plain values for machines: strides, leads, transitions, angles, the clock."""

from __future__ import annotations

import math
from typing import Any

from diagram.plain import degrees, metres
from diagram.planning import Plan, PlanLeg
from diagram.ride import CanterSide, InAndOut, OnAnAngle, Version


def ride_values(leg: PlanLeg) -> dict[str, Any]:
    """What the ride knows of one leg: metres, degrees, seconds, metres a minute."""
    ridden = leg.ridden
    return {
        "lead_in": ridden.lead_in,
        "strides_ridden": ridden.strides,
        "landing_m": metres(ridden.ground.landing_m),
        "take_off_m": metres(ridden.ground.take_off_m),
        "stride": _version(ridden.needs) if ridden.needs else None,
        "other_counts": [_version(version) for version in ridden.others],
        "stretches": [
            {
                "gait": stretch.gait,
                "begin_m": metres(stretch.begin_m),
                "end_m": metres(stretch.end_m),
                "seconds": round(stretch.seconds, 2),
            }
            for stretch in ridden.stretches
        ],
        "transition": _transition(ridden.in_and_out) if ridden.in_and_out else None,
        "turns": [
            {
                "hand": turn.hand,
                "begin_m": metres(turn.begin_m),
                "end_m": metres(turn.end_m),
                "angle_deg": round(math.degrees(turn.angle), 2),
                "radius_m": metres(turn.radius_m),
            }
            for turn in ridden.turns
        ],
        "changes": [
            {
                "to": change.to,
                "kind": change.kind,
                "at_m": metres(change.at_m),
                "strides": round(change.strides, 2),
            }
            for change in ridden.changes
        ],
        "angled": _angled(leg.angled) if leg.angled else None,
        "spots": _spots(leg),
    }


def clock_values(plan: Plan) -> dict[str, Any]:
    """The clock and the efforts of the whole ride."""
    clock, work = plan.totals.clock, plan.totals.work
    return {
        "speed_m_min": round(clock.speed * 60, 2),
        "speed_source": clock.source,
        "timed_m": None if clock.track_m is None else round(clock.track_m, 2),
        "time_allowed_s": clock.time_allowed,
        "time_limit_s": clock.time_limit,
        "rounds": work.rounds,
        "riders": work.riders,
        "efforts_per_horse": work.per_horse,
        "efforts_per_lesson": work.per_lesson,
    }


def _version(version: Version) -> dict[str, Any]:
    return {
        "strides": version.strides,
        "stride_m": metres(version.stride_m),
        "share_of_normal": round(version.share, 4),
    }


def _transition(crossed: InAndOut) -> dict[str, Any]:
    return {
        "gait": crossed.gait,
        "ask_m": metres(crossed.ask_m),
        "begin_m": metres(crossed.begin_m),
        "end_m": metres(crossed.end_m),
        "canter_in": _side(crossed.canter_in),
        "canter_out": _side(crossed.canter_out),
        "difference": crossed.difference("metres"),
        "short_before_m": metres(crossed.short_before_m),
        "short_after_m": metres(crossed.short_after_m),
    }


def _side(side: CanterSide) -> dict[str, Any]:
    return {
        "strides": side.strides,
        "stride_m": metres(side.stride_m),
        "length_m": metres(side.length_m),
        "seconds": round(side.seconds, 2),
        "speed_m_min": round(side.speed * 60, 2),
    }


def _angled(found: OnAnAngle) -> dict[str, Any]:
    return {
        "angle_deg": degrees(found.angle),
        "spread_m": metres(found.spread_m),
        "front_m": metres(found.front_m),
        "line_shorter_m": metres(found.line_shorter_m),
        "later_on_the_left": round(found.later_on_the_left, 4),
        "run_out": found.run_out,
    }


def _spots(leg: PlanLeg) -> list[dict[str, Any]]:
    return [
        {
            "what": spot.what,
            "number": spot.number,
            "at_m": metres(spot.at_m),
            "place_m": [metres(coordinate) for coordinate in leg.curve.pose_at(spot.at_m).point],
            "gait": spot.gait,
            "lead": spot.lead,
            "radius_m": metres(1 / spot.bend) if abs(spot.bend) > STRAIGHT else None,
            "speed_m_min": round(spot.speed * 60, 2),
            "clock_s": round(spot.clock, 3),
        }
        for spot in leg.ridden.spots
    ]


STRAIGHT = 1e-4
"""1/m. A radius of ten kilometres is none; to the left it counts as positive."""
