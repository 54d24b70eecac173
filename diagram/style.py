"""What a drawing looks like: colours, pens and type sizes, all in paper millimetres.

Nothing here knows what is drawn. A pen is never scaled: a rail line is as wide on a drawing at
1:100 as on one at 1:400. Stroke widths are steps of the ISO 128 series (0.13, 0.18, 0.25, 0.35,
0.5, 0.7 mm ..., each about 1.4 times the one before), so any two steps can be told apart.

The type itself is in `diagram.typeface`; its measures can be had from here as well, because
whoever chooses a type size wants to know how long the text gets.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from diagram.typeface import (
    ASCENDER,
    CAP_HEIGHT,
    DESCENDER,
    X_HEIGHT,
    Printable,
    Weight,
    printable,
    text_rise,
    text_width,
)

__all__ = [
    "ARENA_LETTER",
    "ARENA_RAIL",
    "ASCENDER",
    "CAP_HEIGHT",
    "CASING",
    "CENTRE_LINE",
    "DESCENDER",
    "DIMENSION",
    "FENCE_POLE",
    "FENCE_STANDARD",
    "FIGURE",
    "FILLER",
    "FRAME",
    "GREY",
    "GRID",
    "GROUND_LINE",
    "HEADING",
    "INK",
    "LABEL",
    "LEADER",
    "MM_PER_POINT",
    "OKABE_ITO",
    "OTHER_PHASE",
    "PALE",
    "PAPER",
    "PHASE_COLOURS",
    "PHASE_DASHES",
    "SMALL",
    "SMALLEST_TYPE",
    "SOFT_INK",
    "TEXT_COLOURS",
    "TITLE",
    "TRACK_WIDTH",
    "X_HEIGHT",
    "Cap",
    "Colour",
    "Pen",
    "Printable",
    "Weight",
    "contrast",
    "ink_on",
    "luminance",
    "phase_pen",
    "points",
    "printable",
    "text_rise",
    "text_width",
]

Colour = str
"""Six hexadecimal digits after a hash, red green blue in sRGB: ``#0072b2``."""

Cap = Literal["butt", "round"]
"""How a line ends: cut square at its last point, or with half a disc beyond it."""


@dataclass(frozen=True, slots=True)
class Pen:
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

TEXT_COLOURS: tuple[Colour, ...] = (INK, SOFT_INK)
"""The colours that words may have on paper."""

# --- Pens ------------------------------------------------------------------------------------

ARENA_RAIL = Pen(INK, 0.35)
ARENA_LETTER = Pen(SOFT_INK, 0.18)
GRID = Pen(GREY, 0.13)
CENTRE_LINE = Pen(GREY, 0.18, (4.0, 1.5, 0.7, 1.5))
FENCE_POLE = Pen(INK, 0.5)
FENCE_STANDARD = Pen(INK, 0.7)
FILLER = Pen(INK, 0.25)
GROUND_LINE = Pen(SOFT_INK, 0.35)
DIMENSION = Pen(SOFT_INK, 0.18)
LEADER = Pen(SOFT_INK, 0.13)
OTHER_PHASE = Pen(GREY, 0.35)
"""The track of phases that a drawing of one phase is not about."""
FRAME = Pen(INK, 0.25)

TRACK_WIDTH = 0.7
CASING = Pen(PAPER, 1.9, (), "round")
"""Drawn under a track: where two tracks cross, the lower one breaks 0.6 mm to each side."""

# --- Phases of a ride ------------------------------------------------------------------------

PHASE_COLOURS: tuple[Colour, ...] = tuple(
    OKABE_ITO[name]
    for name in ("blue", "reddish purple", "orange", "vermillion", "sky blue", "bluish green")
)
"""In the order in which neighbours, the last beside the first too, differ most as greys.

Black is kept for fences, and yellow does not show as a thin line on white paper.
"""

PHASE_DASHES: tuple[tuple[float, ...], ...] = (
    (),
    (4.5, 1.5),
    (0.7, 1.1),
    (4.0, 1.2, 0.7, 1.2),
    (2.2, 1.4),
    (4.0, 1.1, 0.7, 1.1, 0.7, 1.1),
)
"""Solid, long dash, dots, dash-dot, short dash, dash-dot-dot."""


def phase_pen(index: int) -> Pen:
    """The pen of phase `index` of a ride, counted from 0. Raises ValueError below 0.

    The first six phases have a colour and a dash pattern of their own. From the seventh on the
    colours come round again in the same order, each with the dash pattern one further along
    than the time before, so that no two of the first 36 phases are drawn alike.
    """
    if index < 0:
        raise ValueError(f"phases are counted from 0, not {index}")
    rounds, place = divmod(index, len(PHASE_COLOURS))
    dash = PHASE_DASHES[(place + rounds) % len(PHASE_DASHES)]
    return Pen(PHASE_COLOURS[place], TRACK_WIDTH, dash)


# --- Type ------------------------------------------------------------------------------------

MM_PER_POINT = 25.4 / 72


def points(size: float) -> float:
    """Millimetres of a type size given in points of 1/72 inch."""
    return size * MM_PER_POINT


SMALLEST_TYPE = points(7)
"""Nothing is set smaller: the ring crew reads at arm's length, in wind and poor light."""
SMALL = points(7)
LABEL = points(8)
FIGURE = points(9)
HEADING = points(11)
TITLE = points(15)


def luminance(colour: Colour) -> float:
    """Relative luminance from 0 (black) to 1 (white), as WCAG 2.2 defines it."""
    red, green, blue = (_linear(int(colour[i : i + 2], 16) / 255) for i in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(channel: float) -> float:
    # WCAG 2.2 prints the threshold as 0.04045; the older 0.03928 gives the same 8-bit colours.
    return channel / 12.92 if channel <= 0.04045 else float(((channel + 0.055) / 1.055) ** 2.4)


def contrast(one: Colour, other: Colour) -> float:
    """Contrast ratio from 1 to 21, as WCAG 2.2 defines it."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def ink_on(background: Colour) -> Colour:
    """INK or PAPER, whichever reads better on `background`; never below 4.5:1."""
    return max((INK, PAPER), key=lambda colour: contrast(colour, background))
