"""Step files: the shipped ones, wrong ones, and which tries each requirement counts."""

from __future__ import annotations

import contextlib
from datetime import date, timedelta

import pytest
from filling import ON, ROOT
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from diagram.diagnostics import RejectedError
from diagram.records.readiness import Shown, readiness, standing, step_for
from diagram.records.step_file import SHIPPED, Ask, Counts, Requirement, read_steps, step_of
from diagram.records.tries import tries_of
from diagram.records.values import (
    Day,
    Element,
    ExerciseVersion,
    History,
    Horse,
    Pair,
    Person,
    Round,
    Seen,
)
from diagram.records.words import missing_text
from diagram.source import read, read_text

STEPS = read_steps(SHIPPED)
GOOD = (SHIPPED / "from-2ft9-to-3ft.yaml").read_text(encoding="utf-8")


def test_three_steps_are_shipped_and_marked() -> None:
    assert [(step.from_mm, step.to_mm) for step in STEPS] == [(686, 762), (762, 838), (838, 914)]
    for step in STEPS:
        assert step.practice == "common"
        assert [len(step.by(who)) for who in ("horse", "rider", "pair")] == [5, 5, 2]


def test_their_exercises_are_in_the_library() -> None:
    titles = set()
    for file in sorted((ROOT / "exercises").glob("*.yaml")):
        root = read(file).plain()
        titles.add(root.get("title") if isinstance(root, dict) else None)
    for step in STEPS:
        for requirement in step.requirements:
            for title in requirement.exercises:
                assert any(title == t or title.startswith(f"{t},") for t in titles if t), title


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("by: horse", "by: pony", r'5?:9: error\[unknown-word\]: "pony" is no'),
        ("of 10: 8", "of 10: 12", "12 of 10 is no share"),
        ("days: 3", "days: three", "'three' is not a count"),
        ("jump: oxer", "jump: oxers", 'did you mean "oxer"'),
        ("way: line", "weg: line", 'nothing is counted by "weg"'),
        ("last within: 6 weeks", "last within: 60 weeks", "longer than the look-back"),
        ("judged by: strides", "judged by: feel", 'no way to judge'),
        ("to: 3'", "to: 2'6\"", "a step goes up"),
        ("key: canter", "key: wide", "stands on line"),
        ("height at least: 2'9\"}", "height at least: high}", "'high' is not a length"),
        ("words: oxer as wide as high", "words: " + "x" * 35, "the column holds 34"),
        ("of them at 3': 1", "of them at three: 1", "'three' is not a length"),
        ("title: From 2'9\" to 3'\n", "", 'lacks "title"'),
    ],
)  # fmt: skip
def test_wrong_files_say_where(old: str, new: str, said: str) -> None:
    assert old in GOOD
    with pytest.raises(RejectedError, match=said) as found:
        step_of(read_text(GOOD.replace(old, new, 1), "step.yaml"))
    for one in found.value.diagnostics:
        assert one.span is not None
        assert one.span.line > 0


def test_all_mistakes_at_once() -> None:
    text = GOOD.replace("by: rider", "by: reiter").replace("of 10: 8", "of 10: 0")
    with pytest.raises(RejectedError) as found:
        step_of(read_text(text, "step.yaml"))
    assert len(found.value.diagnostics) >= 10


@given(st.text(max_size=200))
def test_no_text_is_a_traceback(text: str) -> None:
    with contextlib.suppress(RejectedError):
        step_of(read_text(f"{GOOD[:400]}{text}", "step.yaml"))


IDA = Person(1, "Ida", None, date(2020, 1, 1), None, "")
TESS = Person(2, "Tess", None, date(2020, 1, 1), None, "")
BRAMBLE = Horse(1, "Bramble", "horse", None, date(2020, 1, 1), None, "")
COMET = Horse(2, "Comet", "horse", None, date(2020, 1, 1), None, "")
PAIR = Pair(1, IDA, BRAMBLE)


def _element(place: int = 2, **more: object) -> Element:
    values: dict[str, object] = {
        "element_id": place, "exercise_id": 1, "place": place, "name": "birch", "shape": "line",
        "rein": None, "strides_asked": 5, "strides_out_asked": None, "lead_asked": "left",
        "canter_mm": 22000, "landing_mm": 1700, "take_off_mm": 1900, "seconds_asked": 4.0,
        "pass_mark": "Five.", "tags": {"kind": "oxer", "spread mm": 838, "from": "alder"},
    }  # fmt: skip
    return Element(**{**values, **more})  # type: ignore[arg-type]


def _round(
    on: date, *seen: Seen, pair: Pair = PAIR, number: int = 1, height: int = 838,
    complete: bool = True, elements: tuple[Element, ...] = (),
) -> Round:  # fmt: skip
    exercise = ExerciseVersion(1, "A line", "d", "f", elements or tuple(s.element for s in seen))
    day = Day(on.toordinal(), on, "", "", "", None, "")
    return Round(on.toordinal() * 100 + number, day, pair, exercise, number, height, complete, "",
                 seen)  # fmt: skip


