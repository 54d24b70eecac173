"""Writes rounds into a record for as long as it lives, and says each one when it is written.

Run as: python writer_process.py FILE RIDER SECONDS [START]. Prints "round NUMBER" after each
transaction. Killed at any moment, everything it said must be in the file.
"""

from __future__ import annotations

import sys
import time
from datetime import date
from pathlib import Path

from diagram.records.changes import Writer
from diagram.records.file import RecordFile
from diagram.records.history import read_sheet
from diagram.records.sheets import Filled, TickBox, day_of, keep_round


def main(path: str, rider: str, seconds: float, start: int) -> None:
    with RecordFile(Path(path)) as record:
        sheet = read_sheet(record, 1)
        row = [pair.person.name for pair in sheet.pairs].index(rider)
        exercise = sheet.exercises[0]
        end, number = time.monotonic() + seconds, start
        while time.monotonic() < end:
            day, place = divmod(number, 90)
            boxes = {e.place: TickBox("with work", "rider") for e in exercise.elements}
            filled = Filled(sheet.pairs[row], exercise, place + 1, 762, boxes, True, str(number))
            with record.writing():
                writer = Writer(record, "add")
                lesson = day_of(writer, date.fromordinal(739_000 + day), sheet=1)
                keep_round(writer, lesson, filled)
            print(f"round {number}", flush=True)
            number += 1


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], float(sys.argv[3]), int(sys.argv[4]) if sys.argv[4:] else 0)
