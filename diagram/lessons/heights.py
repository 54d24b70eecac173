"""An exercise at the height of a lesson: rails up or down, every standard where it is.

Fences with a height of their own go up or down as much as the level does, and spreads stay as wide
as they are, for a spread is not moved between two groups.
"""

from __future__ import annotations

from typing import Any

from diagram.checks import check
from diagram.fences.kind import Measures
from diagram.model.definition import Definition
from diagram.planning import Plan, plans_of, read_setting

HAIR_M = 0.006
"""Metres: less than a quarter of an inch, which no hole of a standard makes."""


def at_height(plan: Plan, height: float) -> Plan:
    """The same places at another height in metres, checked. An exercise that says no level, or
    says this one, stays as it is. Raises RejectedError for a height that no fence is built to."""
    level = plan.definition.level
    if level is None or abs(level - height) < HAIR_M:
        return plan
    setting = read_setting(plan.document, _raised(plan, height, height - level))
    made = plans_of(setting, plan.layout)
    return check(next((other for other in made if other.name == plan.name), made[0]))


def _raised(plan: Plan, height: float, by: float) -> Definition:
    said = plan.exercise.whole
    measured = {placed.fence.path: placed.fence.measures for placed in plan.fences}
    fences = {}
    for name, fence in said.fences.items():
        changes = _changes(fence, measured.get(("fences", name)), by)
        if fence.elements:
            changes["elements"] = tuple(
                element.model_copy(
                    update=_changes(element, measured.get(("fences", name, "elements", n)), by)
                )
                for n, element in enumerate(fence.elements)
            )
        fences[name] = fence.model_copy(update=changes)
    rides = tuple(
        ride.model_copy(update={"height": max(ride.height + by, 0.0)}) if ride.height else ride
        for ride in said.rides
    )
    return said.model_copy(update={"level": height, "fences": fences, "rides": rides})


def _changes(written: Any, measures: Measures | None, by: float) -> dict[str, Any]:
    out: dict[str, Any] = {
        key: max(value + by, 0.0)
        for key in ("height", "front")
        if (value := getattr(written, key)) is not None
    }
    if measures is not None and measures.spread_m > 0.0:
        out["spread"] = measures.spread_m
    return out
