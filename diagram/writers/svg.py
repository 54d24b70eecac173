"""A scene to SVG: millimetres throughout, its type carried along, the same bytes every time.

Lengths are user units of 1 mm: `width` and `height` say so, and `viewBox` makes it so.
"""

from __future__ import annotations

import base64
import re
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any, Literal, assert_never

from diagram.scene import Disc, Fill, Group, Item, Point, Scene, Stroke, Text, number
from diagram.style import PAPER, Pen
from diagram.typeface import FAMILY, Weight, font_subset, is_plain, outlined, settable, weight_for
from diagram.writers.files import legal_text

if TYPE_CHECKING:
    from svgwrite import Drawing

_FACES: dict[Weight, dict[str, str]] = {
    "regular": {},
    "semibold": {"font-weight": "600"},
    "bold": {"font-weight": "700"},
    "italic": {"font-style": "italic"},
}

TypeAs = Literal["embedded", "named", "outlines"]
"""How words get into the file.

`embedded`: as text, with the glyphs in use carried along. `named`: as text, for a machine or a
page that has Source Sans Pro already; the bytes do not depend on the font library's version.
`outlines`: as shapes, for painters that choose typefaces by rules of their own.
"""


def scene_bytes(scene: Scene, *, type_as: TypeAs = "embedded") -> bytes:
    """A complete SVG file in UTF-8.

    Raises ValueError for a scene with a coordinate that is not finite.
    """
    declaration = '<?xml version="1.0" encoding="utf-8"?>'
    return f"{declaration}\n{svg_text(scene, type_as=type_as)}\n".encode()


DOCUMENT, PART = "graphics-document document", "graphics-object group"
"""What a screen reader is told of a drawing and of a part of it that has a name (W3C, WAI-ARIA
Graphics Module 1.0, with the roles of ARIA 1.1 to fall back on)."""


def svg_text(scene: Scene, *, type_as: TypeAs = "embedded") -> str:
    """The ``svg`` element alone, to stand in a page or a notebook.

    Raises ValueError for a scene with a coordinate that is not finite.
    """
    import svgwrite

    width, height = number(scene.width), number(scene.height)
    drawing = svgwrite.Drawing(
        size=(f"{width}mm", f"{height}mm"),
        viewBox=f"0 0 {width} {height}",
        debug=False,
        role=DOCUMENT,
        lang=legal_text(scene.language),
        stroke_linejoin="round",
        font_family=f"'{FAMILY}', sans-serif",
        # The type as it was measured; and paper, or black lines vanish on a dark screen.
        style=f"background:{PAPER};font-kerning:none;font-variant-ligatures:none",
    )
    drawing["xml:lang"] = legal_text(scene.language)
    drawing.set_desc(
        title=legal_text(scene.title) or None, desc=legal_text(scene.description) or None
    )
    if type_as == "embedded":
        drawing.embed_stylesheet("".join(_font_rules(scene.walk())))
    for item in scene.items:
        drawing.add(_element(drawing, item, type_as))
    # A line for each element, so that two versions of a drawing can be compared line by line.
    return str(drawing.tostring()).replace("><", ">\n<")


def _element(drawing: Drawing, item: Item, type_as: TypeAs) -> Any:
    match item:
        case Stroke(points, pen, closed):
            return drawing.path(_path(points, closed), fill="none", **_stroked(pen))
        case Fill(points, colour, pen):
            return drawing.path(_path(points, closed=True), fill=colour, **_stroked(pen))
        case Disc(centre, radius, fill, pen):
            x, y = (number(value) for value in centre)
            return drawing.circle((x, y), number(radius), fill=fill or "none", **_stroked(pen))
        case Text():
            # No page has the user's own font: what is set in it goes as shapes.
            shapes = type_as == "outlines" or not is_plain(item.text)
            return _outlines(drawing, item) if shapes else _text(drawing, item)
        case Group(name, children, title):
            group = drawing.g(class_=_class_name(name))
            if title:
                group.set_desc(title=legal_text(title))
                group["role"] = PART
            for child in children:
                group.add(_element(drawing, child, type_as))
            return group
        case _:
            assert_never(item)


