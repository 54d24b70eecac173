"""Shapes said in one breath: where the fences then stand, by plain geometry."""

import cmath
import math

import numpy as np
import pytest

from diagram.checks import check
from diagram.diagnostics import RejectedError
from diagram.pipeline import plan_text
from diagram.planning import Plan

HEAD = "tapeline: 1\ntitle: Shape\npurpose: Said.\nlevel: 2'\n"
FENCE = "{kind: vertical, ground line: both sides}"


def laid(arrange: str, names: str, *ride: str, arena: str = "80 x 60 m") -> Plan:
    fences = "".join(f"  {name}: {FENCE}\n" for name in names.split())
    steps = "".join(f"  - {step}\n" for step in ride)
    text = f"{HEAD}arena: {arena}\narrange: {arrange}\nfences:\n{fences}ride:\n{steps}"
    return plan_text(text)


def place(plan: Plan, name: str) -> complex:
    return complex(*plan.fence(name).pose.point)


def facing(plan: Plan, name: str) -> complex:
    return cmath.rect(1.0, plan.fence(name).pose.heading)


ROUND = (
    "start: canter, left lead", "jump: ash", "bend: left", "jump: elm", "bend: left", "jump: fir",
    "bend: left", "jump: oak", "bend: left", "jump: ash",
)  # fmt: skip


def test_a_circle_at_its_quarters() -> None:
    """Middles 11 m from one point, a quarter of the way round each, facing along the circle."""
    plan = laid("'ash, elm, fir, oak on a circle 22 m'", "ash elm fir oak", *ROUND)
    names = ("ash", "elm", "fir", "oak")
    middle = sum(place(plan, name) for name in names) / 4
    for name, after in zip(names, (*names[1:], "ash"), strict=True):
        spoke = place(plan, name) - middle
        assert abs(spoke) == pytest.approx(11.0, abs=0.02)
        assert (place(plan, after) - middle) / spoke == pytest.approx(1j, abs=0.005)
        assert (facing(plan, name) / (spoke / abs(spoke))) == pytest.approx(1j, abs=0.005)


@pytest.mark.parametrize("arena", ["40 x 20 m", "60 x 20 m"])
def test_a_circle_of_16_m_stands_in_a_school_20_m_wide(arena: str) -> None:
    """A circle of 16 m leaves 2 m to either side of it in 20 m, and nothing is found that stops.

    Ridden a quarter further than once round: to come in and go out over the same fence there is no
    room."""
    ride = [step.replace("bend: left", "bend: left, round") for step in (*ROUND, *ROUND[2:4])]
    plan = check(
        laid("'ash, elm, fir, oak on a circle 16 m'", "ash elm fir oak", *ride, arena=arena)
    )
    assert plan.layout.outcome.startswith("placed")
    assert [f.message for f in plan.findings if str(f.severity) in ("stop", "caution")] == []
    middle = sum(place(plan, name) for name in ("ash", "elm", "fir", "oak")) / 4
    assert abs(middle.imag - 10.0) < 2.0
    for leg in plan.legs:
        if leg.first and leg.second:
            away = abs(leg.curve.points(0.5) @ np.array([1, 1j]) - middle)
            assert away.max() < 8.05


def test_a_circle_of_no_size_takes_that_of_its_strides() -> None:
    ride = [step.replace("bend: left", "bend: left, 6 strides") for step in ROUND]
    plan = laid("'ash, elm, fir, oak on a circle'", "ash elm fir oak", *ride)
    assert plan.layout.outcome.startswith("placed")
    for one, other in (("ash", "elm"), ("elm", "fir"), ("fir", "oak")):
        assert facing(plan, other) / facing(plan, one) == pytest.approx(1j, abs=0.01)


def test_a_serpentine_crosses_one_line_to_and_fro() -> None:
    plan = laid(
        "'ash, elm, fir in a serpentine 18 m'", "ash elm fir", "start: canter, right lead",
        "jump: ash, land on the left lead", "turn: left", "jump: elm, land on the right lead",
        "turn: right", "jump: fir",
    )  # fmt: skip
    step = place(plan, "elm") - place(plan, "ash")
    assert abs(step) == pytest.approx(18.0, abs=0.02)
    assert place(plan, "fir") - place(plan, "elm") == pytest.approx(step, abs=0.05)
    assert step / facing(plan, "ash") == pytest.approx(18j, abs=0.05)
    assert facing(plan, "elm") == pytest.approx(-facing(plan, "ash"), abs=0.005)


