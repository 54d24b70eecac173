"""Heights of classes and divisions, the spread that goes with a height, what heights are called."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator

from diagram.trade.figures import Figure
from diagram.trade.sheet import Length, Listed, MetreRange, Sheet, load
from diagram.units import FOOT, feet_inches


class Division(Sheet):
    """A division and the heights it jumps, in metres."""

    name: str
    height: MetreRange
    source: str
    note: str = ""


class HeightClass(Sheet):
    """A class of a rule book: heights and the spreads that belong to them, in metres."""

    name: str
    height: MetreRange
    spread: MetreRange
    source: str


def _of_one_source(value: Any) -> Any:
    """Classes that share the source written beside them."""
    source = value.get("source", "")
    return [
        {"name": key, "source": source, **block}
        for key, block in value.items()
        if isinstance(block, dict)
    ]


class _Heights(Sheet):
    labels: dict[str, Length]
    classes: Annotated[tuple[HeightClass, ...], BeforeValidator(_of_one_source)]
    divisions: Annotated[tuple[Division, ...], Listed]


LABELS_MISS_BY = FOOT / 12
"""Metres. A label is used for heights no further from it than an inch."""


def labels() -> tuple[tuple[str, Figure], ...]:
    """What the trade calls a height, with the metres that are built for it."""
    return tuple(_sheet().labels.items())


def height_label(height_m: float) -> str:
    """What the trade calls a height: ``2'6"`` for 0.75 m. Else its feet and inches."""
    name, figure = min(labels(), key=lambda label: abs(label[1].value - height_m))
    if abs(figure.value - height_m) <= LABELS_MISS_BY:
        return name
    return feet_inches(height_m)


def divisions() -> tuple[Division, ...]:
    """All divisions, in the order of the data file."""
    return _sheet().divisions


def divisions_at(height_m: float) -> tuple[Division, ...]:
    """The divisions that jump a height."""
    slack = LABELS_MISS_BY
    return tuple(d for d in divisions() if d.height[0] - slack <= height_m <= d.height[1] + slack)


def classes() -> tuple[HeightClass, ...]:
    """The classes of the rule book, lowest first."""
    return _sheet().classes


def spread_for(height_m: float) -> HeightClass:
    """The lowest class that jumps a height, with its spreads; the nearest one outside them all."""
    for found in classes():
        if height_m <= found.height[1]:
            return found
    return classes()[-1]


def _sheet() -> _Heights:
    return load("heights", _Heights)
