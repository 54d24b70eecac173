"""A scene as text, one mark a line: what the goldens of drawings are compared by."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import assert_never

from diagram.scene import Disc, Fill, Group, Item, Point, Scene, Stroke, Text, number
from diagram.style import Pen


def dump(scene: Scene) -> str:
    """The scene as text, one item a line, children of a group indented; mm to 0.001."""
    scale = (
        "not to scale"
        if scene.scale_denominator is None
        else (f"1:{number(scene.scale_denominator)}")
    )
    lines = [
        f"scene {number(scene.width)} x {number(scene.height)} {scale} {scene.language!r}",
        f"title {scene.title!r}",
        f"description {scene.description!r}",
    ]
    for item in scene.items:
        lines.extend(_dumped(item))
    return "\n".join(lines) + "\n"


def _dumped(item: Item) -> Iterator[str]:
    match item:
        case Stroke(points, pen, closed, sized):
            end = " closed" if closed else ""
            yield f"stroke {sized} {_pen(pen)}{end}: {_points(points)}"
        case Fill(points, colour, pen, sized):
            yield f"fill {sized} {colour} {_pen(pen)}: {_points(points)}"
        case Disc(centre, radius, fill, pen, sized):
            yield f"disc {sized} {fill} {_pen(pen)}: {_points([centre])} r {number(radius)}"
        case Text(at, text, size, weight, anchor, angle, colour, sized, spacing):
            turn = f" turned {number(angle)}" if angle else ""
            turn += f" spaced {number(spacing)}" if spacing else ""
            style = f"{number(size)} {weight} {anchor}{turn} {colour}"
            yield f"text {sized} {style}: {_points([at])} {text!r}"
        case Group(name, children, title):
            yield f"group {name!r} {title!r}" if title else f"group {name!r}"
            for child in children:
                yield from ("  " + line for line in _dumped(child))
        case _:
            assert_never(item)


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def _pen(pen: Pen | None) -> str:
    if pen is None:
        return "no pen"
    dash = f" dash {' '.join(number(length) for length in pen.dash)}" if pen.dash else ""
    return f"pen {pen.colour} {number(pen.width)}{dash} {pen.cap}"
