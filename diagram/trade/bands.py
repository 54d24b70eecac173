"""How short and how long a distance is known to be set, by all that is published for it."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from diagram.trade.figures import Range
from diagram.trade.question import FenceFacts, Question
from diagram.trade.sheet import Length, Lengths, Sheet, load
from diagram.trade.summands import condition_parts
from diagram.trade.words import Size


class _Bands(Sheet):
    strides: dict[Size, Lengths]
    low_up_to: Length
    big_from: Length
    jumped_from: Length
    each_more: Lengths
    rows: dict[str, dict[Size, dict[int, Lengths]]]


ROUNDING_M = 0.01
"""Metres. A figure of 21 ft is printed as 6.40 m beside it, and is 6.4008 m."""


class Band(Struct, frozen=True):
    """The shortest and the longest distance published, in metres, and by whom."""

    low_m: float
    high_m: float
    source: str

    def misses_by(self, metres: float) -> float:
        """Metres that a distance is too long (or, negative, too short) for the band.

        Nothing where it is off by no more than feet and metres of one figure may differ.
        """
        off = max(metres - self.high_m, 0.0) + min(metres - self.low_m, 0.0)
        return off if abs(off) > ROUNDING_M else 0.0


def bands(strides: int, question: Question) -> tuple[Band, ...]:
    """The bands for a count of strides in all the rows that a distance may belong to.

    Moved with the ground, and with a stride that the figures of the size are not for.
    """
    sheet = _sheet()
    usual, stride_m = sheet.strides[question.horses.size], question.horses.stride_m
    each = min(stride_m - usual.low, 0.0) + max(stride_m - usual.high, 0.0)
    moved = each * (strides + 1)
    if strides and not (question.only_poles and question.gait_in != "canter"):
        moved += sum(part.amount_m for part in condition_parts(strides, question))
    return tuple(
        Band(found.low + moved, found.high + moved, found.source)
        for found in _found(strides, question, sheet)
    )


def _found(strides: int, question: Question, sheet: _Bands) -> Iterator[Range]:
    for name in _rows(question, sheet):
        row = sheet.rows.get(name, {}).get(question.horses.size, {})
        if strides in row:
            yield row[strides]
            if name.endswith("low fences"):
                # What is set between higher fences is too long for these.
                return
        elif row and strides > max(row) >= 1:
            last, more, each = row[max(row)], strides - max(row), sheet.each_more
            source = f"derived: {more} strides more than {last.source.removeprefix('derived: ')}"
            yield Range(last.low + more * each.low, last.high, last.high + more * each.high, source)


def _rows(question: Question, sheet: _Bands) -> Iterator[str]:
    """The rows that a distance belongs to. A cavaletto that is jumped is a low fence as well."""
    gait = "canter" if question.gait_in == "canter" else "trot"
    first, second = question.first, question.second
    if question.has_pole:
        ends = ["pole" if fence.is_pole else "fence" for fence in (first, second)]
        yield f"{gait}, {ends[0]} to {ends[1]}"
    if not all(is_jumped(fence) for fence in (first, second)):
        return
    if question.height_m <= sheet.low_up_to.value:
        yield f"{gait}, low fences"
    if question.height_m >= sheet.big_from.value and question.horses.size == "horse":
        yield f"{gait}, big fences"
        if gait == "canter":
            return
    yield f"{gait}, fences"


def is_jumped(fence: FenceFacts) -> bool:
    """Whether a horse jumps it: a fence, or a cavaletto that is high enough."""
    if fence.group == "raised pole":
        return fence.height_m >= _sheet().jumped_from.value
    return not fence.is_pole


def _sheet() -> _Bands:
    return load("bands", _Bands)
