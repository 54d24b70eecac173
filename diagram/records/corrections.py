"""Rounds and single marks put right after they were written; each correction can be undone."""

from __future__ import annotations

from typing import Any

from msgspec.structs import asdict

from diagram.records.changes import Writer
from diagram.records.entry import MARK_KEYS, WHOSE_KEYS
from diagram.records.file import RecordFile
from diagram.records.sheets import TickBox, impossible, place_called
from diagram.records.trouble import trouble
from diagram.records.values import Hand


def _there(writer: Writer, number: int) -> dict[str, Any]:
    row = writer.row("round", [number])
    if row is None:
        raise trouble("no-such-round", f"there is no round {number}", "see record list rounds")
    return row


def change_round(
    record: RecordFile, number: int, *, height_mm: int | None = None,
    complete: bool | None = None, note: str | None = None,
) -> None:  # fmt: skip
    """New values for a round. Fences that were higher or lower than most stay so by as much."""
    with record.writing():
        writer = Writer(record, "correct")
        before = _there(writer, number)
        said = {"height_mm": height_mm, "complete": complete, "note": note}
        values = {name: value for name, value in said.items() if value is not None}
        if not values:
            raise trouble("nothing-said", "nothing was said to be changed")
        if height_mm is not None:
            for place, own in record.rows(
                "SELECT element_id, height_mm FROM seen WHERE round_id = ? AND height_mm > 0",
                number,
            ):
                other = own + height_mm - before["height_mm"]
                writer.change("seen", [number, place], height_mm=other)
        writer.change("round", [number], **values)


def remove_round(record: RecordFile, number: int) -> None:
    """Take out a round that was never ridden, with its marks."""
    with record.writing():
        writer = Writer(record, "correct")
        _there(writer, number)
        for (element,) in record.rows("SELECT element_id FROM seen WHERE round_id = ?", number):
            writer.remove("seen", [number, element])
        writer.remove("round", [number])


def change_mark(
    record: RecordFile, number: int, called: str, keys: str, *, strides: int | None = None,
    out: int | None = None, seconds: float | None = None, lead: Hand | str | None = None,
) -> None:  # fmt: skip
    """What was seen at the element that the sheet calls so, in the keys of typing in; ``-`` for
    not seen. Raises RejectedError.
    """
    with record.writing():
        writer = Writer(record, "correct")
        row = _there(writer, number)
        exercise = row["exercise_id"]
        found = record.rows(
            "SELECT element_id FROM element WHERE exercise_id = ? AND place = ?",
            exercise, place_called(record, exercise, called),
        )  # fmt: skip
        key = [number, found[0][0]]
        there = writer.row("seen", key)
        if keys == "-":
            if there is not None:
                writer.remove("seen", key)
            return
        mark, whose = MARK_KEYS.get(keys[:1].lower()), WHOSE_KEYS.get(keys[1:2].lower())
        if mark is None or len(keys) > 2 or (len(keys) == 2 and whose is None):
            hint = "write a, or w, n, x followed by h, r, b or u"
            raise trouble("mark", f"{keys!r} is no mark", hint)
        hand: Hand | None = "left" if lead == "left" else "right" if lead == "right" else None
        box = TickBox(mark, whose, strides, out, seconds, hand)
        for question in impossible(box):
            raise trouble("mark", f"{question}")
        values = asdict(box)
        if there is None:
            writer.add("seen", round_id=key[0], element_id=key[1], **values)
        else:
            writer.change("seen", key, **values)
