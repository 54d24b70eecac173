"""One cause, one finding: an exercise that does not fit says so, and nothing of where it fell."""

from __future__ import annotations

import pytest

from diagram.changing import proven_changes
from diagram.checks import check, rules
from diagram.diagnostics import Severity
from diagram.planning import Plan
from tests.checks.check_trials import FINISH, START, of_rule, trial

SAID = "kind: cross-rail, height: 1'6\", poles: 8'"
FENCES = tuple(f"{name}: {{{SAID}}}" for name in ("ash", "birch", "cedar", "dogwood"))


def on_a_circle(strides: int, arena: str) -> Plan:
    quarter = f"bend: left 90°, {strides} strides, round"
    jumps = [f"jump: {name}" for name in ("ash", "birch", "cedar", "dogwood", "ash")]
    ride = [START]
    for jump in jumps:
        ride += [jump, quarter]
    return trial(FENCES, (*ride[:-1], FINISH), arena=arena)


def test_a_circle_too_large_for_its_ring_is_one_stop() -> None:
    plan = on_a_circle(4, "20 x 42 m")
    # Four strides round a quarter are 15 m at the step of circles ([S107], [S109]): 19.1 m across.
    worse = [f for f in plan.findings if f.severity in (Severity.STOP, Severity.CAUTION)]
    assert [finding.rule for finding in worse] == ["does-not-fit"]


def test_what_the_places_do_not_explain_is_told_all_the_same() -> None:
    fences = ("wide: {kind: oxer, height: 3', spread: 6'}", *FENCES[1:])
    ride = (START, "jump: wide", "line: 12 strides", "jump: birch", FINISH)
    plan = trial(fences, ride, arena="20 x 42 m")
    assert of_rule(plan, "does-not-fit")
    assert of_rule(plan, "first-fence-too-big")
    assert of_rule(plan, "fence-never-jumped")


def test_every_check_that_is_explained_is_one() -> None:
    for rule in rules().values():
        assert {*rule.tells_of, *rule.explains} <= set(rules()), rule.name


def test_round_bends_are_changed_together() -> None:
    plan = on_a_circle(4, "20 x 42 m")
    assert plan.layout.shortages
    (first,) = proven_changes(plan, enough=1)
    assert first.words == "one stride fewer in each round bend"
    assert first.text.count("3 strides, round") == 4
    assert all(first.plan.arena.region.depth(fence.pose.point) > 0 for fence in first.plan.fences)
    assert first.plan.layout.outcome.startswith("placed")
    assert [f.message for f in check(first.plan).findings if f.severity is Severity.STOP] == []


def test_a_second_count_that_is_no_choice_may_go() -> None:
    fences = ("ash: {kind: vertical}", "birch: {kind: vertical}")
    ride = (START, "jump: ash", "bend: left 45°, 6 strides or 5 forward", "jump: birch", FINISH)
    plan = trial(fences, ride, arena="40 x 80 m")
    assert [f.rule for f in plan.findings if f.severity is Severity.STOP] == ["does-not-fit"]
    (first,) = proven_changes(plan, enough=1)
    assert first.words == "6 strides and no other count from ash to birch"
    assert "45°, 6 strides\n" in first.text


def test_what_is_found_every_time_round_is_told_once() -> None:
    fences = (
        "ash: {kind: vertical, at: [15 m, 15 m], facing: 0°}",
        "cedar: {kind: vertical, at: [30 m, 15 m], facing: 0°}",
        "birch: {kind: vertical, at: [45 m, 15 m], facing: 0°}",
    )
    line = ("jump: ash", "line: 30 m", "jump: birch")
    once = trial(fences, (START, *line, FINISH))
    often = trial(fences, (START, *line, "turn: left", *line, "turn: left", *line, FINISH))
    (alone,) = of_rule(once, "fence-in-the-way")
    (told,) = [f for f in of_rule(often, "fence-in-the-way") if f.message.startswith(alone.message)]
    assert told.message == f"{alone.message}; 3 times in this ride"
    assert told.span == alone.span


POLES = ("start: trot", "jump: ash", "turn: left", "jump: birch", "turn: right", "jump: cedar")


@pytest.mark.parametrize(
    ("first", "line", "says"),
    [
        ("ash: {kind: ground pole, on: centre line}", 9, "take `on: centre line` out of ash"),
        ("ash: ground pole, on the centre line", 9, "take `on the centre line` out of ash"),
    ],
)
def test_a_fence_on_a_line_beside_which_its_serpentine_has_no_room(
    first: str, line: int, says: str
) -> None:
    fences = (first, "birch: ground pole", "cedar: ground pole")
    more = "arrange: ash, birch, cedar in a serpentine"
    plan = trial(fences, (*POLES, FINISH), arena="20 x 60 m", more=more)
    (finding,) = of_rule(plan, "does-not-fit")
    assert finding.span
    assert (finding.span.line, says in finding.hint) == (line, True)
    ((other, _),) = finding.related
    assert other.line == 7
    # What it tells to take out is what was in the way.
    free = trial(("ash: ground pole", *fences[1:]), (*POLES, FINISH), arena="20 x 60 m", more=more)
    assert not of_rule(free, "does-not-fit")
    # With room beside the line the two do not contradict each other.
    wide = trial(fences, (*POLES, FINISH), arena="90 x 120 m", more=more)
    assert not of_rule(wide, "does-not-fit")
