"""Times and counts of a whole ride, against sums done by hand and a published worked example."""

from __future__ import annotations

import pytest
from ride_trials import BIRCH, beyond, ridden

from diagram.ride.clock import clock, efforts
from diagram.trade.figures import Figure
from diagram.trade.jumping import canter_speed, time_allowed, time_limit
from diagram.units import FOOT


def test_time_allowed_as_published() -> None:
    """Worked example: 450 m at 375 m/min are 72 s exactly (published web article [S50])."""
    assert time_allowed(450, 375 / 60) == 72


@pytest.mark.parametrize(
    ("metres", "speed", "seconds"),
    # Check table, exact and rounded up: rounding from memory, unverified. The article [S50] has
    # 500 m at 350 m/min as "about 1 min 25 s", cut off, where it is 85.71 s.
    [
        (300, 320, 57), (350, 325, 65), (400, 350, 69), (450, 350, 78), (500, 350, 86),
        (500, 375, 80), (550, 400, 83), (600, 325, 111), (600, 300, 120),
    ],
)  # fmt: skip
def test_the_check_table(metres: int, speed: int, seconds: int) -> None:
    assert time_allowed(metres, speed / 60) == seconds


def test_the_time_limit_is_twice_the_time_allowed() -> None:
    """Published (rule): KNHS Art. 227-228 [R11]."""
    assert time_limit(72) == 144
    with pytest.raises(ValueError, match="no speed"):
        time_allowed(450, 0)


def test_the_course_is_measured_to_the_metre() -> None:
    """Published (rule): KNHS Art. 204 [R6]. 449.6 m are 450."""
    found = clock(449.6, Figure(375 / 60, "said"))
    assert (found.time_allowed, found.time_limit) == (72, 144)


def test_a_course_is_timed_from_line_to_line() -> None:
    """From 15 m before the first fence to 15 m after the last, both at most (published [R12]),
    and four fences 40 ft apart."""
    row = tuple(
        f"f{n}: {{kind: vertical, placed: 40 ft beyond {before}}}"
        for n, before in ((2, "birch"), (3, "f2"), (4, "f3"))
    )
    steps = [step for n in (2, 3, 4) for step in ("line: 40 ft", f"jump: f{n}")]
    made = ridden("start: canter", "jump: birch", *steps, fences=(BIRCH, *row))
    before, after = made.legs[0].track_m, made.legs[-1].track_m
    metres = min(before, 15) + 3 * 40 * FOOT + min(after, 15)
    assert made.totals.clock.track_m == pytest.approx(metres, abs=0.01)
    assert made.totals.clock.time_allowed == time_allowed(round(metres), made.totals.clock.speed)


@pytest.mark.parametrize(
    "steps",
    [
        ("start: canter", "jump: birch", "line: 5 strides", "jump: hazel"),
        ("start: trot", "jump: birch", "line: 5 strides", "jump: hazel"),
    ],
)
def test_lines_of_two_have_no_time(steps: tuple[str, ...]) -> None:
    found = ridden(*steps, fences=(BIRCH, beyond("72 ft"))).totals.clock
    assert (found.track_m, found.time_allowed, found.time_limit) == (None, None, None)
    assert found.speed > 0


@pytest.mark.parametrize(
    ("height", "speed"),
    # US eventing: Beginner Novice 2'7" 300, Novice 2'11" 320, Training 3'3" 325 m/min
    # (published web articles [S51], heights [S69]); above them 350 (published rule [R2]).
    [(0.60, 300), (0.787, 300), (0.80, 320), (0.889, 320), (0.90, 325), (0.991, 325), (1.10, 350)],
)
def test_speed_by_height(height: float, speed: int) -> None:
    assert canter_speed(height).value * 60 == pytest.approx(speed)


def test_a_ride_by_hand() -> None:
    """At 360 m/min, which is 6 m/s: 132 ft are 6.7056 s; with 4 m of walk at 100 m/min in them,
    36.2336 m of canter are 6.0389 s and the walk 2.4 s."""
    fences = (BIRCH, beyond("132 ft"))
    plain = ridden("jump: birch", "line: 10 strides", "jump: hazel", fences=fences)
    assert plain.legs[1].seconds == pytest.approx(6.7056, abs=1e-4)
    walked = ridden(
        "jump: birch", "line: 10 strides, walk 5 steps in the middle", "jump: hazel", fences=fences
    )
    assert walked.legs[1].seconds == pytest.approx(6.0389 + 2.4, abs=1e-4)


def test_the_whole_is_the_sum_of_the_legs_and_of_the_ground_under_the_fences() -> None:
    oxer = beyond("72 ft", "kind: oxer, spread: 3'")
    plan = ridden("jump: birch", "line: 5 strides", "jump: hazel", fences=(BIRCH, oxer))
    totals = plan.totals
    assert totals.track_m == pytest.approx(sum(leg.track_m for leg in plan.legs) + 3 * FOOT)
    # All in canter at 6 m/s.
    assert totals.seconds == pytest.approx(totals.track_m / 6)


def test_the_speed_said_is_the_speed_of_the_clock() -> None:
    plan = ridden("jump: birch", more="speed: 375 m/min")
    assert plan.totals.clock.speed * 60 == pytest.approx(375)
    assert plan.totals.clock.source == "said in the file"


def test_efforts_of_a_round_a_horse_and_a_lesson() -> None:
    """Six fences, four times, by five riders; poles are no effort."""
    pole = beyond("33 ft", "kind: ground pole", "pole")
    fences = (BIRCH, pole, "hazel: {kind: vertical, placed: 33 ft beyond pole}")
    once = ("jump: birch", "line: 33 ft", "jump: pole", "line: 33 ft", "jump: hazel")
    again = ("turn: left", *once)
    plan = ridden(*once, *again, *again, fences=fences, more="rounds: 4\nriders: 5")
    work = plan.totals.work
    assert (plan.totals.jumps, work.per_round) == (9, 6)
    assert (work.per_horse, work.per_lesson) == (24, 120)


def test_without_rounds_and_riders() -> None:
    """ "rounds: 3": common practice, no source."""
    work = efforts(8, None, None)
    assert (work.rounds, work.rounds_said, work.per_horse, work.per_lesson) == (3, False, 24, None)


def test_turns_to_each_hand() -> None:
    fences = (
        "birch: {kind: vertical, at: [40 m, 8 m], facing: 0°}",
        "elm: {kind: vertical, at: [40 m, 22 m], facing: 180°}",
    )
    plan = ridden(
        "jump: birch", "turn: left", "jump: elm", "turn: left", "jump: birch",
        "circle: right, 15 m", "finish: straight on", fences=fences,
    )  # fmt: skip
    assert (plan.totals.left_turns, plan.totals.right_turns) == (2, 1)
