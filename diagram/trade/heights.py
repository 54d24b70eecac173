"""Heights of classes and divisions, the spread that goes with a height, what heights are called."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from diagram.source import Node
from diagram.trade.figures import Figure, data_file
from diagram.trade.reading import Reader
from diagram.units import FOOT, feet_inches, parse_length_range


@dataclass(frozen=True, slots=True)
class Division:
    """A division and the heights it jumps, in metres."""

    name: str
    low_m: float
    high_m: float
    source: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class HeightClass:
    """A class of a rule book: heights and the spreads that belong to them, in metres."""

    name: str
    low_m: float
    high_m: float
    narrowest_m: float
    widest_m: float
    source: str


@dataclass(frozen=True, slots=True)
class _Facts:
    labels: tuple[tuple[str, Figure], ...]
    classes: tuple[HeightClass, ...]
    divisions: tuple[Division, ...]


LABELS_MISS_BY = FOOT / 12
"""Metres. A label is used for heights no further from it than an inch."""


def labels() -> tuple[tuple[str, Figure], ...]:
    """What the trade calls a height, with the metres that are built for it."""
    return _facts().labels


def height_label(height_m: float) -> str:
    """What the trade calls a height: ``2'6"`` for 0.75 m. Else its feet and inches."""
    name, figure = min(labels(), key=lambda label: abs(label[1].value - height_m))
    if abs(figure.value - height_m) <= LABELS_MISS_BY:
        return name
    return feet_inches(height_m)


def divisions() -> tuple[Division, ...]:
    """All divisions, in the order of the data file."""
    return _facts().divisions


def divisions_at(height_m: float) -> tuple[Division, ...]:
    """The divisions that jump a height."""
    slack = LABELS_MISS_BY
    return tuple(d for d in divisions() if d.low_m - slack <= height_m <= d.high_m + slack)


def classes() -> tuple[HeightClass, ...]:
    """The classes of the rule book, lowest first."""
    return _facts().classes


def spread_for(height_m: float) -> HeightClass:
    """The lowest class that jumps a height, with its spreads; the nearest one outside them all."""
    for found in classes():
        if height_m <= found.high_m:
            return found
    return classes()[-1]


@lru_cache(maxsize=1)
def _facts() -> _Facts:
    document = data_file("heights")
    reader = Reader(document)
    names = ("labels", "classes", "divisions")
    top = reader.fields(document.root, "the file", names, names)
    found = _Facts(
        labels=tuple(
            (key.text, reader.figure(node, key.text))
            for key, node in reader.entries(top["labels"], "labels")
        ),
        classes=_classes(reader, top["classes"]),
        divisions=tuple(
            _division(reader, key.text, node)
            for key, node in reader.entries(top["divisions"], "divisions")
        ),
    )
    reader.finish()
    return found


NOTHING = (0.0, 0.0)


def _classes(reader: Reader, node: Node) -> tuple[HeightClass, ...]:
    found, source = [], ""
    for key, value in reader.entries(node, "classes"):
        if key.text == "source":
            source = reader.text(value)
            continue
        fields = reader.fields(value, key.text, ("height", "spread"), ("height", "spread"))
        low, high = reader.measure(fields["height"], parse_length_range, NOTHING)
        narrow, wide = reader.measure(fields["spread"], parse_length_range, NOTHING)
        found.append(HeightClass(key.text, low, high, narrow, wide, source))
    return tuple(found)


def _division(reader: Reader, name: str, node: Node) -> Division:
    found = reader.fields(node, name, ("height", "source", "note"), ("height", "source"))
    low, high = reader.measure(found["height"], parse_length_range, NOTHING)
    return Division(name, low, high, reader.text(found["source"]), reader.text(found.get("note")))
