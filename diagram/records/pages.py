"""The pages of the record as values: every word and figure settled, nothing left to decide."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Literal

from msgspec import Struct

from diagram.plain import counted
from diagram.records.apart import Fit
from diagram.records.offered import Offer, Suggestion, suggested
from diagram.records.readiness import (
    Month,
    Readiness,
    Shown,
    State,
    missed_range,
    moment,
    month_number,
    usual_height_mm,
)
from diagram.records.strides import counted_lines, seasons_words
from diagram.records.values import Pair, Round
from diagram.records.words import (
    BYS,
    apart_words,
    asked_text,
    day_text,
    height_text,
    misses_words,
    missing_text,
    others_text,
    plain_words,
    seen_line,
)
from diagram.units import Units

Reader = Literal["trainer", "parent"]
NEARLY_ALWAYS = 0.95
"""Above this share asked, misses in 100 are said in words instead of a bar."""
INCH_STEP_MM, METRIC_STEP_MM = 76.2, 50.0
"""Heights are gathered in steps of 3 in, or of 5 cm."""
MOST_LEVELS = 6


class RequirementRow(Struct, frozen=True):
    """One line of the table."""

    by: str
    state: State
    why: str
    words: str
    asked: str
    count: str
    of: str
    others: str
    low: float | None
    high: float | None
    share: float | None
    share_asked: float
    instead: str
    last: str
    days: str
    months: tuple[Month, ...]


class RowGroup(Struct, frozen=True):
    """The rows of the horse, the rider or both."""

    by: str
    head: str
    words: str
    name: str
    rows: tuple[RequirementRow, ...]


class StridePanel(Struct, frozen=True):
    """One way of a line: tries by moment (months since year 0) and count."""

    name: str
    asked: int
    tries: tuple[tuple[float, int], ...]


class ReadinessPage(Struct, frozen=True):
    """All that is printed on the page of a pair.

    `pairs` are name, low and high end, middle, and whether it is the pair of the page; `to_print`
    are the file of each exercise that would show something, and what to ask of it.
    """

    title: str
    from_height: str
    to_height: str
    seen: str
    sentences: tuple[str, str]
    look_back: str
    groups: tuple[RowGroup, ...]
    months: tuple[int, ...]
    heights: tuple[tuple[float, int], ...]
    levels: tuple[tuple[int, str], ...]
    strides_head: str
    strides: tuple[StridePanel, ...]
    strides_words: str
    pairs_head: str
    pairs: tuple[tuple[str, float, float, float, bool], ...]
    apart: tuple[str, ...]
    would_show: tuple[tuple[str, str], ...]
    to_print: tuple[tuple[str, str], ...]
    library: str
    foot: str


class AtHand(Struct, frozen=True):
    """The exercises at hand, and the arena they are wanted for as one says it."""

    offers: Sequence[Offer]
    ring: str = ""


def readiness_page(
    found: Readiness,
    *,
    units: Units = "feet",
    reader: Reader = "trainer",
    library: AtHand | None = None,
) -> ReadinessPage:
    """The page of one pair. Without a library only what the step file names is said."""
    parent = reader == "parent"
    step = found.step
    lines = counted_lines(found.rounds)
    numbers = sorted({month_number(one.day.on) for one in found.rounds})
    yard = f" {found.yard}." if found.yard else ""
    note = f" {found.note}" if found.note else ""
    return ReadinessPage(
        title=found.pair.name,
        from_height=height_text(step.from_mm, units) if step else "",
        to_height=height_text(step.to_mm, units) if step else "",
        seen=f"{seen_line(found)}{yard}{note}",
        sentences=plain_words(found, units),
        look_back=_look_back(found),
        groups=tuple(_group(found, by, parent) for by in BYS if found.by(by)),
        months=tuple(numbers),
        heights=page_heights(found.rounds, units),
        levels=page_levels(found.rounds, units),
        strides_head=lines[0].head if lines else "",
        strides=tuple(StridePanel(one.name, one.asked, one.tries) for one in lines),
        strides_words=seasons_words(lines),
        pairs_head=_pairs_head(found, units) if not parent else "",
        pairs=_pairs(found) if not parent else (),
        apart=_apart(found, parent),
        would_show=_would_show(found, library),
        to_print=_to_print(found, library),
        library=_library_words(found, library),
        foot=_foot(found),
    )


def _look_back(found: Readiness) -> str:
    if found.step is None:
        return ""
    return f"tries of the {found.step.look_back // 7} weeks to {day_text(found.on, True)}"


def _group(found: Readiness, by: str, parent: bool) -> RowGroup:
    shown = [one for one in found.shown if one.requirement.by == by]
    count = sum(one.state == "shown" for one in shown)
    words = {
        "horse": ("horse:", f"{found.pair.horse.name}, under every rider"),
        "rider": ("rider:", f"{found.pair.person.name}, on every horse"),
        "pair": ("pair:", f"{found.pair.person.name} with {found.pair.horse.name}"),
    }[by]
    rows = tuple(requirement_row(one, found, parent) for one in shown)
    return RowGroup(by, f"{count} of {len(shown)} shown", *words, rows)


def requirement_row(one: Shown, found: Readiness, parent: bool = False) -> RequirementRow:
    """One requirement as it is printed."""
    rate, asked, step = one.rate, one.requirement.ask, found.step
    assert step is not None
    instead = ""
    if asked.share > NEARLY_ALWAYS and rate.n:
        day_sd = found.fitted.day_sd if found.fitted else 0.35
        low, high = missed_range(rate, day_sd)
        instead = f"missed {_one_place(low)} to {_one_place(high)} in 100"
    return RequirementRow(
        by=one.requirement.by,
        state=one.state,
        why=one.why or ("at this height" if one.state == "never tried" and one.months else ""),
        words=one.requirement.words,
        asked=asked_text(asked, step.look_back, one.since),
        count=str(rate.x) if rate.n else "–",
        of=f" of {rate.n}" if rate.n else "",
        others=others_text(one, parent),
        low=rate.low if rate.n else None,
        high=rate.high if rate.n else None,
        share=rate.share if rate.n else None,
        share_asked=asked.share,
        instead=instead,
        last=day_text(one.last, one.last.year != found.on.year) if one.last else "",
        days=counted(rate.days, "day") if rate.n else "",
        months=one.months,
    )


def _one_place(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _levelled(height_mm: int, units: Units) -> int:
    """A height in steps of 3 in, or of 5 cm."""
    step = METRIC_STEP_MM if units == "metres" else INCH_STEP_MM
    return round(round(height_mm / step) * step)


def page_heights(rounds: Sequence[Round], units: Units) -> tuple[tuple[float, int], ...]:
    """The highest fence of each day, by moment (months since year 0)."""
    days: dict[date, int] = {}
    for one in rounds:
        days[one.day.on] = max(days.get(one.day.on, 0), one.highest_mm)
    return tuple((moment(day), _levelled(height, units)) for day, height in sorted(days.items()))


def page_levels(rounds: Sequence[Round], units: Units) -> tuple[tuple[int, str], ...]:
    """The heights of the scale, every step from the lowest to the highest."""
    seen = sorted({height for _, height in page_heights(rounds, units)})
    if not seen:
        return ()
    step = METRIC_STEP_MM if units == "metres" else INCH_STEP_MM
    first, last = round(seen[0] / step), round(seen[-1] / step)
    every = [round(n * step) for n in range(first, last + 1)][-MOST_LEVELS:]
    return tuple((value, height_text(value, units)) for value in every)


def _pairs_height(found: Readiness) -> int:
    if found.step is not None:
        return found.step.from_mm
    return usual_height_mm(found.rounds, found.on) or 762


def _pairs_head(found: Readiness, units: Units) -> str:
    if not _pairs(found):
        return ""
    height = height_text(_pairs_height(found), units)
    return f"Of ten tries at {height}, by the model, as asked, 80 % range:"


def _pairs(found: Readiness) -> tuple[tuple[str, float, float, float, bool], ...]:
    """This pair and those that share its horse or rider, on the scale of a share."""
    fitted = found.fitted
    if fitted is None or not found.linked or not found.rounds:
        return ()
    out = []
    for pair in [found.pair, *found.neighbours][:5]:
        out.append(_share(fitted, pair, _pairs_height(found), pair is found.pair))
    return tuple(out)


def _share(
    fitted: Fit, pair: Pair, height: int, own: bool
) -> tuple[str, float, float, float, bool]:
    mixture = fitted.of_pair(pair.horse.name, pair.person.name, height)
    low, high = (1 / (1 + math.exp(-end)) for end in mixture.range())
    middle = 1 / (1 + math.exp(-mixture.mean))
    return f"{pair.person.name}, {pair.horse.name}", low, high, middle, own


def _apart(found: Readiness, parent: bool) -> tuple[str, ...]:
    said = apart_words(found, parent)
    if parent:
        return said
    witness = misses_words(found)
    together = " ".join([*said, witness] if witness else said)
    if not _pairs(found):
        return (together,)
    return together, "Assumed: their parts add up, and no horse was chosen by skill."


def _would_words(ones: Sequence[Shown]) -> str:
    parts = []
    for one in ones:
        missing = missing_text(one)
        parts.append(f"{one.requirement.noun}{f' ({missing})' if missing else ''}")
    return "; ".join(parts)


NOWHERE = "none in the library"


def _would_show(found: Readiness, library: AtHand | None) -> tuple[tuple[str, str], ...]:
    """Exercise and what it would show; at the end what no exercise of the library would."""
    if library is None:
        return tuple((title, _would_words(ones)) for title, ones in found.would_show)
    chosen = suggested(found, library.offers)
    rows = [(_title(one), _suggested_words(one, library.ring)) for one in chosen.exercises]
    if chosen.by_none:
        rows.append((NOWHERE, _would_words(chosen.by_none)))
    return tuple(rows)


def _to_print(found: Readiness, library: AtHand | None) -> tuple[tuple[str, str], ...]:
    chosen = suggested(found, library.offers).exercises if library is not None else ()
    return tuple((one.file, one.asked) for one in chosen if one.file)


def _title(one: Suggestion) -> str:
    return one.title if one.known else f"{one.title} (not in the library)"


def _suggested_words(one: Suggestion, ring: str) -> str:
    words = _would_words(one.shows)
    return f"{words}. Does not fit {ring} as drawn" if one.fits is False else words


def _library_words(found: Readiness, library: AtHand | None) -> str:
    if library is None or found.step is None:
        return ""
    count = len(library.offers)
    looked = f"of {counted(count, 'exercise')} of the library"
    if library.ring:
        return f"{looked}, for {library.ring}"
    known = [one for one in suggested(found, library.offers).exercises if one.known]
    arenas = sorted({one.arena for one in known})
    return f"{looked}, drawn for {arenas[0]}" if len(arenas) == 1 else looked


def _foot(found: Readiness) -> str:
    if found.step is None:
        return f"{day_text(found.on, True)}. No step file for this height."
    own = "common practice" if found.step.practice == "common" else found.step.practice
    return (
        f"{Path(found.step.file).name}: {own}. Bar: holds the true rate in 8 of 10 cases; "
        "white: seen, black: asked. "
        "Narrowly: part of it is below what is asked. Months: all heights."
    )
