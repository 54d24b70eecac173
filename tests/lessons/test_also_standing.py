"""A card in a lesson shows what else stands there, so that nobody rides it by mistake."""

from __future__ import annotations

from pathlib import Path

import pytest
from lesson_trials import fence, text
from msgspec.structs import replace
from pypdf import PdfReader

from diagram.drawing.also_standing import KEY
from diagram.drawing.side_one import draw_side_one
from diagram.lessons.common import others_of
from diagram.lessons.lesson import Lesson, read_lesson
from diagram.lessons.printing import lesson_pdf
from diagram.lessons.refusals import judged
from diagram.pipeline import plan
from diagram.scene import Fill, Group, Text, walk

RIDE = "start: canter, left lead; jump: {0}; turn: left; jump: {1}; finish: straight on, walk"
LOW = fence("alder", 20, 8) + fence("birch", 60, 34, "180°")
# The first fence stands where the other exercise has its first; the second is of this one alone.
ON_IT = fence("willow", 20, 8) + fence("rowan", 40, 24, "180°")
APART = fence("alder", 20, 16) + fence("rowan", 40, 24, "180°")
LESSON = """\
tapeline lesson: 1
title: Tonight
time: 18:00-19:00
set up: as drawn
groups:
  A: {riders: 2, height: 2'6", jumps: 30}
run:
  - group: A
  - exercise: first
    rounds: 1
  - exercise: second
    rounds: 1
"""


def lesson(folder: Path, second: str, names: tuple[str, str]) -> Lesson:
    ride = RIDE.format(*names)
    files = {"first": text("First", LOW, RIDE.format("alder", "birch")),
             "second": text("Second", second, ride), "tonight": LESSON}  # fmt: skip
    for name, content in files.items():
        (folder / f"{name}.yaml").write_text(content, encoding="utf-8")
    return judged(read_lesson(folder / "tonight.yaml"))


def test_only_what_an_exercise_does_not_use_is_another_ones(tmp_path: Path) -> None:
    found = lesson(tmp_path, ON_IT, ("willow", "rowan"))
    assert found.order is not None
    # Alder and willow stand in one place.
    assert [placed.name for placed in others_of(found, 0)] == ["rowan"]
    assert [placed.name for placed in others_of(found, 1)] == ["birch"]


def test_nothing_stands_beside_an_exercise_alone(tmp_path: Path) -> None:
    found = lesson(tmp_path, LOW, ("alder", "birch"))
    assert [list(others_of(found, n)) for n in (0, 1)] == [[], []]


def test_the_card_shows_them_hollow_with_a_key(tmp_path: Path) -> None:
    found = lesson(tmp_path, ON_IT, ("willow", "rowan"))
    (tmp_path / "tonight.pdf").write_bytes(lesson_pdf(found))
    pages = [page.extract_text() for page in PdfReader(tmp_path / "tonight.pdf").pages]
    to_ride = [page for page in pages if KEY in page]
    assert len(to_ride) == 2
    assert "rowan" in to_ride[0]
    assert "birch" in to_ride[1]


@pytest.mark.parametrize("also", [True, False])
def test_of_a_file_alone_nothing_is_shown(tmp_path: Path, also: bool) -> None:
    found = lesson(tmp_path, APART, ("alder", "rowan"))
    made = plan(tmp_path / "second.yaml")
    standing = tuple(others_of(found, 1)) if also else ()
    drawn = draw_side_one(replace(made, standing=standing))
    groups = {item.name: item for item in drawn.scene.walk() if isinstance(item, Group)}
    assert ("also-standing" in groups) is also
    words = [item.text for item in drawn.scene.walk() if isinstance(item, Text)]
    assert (KEY in words) is also
    if also:
        # Both alders stand there: the one that is not ridden has the number of its exercise.
        assert {placed.name for placed in standing} == {"alder", "birch"}
        hollow = [m for m in walk(groups["also-standing"].children) if isinstance(m, Fill)]
        assert len(hollow) == 2
        assert words.count("alder") == 1
        assert "birch" in words


def test_the_card_has_the_minutes_of_the_running_sheet(tmp_path: Path) -> None:
    found = lesson(tmp_path, ON_IT, ("willow", "rowan"))
    (tmp_path / "second.yaml").write_text(
        "minutes: 45\n" + (tmp_path / "second.yaml").read_text(), encoding="utf-8"
    )
    found = judged(read_lesson(tmp_path / "tonight.yaml"))
    given = {line.exercise: line.minutes for line in found.lines if line.exercise is not None}
    (tmp_path / "tonight.pdf").write_bytes(lesson_pdf(found))
    pages = [page.extract_text() for page in PdfReader(tmp_path / "tonight.pdf").pages]
    heads = [page.replace("\n", " ") for page in pages if KEY in page]
    assert given[1] != 45
    assert f" {given[1]}  minutes" in heads[1] or f"{given[1]} minutes" in " ".join(
        heads[1].split()
    )
    assert "45" not in heads[1]
