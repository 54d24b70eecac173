"""What fences are made of, heights and what they are called, limits of combinations."""

from __future__ import annotations

import math

import pytest

from diagram.trade import combinations, fence_facts, heights

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
    # published (rule) [R17]: + 5 cm in height, + 10 cm in spread.
    height, spread = fence_facts.allowed_over()
    assert (height.value, spread.value) == pytest.approx((0.05, 0.10), abs=WHOLE_CM)


def test_poles_and_standards() -> None:
    # [S57] 12 ft; [R16] 9.5-10 cm through, 20 x 4 cm planks; [R3] wings of 30 in, 12 in above.
    assert fence_facts.usual_pole_length().value == pytest.approx(12 * 0.3048)
    diameter = fence_facts.pole_diameter()
    assert (diameter.low, diameter.high) == pytest.approx((0.095, 0.10), abs=0.0005)
    assert [figure.value for figure in fence_facts.plank_size()] == pytest.approx([0.20, 0.04])
    assert fence_facts.wing_width().typical == pytest.approx(30 * 0.0254)
    assert fence_facts.standard_above_fence().value == pytest.approx(12 * 0.0254)
    assert fence_facts.pole_length_for("outdoors").high == pytest.approx(4.0)


# [R17] 18-20 mm; [R16] 18-30 mm; [R18] 20-30 mm; [R19] 1.5 in. They do not agree.
def test_cup_depths() -> None:
    found = {name: (cup.low, cup.high) for name, cup in fence_facts.cup_depths()}
    assert found == {
        "KNHS": pytest.approx((0.018, 0.020)),
        "FEI World Cup": pytest.approx((0.018, 0.030)),
        "USEF eventing": pytest.approx((0.020, 0.030)),
        "US hunters": pytest.approx((0.0381, 0.0381)),
    }
    assert fence_facts.usual_cup_depth().high == pytest.approx(0.030)


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
    for name in fence_facts.kind_names():
        facts = fence_facts.kind_facts(name)
        wide = facts.group in ("spread", "triple bar")
        assert facts.parts.safety_cups == (2 if wide else 0)
        assert (facts.spread is not None) == wide


def test_angles_are_common_practice() -> None:
    # common practice (no source): vertical 45°, oxers 15 to 20°.
    for name in fence_facts.kind_names():
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


# published (rule) [R24]: 0.75 m = 2'6", 0.90 m = 3'0"; the others derived, nearest 5 cm.
@pytest.mark.parametrize(
    ("height", "label"),
    [
        (0.75, "2'6\""), (0.762, "2'6\""), (0.90, "3'"), (0.914, "3'"), (1.00, "3'3\""),
        (1.067, "3'6\""), (1.20, "4'"), (0.50, "1'8\""),
    ],
)  # fmt: skip
def test_labels(height: float, label: str) -> None:
    assert heights.height_label(height) == label


# published (rule) [R2]: FLSE §504, heights and spreads by class.
CLASSES = [
    ("E", 0.50, 0.80, 0.80, 0.90), ("0", 0.80, 1.00, 1.00, 1.30), ("A", 1.00, 1.10, 1.20, 1.40),
    ("L", 1.10, 1.20, 1.30, 1.50), ("M/B", 1.20, 1.30, 1.40, 1.60),
    ("M/A", 1.30, 1.40, 1.40, 1.80), ("S*", 1.40, 1.50, 1.50, 2.00),
    ("S**", 1.45, 1.55, 1.50, 2.00), ("S***", 1.50, 1.60, 1.50, 2.00),
]  # fmt: skip


def test_classes() -> None:
    found = [(c.name, *c.height, *c.spread) for c in heights.classes()]
    assert [row[0] for row in found] == [row[0] for row in CLASSES]
    for row, published in zip(found, CLASSES, strict=True):
        assert row[1:] == pytest.approx(published[1:], abs=WHOLE_CM)


def test_spread_for_a_height() -> None:
    assert heights.spread_for(1.15).name == "L"
    assert heights.spread_for(0.30).name == "E"
    assert heights.spread_for(2.00).name == "S***"


def test_divisions() -> None:
    names = [division.name for division in heights.divisions_at(0.914)]
    assert "children's hunter" in names  # [S65]: 3' to 3'3"
    assert "second year green" not in names  # [S66]: 3'9"


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
