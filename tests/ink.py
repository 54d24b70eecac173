"""What is printed where, as shapes: read from the marks of a scene, not from who placed them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from msgspec.structs import replace
from shapely import LineString, Point, Polygon, STRtree, box
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from diagram.scene import Disc, Fill, Group, Item, Scene, Stroke, Text, walk

TOUCHING = 1e-3
"""Square millimetres shared that count as touching: rounding, not ink."""


@dataclass(frozen=True)
class Ink:
    """One mark as a shape. `group` names what it belongs to; `thin` lines may be crossed by
    leaders and dimensions but not by words."""

    shape: BaseGeometry
    layer: str
    group: str
    thin: bool


def ink_of(scene: Scene) -> list[Ink]:
    """All marks of the drawing proper; white areas print nothing."""
    out: list[Ink] = []
    for layer in scene.items:
        if not isinstance(layer, Group) or layer.name in ("why",):
            continue
        for child in layer.children:
            name = child.name if isinstance(child, Group) else layer.name
            out += [
                Ink(shape, layer.name, name, thin)
                for mark in walk([child])
                for shape, thin in _shapes(mark)
            ]
    return out


def _shapes(mark: Item) -> Iterator[tuple[BaseGeometry, bool]]:
    match mark:
        case Stroke(points, pen, closed) if pen.colour != "#ffffff":
            path = [*points, points[0]] if closed else points
            yield LineString(path).buffer(pen.width / 2, cap_style="flat"), True
        case Fill(points, colour, pen) if colour != "#ffffff" or pen:
            yield Polygon(points).buffer(pen.width / 2 if pen else 0), False
        case Disc(centre, radius, _, pen):
            yield Point(centre).buffer(radius + (pen.width / 2 if pen else 0)), False
        case Text():
            # The ink of the letters; between lines of one label nothing else may stand either.
            yield letters(mark), False
        case _:
            return


def letters(mark: Text) -> BaseGeometry:
    """The box round a text, turned as it is."""
    level = replace(mark, angle=0.0).bbox()
    upright = box(level.left, level.top, level.right, level.bottom)
    return rotate(upright, -mark.angle, origin=mark.at)


def overlaps(scene: Scene) -> list[str]:
    """Each pair of a label and something else that share ink, in words; none when all is well."""
    every = ink_of(scene)
    tree = STRtree([ink.shape for ink in every])
    found = []
    for ink in every:
        if ink.layer != "labels":
            continue
        for other in (every[n] for n in tree.query(ink.shape)):
            if (other.layer, other.group) == (ink.layer, ink.group) or _allowed(ink, other):
                continue
            if ink.shape.intersection(other.shape).area > TOUCHING:
                found.append(f"{ink.group} on {other.layer}/{other.group}")
    page = box(0, 0, scene.width, scene.height)
    found += [f"{ink.group} off the page" for ink in every if not page.covers(ink.shape)]
    return sorted(set(found))


def _allowed(ink: Ink, other: Ink) -> bool:
    """The pole of a flag may cross a line of the track, and stands on its own bar."""
    return ink.thin and other.thin and other.layer != "fences"
