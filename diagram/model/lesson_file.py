"""A lesson as written: who rides, for how long, which exercises in which order, or for what.

Riders are places in a group, never names.
"""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from diagram.model.definition import FORMAT, Arena, Groups, Names, Texts, Written, listed
from diagram.model.fields import Count, Length, Name, Text, YesNo, refused, said
from diagram.model.library_keys import Minutes, Stem
from diagram.units import UnitError

MOST_STEPS = 40
DAY = 24 * 60


def _version(value: Any) -> Any:
    if value != str(FORMAT):
        raise refused(f"version {value!r} is not known here", f"write tapeline lesson: {FORMAT}")
    return FORMAT


def read_clock(text: str) -> tuple[int, int]:
    """Begin and end in minutes after midnight of ``18:00-19:30``. Raises UnitError."""
    match = re.fullmatch(r"(\d{1,2}):(\d{2})\s*(?:-|–|to)\s*(\d{1,2}):(\d{2})", text.strip())
    if not match:
        raise UnitError(f"{text!r} is not a time of day", "write 18:00-19:30")
    h1, m1, h2, m2 = (int(part) for part in match.groups())
    begin, end = h1 * 60 + m1, h2 * 60 + m2
    if m1 > 59 or m2 > 59 or not begin < end <= DAY:
        raise UnitError(f"{text!r} is not from earlier to later", "write 18:00-19:30")
    return begin, end


def read_date(text: str) -> tuple[int, int, int]:
    """Year, month and day of ``2026-06-11``. Raises UnitError."""
    import datetime

    try:
        day = datetime.date.fromisoformat(text.strip())
    except ValueError:
        raise UnitError(f"{text!r} is not a date", "write 2026-06-11") from None
    return day.year, day.month, day.day


def _set_up(value: Any) -> Any:
    if value not in ("one", "as drawn"):
        raise refused(f"{value!r} is no way to set a lesson up", "write one or as drawn")
    return value


Clock = Annotated[tuple[int, int], *said(read_clock, "from when to when", "18:00-19:30")]
Date = Annotated[tuple[int, int, int], *said(read_date, "a date", "2026-06-11")]
Places = Annotated[tuple[Count, ...], BeforeValidator(listed), Field(max_length=30)]


class GroupWritten(Written):
    """One group: how many ride, on what, how high, how often each horse may jump."""

    riders: Annotated[Count, Field(ge=1, le=12)]
    horses: Text = "horse"
    height: Length | None = None
    jumps: Count | None = None
    young: Places = ()
    waits: Text | None = None


class RunStep(Written):
    """One line of the lesson: a group comes in, a warm-up, an exercise, or a cool-down."""

    group: Name | None = None
    warm_up: Minutes | None = None
    exercise: Stem | None = None
    cool_down: Minutes | None = None
    height: Length | None = None
    rounds: Count | None = None
    minutes: Count | None = None
    jumps: Count | None = None
    as_poles: Names = ()
    leave_out: Names = ()
    without: Places = ()
    note: Text | None = None
    why: Text | None = None


class LessonWritten(Written):
    """A whole lesson."""

    tapeline_lesson: Annotated[int, BeforeValidator(_version)]
    title: Text
    aim: Text | None = None
    date: Date | None = None
    time: Clock
    arena: Arena | None = None
    store: Text | None = None
    goals: Groups = ()
    groups: dict[Name, GroupWritten]
    set_up: Annotated[Literal["one", "as drawn"], BeforeValidator(_set_up)] = "one"
    may_move: YesNo = False
    run: Annotated[tuple[RunStep, ...], Field(max_length=MOST_STEPS)] = ()
    if_short: dict[Name, Text] = {}  # noqa: RUF012
    have_ready: Texts = ()
