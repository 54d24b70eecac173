"""Where a horse lands and takes off, how far its stride will stretch, how fast it canters."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from diagram.source import Node
from diagram.trade.adjustments import Shift, adjustments, shift
from diagram.trade.figures import Figure, Range, data_file
from diagram.trade.horses import Horses
from diagram.trade.question import FenceFacts
from diagram.trade.reading import Reader, number
from diagram.trade.summands import room_at
from diagram.units import parse_length, parse_speed


@dataclass(frozen=True, slots=True)
class StrideStudy:
    """Strides measured between two fences: metres."""

    distance: Figure
    height: Figure
    flat: Figure
    strides: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class _Facts:
    grows_from: Figure
    grows_by: Figure
    kinds: dict[str, Shift]
    over_a_pole: Figure
    stretch: Range
    speeds: tuple[tuple[float, Figure], ...]
    time_allowed: str
    time_limit: Figure
    study: StrideStudy


def landing(fence: FenceFacts, horses: Horses) -> Figure:
    """Metres from the landing side of a fence to where the horse comes down, in canter."""
    return _ground("landing after", fence, horses)


def take_off(fence: FenceFacts, horses: Horses) -> Figure:
    """Metres from where the horse leaves the ground to the take-off side of a fence, in canter."""
    return _ground("take-off before", fence, horses)


def _ground(where: str, fence: FenceFacts, horses: Horses) -> Figure:
    """By height and kind, in proportion to the stride of the horses."""
    facts, share = _facts(), horses.stride_m / adjustments().low_fences.stride.value
    metres, source = room_at(fence, horses.size)
    higher = fence.height_m - facts.grows_from.value
    if higher > 0 and not fence.is_pole:
        metres += facts.grows_by.value * higher
        source = facts.grows_by.source
    kind = "a triple bar" if fence.group == "triple bar" else "a spread"
    note = ""
    if fence.group in ("spread", "triple bar"):
        more = facts.kinds[f"{where} {kind}"]
        metres += more.amount_m
        note = f"{where} {kind}: {more.source}"
    return Figure(metres * share, source, note)


def over_a_pole() -> Figure:
    """The share of a step on each side of a pole stepped over in walk or trot."""
    return _facts().over_a_pole


def stretch() -> Range:
    """How short and how long a canter stride may be, as shares of the normal one."""
    return _facts().stretch


def canter_speed(height_m: float) -> Figure:
    """Metres per second of the canter in which fences of a height are jumped."""
    return next(speed for upto, speed in _facts().speeds if height_m <= upto + 0.005)


def time_allowed(length_m: float, speed: float) -> int:
    """Seconds allowed for a course of `length_m` metres at `speed` metres per second.

    Length over speed [R11], rounded up to the full second (from memory, unverified). Raises
    ValueError for a speed of nothing.
    """
    if speed <= 0:
        raise ValueError("a course cannot be ridden at no speed")
    # A millionth, so that 72 s exactly are not made 73 by the last digit of a product.
    return math.ceil(length_m / speed - 1e-6)


def time_allowed_source() -> str:
    """Where the formula comes from."""
    return _facts().time_allowed


def time_limit(allowed: int) -> int:
    """Seconds after which a rider is eliminated."""
    return round(allowed * _facts().time_limit.value)


def double_study() -> StrideStudy:
    """Two strides measured inside a double, to hold reckoned ones against."""
    return _facts().study


@lru_cache(maxsize=1)
def _facts() -> _Facts:
    document = data_file("jumping")
    reader = Reader(document)
    names = (
        "above full height", "kinds", "step over a pole", "forward and waiting", "speeds",
        "time allowed", "studies",
    )  # fmt: skip
    top = reader.fields(document.root, "the file", names, names)
    more = reader.fields(top["above full height"], "above", ("from", "for each metre more"))
    allowed = reader.fields(
        top["time allowed"], "time allowed", ("source", "rounding", "time limit")
    )
    found = _Facts(
        grows_from=reader.figure(more["from"], "from"),
        grows_by=reader.figure(more["for each metre more"], "growth", number),
        kinds={key.text: shift(reader, node) for key, node in reader.entries(top["kinds"], "k")},
        over_a_pole=reader.figure(top["step over a pole"], "the step", number),
        stretch=reader.range(top["forward and waiting"], "the stretch", number),
        speeds=_speeds(reader, top["speeds"]),
        time_allowed=reader.text(allowed["source"]),
        time_limit=reader.figure(allowed["time limit"], "time limit", number),
        study=_study(reader, top["studies"]),
    )
    reader.finish()
    return found


def _speeds(reader: Reader, node: Node) -> tuple[tuple[float, Figure], ...]:
    """Upper height of each step with its speed, lowest first."""
    found = []
    for key, value in reader.entries(node, "speeds"):
        upto = math.inf if key.text == "above" else reader.measure(key, parse_length, 0.0)
        found.append((upto, reader.figure(value, key.text, parse_speed)))
    return tuple(found)


def _study(reader: Reader, node: Node) -> StrideStudy:
    name = "two strides in a double"
    keys = ("distance", "height", "stride on the flat", "first stride", "second stride")
    whole = reader.fields(node, "studies", (name,), (name,))
    found = reader.fields(whole[name], name, keys, keys)
    distance, height, flat, *strides = (reader.figure(found[key], key) for key in keys)
    return StrideStudy(distance, height, flat, tuple(strides))
