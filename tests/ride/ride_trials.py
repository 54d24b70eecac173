"""Short exercises to ride, and plans of them."""

from __future__ import annotations

from diagram.pipeline import plan_text
from diagram.planning import Plan

BIRCH = "birch: {kind: vertical, at: [20 m, 10 m], facing: 0°, ground line: both sides}"


def ridden(
    *ride: str, fences: tuple[str, ...] = (BIRCH,), more: str = "", level: str = "3'"
) -> Plan:
    """The plan of a ride in an arena of 40 x 80 m on horses with a 12-ft stride, at 360 m/min."""
    lines = [
        "tapeline: 1", "title: T", "purpose: P", f"level: {level}", "arena: 40 x 80 m",
        "horses: 12' stride", more or "speed: 360 m/min", "fences:",
        *(f"  {fence}" for fence in fences), "ride:", *(f"  - {step}" for step in ride),
    ]  # fmt: skip
    return plan_text("\n".join(lines) + "\n")


def beyond(distance: str, kind: str = "kind: vertical", name: str = "hazel") -> str:
    """A fence in line, so far beyond birch."""
    return f"{name}: {{{kind}, placed: {distance} beyond birch}}"