def _text(drawing: Drawing, item: Text) -> Any:
    x, y = (number(value) for value in item.at)
    words = drawing.text(settable(item.text).text, (x, y), fill=item.colour)
    words["font-size"] = number(item.size)
    # Otherwise runs of spaces become one and the text shorter than it was measured.
    words["xml:space"] = "preserve"
    words.update(_FACES[weight_for(item.text, item.weight)])
    if item.anchor != "start":
        words["text-anchor"] = item.anchor
    if item.spacing:
        words["letter-spacing"] = number(item.spacing)
    if item.angle:
        words["transform"] = f"rotate({number(-item.angle)},{x},{y})"
    return words


def _outlines(drawing: Drawing, item: Text) -> Any:
    x, y = (number(value) for value in item.at)
    unit = item.size / 1000
    shapes = drawing.g(fill=item.colour)
    turn = f"rotate({number(-item.angle)})"
    shapes["transform"] = f"translate({x},{y}) {turn} scale({unit:.6f},{-unit:.6f})"
    set_as = outlined(item.text, item.weight)
    begin = item.offset() / unit
    for n, (outline, x_em, y_em) in enumerate(set_as.shapes):
        shape = drawing.path(outline)
        along = begin + x_em * 1000 + n * item.spacing / unit
        up = f",{number(y_em * 1000)}" if y_em else ",0"
        shape["transform"] = f"translate({number(along)}{up})"
        shapes.add(shape)
    if not is_plain(item.text):
        shapes["aria-label"] = legal_text(settable(item.text).text)
        shapes["role"] = "img"
    return shapes


def _path(points: Iterable[Point], closed: bool) -> str:
    line = " ".join(f"{number(x)},{number(y)}" for x, y in points)
    return f"M{line}{'Z' if closed else ''}" if line else ""


def _stroked(pen: Pen | None) -> dict[str, str]:
    if pen is None:
        return {}
    attributes = {"stroke": pen.colour, "stroke-width": number(pen.width)}
    if pen.dash:
        attributes["stroke-dasharray"] = ",".join(number(length) for length in pen.dash)
    if pen.cap != "butt":
        attributes["stroke-linecap"] = pen.cap
    return attributes


def _class_name(name: str) -> str:
    return re.sub(r"[^\w-]+", "-", name, flags=re.ASCII).strip("-") or "group"


def _font_rules(items: Iterable[Item]) -> list[str]:
    used: dict[Weight, set[str]] = {}
    for item in items:
        if isinstance(item, Text) and item.text:
            if not is_plain(item.text):
                continue
            weight = weight_for(item.text, item.weight)
            used.setdefault(weight, set()).update(settable(item.text).text)
    return [
        _font_rule(weight, _whole_alphabets(used[weight])) for weight in _FACES if weight in used
    ]


_ALPHABETS = (
    "0123456789 .,:;-–+×/()'\"′″°½",
    "ABCDEFGHIJKLMNOPQRSTUVWXYZ",
    "abcdefghijklmnopqrstuvwxyz",
)


def _whole_alphabets(characters: set[str]) -> str:
    # Cutting a font down takes longer than the rest of a drawing. Rounded up like this, the
    # drawings of a whole library share a handful of cuts.
    wanted = set(characters)
    for alphabet in _ALPHABETS:
        if characters.intersection(alphabet):
            wanted.update(alphabet)
    return "".join(sorted(wanted))


def _font_rule(weight: Weight, characters: str) -> str:
    described = {"font-family": f'"{FAMILY}"', "font-weight": "400", **_FACES[weight]}
    description = ";".join(f"{key}:{value}" for key, value in described.items())
    data = base64.b64encode(font_subset(weight, characters)).decode("ascii")
    source = f'url("data:font/ttf;base64,{data}") format("truetype")'
    return f"@font-face{{{description};src:{source}}}\n"
