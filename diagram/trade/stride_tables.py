"""Stride tables: what each source says a distance should be.

A table is a YAML file. The simplest one that a trainer can write for an own ring::

    table: Our school
    distances: {1: 7.2 m, 2: 10.4-10.8 m, 3: 14.2 m}

The number is the count of strides (0 is a bounce), beside it the distance or its range.
The keys for a table that tells more apart are listed in `table_reader`.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache
from pathlib import Path
from typing import Literal

from msgspec import Struct

from diagram.diagnostics import Diagnostic, RejectedError, Severity, near
from diagram.source import read
from diagram.trade.figures import DATA, Figure, Range, data_file
from diagram.trade.words import Gait, Group, Size, Units

Aim = Literal["middle", "short end", "by stride"]

SAME = 0.001
"""Metres. Two strides or heights closer than this are the same column of a table."""


class TableEntry(Struct, frozen=True):
    """One cell of a table. Lengths in metres; `low_m` is `high_m` where one figure is printed.

    It answers for horses of one of `sizes` whose stride lies from `stride_low_m` to
    `stride_high_m`, from a fence of one of the groups `first` to one of `second`. `gaps` are
    the first and last gap of a grid it holds for. `also` is what other sources say.
    """

    strides: int
    low_m: float
    high_m: float
    source: str
    note: str
    sizes: tuple[Size, ...]
    stride_low_m: float
    stride_high_m: float
    height_m: float | None
    first: tuple[Group, ...]
    second: tuple[Group, ...]
    by_kind: bool
    gait_in: Gait
    gaps: tuple[int, int] | None
    aim: Aim
    also: tuple[Range, ...]

    @property
    def has_range(self) -> bool:
        """Whether the source prints a shortest and a longest distance."""
        return self.high_m - self.low_m > SAME

    def stride_misses_by(self, stride_m: float) -> float:
        """Metres that a stride is longer (or, negative, shorter) than this entry is for."""
        if stride_m > self.stride_high_m + SAME:
            return stride_m - self.stride_high_m
        if stride_m < self.stride_low_m - SAME:
            return stride_m - self.stride_low_m
        return 0.0


class StrideTable(Struct, frozen=True, eq=False):
    """One table, with the strides that its makers call normal.

    `low_fences_shorten`: fences below full height take something off its figures.
    `short_end_below_m`: for fences lower than this it says to use the short end. `by_strides`
    holds the cells for each count of strides.
    """

    name: str
    units: Units
    source: str
    normal_strides: tuple[tuple[Size, Figure], ...]
    low_fences_shorten: bool
    short_end_below_m: float | None
    by_strides: Mapping[int, tuple[TableEntry, ...]]

    @property
    def entries(self) -> tuple[TableEntry, ...]:
        """All cells, by count of strides."""
        return tuple(entry for row in self.by_strides.values() for entry in row)

    def normal_stride(self, size: Size) -> Figure:
        """The canter stride in metres that the table takes a size to have."""
        return next(figure for name, figure in self.normal_strides if name == size)


@lru_cache(maxsize=1)
def table_names() -> tuple[str, ...]:
    """The tables that come with the program, in alphabetical order."""
    files = sorted(DATA.glob("table-*.yaml"))
    return tuple(file.stem.removeprefix("table-").replace("-", " ") for file in files)


def load_table(name_or_path: str | Path) -> StrideTable:
    """A table by its name, or an own one by its path (ending in ``.yaml`` or ``.yml``).

    Raises RejectedError for a name that is not known and for everything wrong in an own table.
    """
    text = str(name_or_path)
    if text.lower().endswith((".yaml", ".yml")):
        from diagram.trade.table_reader import read_table

        return read_table(read(text))
    name = " ".join(text.lower().replace("-", " ").split())
    if name not in table_names():
        message = f'there is no stride table "{text}"'
        hint = f"{near(name, table_names())} (an own table is named by its file: my-table.yaml)"
        raise RejectedError([Diagnostic("unknown-table", Severity.ERROR, message, None, hint)], {})
    return _own_of_the_program(name)


@cache
def _own_of_the_program(name: str) -> StrideTable:
    from diagram.trade.table_reader import read_table

    return read_table(data_file("table-" + name.replace(" ", "-")))
