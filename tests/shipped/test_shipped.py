"""Every exercise that ships: whole, linked, clean, built on paper, and built no second time."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from msgspec.structs import replace
from pypdf import PdfReader
from samples import EXERCISES, SHIPPED

from diagram.library import building
from diagram.library.building import KINDS, build
from diagram.library.collection import Library, read_library
from diagram.library.entry import Entry
from diagram.model import Definition, validate
from diagram.model.library_keys import GROUPS
from diagram.pipeline import plan
from diagram.source import read
from diagram.writers.card import card_bytes

RIDES = {"two-groups-one-ring": 2}
"""Exercises with more than one ride, each with a card of its own."""
MOST_LEAVES, FEW_JUMPS = 3, 5
"""Sheets for the crew: two where few fences stand, one more where there are many."""


@pytest.fixture(scope="module")
def kept() -> Library:
    return read_library(EXERCISES)


def test_there_are_thirty_in_all_twelve_groups(kept: Library) -> None:
    assert not kept.failed
    assert not kept.problems
    assert len(kept.entries) == len(SHIPPED) >= 30
    assert {group for entry in kept.entries for group in entry.teaches} == set(GROUPS)
    assert {entry.main for entry in kept.entries} == set(GROUPS)


def test_from_poles_to_three_foot_six_and_from_a_small_ring_to_a_field(kept: Library) -> None:
    heights = [entry.heights for entry in kept.entries]
    assert min(low for low, _ in heights) == 0.0
    assert max(high for _, high in heights) == pytest.approx(42 * 0.0254)
    sizes = [sorted(entry.arena_size) for entry in kept.entries]
    assert [20.0, 40.0] in sizes
    assert max(long for _, long in sizes) >= 90.0
    suits = {kind for entry in kept.entries for kind in entry.suits}
    assert {"ponies", "horses", "green riders"} <= suits
    assert any(entry.two_groups for entry in kept.entries)


def test_every_link_is_shown_on_both_sides(kept: Library) -> None:
    links = kept.links
    alone = []
    for entry in kept.entries:
        for other in entry.after:
            assert other in links.before[entry.stem]
            assert entry.stem in links.after[other]
        for other in entry.before:
            assert other in links.after[entry.stem]
            assert entry.stem in links.before[other]
        if not links.before[entry.stem] and not links.after[entry.stem]:
            alone.append(entry.stem)
    assert alone == []


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_all_is_said(file: Path) -> None:
    said = validate(read(file), Definition)
    for key in ("purpose", "skills", "suits", "warm_up", "easier", "harder", "notes", "heights"):
        assert getattr(said, key), key
    assert said.if_it_goes_wrong
    assert said.minutes
    assert said.minutes_per_round
    assert said.riders
    assert said.scenario
    assert "invented" in said.scenario


def test_no_risk_but_one_that_is_accepted(kept: Library) -> None:
    def unclean(entry: Entry) -> bool:
        return bool(entry.stops or entry.cautions)

    assert [entry.stem for entry in kept.entries if unclean(entry)] == []


@pytest.mark.parametrize("every", [5, pytest.param(1, marks=pytest.mark.long)])
def test_it_is_built_and_no_second_time(
    every: int, tmp_path: Path, kept: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One exercise in five; the gate builds them all as a library, twice."""
    stems = {entry.stem for entry in kept.entries[::every]}
    kept = replace(
        kept,
        entries=tuple(entry for entry in kept.entries if entry.stem in stems),
        paths={stem: path for stem, path in kept.paths.items() if stem in stems},
    )
    first = build(kept, tmp_path)
    assert (first.refused, first.failed) == ((), ())
    rides = [RIDES.get(stem, 1) for stem in stems]
    assert len(first.written) == len(stems) * (len(KINDS) - 1) + sum(rides)
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    calls: list[object] = []
    monkeypatch.setattr(building, "write_work", calls.append)
    second = build(kept, tmp_path)
    assert (second.written, second.unchanged, calls) == ((), len(first.written), [])
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before
    for entry in kept.entries:
        card, leaf = (
            len(PdfReader(io.BytesIO(before[f"{entry.stem}.{kind}.pdf"])).pages)
            for kind in ("card", "leaf")
        )
        assert card == 2 * RIDES.get(entry.stem, 1), entry.stem
        assert leaf <= (2 if entry.jumps <= FEW_JUMPS else MOST_LEAVES), entry.stem


@pytest.mark.parametrize("stem", ["poles-on-a-circle", "pony-grid"])
def test_a_card_is_the_same_bytes_twice(stem: str) -> None:
    first, second = (card_bytes(plan(EXERCISES / f"{stem}.yaml")) for _ in range(2))
    assert first == second
