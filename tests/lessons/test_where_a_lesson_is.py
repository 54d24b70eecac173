"""The arena and the store that a lesson names: what is chosen for them, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from lesson_trials import fence, text

from diagram.diagnostics import RejectedError
from diagram.lessons.choosing import Chosen, NothingFitsError, choose, run_of
from diagram.lessons.lesson import Lesson, read_lesson
from diagram.lessons.refusals import judged
from diagram.lessons.sharing import names_a_side
from diagram.lessons.yard import yard_of
from diagram.library.collection import read_library
from diagram.model.lesson_file import LessonWritten
from diagram.model.reading import validate
from diagram.pipeline import plan_text
from diagram.source import read_text

ONE = "start: canter, left lead; jump: {0}; finish: straight on, walk"
HEAD = "tapeline lesson: 1\ntitle: Tonight\ntime: 18:00-19:00\n{more}groups:\n  A: {{riders: 3}}\n"
LIBRARY = """\
tapeline library: 1
title: Ours
stores:
  Mill: {standards: 2, poles: {12': 5}}
  Barn: {standards: 40, poles: {12': 60}}
"""


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """Two exercises in the small school, one in a large ring that would go into the small one."""
    files = {
        "elm": text("Elm", fence("elm", 20, 10), ONE.format("elm"), "teaches: grids\n"),
        "oak": text("Oak", fence("oak", 30, 10), ONE.format("oak"), "teaches: poles\n"),
        "fir": text("Fir", fence("fir", 20, 20), ONE.format("fir"), "teaches: angles\n"),
    }
    for name, content in files.items():
        if name != "fir":
            content = content.replace("arena: 40 x 80 m", "arena: school")
        (tmp_path / f"{name}.yaml").write_text(content, encoding="utf-8")
    (tmp_path / "arenas.yaml").write_text("school: {name: 'School, small', size: 50 x 20 m}\n")
    (tmp_path / "library.yaml").write_text(LIBRARY)
    return tmp_path


def chosen(yard: Path, more: str) -> Chosen:
    document = read_text(HEAD.format(more=more), str(yard / "tonight.yaml"))
    wanted = validate(document, LessonWritten)
    arena, store = yard_of(wanted, document, yard)
    return choose(read_library(yard), wanted, store, arena)


def planned(yard: Path, more: str, *stems: str) -> Lesson:
    run = "run:\n  - group: A\n  - warm up: 12 min\n" + "".join(
        f"  - exercise: {stem}\n" for stem in stems
    )
    file = yard / "tonight.yaml"
    file.write_text(HEAD.format(more=more) + run, encoding="utf-8")
    return judged(read_lesson(file))


def stems(made: Chosen) -> set[str]:
    return {entry.stem for entry in made.entries}


@pytest.mark.parametrize("said", ["school", "20 x 50 m, gate in the short side", "40 x 80 m"])
def test_only_what_is_drawn_for_the_arena_is_chosen(yard: Path, said: str) -> None:
    more = f"arena: {said}\nmay move: yes\ngoals: [grids, poles, angles]\n"
    if said.startswith("20"):
        # A ring of that size, and yet another arena: its name and its sides are not those.
        with pytest.raises(NothingFitsError, match="3 are drawn for another arena"):
            chosen(yard, more)
    else:
        made = chosen(yard, more)
        assert stems(made) == ({"elm", "oak"} if said == "school" else {"fir"})
        assert all("another arena" in why for why in made.untaught.values())


def test_what_would_go_into_it_is_named(yard: Path) -> None:
    with pytest.raises(NothingFitsError, match=r"elm, oak would go into this arena: tapeline fit"):
        chosen(yard, "arena: 25 x 60 m\ngoals: [grids, poles]\n")


def test_a_goal_that_is_not_taught_is_told_with_why(yard: Path) -> None:
    made = chosen(yard, "arena: school\ngoals: [grids, poles, transitions]\n")
    assert stems(made) == {"oak"}
    assert made.untaught == {
        "grids": "fences would be carried for it: write may move: yes",
        "transitions": "no exercise of the library teaches it",
    }
    made = chosen(yard, "may move: yes\narena: school\ngoals: [grids, poles]\n")
    assert (stems(made), made.untaught) == ({"elm", "oak"}, {})


def test_a_store_of_the_library_is_built_from(yard: Path) -> None:
    head = "arena: school\nmay move: no\n"
    ash = text("Ash", fence("ash", 30, 17), ONE.format("ash"), "teaches: leads and changes\n")
    (yard / "ash.yaml").write_text(ash.replace("arena: 40 x 80 m", "arena: school"))
    both = planned(yard, f"store: barn\nset up: as drawn\n{head}", "elm", "ash")
    assert "missing-from-the-store" not in {p.rule for p in both.problems}
    # Each has its two standards; both at once do not.
    both = planned(yard, f"store: Mill\nset up: as drawn\n{head}", "elm", "ash")
    told = [p for p in both.problems if p.rule == "missing-from-the-store"]
    # A vertical with a ground line on both sides is 4 poles and 2 standards.
    assert [p.message.removeprefix("for what stands then ") for p in told] == [
        "poles of 12' (3.66 m): 8 wanted, 5 in the store",
        "standards: 4 wanted, 2 in the store",
    ]
    alone = planned(yard, f"store: Mill\n{head}", "elm")
    assert "missing-from-the-store" not in {p.rule for p in alone.problems}


def test_an_exercise_of_another_arena_is_refused(yard: Path) -> None:
    found = planned(yard, "arena: school\n", "fir")
    (told,) = [p for p in found.problems if p.rule == "another-arena"]
    assert "is drawn for 40 x 80 m, and the lesson is for School, small" in told.message


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ("arena: scool\n", 'did you mean "school"'),
        ("store: Bran\n", 'did you mean "Barn"'),
        ("arena: 20 x 5000 m\n", "longer than"),
    ],
)
def test_an_unknown_name_is_told_where_it_stands(yard: Path, more: str, says: str) -> None:
    with pytest.raises(RejectedError) as caught:
        planned(yard, more, "elm")
    (told,) = caught.value.diagnostics
    assert told.span
    assert (told.span.line, told.span.file) == (4, str(yard / "tonight.yaml"))
    assert says in str(caught.value)


def test_an_exercise_is_raised_to_no_height_but_its_own(yard: Path) -> None:
    """What it can be ridden at is not what it is ridden at: only what is too high is lowered."""
    for stem, level in (("elm", "2'"), ("oak", "2'9\"")):
        file = yard / f"{stem}.yaml"
        said = file.read_text().replace("level: 2'", f"level: {level}\nheights: 1'6\" - 3'")
        file.write_text(said, encoding="utf-8")
    document = read_text(
        HEAD.format(more="may move: yes\narena: school\ngoals: [grids, poles]\n").replace(
            "riders: 3", "riders: 3, height: 2'6\""
        ),
        str(yard / "tonight.yaml"),
    )
    wanted = validate(document, LessonWritten)
    made = choose(read_library(yard), wanted, None, yard_of(wanted, document, yard)[0])
    heights = {step["exercise"]: step.get("height") for step in run_of(made, wanted)
               if "exercise" in step}  # fmt: skip
    assert heights == {"elm": None, "oak": "2'6\""}


@pytest.mark.parametrize(("words", "named"), [("Look at the mill end.", True), ("Look up.", False),
                                              ("Left and right.", False)])  # fmt: skip
def test_words_that_name_a_side_are_found(words: str, named: bool) -> None:
    arena = "arena: {size: 60 x 30 m, sides: {left: mill end}}"
    content = text("Elm", fence("elm", 20, 10), ONE.format("elm")).replace(
        "arena: 40 x 80 m", arena).replace("To be put into a lesson.", words)  # fmt: skip
    made = plan_text(content)
    assert names_a_side(made) == named


def test_both_wrong_names_are_told_at_once(yard: Path) -> None:
    with pytest.raises(RejectedError) as caught:
        planned(yard, "arena: scool\nstore: Bran\n", "elm")
    assert [d.span.line for d in caught.value.diagnostics if d.span] == [4, 5]
