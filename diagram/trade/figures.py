"""A figure of the trade, and the mark that says where it comes from."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from msgspec import Struct

from diagram.source import Document, read

DATA = Path(__file__).parent / "data"
"""Where the data files of the trade stand."""


class Figure(Struct, frozen=True):
    """One figure: metres, metres per second, radians, or a count or share without a unit."""

    value: float
    source: str
    note: str = ""


class Range(Struct, frozen=True):
    """A figure with its lowest, usual and highest value. Units as for `Figure`."""

    low: float
    typical: float
    high: float
    source: str
    note: str = ""


@cache
def data_file(name: str) -> Document:
    """One of the data files of the trade, by its file name without ``.yaml``."""
    return read(DATA / f"{name}.yaml")
