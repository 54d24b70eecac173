"""A finished drawing as a list of marks in paper millimetres: what every writer translates.

There are five kinds of item and no more: Stroke, Fill, Disc, Text and Group. All decisions are
made before a scene exists; a writer only translates. Items are painted in their order, later
ones over earlier ones.

The origin is the top left corner of the drawing, x runs to the right and y DOWN, as on a
screen. Angles are degrees anticlockwise as seen on the paper.

Each mark says whether it is ground-size (its points are places in the arena, so it grows with
the scale of the drawing) or paper-size (a label or an arrowhead, as large at any scale). The
width of a pen is always paper-size.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Literal, assert_never

from msgspec import Struct
from msgspec.structs import replace

from diagram.style import INK, Colour, Pen
from diagram.typeface import Weight, text_rise, text_width

Point = tuple[float, float]
Sized = Literal["ground", "paper"]
Anchor = Literal["start", "middle", "end"]


class Box(Struct, frozen=True):
    """A rectangle on the paper, edges in mm. A box without content is EMPTY."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Millimetres from left to right; 0 for EMPTY."""
        return max(0.0, self.right - self.left)

    @property
    def height(self) -> float:
        """Millimetres from top to bottom; 0 for EMPTY."""
        return max(0.0, self.bottom - self.top)

    def grown(self, margin: float) -> Box:
        """The box with `margin` mm added on each side."""
        return Box(self.left - margin, self.top - margin, self.right + margin, self.bottom + margin)

    def nearest(self, point: Point) -> Point:
        """The place of the box nearest to `point`: itself where it lies inside."""
        return (
            min(max(point[0], self.left), self.right), min(max(point[1], self.top), self.bottom),
        )  # fmt: skip

    def overlaps(self, other: Box) -> bool:
        """Whether the boxes share an area; touching edges do not count."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


EMPTY = Box(math.inf, math.inf, -math.inf, -math.inf)


def box_around(points: Iterable[Point]) -> Box:
    """The smallest box around `points`; EMPTY for none."""
    places = list(points)
    if not places:
        return EMPTY
    xs, ys = zip(*places, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def union(boxes: Iterable[Box]) -> Box:
    """The smallest box around all `boxes`; EMPTY for none."""
    every = [EMPTY, *boxes]
    return Box(
        min(box.left for box in every),
        min(box.top for box in every),
        max(box.right for box in every),
        max(box.bottom for box in every),
    )


class Stroke(Struct, frozen=True):
    """A line through `points`, back to the first if `closed`."""

    points: tuple[Point, ...]
    pen: Pen
    closed: bool = False
    sized: Sized = "paper"

    def bbox(self) -> Box:
        """The box around the line, its width included."""
        return box_around(self.points).grown(self.pen.width / 2)


class Fill(Struct, frozen=True):
    """The area inside `points`, outlined with `pen` if there is one."""

    points: tuple[Point, ...]
    colour: Colour
    pen: Pen | None = None
    sized: Sized = "paper"

    def bbox(self) -> Box:
        """The box around the area, its outline included."""
        return box_around(self.points).grown(_reach(self.pen))


class Disc(Struct, frozen=True):
    """A full circle of `radius` mm, filled if `fill` is a colour, outlined if there is a pen."""

    centre: Point
    radius: float
    fill: Colour | None = INK
    pen: Pen | None = None
    sized: Sized = "paper"

    def bbox(self) -> Box:
        """The box around the circle, its outline included."""
        return box_around([self.centre]).grown(self.radius + _reach(self.pen))


class Text(Struct, frozen=True):
    """One line of text, `size` mm of type, starting at (centred on, ending at) `at`.

    `at` lies on the baseline, and the text turns about it by `angle` degrees anticlockwise.
    `spacing` mm are added after every character but the last.
    """

    at: Point
    text: str
    size: float
    weight: Weight = "regular"
    anchor: Anchor = "start"
    angle: float = 0.0
    colour: Colour = INK
    sized: Sized = "paper"
    spacing: float = 0.0

    @property
    def width(self) -> float:
        """Millimetres of the advance of the whole text."""
        return text_width(self.text, self.size, self.weight) + self.spacing * max(
            len(self.text) - 1, 0
        )

    def offset(self) -> float:
        """Millimetres from `at` to the start of the text, along the baseline; 0 or less."""
        share = {"start": 0.0, "middle": -0.5, "end": -1.0}[self.anchor]
        return share * self.width

    def bbox(self) -> Box:
        """The box around the advance and the ink of the text, turned as it is drawn."""
        start = self.offset()
        end = start + self.width
        low, high = text_rise(self.text, self.size, self.weight)
        turn = math.radians(self.angle)
        along, across = math.cos(turn), math.sin(turn)
        x, y = self.at
        corners = [(u, v) for u in (start, end) for v in (low, high)]
        return box_around(
            (x + u * along - v * across, y - u * across - v * along) for u, v in corners
        )


class Group(Struct, frozen=True):
    """Items that belong together; `title` says in words what they are, where that helps."""

    name: str
    children: tuple[Item, ...]
    title: str = ""

    def bbox(self) -> Box:
        """The box around all children; EMPTY if there are none."""
        return union(child.bbox() for child in self.children)


Item = Stroke | Fill | Disc | Text | Group


def _reach(pen: Pen | None) -> float:
    return pen.width / 2 if pen else 0.0


def moved(item: Item, dx: float, dy: float) -> Item:
    """`item` shifted by `dx` mm to the right and `dy` mm down."""
    match item:
        # Made anew rather than with replace(), which takes five times as long: a page is moved.
        case Stroke(points, pen, closed, sized):
            return Stroke(tuple((x + dx, y + dy) for x, y in points), pen, closed, sized)
        case Fill(points, colour, outline, sized):
            return Fill(tuple((x + dx, y + dy) for x, y in points), colour, outline, sized)
        case Disc((x, y), radius, fill, outline, sized):
            return Disc((x + dx, y + dy), radius, fill, outline, sized)
        case Text((x, y), text, size, weight, anchor, angle, ink, sized, spacing):
            at = (x + dx, y + dy)
            return Text(at, text, size, weight, anchor, angle, ink, sized, spacing)
        case Group(name, children, title):
            return Group(name, tuple(moved(child, dx, dy) for child in children), title)
        case _:
            assert_never(item)


def enlarged(item: Item, factor: float) -> Item:
    """`item` with all its lengths `factor` times as large: places, pens and type."""
    match item:
        case Stroke(points, pen):
            return replace(item, points=_times(points, factor), pen=_pen_times(pen, factor))
        case Fill(points, _, pen):
            wide = _pen_times(pen, factor) if pen else None
            return replace(item, points=_times(points, factor), pen=wide)
        case Disc((x, y), radius, _, pen):
            wide = _pen_times(pen, factor) if pen else None
            return replace(item, centre=(x * factor, y * factor), radius=radius * factor, pen=wide)
        case Text((x, y)):
            return replace(
                item,
                at=(x * factor, y * factor),
                size=item.size * factor,
                spacing=item.spacing * factor,
            )
        case Group(_, children):
            return replace(item, children=tuple(enlarged(child, factor) for child in children))
        case _:
            assert_never(item)


def _times(points: tuple[Point, ...], factor: float) -> tuple[Point, ...]:
    return tuple((x * factor, y * factor) for x, y in points)


def _pen_times(pen: Pen, factor: float) -> Pen:
    dash = tuple(length * factor for length in pen.dash)
    return replace(pen, width=pen.width * factor, dash=dash)


def walk(items: Iterable[Item]) -> Iterator[Item]:
    """Each item in painting order, a group before its children."""
    for item in items:
        yield item
        if isinstance(item, Group):
            yield from walk(item.children)


class Scene(Struct, frozen=True):
    """A drawing of `width` by `height` mm; whatever lies beyond its edges is cut off.

    `title` and `description` are for those who hear the drawing instead of seeing it, in
    `language` (a tag such as ``en`` or ``pl``). `scale_denominator` is 200 for 1:200, and None
    if the drawing is not to scale. `origin` is where on the paper the origin of the arena lies,
    whose x axis runs to the right, or up where the drawing is `turned`; None for a sheet of
    several drawings or of none.
    """

    width: float
    height: float
    items: tuple[Item, ...]
    title: str = ""
    description: str = ""
    language: str = "en"
    scale_denominator: float | None = None
    origin: Point | None = None
    turned: bool = False

    def bbox(self) -> Box:
        """The box around everything drawn, which may reach beyond the edges."""
        return union(item.bbox() for item in self.items)

    def moved(self, dx: float, dy: float) -> Scene:
        """The same drawing, its items shifted to the right and down by so many mm."""
        origin = (self.origin[0] + dx, self.origin[1] + dy) if self.origin else None
        items = tuple(moved(item, dx, dy) for item in self.items)
        return replace(self, items=items, origin=origin)

    def enlarged(self, factor: float) -> Scene:
        """The same drawing `factor` times as large, its scale with it."""
        if factor == 1.0:
            return self
        scale = self.scale_denominator
        return replace(
            self,
            width=self.width * factor,
            height=self.height * factor,
            items=tuple(enlarged(item, factor) for item in self.items),
            scale_denominator=scale / factor if scale else None,
            origin=(self.origin[0] * factor, self.origin[1] * factor) if self.origin else None,
        )

    def walk(self) -> Iterator[Item]:
        """Each item in painting order, a group before its children."""
        return walk(self.items)


def number(value: float) -> str:
    """`value` to three decimals without needless zeros, and never ``-0``.

    Raises ValueError for infinity and NaN, which have no place on paper.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a place or size on paper")
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
