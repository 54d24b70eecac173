"""The rings that exercises can be laid out in: found, written down, and gone by."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from library_trials import TWO_RIDES, exercise, library

from diagram.cli import main
from diagram.fitting import Wanted, fit
from diagram.library.collection import read_library
from diagram.library.fits import fits
from diagram.library.rings import (
    LENGTHS_M,
    RINGS_FILE,
    WIDTHS_M,
    Rings,
    fits_in,
    places_key,
    read_rings,
    rings_text,
    smallest_rings,
    together,
)
from diagram.pipeline import plan

FREE = """\
tapeline: 1
title: A line
purpose: {purpose}
teaches: straightness
level: 2'
arena: 30 x 60 m
horses: horse
fences:
  ash: {{kind: vertical}}
  elm: {{kind: vertical}}
ride:
  - start: canter, left lead
  - jump: ash
    purpose: {purpose}
  - line: {strides} strides
  - jump: elm
    purpose: Out.
  - finish: straight on, walk
"""


def line(folder: Path, purpose: str = "To be fitted.", strides: int = 4) -> Path:
    folder.mkdir(exist_ok=True)
    file = folder / "line.yaml"
    file.write_text(FREE.format(purpose=purpose, strides=strides), encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, tuple[tuple[float, float], ...]]:
    file = line(tmp_path_factory.mktemp("yard") / "free")
    return file, smallest_rings(file)


def test_what_is_found_fits_and_nothing_shorter_does(
    found: tuple[Path, tuple[tuple[float, float], ...]],
) -> None:
    file, rings = found
    home = plan(file)
    assert rings
    for long, wide in rings:
        assert long <= 60
        assert wide <= 30
        assert fits_in(home, (long, wide))
        # As `fit` has it, which is another way to the same answer.
        done = fit(home, Wanted(arena=f"{long:g} x {wide:g} m"))
        assert done.layout.outcome.startswith("placed")
    long, wide = rings[-1]
    shorter = [length for length in LENGTHS_M if wide <= length < long]
    assert not shorter or not fits_in(home, (shorter[-1], wide))
    widths = [wide for _, wide in rings]
    assert widths == sorted(widths, reverse=True)
    assert set(widths) <= set(WIDTHS_M)


def test_pinned_fences_and_several_rides_stay_where_they_are(tmp_path: Path) -> None:
    folder = library(tmp_path, one=exercise(), both=TWO_RIDES)
    assert smallest_rings(folder / "one.yaml") == smallest_rings(folder / "both.yaml") == ()


def test_the_key_knows_places_and_no_words(tmp_path: Path) -> None:
    first = places_key(line(tmp_path), "here")
    assert places_key(line(tmp_path, purpose="In other words."), "here") == first
    assert places_key(line(tmp_path, strides=5), "here") != first
    assert places_key(line(tmp_path), "there") != first


def test_lists_go_by_what_was_worked_out_while_it_is_true(tmp_path: Path) -> None:
    file = line(tmp_path / "yard")
    [drawn] = read_library(tmp_path / "yard").entry("line").fits
    stands = read_library(tmp_path / "yard").entry("line").stands
    rings = {"line": Rings(places_key(file, stands), ((40.0, 15.0), (35.0, 20.0)), "abc")}
    (tmp_path / "yard" / RINGS_FILE).write_text(rings_text(rings), encoding="utf-8")
    assert read_rings(tmp_path / "yard") == rings
    entry = read_library(tmp_path / "yard").entry("line")
    assert fits(entry.fits, (40.0, 15.0))
    assert fits(entry.fits, (35.0, 20.0))
    assert fits(entry.fits, (max(drawn), min(drawn)))
    # A layout code that places the fences elsewhere at home may find other rings.
    other = {"line": Rings(places_key(file, "elsewhere"), rings["line"].fits, "abc")}
    (tmp_path / "yard" / RINGS_FILE).write_text(rings_text(other), encoding="utf-8")
    assert not fits(read_library(tmp_path / "yard").entry("line").fits, (40.0, 15.0))
    (tmp_path / "yard" / RINGS_FILE).write_text(rings_text(rings), encoding="utf-8")
    # Another line: what was worked out is of another exercise.
    line(tmp_path / "yard", strides=5)
    assert not fits(read_library(tmp_path / "yard").entry("line").fits, (40.0, 15.0))
    (tmp_path / "yard" / RINGS_FILE).write_text("rings: [", encoding="utf-8")
    assert read_library(tmp_path / "yard").entry("line")


def test_a_rectangle_that_holds_another_is_left_out() -> None:
    assert together([(60.0, 27.2)], [(60.0, 20.0), (55.0, 25.0)]) == ((60.0, 20.0), (55.0, 25.0))
    assert together([(20.0, 40.0)], []) == ((40.0, 20.0),)


def test_the_command_works_out_only_what_changed(tmp_path: Path) -> None:
    folder = library(tmp_path / "yard", one=exercise(), both=TWO_RIDES)
    done = CliRunner().invoke(main, ["library", "rings", str(folder)])
    assert done.exit_code == 0
    assert "2 exercises, 2 of them worked out anew" in done.output
    again = CliRunner().invoke(main, ["library", "rings", str(folder)])
    assert "2 exercises, 0 of them worked out anew" in again.output
    file = folder / RINGS_FILE
    file.write_text(re.sub("by: '[0-9a-f]+'", "by: '0123abcd'", file.read_text("utf-8")), "utf-8")
    newer = CliRunner().invoke(main, ["library", "rings", str(folder)])
    assert "2 exercises, 2 of them worked out anew" in newer.output
    (folder / RINGS_FILE).write_text("mine: yes\n", encoding="utf-8")
    kept = CliRunner().invoke(main, ["library", "rings", str(folder)])
    assert kept.exit_code == 2
    assert (folder / RINGS_FILE).read_text(encoding="utf-8") == "mine: yes\n"
