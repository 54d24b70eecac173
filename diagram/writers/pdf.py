"""A scene to PDF: on a page of its own, or into a page that holds other things as well.

The one place where millimetres become points. The drawing is never scaled to fit.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterable
from functools import cache
from typing import TYPE_CHECKING, assert_never

from diagram.scene import Disc, Fill, Group, Item, Point, Scene, Stroke, Text, number
from diagram.sections.shapes import fill_shapes
from diagram.style import Colour, Pen
from diagram.typeface import FACE_NAMES, Weight, font_file, is_plain, settable, weight_for
from diagram.writers.files import legal_text

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

POINTS_PER_MM = 72 / 25.4

_CAPS = {"butt": 0, "round": 1}
_ROUND_JOIN = 1


def scene_bytes(
    scene: Scene, *, page_mm: tuple[float, float] | None = None, compressed: bool = True
) -> bytes:
    """A PDF of one page with the scene in its middle.

    The page is `page_mm` wide and high, or as large as the scene. Raises ValueError if the
    scene is larger than the page, or has a coordinate that is not finite.
    """
    width, height = page_mm or (scene.width, scene.height)
    if scene.width > width or scene.height > height:
        raise ValueError(
            f"a drawing of {scene.width:.1f} x {scene.height:.1f} mm does not fit on a page of "
            f"{width:.1f} x {height:.1f} mm, and shrinking it would spoil its scale"
        )
    out = io.BytesIO()
    canvas = open_canvas(
        out, (width, height), scene.title, language=scene.language, compressed=compressed
    )
    canvas.setSubject(legal_text(scene.description))
    draw_scene(canvas, scene, (width - scene.width) / 2, (height + scene.height) / 2)
    canvas.bookmarkPage("drawing")
    canvas.addOutlineEntry(legal_text(scene.title) or "Drawing", "drawing", 0)
    canvas.showPage()
    canvas.save()
    return out.getvalue()


def open_canvas(
    out: io.BytesIO,
    page_mm: tuple[float, float],
    title: str,
    *,
    language: str = "en",
    compressed: bool = True,
) -> Canvas:
    """An empty PDF that will be the same bytes for the same content, and asks to be printed
    at full size.
    """
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(
        out,
        pagesize=(page_mm[0] * POINTS_PER_MM, page_mm[1] * POINTS_PER_MM),
        pageCompression=int(compressed),
        invariant=1,
        lang=legal_text(language),
        # Otherwise every file asks for Helvetica, used or not, and Helvetica is not embedded.
        initialFontName=font_name("regular"),
    )
    mark_document(canvas, title)
    return canvas


def mark_document(canvas: Canvas, title: str) -> None:
    """Give a canvas made elsewhere the title and the wishes to viewers that all pages have."""
    from reportlab import rl_config

    # Compressed pages as they are: spelt out in ASCII they take a quarter more room.
    rl_config.useA85 = 0
    canvas.setTitle(legal_text(title))
    canvas.setAuthor("")
    canvas.setCreator("Tapeline")
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")


def draw_scene(canvas: Canvas, scene: Scene, x_mm: float, y_mm: float) -> None:
    """Draw `scene` with its top left corner at (x, y) mm from the canvas's present origin.

    On a canvas y runs UP: with the origin at the bottom left of an A4 page, (20, 277) is 20 mm
    from the left and from the top edge. Raises ValueError for coordinates that are not finite.
    """
    canvas.saveState()
    canvas.translate(x_mm * POINTS_PER_MM, y_mm * POINTS_PER_MM)
    edge = [(0.0, 0.0), (scene.width, 0.0), (scene.width, scene.height), (0.0, scene.height)]
    canvas.addLiteral(f"{_path(edge, closed=True)} W n")
    canvas.setLineJoin(_ROUND_JOIN)
    for item in scene.items:
        _draw(canvas, item)
    canvas.restoreState()


@cache
def font_name(weight: Weight) -> str:
    """The name by which reportlab knows a face; the face is registered and gets embedded."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    name = FACE_NAMES[weight]
    # Only the glyphs in use: otherwise each face brings all of ASCII, twice the size and time.
    pdfmetrics.registerFont(TTFont(name, str(font_file(weight)), asciiReadable=False))
    return name


