"""What fences are made of, limits of combinations."""

from __future__ import annotations

import math

import pytest

from diagram.trade import combinations, fence_facts
from diagram.trade.figures import data_file

WHOLE_CM = 0.005
"""Metres. For figures printed in whole centimetres: half of one."""


def _widest(kind: str) -> float:
    return fence_facts.largest_spread(fence_facts.kind_facts(kind))


def test_largest() -> None:
    # published (rule) [R17]: 1.70 m high, spread 2.00 m, triple bar 2.20 m.
    assert fence_facts.largest_height().value == pytest.approx(1.70, abs=WHOLE_CM)
    assert _widest("square oxer") == pytest.approx(2.00, abs=WHOLE_CM)
    assert _widest("triple bar") == pytest.approx(2.20, abs=WHOLE_CM)
    assert _widest("vertical") == 0


def test_poles_and_standards() -> None:
    # [S57] 12 ft; [R16] 9.5-10 cm through; [R3] wings of 30 in.
    assert fence_facts.usual_pole_length().value == pytest.approx(12 * 0.3048)
    diameter = fence_facts.pole_diameter()
    assert (diameter.low, diameter.high) == pytest.approx((0.095, 0.10), abs=0.0005)
    assert fence_facts.wing_width().typical == pytest.approx(30 * 0.0254)


def test_ground_line() -> None:
    # published (rule) [R3]: about 18 in; [R22]: at most 1 m.
    found = fence_facts.ground_line_distance()
    assert (found.typical, found.high) == pytest.approx((18 * 0.0254, 1.0))


# [S60]: an ascending oxer must not be jumped from behind; [S37]: a ground pole on each side.
@pytest.mark.parametrize(
    ("kind", "answer"),
    [
        ("vertical", "with a ground line"),
        ("square oxer", "with a ground line"),
        ("ascending oxer", "no"),
        ("triple bar", "no"),
        ("ground pole", "yes"),
    ],
)
def test_from_behind(kind: str, answer: str) -> None:
    facts = fence_facts.kind_facts(kind)
    assert facts.from_behind == answer
    assert bool(facts.why_not) == (answer == "no")


def test_every_spread_has_safety_cups() -> None:
    # published (rule) [R19]: on the back pole of every spread.
    for name in data_file("fences").plain()["kinds"]:
        facts = fence_facts.kind_facts(name)
        wide = facts.group in ("spread", "triple bar")
        assert facts.parts.safety_cups == (2 if wide else 0)
        assert (facts.spread is not None) == wide


def test_angles_are_common_practice() -> None:
    # common practice (no source): vertical 45°, oxers 15 to 20°.
    for name in data_file("fences").plain()["kinds"]:
        assert fence_facts.kind_facts(name).angle.source == "common practice (no source)"
    assert fence_facts.kind_facts("vertical").angle.value == pytest.approx(math.radians(45))
    for name in ("square oxer", "ascending oxer", "triple bar"):
        angle = math.degrees(fence_facts.kind_facts(name).angle.value)
        assert 15 <= round(angle, 6) <= 20


def test_poles_of_an_oxer() -> None:
    # published (web article) [S63]: four rails.
    assert fence_facts.kind_facts("square oxer").poles.typical == 4


def test_unknown_kind() -> None:
    with pytest.raises(KeyError, match="vertikal"):
        fence_facts.kind_facts("vertikal")


def test_combination_limits() -> None:
    # published (rule) [R2]: classes E to M/B 6.50-8.00 or 10.00-11.00 m; ponies 6.50-7.50 or
    # 9.50-10.30 m.
    horses = {limit.body: limit for limit in combinations.combination_limits("horse")}
    ponies = {limit.body: limit for limit in combinations.combination_limits("small pony")}
    rule = horses["FLSE classes E to M/B"]
    assert [rule.allows(m) for m in (6.4, 6.5, 8.0, 9.0, 10.0, 11.0, 11.1)] == [
        False, True, True, False, True, True, False,
    ]  # fmt: skip
    assert not ponies["FLSE pony classes"].allows(8.0)
    assert "FEI" not in ponies
    assert horses["FEI"].source == "from memory (unverified)"
