"""What changed between two plans of one exercise, in a few words."""

from __future__ import annotations

import math

from diagram.planning import Plan
from diagram.units import Units, length_text

MOVED_M = 0.02


def changes(before: Plan, after: Plan, units: Units) -> tuple[str, ...]:
    """Fences that came, went or moved, lines that are longer or shorter, and what was found."""
    old = {fence.name: fence for fence in before.fences}
    new = {fence.name: fence for fence in after.fences}
    out = [f"{name} is new" for name in new if name not in old]
    out += [f"{name} is gone" for name in old if name not in new]
    for name, fence in new.items():
        if name in old:
            moved = math.dist(fence.pose.point, old[name].pose.point)
            if moved > MOVED_M:
                out.append(f"{name} moved by {length_text(moved, units)}")
            if fence.fence.measures != old[name].fence.measures:
                out.append(f"{name} is built otherwise")
    out += _legs(before, after, units)
    told = {(finding.rule, finding.message) for finding in before.findings}
    now = {(finding.rule, finding.message) for finding in after.findings}
    out += [f"found: {message}" for rule, message in sorted(now - told)]
    out += [f"no more: {message}" for rule, message in sorted(told - now)]
    if before.definition != after.definition and not out:
        out.append("words only")
    return tuple(out)


def _legs(before: Plan, after: Plan, units: Units) -> list[str]:
    def lengths(plan: Plan) -> dict[str, float]:
        return {
            f"{leg.first.jump.fence} to {leg.second.jump.fence}": leg.track_m
            for leg in plan.legs
            if leg.first and leg.second and leg.shape in ("line", "bend")
        }

    old, new = lengths(before), lengths(after)
    return [
        f"{name}: {length_text(new[name], units)} in place of {length_text(old[name], units)}"
        for name in new
        if name in old and abs(new[name] - old[name]) > MOVED_M
    ]
