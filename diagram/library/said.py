"""The figures of an entry in words, as lists, pages and prints say them."""

from __future__ import annotations

import math

from diagram.library.entry import Entry
from diagram.library.fits import Rectangle
from diagram.plain import counted
from diagram.units import FOOT, Units, feet_inches

NO_GROUP = "other exercises"


def group_title(group: str) -> str:
    """A group as a heading: ``Bending lines``."""
    word = group or NO_GROUP
    return word[:1].upper() + word[1:]


def height(metres: float, units: Units) -> str:
    """``2'6"`` or ``76 cm``; ``poles`` for nothing."""
    if metres == 0.0:
        return "poles"
    return f"{metres * 100:.0f} cm" if units == "metres" else feet_inches(metres)


def heights(entry: Entry, units: Units) -> str:
    """``2'6"``, ``2' to 2'9"``, ``poles only``."""
    low, high = entry.heights
    if high == 0.0:
        return "poles only"
    if abs(high - low) < 0.01:
        return height(high, units)
    return f"{height(low, units)} to {height(high, units)}"


def ring(rectangle: Rectangle, units: Units) -> str:
    """``246' × 108'``, rounded up to the foot, or ``75 × 34.5 m``; the longer side first."""
    long, wide = max(rectangle), min(rectangle)
    if units == "metres":
        return f"{long:g} × {wide:g} m"
    return f"{math.ceil(long / FOOT - 0.05)}' × {math.ceil(wide / FOOT - 0.05)}'"


def smallest_ring(entry: Entry, units: Units) -> str:
    """The ring it needs at least, as drawn; the one of least ground where there are several."""
    return ring(min(entry.fits, key=lambda r: (r[0] * r[1], r)), units)


def carried(entry: Entry) -> str:
    """``19 poles, 7 pairs``: what most of the carrying is."""
    pairs = f", {counted(entry.pieces.pairs, 'pair')}" if entry.pieces.pairs else ""
    return counted(entry.pieces.poles, "pole") + pairs


def minutes(entry: Entry) -> str:
    """``45 min``; empty where the exercise does not say."""
    return f"{entry.minutes} min" if entry.minutes else ""


def facts_line(entry: Entry, units: Units) -> str:
    """The figures of a list in one line."""
    parts = [
        heights(entry, units),
        counted(entry.jumps, "jump") if entry.jumps else "",
        minutes(entry),
        carried(entry),
        smallest_ring(entry, units),
    ]
    return ", ".join(part for part in parts if part)
