"""A drawing for colouring in: black outlines on white, the track as an empty ribbon."""

from __future__ import annotations

from msgspec.structs import replace

from diagram.scene import Disc, Fill, Group, Item, Scene, Stroke
from diagram.style import FILLER, INK, PALE, PAPER, PHASE_COLOURS, Pen

RIBBON, INSIDE = 2.4, 2.0
"""Millimetres from outer edge to outer edge of the ribbon, and of the white inside it."""
PATTERN, RIM_WIDTH = 0.5, 0.5
"""Width of the pattern that tells the phases apart in the ribbon, and of the rim of a disc."""
THIN = Pen(INK, 0.25)


def for_colouring(scene: Scene) -> Scene:
    """The same drawing with nothing filled but words, dimensions and the scale bar."""
    items = tuple(_plain(item) for item in scene.items)
    return replace(scene, items=items)


def _plain(item: Item) -> Item:
    match item:
        case Group(name, children, _) if name.startswith("leg-"):
            # All edges before all insides, or the parts of one leg would part the ribbon.
            ribbons = [c for c in children if isinstance(c, Stroke) and _coloured(c.pen.colour)]
            others = [_plain(c) for c in children if c not in ribbons and not _white(c)]
            edges = [Stroke(r.points, Pen(INK, RIBBON), sized=r.sized) for r in ribbons]
            insides = [Stroke(r.points, Pen(PAPER, INSIDE), sized=r.sized) for r in ribbons]
            marks = [
                Stroke(r.points, Pen(INK, PATTERN, r.pen.dash, r.pen.cap), sized=r.sized)
                for r in ribbons
                if r.pen.dash
            ]
            return replace(item, children=(*edges, *insides, *marks, *others))
        case Group(name, children, _) if name.startswith("lead-"):
            return replace(item, children=tuple(map(_black, children)))
        case Group(_, children, _):
            return replace(item, children=tuple(_plain(child) for child in children))
        case Stroke(_, pen) if _coloured(pen.colour):
            return replace(item, pen=replace(pen, colour=INK))
        case Fill(_, colour, _) if _coloured(colour) or colour == PALE:
            return replace(item, colour=PAPER, pen=FILLER if colour == PALE else THIN)
        case Disc(_, _, _, pen) if pen is not None and _coloured(pen.colour):
            return replace(item, pen=replace(pen, colour=INK, width=RIM_WIDTH))
        case _:
            return item


def _black(item: Item) -> Item:
    """A lead square as it is where a ride has one phase alone."""
    if not isinstance(item, Fill):
        return item
    colour = INK if _coloured(item.colour) else item.colour
    return replace(item, colour=colour, pen=item.pen and replace(item.pen, colour=INK))


def _coloured(colour: str) -> bool:
    return colour in PHASE_COLOURS


def _white(item: Item) -> bool:
    return isinstance(item, Stroke) and item.pen.colour == PAPER
