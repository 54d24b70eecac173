"""Programs that are killed while they write, and programs that write at once.

A few of each run with every test; ``TAPELINE_KILLS=200`` and ``TAPELINE_CROWD=30`` (seconds) run
as many as the figures in DEVELOPERS.md were taken from.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time
from pathlib import Path

from filling import sheet_of, sound

from diagram.planning import Plan
from diagram.records.file import RecordFile

KILLS = int(os.environ.get("TAPELINE_KILLS", "8"))
CROWD = float(os.environ.get("TAPELINE_CROWD", "2"))
WRITER = Path(__file__).parent / "writer_process.py"


def _start(path: Path, rider: str, seconds: float, start: int) -> subprocess.Popen[str]:
    words = [sys.executable, str(WRITER), str(path), rider, str(seconds), str(start)]
    return subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def _noted(record: RecordFile) -> set[int]:
    return {int(note) for (note,) in record.rows("SELECT note FROM round")}


def test_killed_at_any_moment(record: RecordFile, plans: dict[str, Plan]) -> None:
    sheet = sheet_of(record, plans["every-fence-twice"], ("Ida", "Bramble"))
    columns = len(sheet.exercises[0].elements)
    chance = random.Random(17)
    said: set[int] = set()
    start, begun = 0, 0
    for _ in range(KILLS):
        process = _start(record.path, "Ida", 60, start)
        assert process.stdout is not None
        first = process.stdout.readline()
        time.sleep(chance.random() * 0.05)
        process.kill()
        lines = [first, *process.communicate()[0].splitlines()]
        said |= {int(line.split()[1]) for line in lines if line.startswith("round ")}
        there = _noted(record)
        assert said <= there, "an acknowledged round is lost"
        # Written but not yet said when the kill came: at most one.
        begun += len(there - said)
        said |= there
        start = max(said, default=-1) + 1
        assert sound(record)
    whole = record.rows("SELECT count(*) FROM seen GROUP BY round_id")
    assert {count for (count,) in whole} == {columns}, "half a round was written"
    print(f"{KILLS} kills: {len(said)} rounds, {begun} written and not yet said, none lost")


def test_two_write_at_once(record: RecordFile, plans: dict[str, Plan]) -> None:
    sheet_of(record, plans["every-fence-twice"], ("Ida", "Bramble"), ("Jonas", "Comet"))
    pair = [_start(record.path, "Ida", CROWD, 0), _start(record.path, "Jonas", CROWD, 5000)]
    said: set[int] = set()
    for process in pair:
        out, err = process.communicate()
        assert process.returncode == 0, err
        said |= {int(line.split()[1]) for line in out.splitlines()}
    assert _noted(record) == said
    assert min(sum(n < 5000 for n in said), sum(n >= 5000 for n in said)) > 0
    assert sound(record)
    print(f"two writers, {CROWD:g} s: {len(said)} rounds, none lost, no error")
