"""An exercise with its fences typed in where they were placed."""

from __future__ import annotations

import math

import yaml

from diagram.planning import Plan


def pinned(plan: Plan, text: str) -> str:
    """The file with every fence at the place found, to a thousandth of a millimetre."""
    written = yaml.safe_load(text)
    for placed in plan.fences:
        fence = written["fences"][placed.name]
        # YAML 1.1 reads a bare `on` as true.
        for key in ("on", True, "placed", "at", "facing"):
            fence.pop(key, None)
        fence["at"] = [f"{placed.pose.x:.6f} m", f"{placed.pose.y:.6f} m"]
        fence["facing"] = f"{math.degrees(placed.pose.heading) % 360:.6f}°"
    written.pop("arrange", None)
    return yaml.safe_dump(written, sort_keys=False, allow_unicode=True)
