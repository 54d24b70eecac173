"""Where a horse lands and takes off, how far its stride will stretch, how fast it canters."""

from __future__ import annotations

import math

from pydantic import Field

from diagram.trade.adjustments import Shifted, adjustments
from diagram.trade.figures import Figure, Range
from diagram.trade.horses import Horses
from diagram.trade.question import FenceFacts
from diagram.trade.sheet import Count, Counts, Length, Lengths, Sheet, Speed, load
from diagram.trade.summands import room_at
from diagram.units import parse_length


class _AboveFull(Sheet):
    start: Length = Field(alias="from")
    for_each_metre_more: Count


class _TimeAllowed(Sheet):
    source: str
    rounding: str
    time_limit: Count
    lines: Lengths
    fewest_fences: Count


class _Jumping(Sheet):
    above_full_height: _AboveFull
    kinds: dict[str, Shifted]
    step_over_a_pole: Count
    forward_and_waiting: Counts
    speeds: dict[str, Speed]
    time_allowed: _TimeAllowed


def landing(fence: FenceFacts, horses: Horses) -> Figure:
    """Metres from the landing side of a fence to where the horse comes down, in canter."""
    return _ground("landing after", fence, horses)


def take_off(fence: FenceFacts, horses: Horses) -> Figure:
    """Metres from where the horse leaves the ground to the take-off side of a fence, in canter."""
    return _ground("take-off before", fence, horses)


def _ground(where: str, fence: FenceFacts, horses: Horses) -> Figure:
    """By height and kind, in proportion to the stride of the horses."""
    facts, share = _sheet(), horses.stride_m / adjustments().low_fences.stride.value
    metres, source = room_at(fence, horses.size)
    higher = fence.height_m - facts.above_full_height.start.value
    if higher > 0 and not fence.is_pole:
        growth = facts.above_full_height.for_each_metre_more
        metres += growth.value * higher
        source = growth.source
    kind = "a triple bar" if fence.group == "triple bar" else "a spread"
    note = ""
    if fence.group in ("spread", "triple bar"):
        more = facts.kinds[f"{where} {kind}"]
        metres += more.amount_m
        note = f"{where} {kind}: {more.source}"
    return Figure(metres * share, source, note)


def over_a_pole() -> Figure:
    """The share of a step on each side of a pole stepped over in walk or trot."""
    return _sheet().step_over_a_pole


def stretch() -> Range:
    """How short and how long a canter stride may be, as shares of the normal one."""
    return _sheet().forward_and_waiting


def canter_speed(height_m: float) -> Figure:
    """Metres per second of the canter in which fences of a height are jumped."""
    steps = _sheet().speeds.items()
    return next(speed for upto, speed in steps if height_m <= _height(upto) + 0.005)


def _height(text: str) -> float:
    return math.inf if text == "above" else parse_length(text)


def time_allowed(length_m: float, speed: float) -> int:
    """Seconds allowed for a course of `length_m` metres at `speed` metres per second.

    Length over speed [R11], rounded up to the full second (from memory, unverified). Raises
    ValueError for a speed of nothing.
    """
    if speed <= 0:
        raise ValueError("a course cannot be ridden at no speed")
    # A millionth, so that 72 s exactly are not made 73 by the last digit of a product.
    return math.ceil(length_m / speed - 1e-6)


def timed_lines() -> Range:
    """Metres from the start line to the first fence, and from the last to the finish line."""
    return _sheet().time_allowed.lines


def fewest_timed() -> int:
    """Fences under which a ride has no time allowed."""
    return round(_sheet().time_allowed.fewest_fences.value)


def time_limit(allowed: int) -> int:
    """Seconds after which a rider is eliminated."""
    return round(allowed * _sheet().time_allowed.time_limit.value)


def _sheet() -> _Jumping:
    return load("jumping", _Jumping)
