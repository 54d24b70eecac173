"""A sheet typed in at the keyboard: one key where one key says it, and back at any point.

Every round is written the moment its last box is answered, so that nothing typed is lost.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date

import click
from msgspec import Struct

from diagram.plain import counted
from diagram.records.changes import Writer
from diagram.records.entry import (
    BACK,
    NEXT_PAIR,
    NOTE,
    STOP,
    RoundEntry,
    begin,
    press,
    reopened,
)
from diagram.records.file import RecordFile
from diagram.records.sheets import Filled, TickBox, day_of, keep_round
from diagram.records.values import ExerciseVersion, Pair, PrintedSheet
from diagram.units import UnitError, length_text, parse_length

HEIGHT = ":"
SIGNS = {"as asked": "✓", "with work": "–", "not as asked": "○", "not jumped": "✗"}
HELP = (
    "a as asked, w with work, n not as asked, x not jumped; then h r b u: whose miss\n"
    "figures for strides, l r for the lead; Enter not seen; Backspace one box back\n"
    "= the rest as asked; ; a note; : another height; . the next pair; q stop here"
)
ASKED = {
    "mark": "a w n x", "whose": "h r b u", "strides": "strides", "out": "strides out",
    "seconds": "seconds", "lead": "l r",
}  # fmt: skip


class _Target(Struct):
    """A round to be typed in, and what has been typed of it."""

    pair: Pair
    exercise: ExerciseVersion
    timed: frozenset[int]
    number: int
    height_mm: int
    entry: RoundEntry | None = None
    note: str = ""


def _stopped(target: _Target, entry: RoundEntry) -> str:
    if target.entry is not None:
        return "stopped: this round stays as it was written"
    return "stopped: this round was not kept" if entry.boxes else "stopped"


class TypingIn:
    """Asks for a sheet round by round. `read` gives one key, `line` a whole line of words."""

    def __init__(
        self, record: RecordFile, sheet: PrintedSheet, on: date, seen_by: str, footing: str,
        read: Callable[[], str], line: Callable[[str], str],
    ) -> None:  # fmt: skip
        self.record, self.sheet, self.on = record, sheet, on
        self.seen_by, self.footing = seen_by, footing
        self.read, self.line = read, line
        self.written = 0
        there = self._there()
        self.targets = [
            _Target(pair, exercise, timed, number, sheet.height_mm)
            for exercise, timed in zip(sheet.exercises, sheet.timed, strict=True)
            for pair in sheet.pairs
            for number in range(1, sheet.rounds + 1)
            if (pair.pair_id, exercise.exercise_id, number) not in there
        ]
        self.skipped = len(there)

    def _there(self) -> set[tuple[int, int, int]]:
        """Rounds of this sheet and day that are in the record already."""
        rows = self.record.rows(
            "SELECT pair_id, exercise_id, number FROM round JOIN day USING (day_id) "
            "WHERE on_date = ? AND sheet = ?", self.on.isoformat(), self.sheet.number,
        )  # fmt: skip
        return {(pair, exercise, number) for pair, exercise, number in rows}

    def run(self) -> int:
        """Ask until the sheet is done or somebody stops; the number of rounds written."""
        click.echo(HELP)
        if self.skipped:
            click.echo(
                f"written of this sheet already: {counted(self.skipped, 'round')}; the rest:"
            )
        at = 0
        while 0 <= at < len(self.targets):
            at = self._round(at)
        return self.written

    def _round(self, at: int) -> int:
        """One round; the place of the next one to ask, or -1 to stop."""
        target = self.targets[at]
        entry = target.entry or begin(target.exercise, target.timed)
        entry = reopened(entry) if target.entry is not None and entry.finished else entry
        self._head(target)
        while not entry.finished:
            self._show(target, entry)
            key = self.read()
            fresh = entry.at is not None and entry.at[1] == "mark" and not entry.asking
            if key in (BACK, "\b") and not entry.done and not entry.typed:
                if at == 0:
                    continue
                click.echo()
                return at - 1
            if fresh and key == STOP:
                click.echo(f"\n{_stopped(target, entry)}")
                return -1
            if fresh and key == NEXT_PAIR:
                click.echo("\nthe next pair")
                return self._next_pair(at)
            if fresh and key == NOTE:
                click.echo()
                target.note = self.line("note")
                continue
            if fresh and key == HEIGHT:
                self._height(target)
                continue
            entry = press(entry, key)
            if not entry.heard:
                click.echo("\a", nl=False)
        target.entry = entry
        self._show(target, entry)
        click.echo()
        self._keep(target, entry)
        return at + 1

    def _next_pair(self, at: int) -> int:
        this = self.targets[at]
        for n in range(at, len(self.targets)):
            if self.targets[n].pair != this.pair or self.targets[n].exercise != this.exercise:
                return n
        return len(self.targets)

    def _height(self, target: _Target) -> None:
        click.echo()
        said = self.line("height of most fences")
        try:
            target.height_mm = round(parse_length(said) * 1000)
        except UnitError as problem:
            click.echo(f"{problem.message}; {problem.hint}")

    def _head(self, target: _Target) -> None:
        height = length_text(target.height_mm / 1000, "feet")
        title = f", {target.exercise.title}" if len(self.sheet.exercises) > 1 else ""
        name = f"{target.pair.person.name}, {target.pair.horse.name}"
        click.echo(f"\n{name}{title}: round {target.number} of {self.sheet.rounds}, {height}")

    def _show(self, target: _Target, entry: RoundEntry) -> None:
        """The boxes so far and what is asked, on one line that is written over."""
        parts = [
            f"{e.called}{box_text(entry.boxes[e.place])}"
            for e in target.exercise.elements
            if e.place in entry.boxes
        ]
        done = " ".join(parts)
        if entry.asking:
            asked = f"{entry.asking} Enter: both. Backspace: change it"
        elif entry.offered:
            asked = "the rest as asked: Enter"
        elif entry.at is None:
            asked = ""
        else:
            element = next(e for e in target.exercise.elements if e.place == entry.at[0])
            asked = f"› {element.called} {element.name} ({ASKED[entry.at[1]]}) {entry.typed}"
        width = shutil.get_terminal_size().columns - 2
        line = f"{done}  {asked}".strip()
        if len(line) > width:
            line = "…" + line[-width:]
        click.echo(f"\r\x1b[K{line}", nl=False)

    def _keep(self, target: _Target, entry: RoundEntry) -> None:
        if not entry.boxes:
            return
        # After a stop nothing more was seen: the round ended there.
        last = max(entry.boxes)
        complete = (
            entry.boxes[last].mark != "not jumped" or last == target.exercise.elements[-1].place
        )
        filled = Filled(
            target.pair, target.exercise, target.number, target.height_mm, dict(entry.boxes),
            complete, target.note,
        )  # fmt: skip
        with self.record.writing():
            writer = Writer(self.record, "add")
            day = day_of(
                writer, self.on, seen_by=self.seen_by, arena=self.sheet.arena,
                footing=self.footing, sheet=self.sheet.number,
            )  # fmt: skip
            keep_round(writer, day, filled)
        self.written += 1


def box_text(box: TickBox) -> str:
    """``✓5L``, ``○r6``: one box in as few characters as say it."""
    text = SIGNS[box.mark]
    if box.whose is not None:
        text += box.whose[0]
    for count in (box.strides, box.strides_out):
        if count is not None:
            text += f"{count}" if text[-1:].isalpha() or not text[-1:].isdigit() else f"/{count}"
    if box.seconds is not None:
        text += f" {box.seconds:g}s"
    if box.lead is not None:
        text += box.lead[0].upper()
    return text
