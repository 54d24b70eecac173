"""Every figure in every data file says where it comes from, in one of the allowed ways."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from source_marks import (
    COMMON_PRACTICE,
    DERIVED,
    FROM_MEMORY,
    MARKS,
    PUBLISHED,
    keys_in,
    mark_of,
    source_names,
)

from diagram.trade.figures import DATA, data_file
from diagram.units import UnitError, parse_angle, parse_length_range, parse_speed

FILES = sorted(file.stem for file in DATA.glob("*.yaml"))
NAMES = dict(source_names())
WITHOUT_FIGURES = {"table", "units", "source", "note", "usual", "also called", "why not"}

EXPECTED_MARKS = {
    "published (rule)", "published (rule, 2nd-hand)", "published (handbook)",
    "published (handbook, 2nd-hand)",
    "published (paper)", "published (data)", "published (web article)",
    "common practice (no source)", "from memory (unverified)", "derived",
}  # fmt: skip


def test_the_allowed_marks() -> None:
    assert set(MARKS) == EXPECTED_MARKS


def _is_figure(text: str) -> bool:
    if re.fullmatch(r"\d+(\.\d+)?", text):
        return True
    for read in (parse_length_range, parse_speed, parse_angle):
        try:
            read(text)
        except UnitError:
            continue
        return True
    return False


def _figures(value: Any, source: str, path: str) -> Iterator[tuple[str, str]]:
    """Every figure of a file: where it stands, and the source that is nearest above it."""
    if isinstance(value, dict):
        source = value.get("source", source)
        for key, below in value.items():
            if key not in WITHOUT_FIGURES:
                yield from _figures(below, source, f"{path}/{key}")
    elif isinstance(value, list):
        for index, below in enumerate(value):
            yield from _figures(below, source, f"{path}/{index}")
    elif _is_figure(value):
        yield path, source


@pytest.mark.parametrize("name", [file for file in FILES if file != "sources"])
def test_every_figure_has_a_source(name: str) -> None:
    found = list(_figures(data_file(name).plain(), "", ""))
    assert found
    assert [path for path, source in found if not mark_of(source)] == []


def _texts(value: Any, wanted: str) -> Iterator[str]:
    if isinstance(value, dict):
        for key, below in value.items():
            if key == wanted and isinstance(below, str):
                yield below
            else:
                yield from _texts(below, wanted)
    elif isinstance(value, list):
        for below in value:
            yield from _texts(below, wanted)


@pytest.mark.parametrize("name", FILES)
def test_marks_are_written_alike(name: str) -> None:
    for source in _texts(data_file(name).plain(), "source"):
        mark = mark_of(source)
        if mark in PUBLISHED:
            (key,) = keys_in(source)
            assert source == f"{mark} [{key}]: {NAMES[key]}"
        elif mark in (COMMON_PRACTICE, FROM_MEMORY):
            assert source == mark
        else:
            assert source == DERIVED or source.startswith(f"{DERIVED}: ")


@pytest.mark.parametrize("name", FILES)
def test_every_key_is_known(name: str) -> None:
    assert set(keys_in(data_file(name).text)) <= set(NAMES)


def test_no_mark_is_read_as_another() -> None:
    assert mark_of("published (handbook, 2nd-hand) [S1]: x") == "published (handbook, 2nd-hand)"
    assert mark_of("somebody said so") == ""


def test_source_names_name_no_address() -> None:
    assert not [name for name in NAMES.values() if "http" in name or ".com" in name]
