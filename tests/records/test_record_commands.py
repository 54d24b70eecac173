"""The commands of the record as they are called: what they write, refuse and say."""

from __future__ import annotations

import csv
import io
import re
import shutil
import stat
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from filling import ROOT
from pypdf import PdfReader

from diagram.cli import main
from diagram.records.file import RecordFile
from diagram.records.history import read_sheet

COURSE = ROOT / "exercises" / "every-fence-twice.yaml"

TWICE = """tapeline: 1
title: A double, twice
purpose: One double, jumped twice in a round.
level: 2'6"
arena: 60 x 30 m
fences:
  single: {kind: vertical, at: [14 m, 8 m], facing: 0°}
  double:
    kind: combination
    at: [40 m, 22 m]
    facing: 180°
    elements:
      - {kind: vertical}
      - {kind: vertical, after: 1 stride}
ride:
  - start: canter, left lead
  - jump: single
  - turn: left
  - jump: double
  - turn: left
  - jump: single
  - turn: left
  - jump: double
  - finish: straight on, walk
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "record.sqlite"


def run(file: Path, *words: object, stdin: str | None = None) -> Result:
    args = [str(word) for word in words]
    at = 2 if args[0] == "record" else 1
    return CliRunner().invoke(
        main, [*args[:at], "--record", str(file), *args[at:]]
        if args[:2] != ["record", "correct"] else [*args[:3], "--record", str(file), *args[3:]],
        input=stdin,
    )  # fmt: skip


def ok(file: Path, *words: object, stdin: str | None = None) -> str:
    found = run(file, *words, stdin=stdin)
    assert found.exit_code == 0, found.output
    return found.output


def test_from_a_sheet_to_a_page(file: Path, tmp_path: Path) -> None:
    for rider in ("Ida", "Jonas"):
        ok(file, "record", "rider", rider, "--since", "2026-01-01")
    ok(file, "record", "horse", "Bramble", "--size", "pony large", "--stride", "11'")
    sheet = tmp_path / "sheet.pdf"
    pairs = ("--pair", "Ida, Bramble", "--pair", "Jonas, Bramble")
    ok(file, "observe", COURSE, *pairs, "--height", "2'9\"", "--ask", "2=6", "--to", sheet)
    assert sheet.read_bytes().startswith(b"%PDF")
    assert stat.S_IMODE(sheet.stat().st_mode) == 0o600
    table = tmp_path / "sheet.csv"
    ok(file, "record", "template", 1, "--to", table)
    lines = table.read_text(encoding="utf-8").splitlines()
    lines[1] = lines[1].replace('""",,', '""",a,')
    table.write_text("\n".join(lines), encoding="utf-8")
    said = ok(file, "record", "add", "--sheet", 1, "--from", table, "--date", "2026-03-01")
    assert "1 round written" in said
    assert "Ida, Bramble: 1 round, last 1 Mar 2026" in ok(file, "record", "list")
    assert "pony large, stride 11'" in ok(file, "record", "list", "horses")
    assert "1✓" in ok(file, "record", "list", "rounds")
    ok(file, "record", "correct", "mark", 1, 1, "nr")
    assert "1○r" in ok(file, "record", "list", "rounds")
    ok(file, "record", "correct", "round", 1, "--height", "2'6\"", "--note", "late")
    assert "undone: correct" in ok(file, "record", "undo")
    assert "late" not in ok(file, "record", "list", "rounds")
    page = tmp_path / "page.pdf"
    shelf = tmp_path / "shelf"
    shelf.mkdir()
    for name in (COURSE.name, "circle-of-four.yaml", "arenas.yaml"):
        shutil.copy(ROOT / "exercises" / name, shelf)
    steps = ("--on", "2026-03-31", "--library", str(shelf))
    ok(file, "readiness", "Ida", "Bramble", *steps, "--to", page)
    assert page.read_bytes().startswith(b"%PDF")
    said = ok(file, "readiness", "Ida", "Bramble", *steps, "--text", "--for", "parent")
    assert "the trainer does" in said
    assert "Jonas" not in said
    assert "Ida and Bramble" in ok(file, "readiness", *steps, "--text")
    ok(file, "readiness", *steps, "--to", tmp_path / "yard.pdf")
    assert "1 round" in ok(file, "record", "figures", "Ida", "Bramble", "--on", "2026-03-31")
    assert '"Ida"' in ok(file, "record", "person", "Ida")
    ok(file, "record", "export", tmp_path / "csv")
    other = tmp_path / "other.sqlite"
    ok(other, "record", "import", tmp_path / "csv")
    assert ok(other, "record", "list") == ok(file, "record", "list")
    said = ok(file, "record", "forget", "Ida", stdin="y\n")
    assert "Ida is gone: 1 round" in said
    assert b"Ida" not in file.read_bytes()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("record", "list"), None),
        (("record", "undo"), "nothing to undo"),
        (("record", "add", "--sheet", "7"), "no sheet 7 was printed"),
        (("record", "forget", "Zoe", "--yes"), 'no rider is called "Zoe"'),
        (("record", "correct", "rider", "Zoe"), "say what is to be changed"),
        (("record", "correct", "round", "9", "--note", "x"), "there is no round 9"),
        (("readiness", "Zoe", "Comet"), 'no rider is called "Zoe"'),
        (("readiness", "Zoe"), "name a rider and a horse"),
        (("readiness", "--for", "parent"), "about one pair"),
        (("readiness", "--on", "yesterday"), "is no date"),
        (("observe", COURSE, "--pair", "Ida"), "is no pair"),
        (("observe", COURSE, "--pair", "Ida, Bramble"), 'no rider is called "Ida"'),
        (("observe", COURSE, "--ask", "99=3'"), "there is no element 99"),
        (("observe", COURSE, "--ask", "3=6"), "no strides are counted to 3"),
        (("observe", COURSE, "--ask", "1=2' wide"), "is no spread"),
        (("observe", COURSE, "--height", "tall"), "is not a length"),
        (("observe", "nothing.yaml"), "cannot read nothing.yaml"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_is_written(
    file: Path, words: tuple[object, ...], said: str | None
) -> None:
    found = run(file, *words)
    assert (found.exit_code == 0) == (said is None), found.output
    assert "Traceback" not in found.output
    if said is not None:
        assert found.exit_code == 2
        assert said in found.output
        assert not (file.parent / "output").exists()


LESSON = """\
tapeline lesson: 1
title: Thursday
time: 18:00-19:30
may move: yes
groups:
  bays: {riders: 3, horses: horse, height: 2'9"}
  greys: {riders: 2, horses: horse, height: 2'9"}
run:
  - group: bays
  - warm up: 10 min
  - exercise: circle-of-four
    rounds: 1
    height: 2'6"
    leave out: [cedar]
  - exercise: every-fence-twice
    rounds: 1
    height: 2'6"
  - exercise: every-fence-twice
    rounds: 1
    height: 2'9"
  - group: greys
  - exercise: serpentine-of-bends
    rounds: 1
"""
SHORT_END = "  - exercise: circle-of-four\n    rounds: 1\n"


@pytest.fixture
def lesson(tmp_path: Path) -> Path:
    folder = tmp_path / "yard"
    folder.mkdir()
    for name in ("circle-of-four", "every-fence-twice", "serpentine-of-bends", "arenas"):
        text = (ROOT / "exercises" / f"{name}.yaml").read_text(encoding="utf-8")
        if name == "circle-of-four":
            text = text.replace("fences:", "may be left out: [cedar]\nfences:", 1)
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    file = folder / "thursday.yaml"
    file.write_text(LESSON, encoding="utf-8")
    return file


def test_a_lesson_is_observed_in_its_order(file: Path, lesson: Path, tmp_path: Path) -> None:
    for rider in ("Ida", "Jonas"):
        ok(file, "record", "rider", rider)
    ok(file, "record", "horse", "Bramble")
    sheets = tmp_path / "sheets.pdf"
    pairs = ("--pair", "Ida, Bramble", "--pair", "Jonas, Bramble")
    short = lesson.with_name("short.yaml")
    short.write_text(re.sub(r"  - exercise: (?!circle).*\n(    .*\n)+", "", LESSON) + SHORT_END)
    assert "say with --group" in run(file, "observe", short, *pairs).output
    assert "no group 'browns'" in run(file, "observe", short, "--group", "browns").output
    ok(file, "observe", lesson, "--group", "bays", *pairs, "--to", sheets)
    # A sheet has one height: the last exercise of the group is one of its own.
    listed = ok(file, "record", "list", "sheets")
    assert "Circle of four, Every fence twice, 2'6\", 2 pairs" in listed
    assert "Every fence twice, 2'9\", 2 pairs" in listed
    text = " ".join(page.extract_text() for page in PdfReader(sheets).pages)
    assert len(PdfReader(sheets).pages) == 3
    assert "without cedar" in text
    with RecordFile(file) as record:
        names = [[e.name for e in x.elements] for x in read_sheet(record, 1).exercises]
        first = read_sheet(record, 1).exercises[0]
        assert "cedar" not in names[0]
        assert len(names[1]) == 8
        # The way that led from the fence that is not there asks for no count.
        assert [e.place for e in first.elements if e.between is None and e.shape != "start"]
    ok(file, "observe", lesson, "--height", "2'", "--to", sheets)
    assert "4  Circle of four" not in ok(file, "record", "list", "sheets")
    assert "3  Circle of four" in ok(file, "record", "list", "sheets")


def test_jumps_are_called_as_on_the_card(file: Path, tmp_path: Path) -> None:
    """A double jumped twice, worked by hand: 1, 2a, 2b, 3, then 4a and 4b, not 5 and 6."""
    twice = tmp_path / "twice.yaml"
    twice.write_text(TWICE)
    ok(file, "record", "rider", "Ida")
    ok(file, "record", "horse", "Bramble")
    ok(file, "observe", twice, "--pair", "Ida, Bramble", "--timed", "4b", "--ask", "3=2'6\"",
       "--to", tmp_path / "sheet.pdf")  # fmt: skip
    printed = PdfReader(tmp_path / "sheet.pdf").pages[0].extract_text().split()
    assert [word for word in printed if word in ("2a", "2b", "4a", "4b")] == [
        "2a", "2b", "4a", "4b",
    ]  # fmt: skip
    table = tmp_path / "sheet.csv"
    ok(file, "record", "template", 1, "--to", table)
    with table.open(newline="") as text:
        columns, cells, *_ = csv.reader(text)
    assert [c for c in columns if " double " in c or " single" in c] == [
        "1 single", "2a double a", "2b double b", "3 single", "4a double a", "4b double b",
    ]  # fmt: skip
    assert "4b seconds" in columns
    cells[columns.index("1 single")] = "a"
    cells[columns.index("4a double a")] = "nr"
    with table.open("w", newline="") as out:
        csv.writer(out).writerows([columns, cells])
    ok(file, "record", "add", "--sheet", 1, "--from", table)
    assert "1✓ 4a○r" in ok(file, "record", "list", "rounds")
    ok(file, "record", "correct", "mark", 1, "4a", "a")
    assert "4a✓" in ok(file, "record", "list", "rounds")
    found = run(file, "record", "correct", "mark", 1, "5", "a")
    assert found.exit_code == 2
    assert "no element 5" in found.output
    assert "4a, 4b" in found.output


def test_typing_in_wants_a_terminal(file: Path) -> None:
    ok(file, "record", "rider", "Ida")
    ok(file, "record", "horse", "Bramble")
    target = file.parent / "s.pdf"
    ok(file, "observe", COURSE, "--pair", "Ida, Bramble", "--to", target)
    found = run(file, "record", "add", "--sheet", 1)
    assert found.exit_code == 2
    assert "wants a terminal" in found.output


def test_an_invented_record_mixes_with_nothing(file: Path) -> None:
    ok(file, "record", "rider", "Ida")
    found = run(file, "record", "demo", ROOT / "exercises")
    assert found.exit_code == 2
    assert "is there already" in found.output


def test_a_pass_mark_that_is_cut_is_said(file: Path, tmp_path: Path) -> None:
    text = COURSE.read_text(encoding="utf-8")
    for arena in (ROOT / "exercises").glob("*arenas*"):
        (tmp_path / arena.name).write_bytes(arena.read_bytes())
    long = tmp_path / "long.yaml"
    mark = "passed when: Five even strides."
    longer = f"{mark[:-1]}, the fifth as long as the first, and a soft hand over the top."
    long.write_text(text.replace(mark, longer), encoding="utf-8")
    found = run(file, "observe", long, "--to", tmp_path / "a.pdf")
    assert "printed: five even strides" in found.output
    short = long.read_text(encoding="utf-8").replace(
        longer, f"{longer}\n    on the sheet: five, even"
    )
    long.write_text(short, encoding="utf-8")
    found = run(file, "observe", long, "--to", tmp_path / "b.pdf")
    assert "2 birch" not in found.output


def test_a_name_without_type_is_said_when_it_is_added_and_printed(
    file: Path, tmp_path: Path
) -> None:
    """A page would have boxes for it, and nobody would know whose row it is."""
    assert 'no type for 王 in "王 Li"' in ok(file, "record", "rider", "王 Li")
    ok(file, "record", "horse", "Bramble")
    said = ok(file, "observe", COURSE, "--pair", "王 Li, Bramble", "--to", tmp_path / "a.pdf")
    assert 'no type for 王 in "王 Li"' in said


def test_rounds_before_somebody_is_looked_at_are_said(file: Path, tmp_path: Path) -> None:
    ok(file, "record", "rider", "Ida", "--since", "2026-03-10")
    ok(file, "record", "horse", "Bramble", "--since", "2026-01-01")
    ok(file, "observe", COURSE, "--pair", "Ida, Bramble", "--to", tmp_path / "a.pdf")
    ok(file, "record", "template", "1", "--to", tmp_path / "a.csv")
    empty = run(file, "record", "add", "--sheet", "1", "--from", tmp_path / "a.csv")
    assert empty.exit_code == 2
    assert "nothing was written" in empty.output
    assert "2026" not in ok(file, "record", "list", "rounds")
    rows = list(csv.reader(io.StringIO((tmp_path / "a.csv").read_text(encoding="utf-8-sig"))))
    rows[1][5] = "a"
    with (tmp_path / "a.csv").open("w", encoding="utf-8", newline="") as filled:
        csv.writer(filled).writerows(rows)
    add = ("record", "add", "--sheet", "1", "--from", tmp_path / "a.csv", "--date")
    said = ok(file, *add, "2026-03-01")
    assert 'record correct rider "Ida" --since 2026-03-01' in said
    assert "Bramble is looked at" not in said
    assert "looked at" not in ok(file, *add, "2026-03-10")
