"""A sheet typed in: the keys of one round, and whole sheets through a terminal and from CSV."""

from __future__ import annotations

import csv
import io
import os
import pty
import select
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date
from functools import reduce
from pathlib import Path

import pytest
from filling import sheet_of
from hypothesis import given, settings
from hypothesis import strategies as st

from diagram.diagnostics import RejectedError
from diagram.planning import Plan
from diagram.records.entry import BACK, ENTER, RoundEntry, begin, press
from diagram.records.file import RecordFile
from diagram.records.history import read_history
from diagram.records.sheets import TickBox, new_sheet
from diagram.records.template import read_template, template_bytes
from diagram.records.values import ExerciseVersion, PrintedSheet

CLEAN = "a" + "a5" + "a" + "a5l" + "a" + "a5r" + "a" + "a5"
"""Eight fences as asked: 8 marks, 4 counts, 2 leads."""


@pytest.fixture
def sheet(record: RecordFile, plans: dict[str, Plan]) -> PrintedSheet:
    return sheet_of(record, plans["every-fence-twice"], ("Ida", "Bramble"), ("Jonas", "Comet"))


def typed(exercise: ExerciseVersion, keys: str, timed: frozenset[int] = frozenset()) -> RoundEntry:
    return reduce(press, keys, begin(exercise, timed))


def test_a_clean_round_of_eight_is_fourteen_keys_or_two(sheet: PrintedSheet) -> None:
    exercise = sheet.exercises[0]
    by_keys, by_one = typed(exercise, CLEAN), typed(exercise, f"={ENTER}")
    assert len(CLEAN) == 14
    assert by_keys.finished
    assert by_one.finished
    assert by_keys.boxes == by_one.boxes
    assert by_keys.boxes[4] == TickBox("as asked", None, 5, None, None, "left")


def test_misses_figures_and_what_was_not_seen(sheet: PrintedSheet) -> None:
    entry = typed(sheet.exercises[0], f"nr{ENTER}xhwb5{ENTER}={ENTER}")
    assert entry.boxes[1] == TickBox("not as asked", "rider")
    assert 2 not in entry.boxes
    assert entry.boxes[3] == TickBox("not jumped", "horse")
    assert entry.boxes[4] == TickBox("with work", "both", 5, None, None, None)
    assert entry.boxes[8] == TickBox("as asked", None, 5)
    assert entry.finished


def test_what_does_not_agree_is_asked_at_once(sheet: PrintedSheet) -> None:
    entry = typed(sheet.exercises[0], "aa6")
    assert "as asked, but 6 strides" in entry.asking
    assert not press(entry, "a").heard
    assert press(entry, ENTER).at == (3, "mark")
    again = reduce(press, [BACK, "5"], entry)
    assert (again.boxes[2].strides, again.at) == (5, (3, "mark"))


def test_a_key_that_means_nothing_changes_nothing(sheet: PrintedSheet) -> None:
    entry = typed(sheet.exercises[0], "a")
    for key in "zh5=l"[:2]:
        after = press(entry, key)
        assert not after.heard
        assert after.boxes == entry.boxes


def test_ten_and_more_strides_and_seconds(record: RecordFile, plans: dict[str, Plan]) -> None:
    plan = plans["every-fence-twice"]
    from diagram.records.elements import Asks

    long = new_sheet(
        record, [plan], [("Ida", "Bramble")], height_mm=762, timed=frozenset({"2"}),
        asks=Asks(strides={"2": 9}),
    )  # fmt: skip
    entry = typed(long.exercises[0], f"aa10{ENTER}", long.timed[0])
    assert entry.at == (2, "seconds") or entry.boxes[2].strides == 10
    entry = typed(long.exercises[0], f"aa94.25{BACK}{ENTER}", long.timed[0])
    assert entry.boxes[2] == TickBox("as asked", None, 9, None, 4.2)


KEYS = st.lists(st.sampled_from([*"awnxhrbulr0123456789=.;q", ENTER, BACK]), max_size=60)