def _seen(mark: str = "as asked", strides: int | None = 5, **more: object) -> Seen:
    whose = None if mark == "as asked" else "both"
    whose = more.pop("whose", whose)  # type: ignore[assignment]
    values = {"element": _element(), "strides_out": None, "seconds": None, "lead": "left",
              "height_mm": 838, **more}  # fmt: skip
    return Seen(mark=mark, whose=whose, strides=strides, **values)  # type: ignore[arg-type]


def _asked(judged: str, counts: Counts | None = None, by: str = "horse", **ask: int) -> Requirement:
    values = {"right": 8, "of": 10, "tries": 8, "days": 3, "look_back": 84, "last_within": 42}
    return Requirement(
        "key", by, "words", "verb", "noun", counts or Counts(), judged,  # type: ignore[arg-type]
        Ask(**{**values, **ask}), (),
    )  # fmt: skip


def _outcome(requirement: Requirement, *rounds: Round) -> list[bool]:
    return [one.asked for one in tries_of(requirement, PAIR, rounds)]


@pytest.mark.parametrize(
    ("judged", "seen", "said"),
    [
        ("mark", _seen(), [True]),
        ("mark", _seen("with work"), [False]),
        ("strides", _seen("with work"), [True]),
        ("strides", _seen(strides=6), [False]),
        ("strides", _seen(strides=None), []),
        ("lead", _seen(lead="right"), [False]),
        ("lead", _seen(lead=None), []),
        ("seconds", _seen(seconds=4.4), [True]),
        ("seconds", _seen(seconds=4.6), [False]),
        ("seconds", _seen(), []),
        ("jumped", _seen("not as asked"), [True]),
        ("jumped", _seen("not jumped", strides=None, lead=None), [False]),
    ],
)
def test_what_each_judge_looks_at(judged: str, seen: Seen, said: list[bool]) -> None:
    assert _outcome(_asked(judged), _round(ON, seen)) == said


@pytest.mark.parametrize(
    ("counts", "inside"),
    [
        (Counts(jump="oxer"), True),
        (Counts(jump="vertical"), False),
        (Counts(spread_mm=-1), True),
        (Counts(spread_mm=839), False),
        (Counts(height_mm=839), False),
        (Counts(way="bend"), False),
        (Counts(strides=4), False),
        (Counts(both_ways=True), False),
        (Counts(other_counts=True), False),
        (Counts(lead_asked=True), True),
        (Counts(new_filler=True), False),
    ],
)
def test_which_elements_count(counts: Counts, inside: bool) -> None:
    assert bool(_outcome(_asked("mark", counts), _round(ON, _seen()))) is inside


def test_both_ways_and_other_counts_look_at_the_whole_exercise() -> None:
    out = _element(2)
    home = _element(3, name="alder", strides_asked=6, tags={"kind": "oxer", "from": "birch"})
    one = _round(ON, _seen(), elements=(out, home))
    assert _outcome(_asked("strides", Counts(both_ways=True)), one) == [True]
    assert _outcome(_asked("strides", Counts(other_counts=True)), one) == [True]


def test_a_filler_is_new_to_a_horse_once() -> None:
    planks = _element(tags={"kind": "oxer", "filler": "planks"})
    rounds = [_round(ON - timedelta(days=n), _seen(element=planks)) for n in (9, 6, 3)]
    other = _round(ON, _seen(element=planks), pair=Pair(2, IDA, COMET))
    assert _outcome(_asked("mark", Counts(new_filler=True)), *rounds, other) == [True]


@pytest.mark.parametrize(("by", "own", "other"), [("horse", "horse", "rider"),
                                                  ("rider", "rider", "horse")])  # fmt: skip
def test_a_miss_of_the_other_counts_neither_way(by: str, own: str, other: str) -> None:
    """What was the rider's miss says nothing of the horse, and the other way round."""
    asked = _asked("mark", by=by)
    for whose, said in ((own, [False]), ("both", [False]), ("unknown", [False]), (other, [])):
        assert _outcome(asked, _round(ON, _seen("with work", whose=whose))) == said
    assert _outcome(_asked("mark", by="pair"), _round(ON, _seen("with work", whose=other))) == [
        False
    ]
    # A whole round: the other's miss is as if nobody had seen it.
    whole = replace(asked, counts=Counts(whole_round=True, fences=2, misses=1))
    good = _seen()
    for whose, said in ((other, [True]), (own, [True])):
        assert _outcome(whole, _round(ON, good, _seen("with work", whose=whose))) == said
    none = replace(asked, counts=Counts(whole_round=True, fences=2, misses=0))
    assert _outcome(none, _round(ON, good, _seen("with work", whose=own))) == [False]
    assert _outcome(none, _round(ON, good, _seen("with work", whose=other))) == []
    stopped = _round(ON, good, _seen("not jumped", whose=other), complete=False)
    assert _outcome(whole, stopped) == []


