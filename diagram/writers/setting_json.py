"""The setting-out sheet as plain values for machines: metres, degrees, pieces."""

from __future__ import annotations

import json
import math
from typing import Any

from diagram.stakeout.equipment import Equipment
from diagram.stakeout.setting import FenceSetting, FootSetting, SettingOut
from diagram.stakeout.ways import Tie


def json_bytes(setting: SettingOut) -> bytes:
    """The whole sheet as JSON in UTF-8."""
    text = json.dumps(setting_values(setting), ensure_ascii=False, indent=2)
    return f"{text}\n".encode()


def setting_values(setting: SettingOut) -> dict[str, Any]:
    """The whole sheet as dictionaries and lists, in the order of work."""
    crew, walk = setting.crew, setting.walk
    return {
        "title": setting.plan.definition.title,
        "file": setting.plan.document.name,
        "after": setting.after.document.name if setting.after else None,
        "crew": {
            "people": crew.people,
            "tape_error_m": crew.tape_error,
            "tape_length_m": _m(crew.tape_length),
            "rounding_m": _m(crew.rounding),
            "right_angle_error_deg": round(math.degrees(crew.right_angle_error), 4),
        },
        "points": {name: [_m(x), _m(y)] for name, (x, y) in setting.fixed.items()},
        "standing": {name: [_m(x), _m(y)] for name, (x, y) in setting.standing.items()},
        "fences": [_fence(fence, setting) for fence in setting.fences],
        "lines": [
            {
                "from": one.line.start.fence,
                "to": one.line.end.fence,
                "straight_m": _m(one.line.straight_m),
                "track_m": _m(one.line.track_m),
                "strides": one.line.strides,
                "rounding_m": _m(one.as_set_m),
                "at_most_m": _m(one.most_m),
            }
            for one in setting.lines
        ],
        "walk": {
            "metres": _m(walk.metres),
            "in_the_order_of_the_file_m": _m(walk.as_written_m),
            "from": walk.store_name,
        },
        "equipment": equipment_values(setting.total),
        "stand_ins": [
            {"fence": s.fence, "asked_m": s.asked_mm / 1000, "used_m": s.used_mm / 1000}
            for s in setting.stand_ins
        ],
        "missing": [
            {"what": s.what, "needed": s.needed, "owned": s.owned, "instead": s.instead}
            for s in setting.shortages
        ],
        "stays": dict(setting.change.stays) if setting.change else {},
        "jobs": [
            {
                "what": job.what, "fence": job.fence or None, "old": job.old or None,
                "loads": job.shared, "from_the_store": job.rest,
            }
            for job in setting.jobs
        ],
        "findings": [finding.to_json() for finding in setting.plan.findings],
    }  # fmt: skip


def _m(value: float) -> float:
    return round(value, 4) + 0.0


def _fence(fence: FenceSetting, setting: SettingOut) -> dict[str, Any]:
    measures = fence.placed.fence.measures
    return {
        "step": fence.step,
        "name": fence.name,
        "kind": fence.placed.fence.kind.name,
        "height_m": _m(measures.height_m),
        "spread_m": _m(fence.placed.fence.depth_m),
        "poles_m": _m(measures.width_m),
        "take_off_side": fence.comes_from,
        "both_ways": fence.both_ways,
        "equipment": equipment_values(fence.equipment),
        "feet": [_foot(foot, setting) for foot in fence.feet],
        "ties": [_tie(tie) for tie in fence.ties],
    }


def _foot(foot: FootSetting, setting: SettingOut) -> dict[str, Any]:
    ways, tapes, offset = foot.ways, foot.ways.tapes, foot.ways.offset
    x, y = ways.foot.point
    set_x, set_y = setting.places[ways.foot.name]
    return {
        "name": ways.foot.name,
        "planned": [_m(x), _m(y)],
        "as_set": [_m(set_x), _m(set_y)],
        "better": ways.best,
        "off_by_m": _m(ways.error_m),
        "tapes": {
            "from": [tapes.first, tapes.second],
            "read_m": [_m(value) for value in foot.tapes],
            "exact_m": [_m(tapes.first_m), _m(tapes.second_m)],
            "towards": tapes.towards,
            "angle_deg": round(math.degrees(tapes.angle), 2),
            "weak": tapes.weak,
            "off_by_m": _m(tapes.error_m),
        },
        "offset": None
        if offset is None or foot.offset is None
        else {
            "side": offset.side,
            "from": offset.zero,
            "read_m": [_m(value) for value in foot.offset],
            "exact_m": [_m(offset.along_m), _m(offset.out_m)],
            "off_by_m": _m(offset.error_m),
        },
        "third": _tie(ways.third) if ways.third else None,
    }


def _tie(tie: Tie) -> dict[str, Any]:
    return {"from": tie.start, "to": tie.end, "metres": _m(tie.metres)}


def equipment_values(pieces: Equipment) -> dict[str, Any]:
    """Pieces by kind; poles and planks by their length in metres."""
    return {
        "standards": pieces.standards,
        "poles": {f"{mm / 1000:g}": n for mm, n in sorted(pieces.poles.items())},
        "planks": {f"{mm / 1000:g}": n for mm, n in sorted(pieces.planks.items())},
        "gates": pieces.gates,
        "walls": pieces.walls,
        "blocks": pieces.blocks,
        "fillers": dict(sorted(pieces.fillers.items())),
        "cups": pieces.cups,
        "flat_cups": pieces.flat,
        "safety_cups": pieces.safety_cups,
        "ground_lines": pieces.ground_lines,
    }
