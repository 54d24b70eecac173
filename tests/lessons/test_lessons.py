"""Lessons as written: minutes and jumps, what is refused, what is chosen, what is printed."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from click.testing import CliRunner
from lesson_trials import fence, text
from msgspec.structs import replace
from pypdf import PdfReader

from diagram.cli import main
from diagram.diagnostics import RejectedError
from diagram.drawing.pad import Pad
from diagram.lessons.choosing import NothingFitsError, choose, run_of
from diagram.lessons.lesson import Lesson, minutes_for, read_lesson
from diagram.lessons.printing import lesson_pdf
from diagram.lessons.refusals import judged
from diagram.lessons.sheet import running_sheet
from diagram.library.collection import read_library
from diagram.model.lesson_file import LessonWritten
from diagram.model.reading import validate
from diagram.pipeline import plan
from diagram.scene import Text, walk
from diagram.sections.page import PAPERS
from diagram.source import read_text, written

RIDE = "start: canter, left lead; jump: {0}; line: 5 strides; jump: {1}; finish: straight on, walk"
LINE = fence("alder", 20, 20) + "  birch: {kind: vertical, placed: 5 strides beyond alder}\n"
OXER = fence("alder", 20, 20) + "  birch: {kind: oxer, placed: 5 strides beyond alder}\n"
HEAD = """\
tapeline lesson: 1
title: Tonight
time: 18:00-19:00
groups:
  A: {riders: 3, height: 2'6", jumps: 30}
"""
RUN = """\
run:
  - group: A
  - warm up: 12 min
  - exercise: line
    rounds: 2
  - exercise: again
    rounds: 1
  - cool down: 5 min
"""


def yard(tmp_path: Path, **files: str) -> Path:
    files = {"line": text("The line", LINE, RIDE.format("alder", "birch")), **files}
    files.setdefault("again", text("Again", LINE, RIDE.format("alder", "birch")))
    for name, content in files.items():
        (tmp_path / f"{name}.yaml").write_text(content, encoding="utf-8")
    return tmp_path


def lesson(tmp_path: Path, head: str = HEAD, run: str = RUN, **files: str) -> Lesson:
    folder = yard(tmp_path, **files)
    (folder / "tonight.yaml").write_text(head + run, encoding="utf-8")
    return judged(read_lesson(folder / "tonight.yaml"))


def rules(found: Lesson) -> list[str]:
    return [problem.rule for problem in found.problems]


def test_minutes_and_jumps_are_counted(tmp_path: Path) -> None:
    found = lesson(tmp_path)
    assert [line.begin for line in found.lines] == [18 * 60 + n for n in _starts(found)]
    assert found.jumps_of("A", 1) == 2 * 2 + 2
    # Fifteen minutes for each rider are usual.
    assert rules(found) == ["little-time"]
    assert found.order is not None
    assert (found.order.moves.fences, len(found.spots)) == (0, 2)


def _starts(found: Lesson) -> list[int]:
    out, at = [], 0
    for line in found.lines:
        out.append(at)
        at += line.minutes
    return out


def test_minutes_of_an_exercise(tmp_path: Path) -> None:
    said = text("The line", LINE, RIDE.format("alder", "birch"), "minutes per round: 1.5 min\n")
    made = plan(yard(tmp_path, line=said) / "line.yaml")
    # Two minutes to explain it and a minute and a half for each round of each rider.
    assert minutes_for(made, rounds=2, riders=3) == 2 + 9
    assert minutes_for(made, rounds=1, riders=1) == 4


def test_who_leaves_it_out_does_not_jump_it(tmp_path: Path) -> None:
    run = RUN.replace("    rounds: 1\n", "    rounds: 1\n    without: [2]\n")
    found = lesson(tmp_path, run=run)
    assert [found.jumps_of("A", place) for place in (1, 2, 3)] == [6, 4, 6]


def test_rails_that_lie_are_no_jumps(tmp_path: Path) -> None:
    may = text("Again", LINE, RIDE.format("alder", "birch"), "may be poles: birch\n")
    run = RUN.replace("    rounds: 1\n", "    rounds: 1\n    as poles: birch\n")
    assert lesson(tmp_path, run=run, again=may).jumps_of("A", 1) == 5
    with pytest.raises(RejectedError, match='does not say that "birch" may'):
        lesson(tmp_path, run=run)


def test_a_spread_met_from_behind_is_refused(tmp_path: Path) -> None:
    back = (
        fence("elm", 39.9, 20, "180°") + "  oak: {kind: vertical, placed: 5 strides beyond elm}\n"
    )
    first = text("The line", OXER, RIDE.format("alder", "birch"))
    made = plan(yard(tmp_path, line=first) / "line.yaml")
    x = made.fence("birch").pose.x
    back = fence("elm", round(x, 2), 20, "180°") + (
        "  oak: {kind: vertical, placed: 5 strides beyond elm}\n"
    )
    again = text("Again", back, RIDE.format("elm", "oak"))
    as_drawn = HEAD + "set up: as drawn\n"
    found = lesson(tmp_path, as_drawn, line=first, again=again)
    assert "spread-from-behind" in rules(found)
    upright = text("The line", LINE.replace("birch: {", "birch: {ground line: both sides, "),
                   RIDE.format("alder", "birch"))  # fmt: skip
    assert "spread-from-behind" not in rules(lesson(tmp_path, as_drawn, line=upright, again=again))


@pytest.mark.parametrize(
    ("change", "rule", "mended"),
    [
        (("height: 2'6\"", "height: 1'9\""), "too-high-for-the-group", ("", "")),
        (("riders: 3,", "riders: 3, horses: large pony,"), "ponies-and-horses", ("", "")),
        (("jumps: 30", "jumps: 5"), "too-many-jumps", ("jumps: 30", "jumps: 6")),
        (("18:00-19:00", "18:00-18:30"), "too-long", ("18:00-19:00", "18:00-18:45")),
        (("riders: 3", "riders: 5"), "large-group", ("riders: 3", "riders: 4")),
        (("12 min", "9 min"), "no-warm-up", ("12 min", "10 min")),
        (("rounds: 2", "rounds: 40"), "too-many-efforts", ("", "")),
    ],
)
def test_each_refusal(
    change: tuple[str, str], rule: str, mended: tuple[str, str], tmp_path: Path
) -> None:
    found = lesson(tmp_path, HEAD.replace(*change), RUN.replace(*change))
    assert rule in rules(found)
    assert rule not in rules(lesson(tmp_path, HEAD.replace(*mended), RUN.replace(*mended)))


def test_who_waits_in_the_ring_needs_ground(tmp_path: Path) -> None:
    head = HEAD + "  B: {riders: 1, waits: in the ring at A}\n"
    assert "ring-not-safe" in rules(lesson(tmp_path, head))
    ride = RIDE.format("alder", "birch")
    both = text("The line", LINE, ride, "two groups: yes\n")
    again = text("Again", LINE, ride, "two groups: yes\n")
    assert "ring-not-safe" not in rules(lesson(tmp_path, head, line=both, again=again))
    outside = head.replace("in the ring at A", "outside")
    assert "ring-not-safe" not in rules(lesson(tmp_path, outside))


def test_what_has_to_be_carried_is_said_beforehand(tmp_path: Path) -> None:
    other = fence("elm", 30, 20, "90°") + "  oak: {kind: vertical, placed: 2 strides beyond elm}\n"
    ride = RIDE.format("elm", "oak").replace("5 strides", "2 strides")
    again = text("Again", other, ride)
    head = HEAD + "set up: as drawn\n"
    assert "has-to-move" in rules(lesson(tmp_path, head, again=again))
    assert "has-to-move" not in rules(lesson(tmp_path, head + "may move: yes\n", again=again))


def test_what_is_ridden_in_one_lesson_stands_in_one_ring(tmp_path: Path) -> None:
    ride = RIDE.format("alder", "birch")
    again = text("Again", LINE, ride).replace("40 x 80 m", "45 x 80 m")
    assert "another-arena" in rules(lesson(tmp_path, again=again))
    assert "another-arena" not in rules(lesson(tmp_path))


def test_what_the_checks_find_at_the_height_of_the_lesson(tmp_path: Path) -> None:
    wide = text(
        "The line", OXER.replace("oxer,", "oxer, spread: 2',"), RIDE.format("alder", "birch")
    )
    low = RUN.replace("    rounds: 2", "    height: 1'3\"\n    rounds: 2")
    # A spread of two feet is no wider than two feet high, and wider than a foot and a quarter.
    assert "wider-than-high" not in rules(lesson(tmp_path, line=wide))
    assert "wider-than-high" in rules(lesson(tmp_path, run=low, line=wide))
    stopped = text("The line", LINE, RIDE.format("alder", "birch")).replace(
        "5 strides\n", "5 strides\n"
    )
    short = stopped.replace("placed: 5 strides beyond alder", "at: [30 m, 20 m], facing: 0°")
    assert "line-off" not in rules(lesson(tmp_path))
    found = lesson(tmp_path, line=short)
    assert [p.severity for p in found.problems][:1] == ["stop"]


def test_mistakes_are_told_with_their_places(tmp_path: Path) -> None:
    run = "run:\n  - exercise: line\n  - group: C\n  - warm up: 5 min\n    exercise: line\n"
    with pytest.raises(RejectedError) as caught:
        lesson(tmp_path, run=run)
    told = [(p.span.line if p.span else 0, p.message) for p in caught.value.diagnostics]
    assert [line for line, _ in told] == [7, 8, 9]
    with pytest.raises(RejectedError, match="there is no exercise"):
        lesson(tmp_path, run="run:\n  - group: A\n  - exercise: nowhere\n")


def test_goals_become_a_run_with_reasons(tmp_path: Path) -> None:
    ride = RIDE.format("alder", "birch")
    folder = yard(
        tmp_path, line=text("The line", LINE, ride, "teaches: straightness\nrounds: 2\n"),
        again=text("Again", LINE, ride, "teaches: angles\ncomes before: line\nrounds: 2\n"),
        far=text("Elsewhere", fence("elm", 60, 20, "90°"), "jump: elm", "teaches: angles\n"),
        high=text("High", LINE, ride, "teaches: angles\n").replace("level: 2'", "level: 3'6\""),
    )  # fmt: skip
    document = read_text(HEAD + "set up: as drawn\ngoals: [straightness, angles]\n")
    wanted = validate(document, LessonWritten)
    chosen = choose(read_library(folder), wanted)
    # Both goals over one set of fences, and what comes before is ridden before.
    assert [entry.stem for entry in chosen.entries] == ["again", "line"]
    assert chosen.order.moves.fences == 0
    assert "2 fences of it already there" in chosen.why["line"]
    left = chosen.left_over(wanted)
    assert left.startswith(f"{chosen.idle_min} minutes are left over: write may move: yes")
    assert replace(chosen, idle_min=14).left_over(wanted) == ""
    (folder / "made.yaml").write_text(document.text + written({"run": run_of(chosen, wanted)}))
    made = judged(read_lesson(folder / "made.yaml"))
    assert [p for p in made.problems if str(p.severity) == "stop"] == []
    assert made.jumps_of("A", 1) <= 30


def test_nothing_that_fits_is_said_with_why(tmp_path: Path) -> None:
    folder = yard(tmp_path)
    wanted = validate(read_text(HEAD + "goals: grids\n"), LessonWritten)
    with pytest.raises(NothingFitsError, match="no exercise of the library teaches this"):
        choose(read_library(folder), wanted)


def test_the_print_has_the_pages_that_its_sheet_names(tmp_path: Path) -> None:
    found = lesson(tmp_path)
    data = lesson_pdf(found)
    assert data == lesson_pdf(found)
    reader = PdfReader(io.BytesIO(data))
    texts = [" ".join(page.extract_text().split()) for page in reader.pages]
    count = len(texts)
    assert f"Page 1 of {count}." in texts[0]
    for number, text_there in enumerate(texts[1:], 2):
        assert f"Tonight page {number} of {count}" in text_there
    titles = [str(item.title) for item in reader.outline if not isinstance(item, list)]
    assert titles == ["Running sheet", "The line", "Again", "Setting out"]
    for item, title in zip(reader.outline[1:3], ("The line", "Again"), strict=True):
        number = reader.get_destination_page_number(item) or 0  # type: ignore[arg-type]
        assert title in texts[number]
        assert f"page {number + 1}" in texts[0]
    leaf = reader.get_destination_page_number(reader.outline[3])  # type: ignore[arg-type]
    assert f"leaf on page {(leaf or 0) + 1}" in texts[0]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("riders", [3, 12])
@pytest.mark.parametrize("groups", [1, 2, 5])
def test_everything_on_the_sheet_is_on_the_paper(
    paper: str, riders: int, groups: int, tmp_path: Path
) -> None:
    title = "A title that is rather longer than what a line can hold in all"
    names = "ABCDE"[:groups]
    rows = "".join(
        f"  {name}: {{riders: {riders}, height: 2'6\", jumps: 90, young: [1, 3]}}\n"
        for name in names
    )
    head = (
        f"tapeline lesson: 1\ntitle: {title}\ntime: 08:00-22:00\ngroups:\n{rows}"
        "have ready: [a helper, a telephone]\nif short: {A: leave out the second}\n"
    )
    run = "run:\n" + "".join(
        RUN.removeprefix("run:\n").replace("group: A", f"group: {name}") for name in names
    )
    found = lesson(tmp_path, head, run)
    pages = running_sheet(found, {0: 2, 1: 4}, 6, 8, paper=paper)
    width, height = PAPERS[paper]
    said = []
    for page in pages:
        for item in walk(page.items):
            if isinstance(item, Text):
                box = item.bbox()
                said.append(item.text)
                assert box.left >= 9.5, item.text
                assert box.right <= width - 9, item.text
                assert box.bottom <= height - 4, item.text
                foot = item.at[1] > height - 8
                assert foot or box.bottom <= height - 10.5, item.text
    # Every rider has a line, and every line of the lesson its time, on whatever page.
    places = [f"{name}{place}" for name in names for place in range(1, riders + 1)]
    assert [text for text in said if text in places] == places
    assert sum(text == "cool-down" for text in said) == groups
    assert len(pages) == 1 or groups > 1
    assert Pad(1, 1).items == []


def test_the_command_refuses_and_prints_nothing(tmp_path: Path) -> None:
    lesson(tmp_path, HEAD.replace("jumps: 30", "jumps: 5"))
    to = tmp_path / "out.pdf"
    call = ["lesson", "print", str(tmp_path / "tonight.yaml"), "--to", str(to)]
    done = CliRunner().invoke(main, call)
    assert (done.exit_code, to.exists()) == (1, False)
    assert "refused" in done.stderr
    lesson(tmp_path)
    assert CliRunner().invoke(main, call).exit_code == 0
    assert CliRunner().invoke(main, call).exit_code == 2
    assert "6 jumps" not in CliRunner().invoke(main, ["lesson", "check", call[2]]).stderr
