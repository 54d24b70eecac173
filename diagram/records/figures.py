"""Strides, speed and what has changed, as a page: every figure settled, with its honest range."""

from __future__ import annotations

from msgspec import Struct

from diagram.records.rates import rate
from diagram.records.readiness import Readiness
from diagram.records.strides import (
    DAY_SD,
    FEWEST,
    Comparison,
    ElementFigures,
    comparisons,
    leg_figures,
    trend_words,
)
from diagram.records.words import seen_line
from diagram.units import Units, length_text

MOST_LEGS = 24
"""Ways on the page: those counted or timed most often."""
SECONDS_IN_A_MINUTE = 60


class ShareRange(Struct, frozen=True):
    """One share with its range of 8 in 10; no range where there are too few tries for one."""

    text: str
    share: float
    low: float | None
    high: float | None


class LegRow(Struct, frozen=True):
    """One way: counts as asked, and what was ridden against what is drawn."""

    name: str
    counts: ShareRange | None
    stride: str
    varies: str
    speed: str


class LegGroup(Struct, frozen=True):
    """The ways of one exercise."""

    title: str
    rows: tuple[LegRow, ...]


class ComparedRow(Struct, frozen=True):
    """Two sides and what may be said of the difference."""

    what: tuple[str, str]
    sides: tuple[ShareRange, ShareRange]
    words: str


class FiguresPage(Struct, frozen=True):
    """All that is printed on the second page of a pair. `left_out` counts ways without room."""

    title: str
    seen: str
    legs: tuple[LegGroup, ...]
    left_out: int
    compared: tuple[ComparedRow, ...]
    trend: str
    foot: str


def figures_page(found: Readiness, units: Units = "feet") -> FiguresPage:
    """The page of one pair, from the rounds of that pair alone."""
    every = leg_figures(found.rounds)
    most = sorted(every, key=lambda leg: -max(leg.counted, leg.timed))[:MOST_LEGS]
    groups: dict[str, list[LegRow]] = {}
    for leg in every:
        if leg in most:
            groups.setdefault(leg.exercise, []).append(_leg_row(leg, units))
    return FiguresPage(
        title=found.pair.name,
        seen=seen_line(found),
        legs=tuple(LegGroup(title, tuple(rows)) for title, rows in groups.items()),
        left_out=len(every) - len(most),
        compared=tuple(_compared(one) for one in comparisons(found.rounds, found.on)),
        trend=trend_words(found.rounds, found.on),
        foot=(
            "Stride: ground between bases less landing and take-off, by the count. Varies: "
            "standard deviation. Bar: holds the true rate in 8 of 10 cases."
        ),
    )


def _side(x: int, n: int, days: int) -> ShareRange:
    if n < FEWEST:
        return ShareRange(f"{x} of {n}" if n else "none", x / n if n else 0.0, None, None)
    found = rate(x, n, days, DAY_SD)
    return ShareRange(f"{x} of {n}", found.share, found.low, found.high)


def _leg_row(leg: ElementFigures, units: Units) -> LegRow:
    asked = f", {leg.asked} asked" if leg.asked is not None else ""
    inside = leg.inside is not None and leg.outside is not None
    stride = f"in {leg.inside:.1f}, out {leg.outside:.1f} strides" if inside else ""
    if leg.stride_m is not None and leg.planned_m is not None:
        own: Units = "metres" if units == "metres" else "feet"
        ridden, drawn = (length_text(m, own) for m in (leg.stride_m, leg.planned_m))
        stride = f"{ridden}, drawn {drawn}"
    speed = ""
    if leg.speed_m_s is not None:
        speed = f"{SECONDS_IN_A_MINUTE * leg.speed_m_s:.0f} m/min"
        if leg.planned_m_s is not None:
            speed += f", drawn {SECONDS_IN_A_MINUTE * leg.planned_m_s:.0f}"
        speed += f" ({leg.timed})"
    return LegRow(
        name=f"{leg.called} {leg.name}{asked}",
        counts=_side(leg.right, leg.counted, leg.days) if leg.counted else None,
        stride=stride,
        varies=f"{leg.spread:.2f}" if leg.spread is not None else "",
        speed=speed,
    )


def _compared(one: Comparison) -> ComparedRow:
    sides = _side(*one.first, one.days[0]), _side(*one.second, one.days[1])
    return ComparedRow(one.names, sides, one.difference)
