"""Layouts with an answer in closed form: the solver against the formula, to a centimetre.

The chord of a bend is worked out here from its definition (straight, clothoid, arc, clothoid,
straight) with scipy's quadrature and, once more, with pyclothoids.
"""

from __future__ import annotations

import math

import pytest
from pyclothoids import Clothoid
from relations_apart import bent, corner
from sensible_layouts import setting_of

from diagram.geometry.pose import Pose
from diagram.placing.arrange import Layout, arrange
from diagram.units import FOOT

CENTIMETRE = 0.01
HEAD = "tapeline: 1\ntitle: T\npurpose: P\nlevel: 3'\nhorses: 12' stride\n"
RADIUS = 7.5
"""Least radius in canter of trained horses: "trained: 7.5 m" among the figures of the trade."""
STRIDE = 12 * FOOT
STRAIGHT = 1.5 * STRIDE
"""Half a stride to land and one stride straight."""
FIVE = 72 * FOOT
"""Five strides: six times 12 ft, landing and take-off together one stride [S1]."""
SPARE = 0.002
"""Metres by which the shortest bends are let out, so that they can be ridden at all."""


def laid(arena: str, fences: dict[str, str], ride: list[str], *arranged: str) -> Layout:
    """The layout of an exercise; it must have been placed."""
    lines = [f"arena: {arena}", "fences:", *(f"  {n}: {said}" for n, said in fences.items())]
    if arranged:
        lines += ["arrange:", *(f"  - {said}" for said in arranged)]
    lines += ["ride:", *(f"  - {step}" for step in ride)]
    found = arrange(setting_of(HEAD + "\n".join(lines) + "\n"))
    assert found.outcome.startswith("placed"), (found.outcome, found.shortages)
    return found


def gap(layout: Layout, one: str, other: str) -> float:
    """Metres from middle to middle."""
    return layout.poses[one].distance(layout.poses[other].point)


def near(pose: Pose, x: float, y: float) -> bool:
    """Whether a pose lies at a place, to a centimetre."""
    return pose.distance((x, y)) < CENTIMETRE


def shortest(degrees: float) -> tuple[float, float, float]:
    """x, y and length of the shortest bend there is: least radius, least straights."""
    return bent(math.radians(degrees), RADIUS, STRAIGHT, STRAIGHT)


FREE = "{kind: vertical, ground line: both sides}"


def _ring(arena: str, sides: int) -> Layout:
    """As many fences as sides, joined by as many of the shortest bends."""
    names = ["ash", "birch", "cedar", "elm", "fir", "hazel"][:sides]
    _, _, length = shortest(360 / sides)
    bend = f"bend: left {360 // sides}°, {length + SPARE:.5f} m"
    ride = [step for name in names for step in (f"jump: {name}", bend)] + [f"jump: {names[0]}"]
    return laid(arena, dict.fromkeys(names, FREE), ride)


def test_a_corner_is_that_of_pyclothoids() -> None:
    turn, radius = math.radians(72), 9.0
    ease = radius / 10
    first = Clothoid.StandardParams(0, 0, 0, 0, 1 / radius / ease, ease)
    arc = Clothoid.StandardParams(
        first.XEnd, first.YEnd, first.ThetaEnd, 1 / radius, 0, radius * turn - ease
    )
    last = Clothoid.StandardParams(
        arc.XEnd, arc.YEnd, arc.ThetaEnd, 1 / radius, -1 / radius / ease, ease
    )
    x, y, length = corner(turn, radius)
    assert (last.XEnd, last.YEnd, last.ThetaEnd) == pytest.approx((x, y, turn), abs=1e-9)
    assert length == pytest.approx(first.length + arc.length + last.length)


def test_1_a_square_of_four() -> None:
    """Neighbours a chord c apart, opposite fences c sqrt 2, which is the side of the square."""
    layout = _ring("60 x 50 m", 4)
    chord = math.hypot(*shortest(90)[:2])
    names = ["ash", "birch", "cedar", "elm"]
    for one, other in zip(names, names[1:] + names[:1], strict=True):
        assert gap(layout, one, other) == pytest.approx(chord, abs=CENTIMETRE)
    for one, other in (("ash", "cedar"), ("birch", "elm")):
        assert gap(layout, one, other) == pytest.approx(chord * math.sqrt(2), abs=CENTIMETRE)


def test_2_three_fences_on_a_circle() -> None:
    """An equilateral triangle of side c; each fence is c / sqrt 3 from the middle."""
    layout = _ring("80 x 60 m", 3)
    chord = math.hypot(*shortest(120)[:2])
    x = sum(p.x for p in layout.poses.values()) / 3
    y = sum(p.y for p in layout.poses.values()) / 3
    for pose in layout.poses.values():
        assert pose.distance((x, y)) == pytest.approx(chord / math.sqrt(3), abs=CENTIMETRE)


