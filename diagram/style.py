"""What a drawing looks like: colours, pens and type sizes, all in paper millimetres.

Nothing here knows what is drawn. A pen is never scaled: a rail line is as wide on a drawing at
1:100 as on one at 1:400. Stroke widths are steps of the ISO 128 series (0.13, 0.18, 0.25, 0.35,
0.5, 0.7 mm ..., each about 1.4 times the one before), so any two steps can be told apart.

The type itself is in `diagram.typeface`; its measures can be had from here as well, because
whoever chooses a type size wants to know how long the text gets.
"""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct

from diagram.typeface import Printable as Printable
from diagram.typeface import Weight as Weight
from diagram.typeface import settable as settable
from diagram.typeface import text_rise as text_rise
from diagram.typeface import text_width as text_width

Colour = str
"""Six hexadecimal digits after a hash, red green blue in sRGB: ``#0072b2``."""

Cap = Literal["butt", "round"]
"""How a line ends: cut square at its last point, or with half a disc beyond it."""


class Pen(Struct, frozen=True):
    """A line's colour, width in mm, dashes (mm drawn, mm left out, ...; none = solid), ends.

    Corners are always rounded, in every kind of file.
    """

    colour: Colour
    width: float
    dash: tuple[float, ...] = ()
    cap: Cap = "butt"


# --- Colours ---------------------------------------------------------------------------------

OKABE_ITO: dict[str, Colour] = {
    "orange": "#e69f00",
    "sky blue": "#56b4e9",
    "bluish green": "#009e73",
    "yellow": "#f0e442",
    "blue": "#0072b2",
    "vermillion": "#d55e00",
    "reddish purple": "#cc79a7",
    "black": "#000000",
}
"""M. Okabe and K. Ito, Color Universal Design (2002, revised 2008), as printed in
B. Wong, "Points of view: Color blindness", Nature Methods 8:441 (2011)."""

PAPER: Colour = "#ffffff"
INK: Colour = "#000000"
"""Fences, names, figures: whatever must survive a photocopy of a photocopy."""
SOFT_INK: Colour = "#595959"
"""Words and lines that stand back: still 7:1 against paper."""
GREY: Colour = "#a6a6a6"
"""Thin lines only, never words."""
PALE: Colour = "#d9d9d9"
"""Areas: what fills a filler or the ground outside the rail."""


# --- Pens ------------------------------------------------------------------------------------

ARENA_RAIL = Pen(INK, 0.7)
FENCE_POLE = Pen(INK, 1.2)
FENCE_STANDARD = Pen(INK, 1.0)
FILLER = Pen(INK, 0.25)
GROUND_LINE = Pen(INK, 0.35)
OTHER_PHASE = Pen(GREY, 0.35)
"""The track of phases that a drawing of one phase is not about."""
FRAME = Pen(INK, 0.25)

TICK = Pen(INK, 0.35)
BAR = Pen(INK, 1.0)
RULE, THIN_RULE = Pen(INK, 0.5), Pen(INK, 0.25)
TRACK_WIDTH = 1.0
BRIDGE = 3.4
"""Millimetres across a bridge: the track that passes under it is broken so wide."""

# --- Phases of a ride ------------------------------------------------------------------------

PHASE_COLOURS: tuple[Colour, ...] = ("#00538a", "#b8450a", "#262626")
"""Blue, rust and nearly black: at least 4.7:1 against paper, for every kind of colour vision."""

PHASE_DASHES: tuple[tuple[float, ...], ...] = (
    (),
    (4.6, 2.0),
    (0.01, 2.29),
    (4.6, 1.75, 0.01, 1.75),
)
"""Whole, dashes, round dots, dash and dot. The pattern carries the phase, the colour helps."""
DOT_WIDTH = 1.25
RIM = 1.0
"""Millimetres: how wide a dot of a track is, and the rim of a disc."""


def phase_pen(index: int) -> Pen:
    """The pen of phase `index` of a ride, counted from 0. Raises ValueError below 0.

    There are three colours and four patterns, taken in turn: no two of the first twelve phases
    are drawn alike, and no two of the first four in one pattern.
    """
    if index < 0:
        raise ValueError(f"phases are counted from 0, not {index}")
    dash = PHASE_DASHES[index % len(PHASE_DASHES)]
    colour = PHASE_COLOURS[index % len(PHASE_COLOURS)]
    dotted = bool(dash) and min(dash) < RIM
    only_dots = len(dash) == 2 and dotted
    return Pen(colour, DOT_WIDTH if only_dots else TRACK_WIDTH, dash, "round" if dotted else "butt")


def rim_pen(index: int, radius: float) -> Pen:
    """The rim of a disc of `radius` mm, in the pattern of the phase, closed without a crumb."""
    pen = phase_pen(index)
    round_it = 2 * math.pi * radius
    match index % len(PHASE_DASHES):
        case 0:
            return Pen(pen.colour, RIM)
        case 1:
            return Pen(pen.colour, RIM, (round_it / 8 * 0.64, round_it / 8 * 0.36))
        case 2:
            return Pen(pen.colour, RIM, (0.01, round_it / 14 - 0.01), "round")
        case _:
            part = round_it / 5
            return Pen(pen.colour, RIM, (part * 0.4, part * 0.3, 0.01, part * 0.3 - 0.01), "round")


# --- Type ------------------------------------------------------------------------------------

MM_PER_POINT = 25.4 / 72


def points(size: float) -> float:
    """Millimetres of a type size given in points of 1/72 inch."""
    return size * MM_PER_POINT


CALLED, LEAD_LETTER, COUNTED, SHEET_TITLE = points(14), points(13.5), points(14.5), points(20)
"""Read walking, at arm's length: jump figures, lead letters, stride counts, the title."""
BOARD, FLAG = points(12), points(11)
"""Read standing at the rail: purpose, ride in words, names; flags and counts of turns."""
HAND, HAND_LARGE, NUMERAL = points(10.5), points(11.5), points(10)
"""Read in the hand: everything to teach from; the numerals of strides."""
LOOKED_UP, SIDE_NAME = points(8.5), points(9)
"""Read at leisure: cautions, imprint, key, scale; the names of the arena's sides."""

SMALL = points(7)
LABEL = points(8)
FIGURE = points(9)
HEADING = points(11)
TITLE = points(15)
