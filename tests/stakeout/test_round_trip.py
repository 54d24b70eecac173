"""From the printed CSV alone a crew finds every foot again, and every line comes out right.

The exact columns have four decimals, so a reading is off by 0.05 mm at most; at the flattest
crossing that is used this is far less than the centimetre asked for. The rounded columns are
off by half a step each, and a foot by what that makes at its crossing; the lines, which are
what a horse rides, must keep within one step.
"""

from __future__ import annotations

import io
import math
from collections import Counter
from itertools import product

import pdfplumber
import pytest
import rebuilt
from made_once import planned, set_out
from msgspec.structs import replace
from samples import SAMPLES, each

from diagram.pipeline import setting_bytes
from diagram.stakeout.setting import SettingOut
from diagram.stakeout.texts import reading
from diagram.units import Units

STEP = {"feet": 0.0254, "metres": 0.05}
NAMES = [file.stem for file in SAMPLES]


def _planned_feet(stem: str) -> list[tuple[str, tuple[float, float]]]:
    """Places of the feet as the plan has them, with the fence each belongs to."""
    return [(fence.name, foot) for fence in planned(stem).fences for foot in fence.feet]


@pytest.mark.parametrize("stem", NAMES)
@pytest.mark.parametrize("how", [rebuilt.by_tapes, rebuilt.by_offset])
def test_the_feet_are_found_again_to_a_centimetre(stem: str, how) -> None:  # type: ignore[no-untyped-def]
    table = rebuilt.rows(setting_bytes(set_out(stem, "feet"), "csv"))
    found = how(table, "exact_")
    intended = _planned_feet(stem)
    assert len(found) == len(intended) == len(rebuilt.of(table, "foot"))
    owners = {row["name"]: row["fence"] for row in rebuilt.of(table, "foot")}
    for name, at in found.items():
        nearest = min(intended, key=lambda foot: math.dist(foot[1], at))
        assert math.dist(nearest[1], at) < 0.01
        assert nearest[0] == owners[name]


@pytest.mark.parametrize("stem", NAMES)
def test_left_and_right_are_as_the_horse_sees_them(stem: str) -> None:
    made = planned(stem)
    feet = rebuilt.by_tapes(rebuilt.rows(setting_bytes(set_out(stem, "feet"), "csv")), "exact_")
    for crossing in made.crossings[::-1]:
        # Overwritten by earlier jumps, so the first one decides.
        direction = crossing.pose.direction
        name = crossing.jump.fence
        first = next(c for c in made.crossings if c.jump.fence == name)
        if crossing is not first:
            continue
        left = next(at for n, at in feet.items() if n.startswith(f"{name} left"))
        right = next(at for n, at in feet.items() if n.startswith(f"{name} right"))
        across = (left[0] - right[0], left[1] - right[1])
        assert direction[0] * across[1] - direction[1] * across[0] > 0


@pytest.mark.parametrize("units", ["feet", "metres"])
@pytest.mark.parametrize("stem", NAMES)
def test_the_lines_come_out_right_from_rounded_readings(stem: str, units: Units) -> None:
    table = rebuilt.rows(setting_bytes(set_out(stem, units), "csv"))
    legs = {
        (leg.first.jump.fence, leg.second.jump.fence): leg.straight_m
        for leg in planned(stem).legs
        if leg.shape in ("line", "bend") and leg.first and leg.second
    }
    for line in rebuilt.of(table, "line"):
        intended = legs[line["from"], line["to"]]
        assert float(line["exact_m"]) == pytest.approx(intended, abs=1e-4)
        for feet in (rebuilt.by_tapes(table), rebuilt.by_offset(table)):
            off = rebuilt.line_length(line, feet) - intended
            assert abs(off) < STEP[units]
            assert abs(off) <= abs(float(line["at_most_m"])) + 1e-4


@pytest.mark.parametrize("units", ["feet", "metres"])
@pytest.mark.parametrize("stem", NAMES)
def test_readings_are_whole_steps_next_to_the_exact_ones(stem: str, units: Units) -> None:
    for row in rebuilt.of(rebuilt.rows(setting_bytes(set_out(stem, units), "csv")), "foot"):
        for column in ("tape_1", "tape_2", "along", "out"):
            read, exact = float(row[f"{column}_m"]), float(row[f"{column}_exact_m"])
            assert abs(read / STEP[units] - round(read / STEP[units])) < 0.01
            assert abs(read - exact) < STEP[units] + 1e-4


def _words(data: bytes, pages: slice) -> Counter[str]:
    """Every word of some pages of a PDF, as often as it stands there."""
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        return Counter(
            word["text"]
            for page in pdf.pages[pages]
            for word in page.extract_words(x_tolerance=1.2, use_text_flow=True)
        )


def _pieces(said: str, metres: float, setting: SettingOut) -> str:
    """A length along a side that is longer than the tape: how many whole tapes, and the rest."""
    tape = setting.crew.tape_length
    if metres <= tape + 1e-9:
        return said
    units: Units = "metres" if setting.crew.units == "metres" else "feet"
    crew = replace(setting.crew, units=units)
    whole, rest = divmod(metres + 1e-4, tape)
    long = f"{tape:g} m" if units == "metres" else reading(tape, crew)
    tapes = long if whole == 1 else f"{whole:g} × {long}"
    return f"{tapes} + {reading(rest, crew)}" if rest > 0.005 else tapes


@pytest.mark.parametrize(
    ("stem", "units"),
    [*each(1, product(NAMES, ("feet", "metres"))), *each(3, product(NAMES, ("both",)))],
)
def test_the_figures_on_paper_are_those_of_the_csv(stem: str, units: Units) -> None:
    """Each as often as the table has it: on the leaf, and again on the second leaf."""
    setting = set_out(stem, units)
    table, data = rebuilt.rows(setting_bytes(setting, "csv")), setting_bytes(setting, "pdf")
    tapes, squares = rebuilt.of(table, "tape"), Counter[tuple[str, ...]]()
    figures = [row["along"] for row in rebuilt.of(table, "peg")]
    for row in tapes:
        # One figure does for both feet where they read the same.
        same = (row["fence"], row["word"], row["from"], row["reads"])
        squares[same] += 1
        figures += [row["reads"]] * (row["word"] != "square" or squares[same] == 1)
    figures += [row["reads"] for row in rebuilt.of(table, "check")]
    front = [
        row for row in rebuilt.of(table, "foot") if not row["name"].endswith(("back", "middle"))
    ]
    second = [
        _pieces(row[column], float(row[f"{column}_m"]), setting)
        for row in front
        for column in ("along", "out")
        if row["along_side"]
    ]
    tape = setting.crew.tape_length + 1e-9
    # Where no two marks are within a tape, the second leaf says so in place of a crossing.
    second += [
        row[column]
        for row in front
        for column in ("tape_1", "tape_2")
        if max(float(row["tape_1_m"]), float(row["tape_2_m"])) <= tape
    ]
    for said, pages in ((figures, slice(0, -1)), (second, slice(1, None))):
        # With both units the drawn figure has feet alone, and the second leaf only those.
        plain = [figure.partition(" (")[0] if units == "both" else figure for figure in said]
        wanted = Counter(word for figure in plain for word in figure.split())
        assert not wanted - _words(data, pages)
