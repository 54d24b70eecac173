"""The setting-out sheet as plain values for machines: metres, degrees, pieces."""

from __future__ import annotations

import math
from typing import Any

from diagram.exercise.equipment import Equipment
from diagram.plain import json_text, metres
from diagram.stakeout.leaf import Leaf
from diagram.stakeout.setting import FenceSetting, FootSetting, SettingOut


def json_bytes(setting: SettingOut) -> bytes:
    """The whole sheet as JSON in UTF-8."""
    return f"{json_text(setting_values(setting))}\n".encode()


def setting_values(setting: SettingOut) -> dict[str, Any]:
    """The whole sheet as dictionaries and lists, in the order of work."""
    crew = setting.crew
    return {
        "title": setting.plan.definition.title,
        "file": setting.plan.document.name,
        "after": setting.after.document.name if setting.after else None,
        "crew": {
            "tape_error_m": crew.tape_error,
            "tape_length_m": metres(crew.tape_length),
            "rounding_m": metres(crew.rounding),
            "right_angle_error_deg": round(math.degrees(crew.right_angle_error), 4),
        },
        "points": {name: [metres(x), metres(y)] for name, (x, y) in setting.fixed.items()},
        "standing": {name: [metres(x), metres(y)] for name, (x, y) in setting.standing.items()},
        "fences": [_fence(fence, setting) for fence in setting.fences],
        "lines": [
            {
                "from": one.line.start.fence,
                "to": one.line.end.fence,
                "straight_m": metres(one.line.straight_m),
                "track_m": metres(one.line.track_m),
                "strides": one.line.strides,
                "rounding_m": metres(one.as_set_m),
                "at_most_m": metres(one.most_m),
            }
            for one in setting.lines
        ],
        "from_the": setting.store_name,
        "leaf": leaf_values(setting.leaf),
        "equipment": equipment_values(setting.total),
        "stand_ins": [
            {"fence": s.fence, "asked_m": s.asked_mm / 1000, "used_m": s.used_mm / 1000}
            for s in setting.stand_ins
        ],
        "missing": [
            {
                "what": s.called(setting.crew.units),
                "needed": s.wanted,
                "owned": s.there,
                "instead": s.instead,
            }
            for s in setting.shortages
        ],
        "stays": dict(setting.change.stays) if setting.change else {},
        "jobs": [
            {
                "what": job.what, "fence": job.fence or None, "old": job.old or None,
                "loads": job.shared, "from_the_store": job.rest, "take_down_first": list(job.first),
            }
            for job in setting.jobs
        ],
        "findings": [finding.to_json() for finding in setting.plan.findings],
    }  # fmt: skip


def leaf_values(leaf: Leaf) -> dict[str, Any]:
    """The builder's leaf: the tapes of every fence in the order of setting, and the checks."""
    return {
        "fences": [
            {
                "name": fence.name,
                "how": fence.how,
                "pegs": [
                    {
                        "name": peg.name, "side": peg.side, "from": peg.start,
                        "read_m": metres(peg.metres), "at": [metres(v) for v in peg.at],
                    }
                    for peg in fence.pegs
                ],
                "tapes": [
                    {
                        "word": tape.word, "from": tape.start, "to": list(tape.ends),
                        "read_m": [metres(v) for v in tape.read_m],
                        "exact_m": [metres(v) for v in tape.exact_m],
                    }
                    for tape in fence.readings
                    if tape.word != "along"
                ],
                "as_set": [metres(fence.stands.pose.x), metres(fence.stands.pose.y)],
                "crossing_deg": round(math.degrees(fence.crossing), 2),
                "rounding_m": metres(fence.rounding_m),
                "within_m": metres(fence.error_m),
            }
            for fence in leaf.fences
        ],
        "checks": [
            {
                "from": check.start.name, "to": check.end.name, "read_m": metres(check.read_m),
                "exact_m": metres(check.exact_m), "comes_out_within_m": metres(check.error_m),
                "right_within_m": metres(check.within_m), "strides": check.strides,
                "bend": check.bend, "move": check.off or None,
            }
            for check in leaf.checks
        ],
        "places_within_m": metres(leaf.places_m),
        "lines_within_m": metres(leaf.lines_m),
    }  # fmt: skip


def _fence(fence: FenceSetting, setting: SettingOut) -> dict[str, Any]:
    measures = fence.placed.fence.measures
    return {
        "step": fence.step,
        "name": fence.name,
        "kind": fence.placed.fence.kind.name,
        "height_m": metres(measures.height_m),
        "spread_m": metres(fence.placed.fence.depth_m),
        "poles_m": metres(measures.width_m),
        "take_off_side": fence.comes_from,
        "both_ways": fence.both_ways,
        "equipment": equipment_values(fence.equipment),
        "feet": [_foot(foot, setting) for foot in fence.feet],
    }


def _foot(foot: FootSetting, setting: SettingOut) -> dict[str, Any]:
    ways, tapes, offset = foot.ways, foot.ways.tapes, foot.ways.offset
    x, y = ways.foot.point
    set_x, set_y = setting.places[ways.foot.name]
    return {
        "name": ways.foot.name,
        "planned": [metres(x), metres(y)],
        "as_set": [metres(set_x), metres(set_y)],
        "better": ways.best,
        "off_by_m": metres(ways.error_m),
        "tapes": {
            "from": [tapes.first, tapes.second],
            "read_m": [metres(value) for value in foot.tapes],
            "exact_m": [metres(tapes.first_m), metres(tapes.second_m)],
            "towards": tapes.towards,
            "reach": foot.tapes_reach,
            "within_m": metres(foot.tapes_within_m),
            "angle_deg": round(math.degrees(tapes.angle), 2),
            "weak": tapes.weak,
            "off_by_m": metres(tapes.error_m),
        },
        "offset": None
        if offset is None or foot.offset is None
        else {
            "side": offset.side,
            "from": offset.zero,
            "read_m": [metres(value) for value in foot.offset],
            "exact_m": [metres(offset.along_m), metres(offset.out_m)],
            "within_m": metres(foot.offset_within_m),
            "off_by_m": metres(offset.error_m),
        },
    }


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
        "ground_lines": sum(pieces.ground_lines.values()),
    }
