"""Crews with tapes that are off by 2 cm: feet spread as the sheet says they will."""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest
import rebuilt
from samples import SAMPLES

from diagram.pipeline import plan, setting_bytes, setting_of
from diagram.stakeout.crew import crew_for

CREWS = 1500
TAPE = 30.48


def _read(metres: float, chance: random.Random) -> float:
    """A reading; a length of several tapes adds up their errors."""
    lengths = max(1, math.ceil(metres / TAPE - 1e-9))
    return metres + sum(chance.gauss(0, 0.02) for _ in range(lengths))


@pytest.mark.parametrize("file", SAMPLES, ids=lambda file: file.stem)
def test_the_spread_is_the_expected_error(file: Path) -> None:
    setting = setting_of(plan(file), crew_for("metres", tape_error=0.02, tape_length=TAPE))
    table = rebuilt.rows(setting_bytes(setting, "csv"))
    feet = rebuilt.of(table, "foot")
    true = rebuilt.by_tapes(table, "exact_")
    known, marks = rebuilt.points(table), rebuilt.landmarks(table)
    squares = dict.fromkeys(true, 0.0)
    chance = random.Random(11)
    for _ in range(CREWS):
        # Feet that are set from other feet inherit how those were set.
        stand: dict[str, rebuilt.Point] = {}
        pegged = dict(known)
        for row in rebuilt.of(table, "peg"):
            read = _read(float(row["along_m"]), chance)
            pegged[row["name"]] = rebuilt.peg(row, read, pegged, marks)
        for row in feet:
            at = {**pegged, **stand}
            places = rebuilt.both_crossings(
                at[row["tape_1_from"]], _read(float(row["tape_1_exact_m"]), chance),
                at[row["tape_2_from"]], _read(float(row["tape_2_exact_m"]), chance),
            )  # fmt: skip
            stretch = marks[row["towards"]]
            stand[row["name"]] = min(places, key=lambda p, s=stretch: rebuilt.gap(s, p))
        for name, place in stand.items():
            squares[name] += math.dist(place, true[name]) ** 2
    for row in feet:
        spread = math.sqrt(squares[row["name"]] / CREWS)
        assert spread == pytest.approx(float(row["tapes_off_by_m"]), rel=0.15), row["name"]


@pytest.mark.parametrize("file", SAMPLES[:2], ids=lambda file: file.stem)
def test_the_spread_of_baseline_and_offset(file: Path) -> None:
    crew = crew_for("metres", tape_error=0.02, tape_length=TAPE)
    table = rebuilt.rows(setting_bytes(setting_of(plan(file), crew), "csv"))
    chance = random.Random(3)
    unit = 2.0
    for row in rebuilt.of(table, "foot"):
        along, out = float(row["along_exact_m"]), float(row["out_exact_m"])
        total = 0.0
        for _ in range(CREWS):
            a, b, c = (k * unit + chance.gauss(0, 0.02) for k in (3, 4, 5))
            angle = math.acos((a * a + b * b - c * c) / (2 * a * b))
            read, square = _read(out, chance), _read(along, chance)
            x, y = square + read * math.cos(angle), read * math.sin(angle)
            total += (x - along) ** 2 + (y - out) ** 2
        spread = math.sqrt(total / CREWS)
        assert spread == pytest.approx(float(row["offset_off_by_m"]), rel=0.15)
