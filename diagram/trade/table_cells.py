"""Read the cells of a stride table: counts of strides and their distances."""

from __future__ import annotations

from itertools import pairwise

from msgspec import Struct

from diagram.source import Mapping, Node
from diagram.trade.figures import Range
from diagram.trade.reading import Reader
from diagram.units import UnitError, parse_length_range

MOST_STRIDES = 60

NOTHING = (0.0, 0.0)


class Cell(Struct, frozen=True):
    """Distance in metres, source and note of one count of strides."""

    strides: int
    low_m: float
    high_m: float
    source: str
    note: str
    node: Node


def read_cells(reader: Reader, node: Node | None, source: str, note: str) -> list[Cell]:
    """The distances of one block, shortest count first, none reaching into the next."""
    if node is None:
        return []
    cells = []
    for key, value in reader.entries(node, "strides"):
        if not is_count(key.text, MOST_STRIDES):
            message = f'"{key.text}" is no count of strides'
            hint = f"write a number from 0 (a bounce) to {MOST_STRIDES}"
            reader.refuse("not-a-count", message, key.span, hint)
            continue
        cells.append(_cell(reader, int(key.text), value, source, note))
    cells.sort(key=lambda cell: cell.strides)
    for shorter, longer in pairwise(cells):
        if shorter.high_m >= longer.low_m > 0:
            message = (
                f"the distance for {longer.strides} strides begins before "
                f"the one for {shorter.strides} ends"
            )
            reader.refuse("strides-overlap", message, longer.node.span)
    return cells


def is_count(text: str, most: int) -> bool:
    """Whether `text` is a whole number from 0 to `most`."""
    return text.isdecimal() and len(text) <= len(str(most)) and int(text) <= most


def _distance(text: str) -> tuple[float, float]:
    low, high = parse_length_range(text)
    if low <= 0:
        raise UnitError("a distance is longer than nothing")
    return low, high


def _cell(reader: Reader, strides: int, node: Node, source: str, note: str) -> Cell:
    distance: Node | None = node
    if isinstance(node, Mapping):
        known = ("distance", "source", "note")
        found = reader.fields(node, "a distance", known, ("distance",))
        distance = found.get("distance")
        source = reader.text(found.get("source"), source)
        note = reader.text(found.get("note"), note)
    low, high = reader.measure(distance, _distance, NOTHING)
    return Cell(strides, low, high, source, note, node)


def read_also(reader: Reader, node: Node | None) -> dict[int, list[Range]]:
    """What other sources say, by count of strides."""
    others: dict[int, list[Range]] = {}
    for item in reader.items(node):
        known = ("strides", "source", "note")
        found = reader.fields(item, "another source", known, ("strides", "source"))
        source, note = reader.text(found.get("source")), reader.text(found.get("note"))
        for cell in read_cells(reader, found.get("strides"), source, note):
            middle = (cell.low_m + cell.high_m) / 2
            figure = Range(cell.low_m, middle, cell.high_m, cell.source, cell.note)
            others.setdefault(cell.strides, []).append(figure)
    return others