def test_3_six_fences_on_a_circle() -> None:
    """A hexagon: radius of the circle round it c / (2 sin 30°), which is c."""
    layout = _ring("80 x 70 m", 6)
    chord = math.hypot(*shortest(60)[:2])
    for one, other in (("ash", "elm"), ("birch", "fir"), ("cedar", "hazel")):
        assert gap(layout, one, other) == pytest.approx(2 * chord, abs=CENTIMETRE)


def test_4_a_symmetric_s() -> None:
    """Left 45° and right 45°: out by (x, y) and again by as much, heading as at first."""
    x, y, length = shortest(45)
    layout = laid(
        "80 x 40 m",
        {"ash": "{kind: vertical, at: [15 m, 15 m], facing: 0°}", "birch": FREE, "cedar": FREE},
        [
            "jump: ash", f"bend: left 45°, {length + SPARE:.5f} m",
            "jump: birch", f"bend: right 45°, {length + SPARE:.5f} m", "jump: cedar",
        ],
    )  # fmt: skip
    assert near(layout.poses["birch"], 15 + x, 15 + y)
    # The second bend is the first one ridden backwards, so the whole is symmetric about birch.
    assert near(layout.poses["cedar"], 15 + 2 * x, 15 + 2 * y)
    assert layout.poses["cedar"].heading == pytest.approx(0, abs=1e-3)


def test_5_half_a_circle_of_two_bends() -> None:
    """Twice 90°: the last fence faces back, at x - y ahead, x + y to the left."""
    x, y, length = shortest(90)
    bend = f"bend: left 90°, {length + SPARE:.5f} m"
    layout = laid(
        "80 x 50 m", dict.fromkeys(("ash", "birch", "cedar"), FREE),
        ["jump: ash", bend, "jump: birch", bend, "jump: cedar"],
    )  # fmt: skip
    last = layout.poses["cedar"].seen_from(layout.poses["ash"])
    # Of the first bend (x, y); the second, turned by 90°, adds (-y, x). With x = y: (0, 2 x).
    assert (last.x, last.y) == pytest.approx((x - y, x + y), abs=CENTIMETRE)
    assert abs(last.heading) == pytest.approx(math.pi, abs=1e-3)


def test_6_out_and_back_on_one_line() -> None:
    """The line is FIVE long base to base, whichever way: x = 14 + FIVE + half the spread."""
    layout = laid(
        "80 x 60 m",
        {
            "ash": "{kind: vertical, at: [14 m, 12 m], facing: 0°, ground line: both sides}",
            "birch": "{kind: oxer, spread: 3', ground line: both sides}",
            "cedar": "{kind: vertical, at: [35 m, 40 m], facing: 180°, ground line: both sides}",
        },
        [
            "jump: ash", "line: 5 strides", "jump: birch", "turn: left", "jump: cedar",
            "turn: right",
            "jump: birch from behind", "line: 5 strides", "jump: ash from behind",
        ],
    )  # fmt: skip
    assert near(layout.poses["birch"], 14 + FIVE + 1.5 * FOOT, 12)
    assert layout.poses["birch"].heading == pytest.approx(0, abs=1e-3)


def test_7_two_parallel_lines_with_a_rollback() -> None:
    """On the two quarter lines of 30 m: 15 m apart, each pair FIVE apart, facing back."""
    layout = laid(
        "60 x 30 m",
        {
            "ash": "{kind: vertical, on: quarter line near bottom}", "birch": FREE,
            "cedar": "{kind: vertical, on: quarter line near top}", "elm": FREE,
        },
        [
            "jump: ash", "line: 5 strides", "jump: birch", "rollback: left",
            "jump: cedar", "line: 5 strides", "jump: elm",
        ],
        "ash parallel to cedar",
    )  # fmt: skip
    poses = layout.poses
    assert [poses[n].y for n in ("ash", "birch")] == pytest.approx([7.5, 7.5], abs=CENTIMETRE)
    assert [poses[n].y for n in ("cedar", "elm")] == pytest.approx([22.5, 22.5], abs=CENTIMETRE)
    assert gap(layout, "ash", "birch") == pytest.approx(FIVE, abs=CENTIMETRE)
    assert gap(layout, "cedar", "elm") == pytest.approx(FIVE, abs=CENTIMETRE)
    assert poses["ash"].seen_from(poses["cedar"]).y == pytest.approx(15, abs=CENTIMETRE)


def test_8_a_mirrored_pair() -> None:
    """Over the centre line y = 20: (x, y, h) becomes (x, 40 - y, -h), or faces the other way."""
    layout = laid(
        "70 x 40 m",
        {"ash": "{kind: vertical, at: [22 m, 7 m], facing: 25°}", "birch": FREE},
        ["jump: ash", "turn: left", "jump: birch"],
        "birch mirrors ash over the centre line",
    )
    assert near(layout.poses["birch"], 22, 33)
    assert math.sin(layout.poses["birch"].heading + math.radians(25)) == pytest.approx(0, abs=1e-3)


