"""Every check, tripped by a small change of a clean exercise and not by a smaller one.

Limits are written out here with their sources as the trade's figures quote them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import pytest
from check_trials import (
    ALONE,
    BIRCH,
    FINISH,
    FOOT,
    HAZEL,
    LINE,
    START,
    facts,
    of_rule,
    planned,
    trial,
    written,
)

import diagram.checks
from diagram.checks import rules
from diagram.geometry.bend import saving

PRACTICE = "common practice (no source)"
SINGLE = (
    "birch: {{kind: {kind}, at: [{x:.6g} m, {y:.6g} m], facing: {facing}°, ground line: {line}}}"
)
POLE = "birch: {{kind: ground pole, at: [{x:.6g} m, {y:.6g} m], facing: 0°}}"
ELM = "elm: {{kind: vertical, at: [{x:.6g} m, {y:.6g} m], facing: {facing}°}}"


def _single(
    kind: str = "vertical",
    x: float = 30,
    y: float = 15,
    facing: float = 0,
    line: str = "both sides",
) -> str:
    return SINGLE.format(kind=kind, x=x, y=y, facing=facing, line=line)


def _elm(x: float, y: float, facing: float = 0) -> str:
    return ELM.format(x=x, y=y, facing=facing)


def _beyond(text: str, **more: object) -> str:
    """The line with hazel placed otherwise."""
    return written((BIRCH, HAZEL.replace("5 strides beyond birch", f"'{text}'")), **more)


def _jumped(said: str, **fence: object) -> str:
    return written((_single(**fence),), (START, f"jump: birch{said}", FINISH))


def _turned(way: str, *fences: str, said: str = "", horses: str = "12' stride") -> str:
    ride = (START, f"jump: birch{said}", way, "jump: elm", FINISH)
    return written(fences, ride, horses=horses)


def _bent(turn: str, length: str) -> str:
    hazel = f"hazel: {{kind: vertical, placed: '{length} beyond birch, turned {turn}'}}"
    ride = (START, "jump: birch", f"bend: left, {length}", "jump: hazel", FINISH)
    return written((_single(x=14, y=8), hazel), ride)


def _passed(y: float) -> str:
    """Elm beside the line from birch to hazel."""
    return written((BIRCH, HAZEL, _elm(25, y)))


def _stopped_in(length: str, what: str) -> str:
    """A line of some length with a transition in its middle."""
    hazel = f"hazel: {{kind: vertical, placed: {length} beyond birch}}"
    ride = (START, "jump: birch", f"line: {length}, {what}", "jump: hazel", FINISH)
    return written((_single(x=10, y=15), hazel), ride)


def _pole_at(x: float, y: float) -> str:
    return written((POLE.format(x=x, y=y),), ALONE)


def _combination(said: str) -> str:
    grid = (
        "grid: {kind: combination, at: [30 m, 15 m], facing: 0°, "
        "elements: [{kind: vertical}, {kind: oxer, spread: 2'6\", ground line: both sides, "
        "after: 1 stride}, {kind: ascending oxer, after: 1 stride}]}"
    )
    return written((grid,), (START, f"jump: grid{said}", FINISH))


@dataclass(frozen=True)
class Case:
    """An exercise that trips a check, what is reported, and one that just does not."""

    rule: str
    trips: str
    severity: str
    figure: float | None
    limit: float | None
    source: str
    holds: str
    close: float = 0.001


# Half the pole and a wing: 12-ft poles (published [S57]) and wings of 30 in (published [R3]).
REACH = 6 * FOOT + 2.5 * FOOT


def _cases() -> list[Case]:
    at_birch = _single(x=44, y=8)
    return [
        # "angle: {value: 45°, source: common practice (no source)}" for a vertical
        Case(
            "angle-too-steep", _jumped(", angled left 46°"), "stop", 46, 45, PRACTICE,
            _jumped(", angled left 45°"),
        ),
        # "angle: {value: 20°, source: common practice (no source), note: 15 to 20 degrees}"
        Case(
            "angle-too-steep", _jumped(", angled 21° right", kind="oxer"), "stop", 21, 20, PRACTICE,
            _jumped(", angled 20° right", kind="oxer"),
        ),
        # Radians under which a bend has no hand: 0.05, which is 2.9°.
        Case(
            "bend-to-the-other-hand", _bent("left 2°", "72 ft"), "stop", math.radians(2), None, "",
            _bent("left 3°", "72 ft"),
        ),
        Case(
            "bend-to-the-other-hand", _bent("right 20°", "72 ft"), "stop", math.radians(-20), None,
            "", _bent("left 20°", "72 ft"),
        ),
        # "rides as: 6 in ... for each stride taken (landing and take-off make one)": 72' ± 6 x 6"
        Case(
            "distance-off", _beyond("75 ft 1 in beyond birch"), "caution", (75 + 1 / 12) * FOOT,
            75 * FOOT, PRACTICE, _beyond("75 ft beyond birch"),
        ),
        Case(
            "distance-off", _beyond("68 ft 11 in beyond birch"), "caution", (68 + 11 / 12) * FOOT,
            69 * FOOT, PRACTICE, _beyond("69 ft beyond birch"),
        ),
        Case(
            "element-without-purpose", written(ride=LINE, purpose=False), "note", None, None, "",
            written(ride=LINE),
        ),
        # "track to standards: low: 1.5 m, source: common practice (no source)", less 10 cm
        Case(
            "fence-in-the-way", _passed(8 + REACH + 1.39), "caution", 1.39, 1.5, PRACTICE,
            _passed(8 + REACH + 1.41),
        ),
        Case(
            "fence-in-the-way", _passed(8 + REACH + 0.4), "stop", 0.4, 1.5, PRACTICE,
            _passed(8 + REACH + 1.5),
        ),
        Case(
            "fence-never-jumped", _passed(20), "note", None, None, "",
            written(),
        ),
        # "fence to rail: low: 0.5 m, source: common practice (no source)"
        Case(
            "fence-too-near-the-rail", written((_single(y=REACH + 0.45),), ALONE), "caution", 0.45,
            0.5, PRACTICE, written((_single(y=REACH + 0.5),), ALONE),
        ),
        Case(
            "fence-too-near-the-rail", written((_single(y=REACH - 0.1),), ALONE), "stop", -0.1, 0.5,
            PRACTICE, written((_single(y=REACH + 0.6),), ALONE),
        ),
        Case(
            "fences-collide", written((_single(y=10), _elm(30, 10 + 2 * REACH - 0.1)), ALONE),
            "stop", None, None, "",
            written((_single(y=10), _elm(30, 10 + 2 * REACH + 0.1)), ALONE),
        ),
        # "[S37] on a ground pole on each side of a fence jumped both ways"
        Case(
            "jumped-from-behind", _jumped(" from behind", line="front"), "caution", None, None,
            "[S37]", _jumped(" from behind"),
        ),
        # "published (web article) [S60] on the false ground line of an ascending oxer"
        Case(
            "jumped-from-behind", _jumped(" from behind", kind="ascending oxer"), "stop", None,
            None, "[S60]", _jumped("", kind="ascending oxer"),
        ),
        # "why not: a triple bar climbs one way only"
        Case(
            "jumped-from-behind", _jumped(" from behind", kind="triple bar"), "stop", None, None,
            "[S60]", _jumped("", kind="triple bar"),
        ),
        # "published (web article) [S45]: on a turn the lead is the inside one"
        Case(
            "lead-against-the-turn",
            _turned("turn: left", _single(y=8), _elm(30, 22, 180), said=", land right"),
            "caution", None, None, "[S45]",
            _turned("turn: left", _single(y=8), _elm(30, 22, 180), said=", land left"),
        ),
        Case(
            "lead-against-the-turn",
            _turned("turn: left", _single(y=8), _elm(30, 22, 180), said=", land right"),
            "caution", None, None, "[S45]",
            _turned(
                "turn: left, flying change", _single(y=8), _elm(30, 22, 180), said=", land right"
            ),
        ),
        # Two centimetres: what a tape can set.
        Case(
            "line-not-straight", written((BIRCH, _elm(14 + 72 * FOOT, 8.1)), _line_to_elm()),
            "caution", 0.1, 0.02, "",
            written((BIRCH, _elm(14 + 72 * FOOT, 8.0)), _line_to_elm()),
        ),
        # "canter strides for a line with a walk or halt: {low: 7, ..., common practice}"
        Case(
            "no-room-for-transition", _stopped_in("92 ft", "walk 4 steps in the middle"), "caution",
            92 / 12 - 1, 7, PRACTICE, _stopped_in("93 ft 1 in", "walk 4 steps in the middle"),
        ),
        # A walk step is 0.8 m (half the stride of [S49]); a stride and half a stride either side.
        Case(
            "no-room-for-transition", _stopped_in("36 ft", "walk 5 steps in the middle"), "stop",
            (4.0 + 2 * 18 * FOOT - 36 * FOOT) / 2, 0.0, "",
            _stopped_in("96 ft", "walk 5 steps in the middle"),
        ),
        # "track to rail: low: 1.0 m, source: common practice (no source)", less 10 cm
        Case(
            "off-the-arena", _pole_at(18, 0.85), "caution", 0.85, 1.0, PRACTICE,
            _pole_at(18, 0.95),
        ),
        Case(
            "off-the-arena", _pole_at(18, 0.2), "stop", 0.2, 1.0, PRACTICE, _pole_at(18, 1.0),
        ),
        # "in a bending line: value: 1, source: common practice (no source)"
        Case(
            "too-little-straight", _bent("left 90°", "60 ft"), "caution", 0.1, 1, PRACTICE,
            _bent("left 30°", "72 ft"), close=0.1,
        ),
        # "before: least: 2, published (web article) [S37]: article on jumping straight and at
        # an angle"
        Case(
            "too-little-straight", _turned("turn: left", at_birch, _elm(30, 22, 180)), "note", 1.1,
            2, "[S37]", _turned("turn: left", _single(y=8), _elm(30, 22, 180)), close=0.15,
        ),
        # "trained: value: 7.5 m, derived: half of the 15 m canter circle of the second
        # dressage level [S39]"
        Case(
            "turn-too-tight",
            _turned("turn: left", _single(x=46, y=8), _elm(30, 22, 180)), "caution", 6.2, 7.5,
            "[S39]", _turned("turn: left", _single(x=18, y=8), _elm(30, 22, 180)), close=0.3,
        ),
        # "floor: value: 5 m, common practice": under it a stop, with the limit still 7.5 m
        Case(
            "turn-too-tight",
            _turned("turn: left", _single(x=50, y=8), _elm(30, 22, 180)), "stop", 2.9, 7.5,
            "[S39]", _turned("turn: left", _single(x=18, y=8), _elm(30, 22, 180)), close=0.5,
        ),
        # "published (rule) [R23]: hunters, spread not above the height of the fence", less 5 cm
        Case(
            "wider-than-high", written((BIRCH, HAZEL.replace("2'6\"", "3'2\""))), "caution",
            38 / 12 * FOOT, 3 * FOOT, "[R23]", written((BIRCH, HAZEL.replace("2'6\"", "3'1\""))),
        ),
        *_worked_out_cases(),
    ]  # fmt: skip


def _free_beyond(x: float) -> str:
    """Birch pinned, an oxer free beyond it, both facing the end of the ring at 60 m."""
    hazel = "hazel: {kind: oxer, spread: 2'6\", ground line: both sides}"
    return written((_single(x=x), hazel))


def _two_ways(turn: int, other: int, feet: int = 72) -> str:
    """A bend of five strides, said to ride in another count as well."""
    hazel = f"hazel: {{kind: vertical, placed: '{feet} ft beyond birch, turned left {turn}°'}}"
    ride = (START, "jump: birch", f"bend: left, 5 strides\n    ways: [{other}]", "jump: hazel",
            FINISH)  # fmt: skip
    return written((_single(x=14, y=8), hazel), ride)


def _worked_out_cases() -> list[Case]:
    # Straight on after the oxer: half a stride to land and two strides, then 1 m to the rail.
    furthest = 60 - 1 - (6 + 24) * FOOT - (72 + 2.5) * FOOT
    # Longest through the same vertex: least radius 7.5 m in place of that of the even bend.
    turn = math.radians(60)
    even = (72 - 2 * 18) * FOOT / (1.25 * turn)
    longest = 72 * FOOT + (even - 7.5) * saving(turn)
    return [
        Case(
            "does-not-fit", _free_beyond(furthest + 0.5), "stop", 0.5, 0.0, "",
            _free_beyond(furthest - 0.02), close=0.02,
        ),
        Case(
            "no-choice", _two_ways(60, 9), "caution", longest, (120 - 5) * FOOT, PRACTICE,
            _two_ways(100, 4, 71),
        ),
    ]  # fmt: skip


def _line_to_elm() -> tuple[str, ...]:
    return (START, "jump: birch", "line: 5 strides", "jump: elm", FINISH)


CASES = _cases()
NUMBERED = [pytest.param(case, id=f"{case.rule}-{n}") for n, case in enumerate(CASES)]


def test_the_exercise_that_is_changed_is_clean() -> None:
    assert trial().findings == ()


@pytest.mark.parametrize("case", NUMBERED)
def test_a_check_trips(case: Case) -> None:
    found = of_rule(planned(case.trips), case.rule)
    assert found, [f"{f.rule}: {f.message}" for f in planned(case.trips).findings]
    worst = found[0]
    assert str(worst.severity) == case.severity
    assert worst.span is not None
    assert worst.hint
    if case.figure is None:
        assert "figure" not in facts(worst)
    else:
        assert facts(worst)["figure"] == pytest.approx(case.figure, abs=case.close)
    if case.limit is None:
        assert "limit" not in facts(worst)
    else:
        assert facts(worst)["limit"] == pytest.approx(case.limit, abs=0.0001)
    assert case.source in facts(worst).get("source", "")
    assert bool(case.source) == ("source" in facts(worst))


@pytest.mark.parametrize("case", NUMBERED)
def test_a_check_just_does_not_trip(case: Case) -> None:
    assert [finding.message for finding in of_rule(planned(case.holds), case.rule)] == []


def test_every_file_of_a_check_has_a_case_that_trips_it() -> None:
    folder = Path(diagram.checks.__file__).parent
    files = {file.stem.replace("_", "-") for file in folder.glob("*.py")} - {"--init--", "rule"}
    assert files == set(rules()) == {case.rule for case in CASES}


def test_green_horses_want_a_wider_turn() -> None:
    # "green: value: 10 m, derived: half of the 20 m canter circle of the first dressage level
    # [S39]"; "schooled: value: 5 m, ... 10 m canter circle of the third dressage level [S39]"
    fences = (_single(x=46, y=8), _elm(30, 22, 180))
    limits = {}
    for experience in ("green", "schooled"):
        horses = f"{{size: horse, stride: 12', experience: {experience}}}"
        found = of_rule(planned(_turned("turn: left", *fences, horses=horses)), "turn-too-tight")
        limits[experience] = [facts(finding)["limit"] for finding in found]
    assert limits == {"green": [10.0], "schooled": []}


def test_a_line_to_a_fence_behind_is_a_stop() -> None:
    plan = trial((BIRCH.replace("14 m", "40 m"), _elm(20, 10)), _line_to_elm())
    assert [str(f.severity) for f in of_rule(plan, "line-not-straight")] == ["stop"]


def test_counter_canter_said_is_no_fault() -> None:
    fences = (_single(x=18, y=8), _elm(30, 22, 180))
    plan = planned(_turned("turn: left, counter-canter", *fences, said=", land right"))
    assert of_rule(plan, "lead-against-the-turn") == []


def test_findings_come_worst_first() -> None:
    plan = trial((_single("oxer", line="front"), _elm(32, 5)), (START, "jump: birch", FINISH))
    plan_ranks = [finding.severity.rank for finding in plan.findings]
    assert plan_ranks == sorted(plan_ranks)


def test_a_combination_is_checked_element_by_element() -> None:
    found = of_rule(planned(_combination(" from behind")), "jumped-from-behind")
    assert [finding.message.split(" is ")[0] for finding in found] == ["grid c", "grid a"]
    assert [str(finding.severity) for finding in found] == ["stop", "caution"]


def test_a_finding_points_at_the_line_it_is_about() -> None:
    text = written((BIRCH, HAZEL), ("start: canter", "jump: birch, angled left 50°", FINISH))
    [found] = of_rule(planned(text), "angle-too-steep")
    assert found.span is not None
    assert "angled left 50°" in text.splitlines()[found.span.line - 1]
