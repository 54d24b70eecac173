"""From the tables to values: the whole record at one moment, or one printed sheet."""

from __future__ import annotations

import json
from collections import defaultdict
from datetime import date
from typing import Any

from diagram.records.file import RecordFile
from diagram.records.trouble import trouble
from diagram.records.values import (
    Day,
    Element,
    ExerciseVersion,
    History,
    Horse,
    Pair,
    Person,
    PrintedSheet,
    Round,
    Seen,
)


def read_history(record: RecordFile) -> History:
    """Everything in a record. Rounds are in the order of their days, pairs in that of names."""
    with record.reading():
        people = {row[0]: _person(row) for row in record.rows("SELECT * FROM person")}
        horses = {row[0]: _horse(row) for row in record.rows("SELECT * FROM horse")}
        pairs = {
            row[0]: Pair(row[0], people[row[1]], horses[row[2]])
            for row in record.rows("SELECT pair_id, person_id, horse_id FROM pair")
        }
        exercises = _exercises(record)
        days = {
            row[0]: Day(row[0], date.fromisoformat(row[1]), *row[2:])
            for row in record.rows(
                "SELECT day_id, on_date, seen_by, arena, footing, sheet, note FROM day"
            )
        }
        yard = record.rows("SELECT name, note FROM yard") or [("", "")]
        rounds = _rounds(record, days, pairs, exercises)
    name, note = yard[0]
    return History(
        name, note, _by_name(people.values()), _by_name(horses.values()),
        _in_order(pairs.values()), tuple(exercises.values()),
        tuple(sorted(days.values(), key=lambda d: (d.on, d.day_id))), rounds,
    )  # fmt: skip


def _by_name(named: Any) -> tuple[Any, ...]:
    return tuple(sorted(named, key=lambda one: one.name))


def _in_order(pairs: Any) -> tuple[Pair, ...]:
    return tuple(sorted(pairs, key=lambda pair: (pair.person.name, pair.horse.name)))


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


def _person(row: tuple[Any, ...]) -> Person:
    number, name, birth, since, until, note = row
    return Person(number, name, birth, date.fromisoformat(since), _day(until), note)


def _horse(row: tuple[Any, ...]) -> Horse:
    number, name, size, stride, since, until, note = row
    return Horse(number, name, size, stride, date.fromisoformat(since), _day(until), note)


def _exercises(record: RecordFile) -> dict[int, ExerciseVersion]:
    elements: dict[int, list[Element]] = defaultdict(list)
    for row in record.rows(
        "SELECT element_id, exercise_id, place, name, shape, rein, strides_asked, "
        "strides_out_asked, lead_asked, canter_mm, landing_mm, take_off_mm, seconds_asked, "
        "pass_mark, tags FROM element ORDER BY exercise_id, place"
    ):
        tags = json.loads(row[-1])
        whole = (*row[:-1], tags if isinstance(tags, dict) else {})
        elements[row[1]].append(Element(*whole))
    return {
        number: ExerciseVersion(number, title, digest, file, tuple(elements[number]))
        for number, title, digest, file in record.rows(
            "SELECT exercise_id, title, digest, file FROM exercise ORDER BY exercise_id"
        )
    }


def _rounds(
    record: RecordFile,
    days: dict[int, Day],
    pairs: dict[int, Pair],
    exercises: dict[int, ExerciseVersion],
) -> tuple[Round, ...]:
    elements = {e.element_id: e for exercise in exercises.values() for e in exercise.elements}
    seen: dict[int, list[tuple[Any, ...]]] = defaultdict(list)
    for row in record.rows(
        "SELECT round_id, element_id, mark, whose, strides, strides_out, seconds, lead, "
        "height_mm FROM seen"
    ):
        seen[row[0]].append(row[1:])
    found = []
    for number, day, pair, exercise, place, height, complete, note in record.rows(
        "SELECT round_id, day_id, pair_id, exercise_id, number, height_mm, complete, note "
        "FROM round"
    ):
        marks = tuple(
            Seen(
                elements[at], mark, whose, strides, out, time, lead, height if own is None else own
            )
            for at, mark, whose, strides, out, time, lead, own in seen[number]
        )
        marks = tuple(sorted(marks, key=lambda one: one.element.place))
        found.append(
            Round(
                number, days[day], pairs[pair], exercises[exercise], place, height,
                bool(complete), note, marks,
            )
        )  # fmt: skip
    return tuple(sorted(found, key=lambda r: (r.day.on, r.day.day_id, r.round_id)))


def read_sheet(record: RecordFile, number: int) -> PrintedSheet:
    """A sheet by the number printed on it. Raises RejectedError when there is none."""
    with record.reading():
        found = record.rows(
            "SELECT title, arena, height_mm, rounds FROM sheet WHERE sheet_id = ?", number
        )
        if not found:
            known = [str(n) for (n,) in record.rows("SELECT sheet_id FROM sheet")]
            hint = f"sheets printed: {', '.join(known[-12:])}" if known else "print one: observe"
            raise trouble("no-such-sheet", f"no sheet {number} was printed", hint)
        pairs = record.rows(
            "SELECT pair_id FROM sheet_row WHERE sheet_id = ? ORDER BY place", number
        )
        exercises = record.rows(
            "SELECT exercise_id, timed FROM sheet_exercise WHERE sheet_id = ? ORDER BY place",
            number,
        )
        every = _exercises(record)
    history = read_history(record)
    by_id = {pair.pair_id: pair for pair in history.pairs}
    title, arena, height, rounds = found[0]
    return PrintedSheet(
        number, title, arena, height, rounds, tuple(by_id[pair] for (pair,) in pairs),
        tuple(every[exercise] for exercise, _ in exercises),
        tuple(frozenset(json.loads(timed)) for _, timed in exercises),
    )  # fmt: skip
