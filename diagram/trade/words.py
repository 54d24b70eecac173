"""The words that stride tables, fences and horses share."""

from __future__ import annotations

from typing import Literal

Size = Literal["horse", "large pony", "medium pony", "small pony"]
Experience = Literal["green", "trained", "schooled"]
Gait = Literal["halt", "walk", "trot", "canter"]
Group = Literal[
    "vertical", "spread", "triple bar", "cross-rail", "pole", "raised pole", "placing pole"
]
Units = Literal["feet", "metres"]
Slope = Literal["level", "uphill", "downhill"]
GateWay = Literal["across the gate", "towards the gate", "away from the gate"]

SIZES: tuple[Size, ...] = ("horse", "large pony", "medium pony", "small pony")
EXPERIENCES: tuple[Experience, ...] = ("green", "trained", "schooled")
GAITS: tuple[Gait, ...] = ("halt", "walk", "trot", "canter")
UNITS: tuple[Units, ...] = ("feet", "metres")

UPRIGHT: tuple[Group, ...] = ("vertical", "cross-rail")
WIDE: tuple[Group, ...] = ("spread", "triple bar")
FENCES: tuple[Group, ...] = UPRIGHT + WIDE
POLES: tuple[Group, ...] = ("pole", "raised pole", "placing pole")
GROUPS: tuple[Group, ...] = FENCES + POLES

SHORTEST_STRIDE, LONGEST_STRIDE = 0.5, 10.0
"""Metres. A canter stride outside these is a slip of the pen."""

_COUNTS = (
    "no", "one", "two", "three", "four", "five", "six",
    "seven", "eight", "nine", "ten", "eleven", "twelve",
)  # fmt: skip


def count_word(strides: int) -> str:
    """``five`` for 5; figures above twelve."""
    return _COUNTS[strides] if strides < len(_COUNTS) else str(strides)


def call(strides: int) -> str:
    """What a trainer calls a distance: ``bounce``, ``five``."""
    return count_word(strides) if strides else "bounce"