@settings(max_examples=200)
@given(keys=KEYS)
def test_back_at_any_point(invented_exercise: ExerciseVersion, keys: list[str]) -> None:
    """Whatever is typed, enough Backspaces bring the empty round back."""
    entry = reduce(press, keys, begin(invented_exercise))
    for _ in range(200):
        entry = press(entry, BACK)
    assert entry.boxes == {}
    assert entry.at == begin(invented_exercise).at


@pytest.fixture(scope="module")
def invented_exercise(invented: object) -> ExerciseVersion:
    return invented.exercises[0]  # type: ignore[attr-defined,no-any-return]


PATIENCE_S = 300.0
"""How long a program may take to say something on a machine that does other things."""


class Terminal:
    """`tapeline record add` behind a pseudo-terminal."""

    def __init__(self, path: Path, *words: str) -> None:
        self.own, theirs = pty.openpty()
        command = [sys.executable, "-m", "diagram.cli", "record", "add", "--record", str(path)]
        self.process = subprocess.Popen(
            [*command, *words], stdin=theirs, stdout=theirs, stderr=theirs,
            env={**os.environ, "TERM": "xterm", "COLUMNS": "120"}, start_new_session=True,
        )  # fmt: skip
        os.close(theirs)
        self.said = ""

    def wait(self, words: str) -> None:
        """Until the program has said something, from where it was waited for last."""
        end = time.monotonic() + PATIENCE_S
        while words not in self.said:
            if time.monotonic() > end:
                self.end()
                pytest.fail(f"{words!r} was not said in:\n{self.said[-2000:]}")
            if select.select([self.own], [], [], 0.1)[0]:
                try:
                    self.said += os.read(self.own, 65536).decode()
                except OSError:
                    break
        assert words in self.said
        self.said = self.said.split(words, 1)[1]

    def type(self, keys: str) -> None:
        """All keys at once: faster than anybody types, and none may be lost."""
        os.write(self.own, keys.encode())

    def close(self) -> int:
        try:
            return self.process.wait(timeout=PATIENCE_S)
        finally:
            self.end()

    def end(self) -> None:
        """Leave nothing running, whatever happened."""
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        os.close(self.own)


def test_a_sheet_through_a_terminal(record: RecordFile, sheet: PrintedSheet) -> None:
    terminal = Terminal(record.path, "--sheet", str(sheet.number))
    terminal.wait("date")
    terminal.type("2026-03-28\r")
    terminal.wait("seen by")
    terminal.type("T.\r")
    terminal.wait("Ida, Bramble: round 1 of 3")
    terminal.wait("1 alder")
    terminal.type(CLEAN)
    terminal.wait("round 2 of 3")
    terminal.wait("1 alder")
    terminal.type(f"{BACK}4")
    # The last box of the round before is open again, and 4 strides for 5 are asked about.
    terminal.wait("as asked, but 4 strides")
    terminal.type("\r")
    terminal.wait("round 2 of 3")
    terminal.wait("1 alder")
    terminal.type(";")
    terminal.wait("note")
    terminal.type("early at 8\r")
    terminal.wait("1 alder")
    terminal.type("nr=\r")
    terminal.wait("round 3 of 3")
    terminal.type(".")
    terminal.wait("Jonas, Comet: round 1 of 3")
    terminal.type("q")
    terminal.wait("written; record undo")
    assert terminal.close() == 0
    rounds = read_history(record).rounds
    assert [(r.number, r.note, len(r.seen)) for r in rounds] == [(1, "", 8), (2, "early at 8", 8)]
    assert rounds[0].seen[7].strides == 4
    assert rounds[1].seen[0].whose == "rider"
    assert rounds[0].day.seen_by == "T."