def test_9_equal_distances() -> None:
    """Two lines with one fence between; the second is only said to be as long: 2 x FIVE in all."""
    layout = laid(
        "90 x 40 m",
        {
            "ash": "{kind: vertical, at: [16 m, 20 m], facing: 0°}", "birch": FREE,
            "cedar": "{kind: vertical, on: centre line}",
        },
        ["jump: ash", "line: 5 strides", "jump: birch", "turn: left", "jump: cedar"],
        "birch to cedar as far as ash to birch",
    )  # fmt: skip
    assert near(layout.poses["birch"], 16 + FIVE, 20)
    cedar = layout.poses["cedar"]
    assert near(cedar, 16 + 2 * FIVE, 20) or near(cedar, 16, 20)


def test_10_from_a_pin_to_the_quarter_line() -> None:
    """From (20, 15), facing anything, FIVE to the line y = 22.5: x = 20 + sqrt(FIVE^2 - 7.5^2)."""
    layout = laid(
        "60 x 30 m",
        {
            "ash": "{kind: vertical, at: [20 m, 15 m]}",
            "birch": "{kind: vertical, on: quarter line near top, facing: any way}",
        },
        ["jump: ash", "line: 5 strides", "jump: birch"],
    )
    along = math.sqrt(FIVE**2 - 7.5**2)
    birch = layout.poses["birch"]
    assert near(birch, 20 + along, 22.5) or near(birch, 20 - along, 22.5)
    assert math.sin(birch.heading) == pytest.approx(7.5 / FIVE, abs=1e-3)


def test_11_beyond_a_free_fence() -> None:
    """Beyond a fence that stands nowhere yet, round 40°: the even bend of FIVE seen from it."""
    layout = laid(
        "80 x 50 m",
        {
            "ash": "{kind: vertical, on: centre line}",
            "birch": "{kind: vertical, placed: '5 strides beyond ash, turned left 40°'}",
        },
        ["jump: ash", "bend: left 40°, 5 strides", "jump: birch"],
    )
    turn = math.radians(40)
    # Straight at both ends, the rest is the corner: r t and a tenth of r for the eases.
    radius = (FIVE - 2 * STRAIGHT) / (turn + 0.1)
    x, y, length = bent(turn, radius, STRAIGHT, STRAIGHT)
    assert length == pytest.approx(FIVE)
    seen = layout.poses["birch"].seen_from(layout.poses["ash"])
    assert (seen.x, seen.y) == pytest.approx((x, y), abs=CENTIMETRE)
    assert seen.heading == pytest.approx(turn, abs=1e-3)
    assert layout.poses["ash"].y == pytest.approx(25, abs=CENTIMETRE)


def test_12_between_two_marks() -> None:
    """On the line from (10, 5) to (70, 35), and FIVE on at the middle: FIVE along (2, 1)."""
    layout = laid(
        "{size: 80 x 40 m, posts: {oak: [10 m, 5 m], elm: [70 m, 35 m]}}",
        {
            "ash": "{kind: vertical, on: line oak to elm}",
            "birch": "{kind: vertical, on: centre line, facing: any way}",
        },
        ["jump: ash", "line: 5 strides", "jump: birch"],
    )
    assert near(layout.poses["birch"], 40, 20)
    x, y = 2 / math.sqrt(5) * FIVE, 1 / math.sqrt(5) * FIVE
    ash = layout.poses["ash"]
    assert near(ash, 40 - x, 20 - y) or near(ash, 40 + x, 20 + y)


def test_13_a_combination_and_a_line() -> None:
    """One stride of 24 ft inside [S1], spread 3 ft; then FIVE from the back of the oxer."""
    grid = (
        "{kind: combination, at: [16 m, 15 m], facing: 0°, elements: [{kind: vertical}, "
        "{kind: oxer, spread: 3', after: 24'}]}"
    )
    layout = laid(
        "70 x 30 m", {"grid": grid, "birch": FREE}, ["jump: grid", "line: 5 strides", "jump: birch"]
    )
    assert near(layout.poses["birch"], 16 + (24 + 3) * FOOT + FIVE, 15)


def test_14_a_bend_to_either_hand() -> None:
    """All hands exchanged, the same figure in the mirror: (x, y) of the bend becomes (x, -y)."""
    x, y, length = shortest(75)
    for hand, sign in (("left", 1), ("right", -1)):
        layout = laid(
            "80 x 70 m",
            {"ash": "{kind: vertical, at: [20 m, 35 m], facing: 0°}", "birch": FREE},
            ["jump: ash", f"bend: {hand} 75°, {length + SPARE:.5f} m", "jump: birch"],
        )
        # The limits of the bend are kept to 10 cm, and so is the place.
        assert layout.poses["birch"].distance((20 + x, 35 + sign * y)) < 0.12
