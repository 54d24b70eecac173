"""Fences, questions and a reader of feet for the tests of the trade's figures.

Feet and inches are read on their own here, not through the program, so that its reading is
tested too.
"""

from __future__ import annotations

import re

from diagram.trade.distances import Distance, FenceFacts, Horses, distance
from diagram.trade.horses import horses_from_size
from diagram.trade.stride_tables import load_table

FOOT = 0.3048
"""Metres, exact: international foot of 1959."""

EXACT = 1e-9
"""Metres. For figures printed in feet and inches, which convert exactly."""

WHOLE_CM = 0.005
"""Metres. For figures printed in whole centimetres: half of one."""

VERTICAL = FenceFacts("vertical", 1.0)
OXER = FenceFacts("spread", 1.0, 1.0)
CLASSES = {
    "horse": 1.0,
    "large pony": 33 * 0.0254,
    "medium pony": 30 * 0.0254,
    "small pony": 27 * 0.0254,
}
"""Metres. Fences that the figures are for: 1 m, and 2'9", 2'6", 2'3" for ponies [S67]."""
TRIPLE = FenceFacts("triple bar", 1.0, 1.4)
CROSS = FenceFacts("cross-rail", 0.4)
POLE = FenceFacts("pole")
PLACING = FenceFacts("placing pole")
RAISED = FenceFacts("raised pole", 0.15)


def feet(text: str) -> float:
    """Metres of ``61'3"``."""
    match = re.fullmatch(r"(\d+)'(?:(\d+)\")?", text)
    assert match, text
    return int(match[1]) * FOOT + int(match[2] or 0) * FOOT / 12


def ask(
    strides: int,
    table: str = "us chart",
    size: str = "horse",
    stride_m: float | None = None,
    first: FenceFacts | None = None,
    second: FenceFacts | None = None,
    **more: object,
) -> Distance:
    """A distance of a table by name, for its normal horses unless a stride is given.

    Where no fence is said, it is an upright of the height that the size jumps in its classes.
    """
    usual = FenceFacts("vertical", CLASSES.get(size, 1.0))
    first, second = first or usual, second or usual
    loaded = load_table(table)
    horses = horses_from_size(size, loaded)
    if stride_m is not None:
        horses = Horses(size, stride_m)
    return distance(strides, table=loaded, horses=horses, first=first, second=second, **more)


def total(found: Distance) -> float:
    """The parts added up."""
    return sum(part.amount_m for part in found.parts)
