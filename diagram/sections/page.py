"""The sheet of paper that a section is laid out for."""

from __future__ import annotations

from msgspec import Struct

from diagram.units import Units

PAPERS = {
    "A4": (210.0, 297.0),
    "Letter": (215.9, 279.4),
    "A3": (297.0, 420.0),
    "Tabloid": (279.4, 431.8),
}
"""Width and height in mm, upright: ISO 216 and ANSI/ASME Y14.1."""

MARGIN = 10.0
"""Millimetres: what home printers cannot reach, and a thumb."""

FOOT_HEIGHT = 6.0
"""Millimetres kept for the foot of each page."""


class Page(Struct, frozen=True):
    """A sheet in the way it is held. Millimetres; `units` are those of lengths on the ground."""

    paper: str
    width_mm: float
    height_mm: float
    margin: float
    units: Units

    @property
    def inner_width(self) -> float:
        """Millimetres between the side margins."""
        return self.width_mm - 2 * self.margin

    @property
    def inner_height(self) -> float:
        """Millimetres between the upper margin and the foot of the page."""
        return self.height_mm - 2 * self.margin - FOOT_HEIGHT


def page_of(paper: str, landscape: bool, units: Units) -> Page:
    """A sheet of one of PAPERS, upright or on its side. Raises ValueError for another paper."""
    if paper not in PAPERS:
        raise ValueError(f'"{paper}" is no paper known here; there are {", ".join(PAPERS)}')
    short, long = PAPERS[paper]
    width, height = (long, short) if landscape else (short, long)
    return Page(paper, width, height, MARGIN, units)