def test_it_goes_on_where_it_stopped(record: RecordFile, sheet: PrintedSheet) -> None:
    words = ("--sheet", str(sheet.number), "--date", "2026-03-28", "--seen-by", "T.")
    first = Terminal(record.path, *words)
    first.wait("1 alder")
    first.type("=\r")
    first.wait("round 2 of 3")
    first.type("q")
    assert first.close() == 0
    second = Terminal(record.path, *words)
    second.wait("written of this sheet already: 1 round")
    second.wait("Ida, Bramble: round 2 of 3")
    second.wait("1 alder")
    second.type("\x04")
    assert second.close() == 0
    assert len(read_history(record).rounds) == 1


def _filled(sheet: PrintedSheet, change: Callable[[list[dict[str, str]]], None]) -> str:
    rows = list(csv.DictReader(io.StringIO(template_bytes(sheet).decode(), newline="")))
    change(rows)
    out = io.StringIO()
    writer = csv.DictWriter(out, rows[0].keys(), lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def test_a_template_filled_and_read(sheet: PrintedSheet) -> None:
    def fill(rows: list[dict[str, str]]) -> None:
        assert len(rows) == 6
        rows[0] |= {"1 alder": "a", "2 birch": "nr", "2 strides": "6", "4 dogwood": "a!",
                    "4 lead": "r", "note": "'=early"}  # fmt: skip
        rows[4] |= {"3 cedar": "x h", "whole": "no", "height": "0.80 m"}

    one, other = read_template(sheet, _filled(sheet, fill), "sheet.csv")
    assert one.boxes == {
        1: TickBox("as asked"), 2: TickBox("not as asked", "rider", 6),
        4: TickBox("as asked", None, None, None, None, "right"),
    }  # fmt: skip
    assert (one.pair.person.name, one.number, one.note) == ("Ida", 1, "=early")
    assert (other.pair.person.name, other.number, other.height_mm) == ("Jonas", 2, 800)
    assert not other.complete


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ({"1 alder": "q"}, "sheet.csv:2:.*'q' is no mark"),
        ({"1 alder": "ok"}, "write a for as asked"),
        ({"1 alder": "n"}, "a miss, but nobody's.*|write nh, nr, nb or nu"),
        ({"2 birch": "a", "2 strides": "6"}, "write a! if both hold"),
        ({"2 birch": "xh", "2 strides": "5"}, "not jumped, but there are strides"),
        ({"2 strides": "5"}, "a figure but no mark"),
        ({"1 alder": "a", "rider": "Zoe"}, "Zoe, Bramble is not on this sheet"),
        ({"1 alder": "a", "height": "26"}, "write it with its unit, like 2'"),
        ({"1 alder": "a", "round": "2"}, "stands in an earlier row|is not on"),
        ({"1 alder": "a", "round": "4"}, "round 4, and the sheet has 3|write 4! if"),
        ({"1 alder": "a", "round": "0!"}, "no number of a round"),
        ({"4 dogwood": "wr", "4 lead": "up"}, "'up' is no lead"),
        ({"2 birch": "wr", "2 strides": "five"}, "is no count of strides"),
    ],
)
def test_wrong_cells_say_where(sheet: PrintedSheet, cells: dict[str, str], said: str) -> None:
    def fill(rows: list[dict[str, str]]) -> None:
        rows[0] |= cells
        rows[1] |= {"1 alder": "a"}

    with pytest.raises(RejectedError, match=said):
        read_template(sheet, _filled(sheet, fill), "sheet.csv")


def test_another_sheets_table_is_refused(sheet: PrintedSheet) -> None:
    text = template_bytes(sheet).decode().replace("1 alder", "1 willow")
    with pytest.raises(RejectedError, match="not the columns of sheet"):
        read_template(sheet, text, "sheet.csv")


def test_the_same_table_read_twice_changes_nothing(record: RecordFile, sheet: PrintedSheet) -> None:
    from filling import clean, write

    from diagram.records.changes import batches

    for _ in (1, 2):
        write(record, sheet, clean(sheet), date(2026, 3, 1))
    assert len(batches(record)) == 3
