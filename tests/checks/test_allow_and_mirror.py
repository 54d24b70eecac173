"""What a trainer allows, and that no check prefers one hand."""

from __future__ import annotations

import pytest
from check_trials import (
    ALONE,
    BIRCH,
    FINISH,
    HAZEL,
    START,
    facts,
    left_and_right_exchanged,
    mirrored,
    of_rule,
    planned,
    trial,
    written,
)

from diagram.checks import rules
from diagram.diagnostics import Diagnostic

WIDE = (BIRCH, HAZEL.replace("2'6\"", "3'6\""))


def test_what_is_allowed_becomes_a_note_with_the_reason() -> None:
    assert [str(f.severity) for f in trial(WIDE).findings] == ["caution"]
    [note] = trial(WIDE, more="allow: {wider-than-high: Schooled horses only.}").findings
    assert str(note.severity) == "note"
    assert note.rule == "wider-than-high"
    assert note.hint == "allowed by the trainer: Schooled horses only."
    # "published (rule) [R23]: hunters, spread not above the height of the fence"
    assert "[R23]" in facts(note)["source"]


def test_a_stop_can_be_allowed_too() -> None:
    ride = (START, "jump: birch, angled left 50°", FINISH)
    plan = trial((BIRCH,), ride, more="allow: {angle-too-steep: A pole on the ground today.}")
    assert [str(f.severity) for f in of_rule(plan, "angle-too-steep")] == ["note"]


def test_allowing_one_check_allows_no_other() -> None:
    plan = trial(WIDE, more="allow: {distance-off: Quiet horses.}")
    assert [str(f.severity) for f in of_rule(plan, "wider-than-high")] == ["caution"]


def test_an_unknown_name_in_allow_is_a_caution() -> None:
    text = written(more="allow: {wider-then-high: No reason.}")
    [found] = planned(text).findings
    assert (found.rule, str(found.severity)) == ("unknown-allowance", "caution")
    assert "wider-than-high" in found.hint
    assert found.span is not None
    line = text.splitlines()[found.span.line - 1]
    assert line[found.span.column - 1 :].startswith("wider-then-high")


@pytest.mark.parametrize("name", sorted(rules()))
def test_every_check_may_be_named_in_allow(name: str) -> None:
    assert trial(more=f"allow: {{{name}: A reason.}}").findings == ()


FAULTS = written(
    (
        "birch: {kind: vertical, at: [20 m, 8 m], facing: 0°, ground line: front}",
        "hazel: {kind: oxer, spread: 3'6\", placed: '66 ft beyond birch, turned left 8°'}",
        "elm: {kind: vertical, at: [25 m, 12.3 m], facing: 10°}",
        "oak: {kind: vertical, at: [40 m, 22.4 m], facing: 170°}",
        "ash: {kind: ascending oxer, at: [19.5 m, 23 m], facing: 178°}",
    ),
    (
        START,
        "jump: birch, angled right 4°, land on the right lead",
        "bend: right, 5 strides",
        "jump: hazel",
        "turn: left",
        "jump: oak",
        "line: 5 strides",
        "jump: ash, angled left 17°",
        "turn: left",
        "jump: birch from behind",
        "finish: circle left, walk",
    ),
)


def _told(findings: tuple[Diagnostic, ...]) -> list[tuple[str, str, str, str]]:
    return sorted((f.rule, str(f.severity), f.message, f.hint) for f in findings)


def _exchanged(findings: tuple[Diagnostic, ...]) -> list[tuple[str, str, str, str]]:
    swap = left_and_right_exchanged
    return sorted((f.rule, str(f.severity), swap(f.message), swap(f.hint)) for f in findings)


def test_a_mirrored_exercise_has_the_same_findings_left_and_right_exchanged() -> None:
    one, other = planned(FAULTS), planned(mirrored(FAULTS, 30))
    assert len({finding.rule for finding in one.findings}) >= 7
    assert _exchanged(one.findings) == _told(other.findings)
    for mine, its in zip(_by_place(one.findings), _by_place(other.findings), strict=True):
        for key in ("figure", "limit"):
            ours, theirs = facts(mine).get(key), facts(its).get(key)
            if mine.rule == "bend-to-the-other-hand" and ours is not None:
                theirs = -theirs
            assert ours == (None if theirs is None else pytest.approx(theirs, abs=2e-4))
        (x, y), (u, v) = facts(mine)["at_m"], facts(its)["at_m"]
        # The same place on the other side of the long axis, to the centimetre.
        assert (x, y) == pytest.approx((u, 30 - v), abs=0.01)


def _by_place(findings: tuple[Diagnostic, ...]) -> list[Diagnostic]:
    def key(found: Diagnostic) -> tuple[object, ...]:
        assert found.span is not None
        # Messages differ by left and right only, so their lengths without those words agree.
        words = found.message.replace("left", "").replace("right", "")
        return found.rule, found.span.line, words

    return sorted(findings, key=key)


def test_the_mirrored_clean_exercise_is_clean() -> None:
    assert planned(mirrored(written(), 30)).findings == ()
    assert planned(mirrored(written((BIRCH,), ALONE), 30)).findings == ()
