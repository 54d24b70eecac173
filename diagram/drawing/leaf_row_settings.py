"""How loosely or tightly the rows of the builder's leaf are set."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from diagram.style import points


class RowSetting(Struct, frozen=True):
    """How tight rows are set: heights in mm and sizes of type, from loose to tight. `end` is the
    right edge of the figures, `view` the least height of the side view. `short` puts the pieces
    beside the name and both feet of a fence on one line; `small_before` sets the small figures of
    the other unit before the large ones and not under them. `pressed` leaves out what is said
    elsewhere as well and puts two readings of one tape on one line, `bare` the pieces that have no
    room beside the name. `top` is what is left free above the name, `foot` below the tapes of a row
    without pieces."""

    head: float
    line: float
    square: float
    name: float
    kind: float
    figure: float
    gap: float
    end: float
    short: bool
    view: float = 0.0
    small_before: bool = False
    pressed: bool = False
    bare: bool = False
    foot: float = 0.8
    top: float = 1.2


LOOSE = RowSetting(
    9.6, 5.4, 7.0, points(19), points(12), points(16), 3.0, 86.0, short=False, view=20.0
)
CLOSE = RowSetting(
    8.2, 5.4, 7.0, points(19), points(12), points(16), 3.0, 86.0, short=True, view=20.0
)
TIGHT = RowSetting(
    6.0, 5.2, 5.4, points(13), points(10.5), points(15), 2.0, 90.0, short=True, small_before=True
)
TIGHTER = RowSetting(
    5.8, 4.8, 5.0, points(12), points(10.5), points(15), 2.0, 90.0, short=True, small_before=True
)
TIGHTEST = RowSetting(
    5.3, 4.35, 4.6, points(12), points(10.5), points(14), 1.6, 91.0, short=True, small_before=True
)
PRESSED = replace(TIGHTEST, pressed=True)
LOW = replace(PRESSED, head=5.1, line=4.1, square=4.2, gap=1.4, end=92.0, foot=0.2, top=0.7)
"""Figures of 14 points are 3.3 mm high: lines as low as still part them."""
ROW_SETTINGS = (
    LOOSE, CLOSE, TIGHT, TIGHTER, TIGHTEST, PRESSED, LOW, replace(LOW, bare=True),
)  # fmt: skip
"""From loose to tight: the first in which all rows fit is taken."""