def _draw(canvas: Canvas, item: Item) -> None:
    match item:
        case Stroke(points, pen, closed):
            if points:
                canvas.addLiteral(f"{_taken(pen)}{_path(points, closed)} S")
        case Fill(points, colour, pen):
            if points:
                path = _path(points, closed=True)
                canvas.addLiteral(f"{_filled(colour)}{_taken(pen)}{path} {'B' if pen else 'f'}")
        case Disc(centre, radius, fill, pen):
            canvas.addLiteral(f"{_filled(fill)}{_taken(pen)}")
            x, y = _place(centre)
            canvas.circle(x, y, _length(radius), stroke=int(bool(pen)), fill=int(bool(fill)))
        case Text():
            _write(canvas, item)
        case Group(_, children):
            for child in children:
                _draw(canvas, child)
        case _:
            assert_never(item)


def _write(canvas: Canvas, item: Text) -> None:
    if not is_plain(item.text):
        canvas.saveState()
        canvas.translate(*_place(item.at))
        if item.angle:
            canvas.rotate(item.angle)
        canvas.setFillColorRGB(*_rgb(item.colour))
        begin, size, apart = map(_length, (item.offset(), item.size, item.spacing))
        fill_shapes(canvas, item.text, item.weight, begin, size, apart)
        canvas.restoreState()
        return
    (x, y), begin = _place(item.at), _length(item.offset())
    turn = math.radians(item.angle)
    along, up = math.cos(turn), math.sin(turn)
    # One object of its own matrix: a state saved, moved, turned and restored takes twice as long.
    line = canvas.beginText()
    line.setTextTransform(along, up, -up, along, x + begin * along, y + begin * up)
    line.setFont(font_name(weight_for(item.text, item.weight)), _length(item.size))
    line.setFillColorRGB(*_rgb(item.colour))
    if item.spacing:
        line.setCharSpace(_length(item.spacing))
    line.textOut(settable(item.text).text)
    if item.spacing:
        line.setCharSpace(0)
    canvas.drawText(line)


@cache
def _taken(pen: Pen | None) -> str:
    """What lines look like from here on, in PDF's own words (ISO 32000-1, tables 57 and 74): each
    asked of reportlab one by one takes as long as the line itself."""
    if pen is None:
        return ""
    dash = " ".join(number(_length(length)) for length in pen.dash)
    colour = " ".join(map(number, _rgb(pen.colour)))
    return f"{colour} RG {number(_length(pen.width))} w {_CAPS[pen.cap]} J [{dash}] 0 d "


@cache
def _filled(colour: Colour | None) -> str:
    """The same of areas."""
    return f"{' '.join(map(number, _rgb(colour)))} rg " if colour else ""


def _path(points: Iterable[Point], closed: bool) -> str:
    # In PDF's own words: reportlab's path object takes several times as long for a long track,
    # and fills areas by the even-odd rule where SVG counts windings.
    places = [f"{number(x * POINTS_PER_MM)} {number(-y * POINTS_PER_MM)}" for x, y in points]
    return f"{places[0]} m {''.join(f'{place} l ' for place in places[1:])}{'h' if closed else ''}"


def _place(point: Point) -> tuple[float, float]:
    return _length(point[0]), _length(-point[1])


def _length(mm: float) -> float:
    if not math.isfinite(mm):
        raise ValueError(f"{mm} is not a place or size on paper")
    # A thousandth of a point is a third of a micrometre: nothing is lost but noise.
    return round(mm * POINTS_PER_MM, 3) + 0.0


@cache
def _rgb(colour: Colour) -> tuple[float, float, float]:
    red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return red, green, blue