def test_a_box_is_as_wide_as_the_line_over_it() -> None:
    plan = laid(
        "'ash, elm, fir, oak in a box'", "ash elm fir oak", "start: canter, left lead",
        "jump: ash", "line: 4 strides", "jump: fir",
    )  # fmt: skip
    line = next(leg for leg in plan.legs if leg.shape == "line" and leg.second)
    assert line.asked is not None
    assert line.track_m == pytest.approx(line.asked.aim_m, abs=0.02)
    across = place(plan, "oak") - place(plan, "elm")
    assert abs(across) == pytest.approx(abs(place(plan, "fir") - place(plan, "ash")), abs=0.02)
    assert abs((across / facing(plan, "ash")).real) < 0.05


def test_a_fan_spreads_evenly_from_its_first_fence() -> None:
    plan = laid(
        "'ash, elm, fir, oak in a fan 20 m'", "ash elm fir oak", "start: canter, left lead",
        "jump: elm", "turn: left", "jump: fir", "turn: left", "jump: oak",
    )  # fmt: skip
    arms = [place(plan, name) - place(plan, "ash") for name in ("elm", "fir", "oak")]
    assert [abs(arm) for arm in arms] == pytest.approx([20.0] * 3, abs=0.02)
    assert cmath.phase(arms[1] / arms[0]) == pytest.approx(math.radians(20), abs=0.002)
    assert cmath.phase(arms[2] / arms[1]) == pytest.approx(math.radians(20), abs=0.002)


def test_an_outside_line_on_a_rein_has_the_ring_on_that_hand() -> None:
    """Along the bottom on the left rein the middle of the ring is to the left: to the right."""
    for rein, heading in (("left", 1.0), ("right", -1.0)):
        plan = laid(
            f"'ash, elm on an outside line by bottom, {rein} rein'", "ash elm", "jump: ash",
            "line: 5 strides", "jump: elm",
        )  # fmt: skip
        assert facing(plan, "ash") == pytest.approx(heading, abs=0.005)
        assert place(plan, "ash").imag == pytest.approx(4.6, abs=0.02)


@pytest.mark.parametrize("said", ["on the diagonal", "on a diagonal line"])
def test_two_outside_lines_and_two_diagonals_make_the_plain_hunter_course(said: str) -> None:
    """The diagonals cross between their fences, the one to either hand of the length of the ring;
    outside lines and diagonals stand about the middle of the ring."""
    pairs = ("ash birch", "cedar elm", "fir hazel", "larch maple")
    lines = [
        f"'{pair.replace(' ', ', ')} {'on an outside line' if n % 2 == 0 else said}'"
        for n, pair in enumerate(pairs)
    ]
    ride = ["start: canter, left lead"]
    for pair, hand in zip(pairs, ("left", "right, flying change", "right", ""), strict=True):
        first, last = pair.split()
        ride += [f"jump: {first}", "line: 5 strides", f"jump: {last}"]
        ride += [f"turn: {hand}"] if hand else []
    plan = check(laid(f"[{', '.join(lines)}]", " ".join(pairs), *ride, arena="220 x 110 ft"))
    assert plan.layout.outcome.startswith("placed")
    rules = {f.rule for f in plan.findings if str(f.severity) in ("stop", "caution")}
    assert rules <= {"lead-against-the-turn"}
    middle = complex(110, 55) * 0.3048
    for pair in pairs:
        first, last = (place(plan, name) for name in pair.split())
        along = (last - first) / abs(last - first)
        # Half a stride is the least that a line is shifted by.
        assert abs((((first + last) / 2 - middle) / along).real) < 1.9
        assert abs(along.imag) < 0.01 or pair in (pairs[1], pairs[3])
    one, other = (facing(plan, name) for name in ("cedar", "larch"))
    assert abs((one / other).imag) > 0.5


def test_an_s_begins_and_ends_the_same_way() -> None:
    plan = laid(
        "'ash, elm, fir in an S'", "ash elm fir", "start: canter, left lead", "jump: ash",
        "bend: left, 5 strides", "jump: elm, land on the right lead", "bend: right, 5 strides",
        "jump: fir",
    )  # fmt: skip
    assert facing(plan, "fir") == pytest.approx(facing(plan, "ash"), abs=0.005)


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ("ash, elm in a box", "not fences enough"),
        ("ash, ash, elm in an S", "named twice"),
        ("ash, elm, fir in an S by left", "no side"),
        ("ash, elm on an outside line 5 m", "no size"),
        ("ash, elm on an outside line by the sea", 'no "the sea"|no "sea"'),
        ("ash, elm on an outside line, left rein", 'no "rein"'),
    ],
)
def test_what_makes_no_sense_is_said(said: str, message: str) -> None:
    with pytest.raises(RejectedError) as refused:
        laid(f"'{said}'", "ash elm fir", "jump: ash", "turn: left", "jump: elm", "turn: left",
             "jump: fir")  # fmt: skip
    import re

    assert any(re.search(message, d.message) for d in refused.value.diagnostics)