def test_since_later_than_all_sheets_is_not_too_long_ago() -> None:
    """The sheets are of this month; they are not looked at because it is counted anew."""
    anew = replace(PAIR, horse=replace(PAIR.horse, since=ON + timedelta(days=3)))
    rounds = [_round(ON, _seen(), pair=anew)]
    shown = standing(_asked("mark"), anew, rounds, ON + timedelta(days=5), 0.35, 838)
    assert (shown.state, shown.why) == ("not yet", "begun anew")
    assert missing_text(shown).startswith("none since ")
    late = standing(_asked("mark"), PAIR, [_round(ON, _seen())], ON + timedelta(days=200), 0.35,
                    838)  # fmt: skip
    assert late.why == "too long ago"


def test_whose_tries_count() -> None:
    rounds = [
        _round(ON, _seen()), _round(ON, _seen(), pair=Pair(2, TESS, BRAMBLE)),
        _round(ON, _seen(), pair=Pair(3, IDA, COMET)),
    ]  # fmt: skip
    assert len(_outcome(_asked("mark", by="horse"), *rounds)) == 2
    assert len(_outcome(_asked("mark", by="rider"), *rounds)) == 2
    assert len(_outcome(_asked("mark", by="pair"), *rounds)) == 1
    another = Counts(whole_round=True, another_horse=True)
    (only,) = tries_of(_asked("round", another, "rider"), PAIR, rounds)
    assert only.round.pair.horse == COMET


def test_whole_rounds() -> None:
    counts = Counts(whole_round=True, fences=3, misses=1, height_mm=838)
    elements = tuple(_element(n) for n in (1, 2, 3))
    asked = _asked("round", counts, "pair")

    def outcome(*marks: str, complete: bool = True, height: int = 838) -> list[bool]:
        seen = [_seen(mark, element=e) for mark, e in zip(marks, elements, strict=False)]
        return _outcome(asked, _round(ON, *seen, elements=elements, complete=complete,
                                      height=height))  # fmt: skip

    assert outcome("as asked", "as asked", "with work") == [True]
    assert outcome("as asked", "with work", "with work") == [False]
    # One fence nobody saw: it may have been the miss that is allowed, or a second one.
    assert outcome("as asked", "as asked") == [True]
    assert outcome("as asked", "with work") == []
    # Two that nobody saw: it could be found missed but never as asked, so it counts neither way.
    assert outcome("with work") == []
    assert outcome("as asked", complete=False) == [False]
    assert outcome("as asked", "as asked", "as asked", height=762) == []


def _stands(*rounds: Round, **ask: int) -> Shown:
    return standing(_asked("mark", **ask), PAIR, rounds, ON, 0.35, 914)


def _days(marks: str, gap: int = 7, last: int = 0) -> list[Round]:
    """A round a letter, the last one `last` days ago: t as asked, m a miss."""
    words = {"t": "as asked", "m": "with work"}
    return [
        _round(ON - timedelta(days=last + gap * n), _seen(words[mark]))
        for n, mark in enumerate(reversed(marks))
    ][::-1]


@pytest.mark.parametrize(
    ("rounds", "state", "why"),
    [
        ([], "never tried", ""),
        (_days("tttt"), "not yet", "seen too seldom"),
        (_days("t" * 11), "shown", ""),
        (_days("ttttttttmt"), "shown", "narrowly"),
        (_days("ttttttmtmtm"), "not yet", "just short"),
        (_days("mmmmtmmtm"), "not yet", "not often enough"),
        (_days("t" * 10, gap=0), "not yet", "too few days"),
        (_days("t" * 9, gap=2, last=50), "not yet", "too long ago"),
        (_days("t" * 9, last=200), "not yet", "too long ago"),
    ],
)
def test_states(rounds: list[Round], state: str, why: str) -> None:
    found = _stands(*rounds)
    assert (found.state, found.why) == (state, why)


def test_a_break_and_a_new_beginning_cut_the_look_back() -> None:
    rounds = [*_days("t" * 8, last=150), *_days("tt", last=3)]
    found = _stands(*rounds, look_back=364)
    assert found.rate.n == 2
    assert found.since == ON - timedelta(days=10)
    young = replace(BRAMBLE, since=ON - timedelta(days=5))
    late = standing(
        _asked("mark", look_back=364), replace(PAIR, horse=young), _days("tttt"), ON, 0.35, 914
    )  # fmt: skip
    assert late.rate.n == 1


def test_a_pair_gets_the_step_at_its_own_height(invented: History) -> None:
    pair = next(p for p in invented.pairs if p.name == "Ida and Bramble")
    own = [one for one in invented.rounds if one.pair == pair]
    chosen = step_for(STEPS, own, ON)
    assert chosen is not None
    assert chosen.from_mm == 838
    assert step_for(STEPS, [], ON) is None
    low = [replace(one, height_mm=400) for one in own]
    assert step_for(STEPS, low, ON) is None


def test_the_invented_record_shows_every_kind_of_answer(invented: History) -> None:
    answers = {
        (one.state, one.why)
        for step in STEPS
        for pair in invented.pairs
        for one in readiness(invented, pair, step, ON, None).shown
    }
    assert {("shown", ""), ("shown", "narrowly"), ("never tried", "")} <= answers
    assert {"seen too seldom", "just short", "not often enough"} <= {why for _, why in answers}
