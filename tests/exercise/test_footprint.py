"""The ground that a fence covers follows from its parts, of whatever kind it is."""

from __future__ import annotations

import pytest

from diagram.exercise.fence import Fence
from diagram.pipeline import plan_text
from diagram.planning import Plan

WING, FEET, POLE = 0.762, 0.6096, 0.1
TWELVE = 3.6576
HEAD = "tapeline: 1\ntitle: T\npurpose: P\nlevel: 3'\narena: 30 x 60 m\n"
RIDE = "ride:\n  - start: canter\n  - jump: birch\n  - finish: straight on, walk\n"


def _plan(*fences: str) -> Plan:
    return plan_text(HEAD + "fences:\n" + "".join(f"  {fence}\n" for fence in fences) + RIDE)


def _fence(said: str) -> Fence:
    [placed] = _plan(f"birch: {{{said}, at: [30 m, 15 m], facing: 0°}}").fences
    return placed.fence


@pytest.mark.parametrize(
    ("said", "deep", "wide", "thick"),
    [
        ("kind: vertical", FEET, TWELVE + 2 * WING, 0.0),
        ("kind: vertical, filler: boxes", FEET, TWELVE + 2 * WING, 0.0),
        ("kind: oxer, spread: 1 m", 1.0 + FEET, TWELVE + 2 * WING, 0.5),
        ("kind: triple bar, spread: 1.4 m", 1.4 + FEET, TWELVE + 2 * WING, 0.7),
        ("kind: ground pole", POLE, TWELVE, 0.0),
        ("kind: wall", FEET, TWELVE + 2 * WING, 0.0),
        # What reaches beyond the feet of the standards counts: half of 0.8 m is 0.095 more.
        ("kind: roll-top", 0.8, TWELVE + 2 * WING, 0.4 - FEET / 2),
        ("kind: liverpool, spread: 2 m", 2.0, TWELVE + 2 * WING, 1.0 - FEET / 2),
    ],
)
def test_the_ground_that_a_fence_covers(said: str, deep: float, wide: float, thick: float) -> None:
    fence = _fence(said)
    (x0, y0), (x1, y1) = fence.footprint
    assert (x1 - x0, y1 - y0) == pytest.approx((deep, wide))
    assert fence.half_thick_m == pytest.approx(thick)


def test_a_fence_in_anothers_water_is_seen() -> None:
    """Eighty centimetres before a vertical there is room for a pole, but not in a tray of 2 m."""
    pole = "oak: {kind: ground pole, at: [30.8 m, 15 m], facing: 0°}"
    for kind, stands_in in (("vertical", False), ("liverpool, spread: 2 m", True)):
        made = _plan(f"birch: {{kind: {kind}, at: [30 m, 15 m], facing: 0°}}", pole)
        assert ("fences-collide" in {f.rule for f in made.findings}) is stands_in


def test_water_is_no_spread() -> None:
    """It is jumped as a vertical, with distances from its pole; two metres of water at most."""
    fence = _fence("kind: liverpool, spread: 2 m")
    assert fence.depth_m == 0.0
    assert fence.for_distances.group == "vertical"
    assert fence.ground_line_m == pytest.approx(1.0)
    with pytest.raises(Exception, match="is not built"):
        _fence("kind: liverpool, spread: 2.1 m")
