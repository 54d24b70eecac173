"""A scene to DXF, in metres on the ground: for whoever draws the yard or sets out by instrument.

The arena's origin is that of the file, x runs along its long side and y to the left of it,
whichever way the drawing lies on paper; a drawing that is not to scale is in mm of paper. Marks
lie on layers with the words of the trade. White areas, which only hide what is under them on
paper, are left out: nothing is hidden in a drawing that is measured.
"""

from __future__ import annotations

import io
import math
from typing import TYPE_CHECKING, Any, assert_never

from diagram.scene import Disc, Fill, Group, Item, Point, Scene, Stroke, Text
from diagram.style import PAPER, Colour, Pen
from diagram.typeface import settable

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

LAYERS = {
    "arena": "ARENA",
    "fences": "FENCES",
    "track": "TRACK",
    "other-ways": "TRACK",
    "strides": "STRIDES",
    "bars": "SIGNS",
    "start": "SIGNS",
    "labels": "SIGNS",
    "planned": "FENCES PLANNED",
}
"""The layer of each part of a drawing; sides and gate belong to the arena, the rest to the
sheet."""
SHEET, ARENA = "SHEET", "ARENA"
METRES, MILLIMETRES = 6, 4
"""Units of a drawing as DXF numbers them ($INSUNITS)."""
LINE_WEIGHTS = (13, 18, 25, 30, 35, 50, 70, 100, 120, 140, 200)
"""Hundredths of a mm: those of the format that pens of the drawings come near to."""
MIDDLE = 0.7
"""Of the type size: how high capitals are; DXF sizes text by its capitals."""


def scene_bytes(scene: Scene) -> bytes:
    """A DXF file of the format of 2010, the same bytes for the same scene.

    Raises ValueError for a scene with a coordinate that is not finite.
    """
    from ezdxf import options  # type: ignore[attr-defined]
    from ezdxf.filemanagement import new

    fixed = options.write_fixed_meta_data_for_testing
    # No date and no random number in a file: the same drawing is the same bytes.
    options.write_fixed_meta_data_for_testing = True
    try:
        drawing = new("R2010", setup=False)
        _Writer(scene, drawing).write()
        out = io.StringIO()
        drawing.write(out)
    finally:
        options.write_fixed_meta_data_for_testing = fixed
    return out.getvalue().encode("utf-8")


def _finite(*values: float) -> None:
    for value in values:
        if not math.isfinite(value):
            raise ValueError(f"{value} is not a place or size on paper")


class _Writer:
    """Takes marks one after another into the model space of a drawing."""

    def __init__(self, scene: Scene, drawing: Drawing) -> None:
        self.scene, self.drawing = scene, drawing
        self.space: Modelspace = drawing.modelspace()
        ground = scene.origin is not None and scene.scale_denominator is not None
        self.k = scene.scale_denominator / 1000 if ground and scene.scale_denominator else 1.0
        self.place = self._ground if ground else self._paper
        drawing.header["$INSUNITS"] = METRES if ground else MILLIMETRES
        drawing.header["$MEASUREMENT"] = 1
        drawing.styles.add("SHEET", font="SourceSansPro-Regular.ttf")

    def write(self) -> None:
        for item in self.scene.items:
            self._take(item, _layer_of(item))

    def _ground(self, point: Point) -> Point:
        """A place on paper as metres in the arena."""
        assert self.scene.origin is not None
        right = (point[0] - self.scene.origin[0]) * self.k
        up = (self.scene.origin[1] - point[1]) * self.k
        return (up, -right) if self.scene.turned else (right, up)

    def _paper(self, point: Point) -> Point:
        return point[0], self.scene.height - point[1]

    def _take(self, item: Item, layer: str) -> None:
        match item:
            case Stroke(points, pen, closed):
                self._line(points, pen, closed, layer)
            case Fill(points, colour, pen):
                self._area(points, colour, pen, layer)
            case Disc():
                self._disc(item, layer)
            case Text():
                self._text(item, layer)
            case Group(_, children):
                for child in children:
                    self._take(child, layer)
            case _:
                assert_never(item)

    def _look(self, colour: Colour, layer: str, pen: Pen | None = None) -> dict[str, Any]:
        """Layer, colour, line weight and dashes of a mark."""
        if layer not in self.drawing.layers:
            self.drawing.layers.add(layer)
        look: dict[str, Any] = {"layer": layer, "true_color": int(colour[1:], 16)}
        if pen is not None:
            width = round(pen.width * 100)
            look["lineweight"] = min(LINE_WEIGHTS, key=lambda one: abs(one - width))
            if pen.dash:
                look["linetype"] = self._dashes(pen)
        return look

    def _dashes(self, pen: Pen) -> str:
        """A line type for the dashes of a pen, in the units of the drawing."""
        lengths = [length * self.k for length in pen.dash]
        name = "DASH " + " ".join(f"{length:.3f}" for length in lengths)
        if name not in self.drawing.linetypes:
            signed = [length if n % 2 == 0 else -length for n, length in enumerate(lengths)]
            self.drawing.linetypes.add(name, pattern=[sum(lengths), *signed])
        return name

    def _line(self, points: tuple[Point, ...], pen: Pen, closed: bool, layer: str) -> None:
        _finite(pen.width, *(value for point in points for value in point))
        if pen.colour == PAPER or len(points) < 2:
            return
        places = [self.place(point) for point in points]
        self.space.add_lwpolyline(
            places, close=closed, dxfattribs=self._look(pen.colour, layer, pen)
        )

    def _area(self, points: tuple[Point, ...], colour: Colour, pen: Pen | None, layer: str) -> None:
        _finite(*(value for point in points for value in point))
        if len(points) < 3:
            return
        places = [self.place(point) for point in points]
        if colour != PAPER:
            hatch = self.space.add_hatch(dxfattribs=self._look(colour, layer))
            hatch.paths.add_polyline_path(places, is_closed=True)
        if pen:
            self._line(points, pen, True, layer)

    def _disc(self, disc: Disc, layer: str) -> None:
        _finite(disc.radius, *disc.centre)
        centre, radius = self.place(disc.centre), disc.radius * self.k
        if disc.fill and disc.fill != PAPER:
            hatch = self.space.add_hatch(dxfattribs=self._look(disc.fill, layer))
            hatch.paths.add_edge_path().add_arc(centre, radius, 0, 360)
        if disc.pen:
            look = self._look(disc.pen.colour, layer, disc.pen)
            self.space.add_circle(centre, radius, dxfattribs=look)

    def _text(self, text: Text, layer: str) -> None:
        _finite(text.size, *text.at)
        words = settable(text.text).text
        if not words.strip():
            return
        # White words stand on black ground, which is a hatch: they stay white.
        look = self._look(text.colour, layer)
        turn = text.angle + (90.0 if self.scene.turned and self.place == self._ground else 0.0)
        look |= {"height": text.size * MIDDLE * self.k, "rotation": turn, "style": "SHEET"}
        mark = self.space.add_text(words, dxfattribs=look)
        from ezdxf.enums import TextEntityAlignment as At

        ends: dict[str, At] = {"start": At.LEFT, "middle": At.CENTER, "end": At.RIGHT}
        mark.set_placement(self.place(text.at), align=ends[text.anchor])


def _layer_of(item: Item) -> str:
    if not isinstance(item, Group):
        return SHEET
    if item.name.startswith(("side-",)):
        return ARENA
    return LAYERS.get(item.name, SHEET)
