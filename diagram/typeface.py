"""The one typeface, Source Sans Pro: how wide a text is, which characters it has, its bytes.

It comes with the package `font-source-sans-pro` and is read from there, so a text is as long
in every kind of file and on every machine, whatever fonts are installed.

Widths are plain sums of advances: no kerning and no ligatures, as the PDF writer sets them.
"""

from __future__ import annotations

import io
import math
import unicodedata
from functools import cache, lru_cache
from pathlib import Path
from struct import iter_unpack, unpack_from
from typing import Any, Literal

from msgspec import Struct

from diagram.ownfont import OwnFont, in_order, own_font

Weight = Literal["regular", "semibold", "bold", "italic"]
"""The four faces in use. Italic has no Greek and no Cyrillic: see `weight_for`."""

FAMILY = "Source Sans Pro"

FACE_NAMES: dict[Weight, str] = {
    "regular": "SourceSansPro-Regular",
    "semibold": "SourceSansPro-Semibold",
    "bold": "SourceSansPro-Bold",
    "italic": "SourceSansPro-It",
}
"""The PostScript name of each face, which is also the name of its file."""

CAP_HEIGHT = 0.66
X_HEIGHT = 0.486
ASCENDER = 0.75
DESCENDER = 0.25
"""Of the regular face, as shares of the type size above (descender: below) the baseline.

Ascender and descender are the face's typographic ones: together exactly one type size.
"""

SUBSTITUTE = "☐"
"""Stands for each character that cannot be set."""


class Printable(Struct, frozen=True):
    """A text that can be set, and the characters of the original that could not be."""

    text: str
    missing: tuple[str, ...]


class Face(Struct, frozen=True):
    """One font file: for each character its advance and its lowest and highest point in em."""

    advances: dict[str, float]
    rises: dict[str, tuple[float, float]]


def font_file(weight: Weight) -> Path:
    """The TrueType file of a face."""
    import font_source_sans_pro

    return Path(font_source_sans_pro.font_directory) / f"{FACE_NAMES[weight]}.ttf"


@lru_cache(maxsize=8192)
def settable(text: str) -> Printable:
    """As `printable`, with what only the user's own font has; scenes are set so."""
    font = own_font()
    return printable(text) if font is None else _as_set(text, font)


@lru_cache(maxsize=8192)
def printable(text: str) -> Printable:
    """`text` as it can be set on one line in the typeface itself.

    Line breaks, tabs and other spaces become a space. A character without a glyph is replaced
    by its plain equivalent if Unicode gives one, else by a box; control, format and direction
    characters always by a box. Nothing disappears: `missing` lists what the boxes stand for.
    """
    return _as_set(text, None)


def _as_set(text: str, own: OwnFont | None) -> Printable:
    glyphs = face("regular").advances
    out: list[str] = []
    missing: dict[str, None] = {}
    for character in unicodedata.normalize("NFC", text):
        if character.isspace():
            out.append(" ")
            continue
        plain = character if character in glyphs else unicodedata.normalize("NFKC", character)
        if all(c in glyphs for c in plain):
            out.append(plain)
        elif own is not None and own.has(character):
            out.append(character)
        else:
            out.append(SUBSTITUTE)
            missing[character] = None
    return Printable("".join(out), tuple(missing))


@lru_cache(maxsize=8192)
def weight_for(text: str, weight: Weight) -> Weight:
    """`weight`, or regular where the face lacks a character of the printable `text`."""
    glyphs, main = face(weight).advances, face("regular").advances
    return weight if all(c in glyphs or c not in main for c in settable(text).text) else "regular"


@lru_cache(maxsize=8192)
def is_plain(text: str) -> bool:
    """Whether the typeface alone sets a text: else it is painted as `outlined`."""
    return all(c in face("regular").advances for c in settable(text).text)


class Outlined(Struct, frozen=True):
    """A text as shapes: SVG path data in thousandths of the type size with y UP, where each
    stands in em from the start of the baseline, and the width of all in em."""

    shapes: tuple[tuple[str, float, float], ...]
    width: float


@lru_cache(maxsize=2048)
def outlined(text: str, weight: Weight) -> Outlined:
    """A text with characters of the user's font, in the order in which it is painted."""
    font = own_font()
    weight = weight_for(text, weight)
    advances = face(weight).advances
    out: list[tuple[str, float, float]] = []
    at = 0.0
    main = face("regular").advances

    def owned(character: str, rtl: bool) -> bool:
        # Amid words from right to left its own marks and brackets belong to the font.
        return character not in main or (rtl and font is not None and font.has(character))

    for run in in_order(settable(text).text, owned):
        if run.own and font is not None:
            for shape in font.shapes(run.text, run.rtl):
                out.append((font.outline(shape.glyph), at + shape.x, shape.y))
            at += sum(shape.advance for shape in font.shapes(run.text, run.rtl))
            continue
        for character in reversed(run.text) if run.rtl else run.text:
            out.append((glyph_outline(character, weight), at, 0.0))
            at += advances[character]
    return Outlined(tuple(out), at)


def text_width(text: str, size: float, weight: Weight = "regular") -> float:
    """Width in mm of `text` as printed, at a type size in mm."""
    return _em_width(text, weight) * size


@lru_cache(maxsize=8192)
def _em_width(text: str, weight: Weight) -> float:
    if not is_plain(text):
        return outlined(text, weight).width
    advances = face(weight_for(text, weight)).advances
    # A plain sum rounds differently from Python 3.12 on, and a mark would stand elsewhere.
    return math.fsum(advances[c] for c in settable(text).text)


def text_rise(text: str, size: float, weight: Weight = "regular") -> tuple[float, float]:
    """Millimetres from the baseline up to the lowest (below: negative) and highest ink.

    Both are 0 for a text without ink.
    """
    low, high = _em_rise(text, weight)
    return low * size, high * size


@lru_cache(maxsize=8192)
def _em_rise(text: str, weight: Weight) -> tuple[float, float]:
    rises = face(weight_for(text, weight)).rises
    inked = [rises[c] for c in settable(text).text if c in rises]
    font = own_font()
    if font is not None and not is_plain(text):
        inked.append(font.rise)
    if not inked:
        return 0.0, 0.0
    return min(low for low, _ in inked), max(high for _, high in inked)


@cache
def face(weight: Weight) -> Face:
    """The measures of a face, read once.

    Only four tables are wanted, and importing a font library to get at them takes longer than
    all other preparation of a card, so they are read here by the OpenType specification.
    """
    data = font_file(weight).read_bytes()
    tables = dict(_table_offsets(data))
    units = unpack_from(">H", data, tables[b"head"] + 18)[0]
    glyphs = _character_map(data, tables[b"cmap"])
    advances = _advances(data, tables)
    offsets = _glyph_offsets(data, tables)
    rises: dict[str, tuple[float, float]] = {}
    for character, glyph in glyphs.items():
        if offsets[glyph] != offsets[glyph + 1]:
            low, _, high = unpack_from(">hhh", data, tables[b"glyf"] + offsets[glyph] + 4)
            rises[character] = low / units, high / units
    return Face({c: advances[min(g, len(advances) - 1)] / units for c, g in glyphs.items()}, rises)


def _table_offsets(data: bytes) -> list[tuple[bytes, int]]:
    count = unpack_from(">H", data, 4)[0]
    return [(tag, at) for tag, _, at, _ in iter_unpack(">4sLLL", data[12 : 12 + 16 * count])]


def _advances(data: bytes, tables: dict[bytes, int]) -> tuple[int, ...]:
    count = unpack_from(">H", data, tables[b"hhea"] + 34)[0]
    return unpack_from(f">{2 * count}H", data, tables[b"hmtx"])[::2]


def _glyph_offsets(data: bytes, tables: dict[bytes, int]) -> tuple[int, ...]:
    count = unpack_from(">H", data, tables[b"maxp"] + 4)[0] + 1
    if unpack_from(">H", data, tables[b"head"] + 50)[0]:
        return unpack_from(f">{count}L", data, tables[b"loca"])
    return tuple(2 * half for half in unpack_from(f">{count}H", data, tables[b"loca"]))


def _character_map(data: bytes, cmap: int) -> dict[str, int]:
    """Glyph number of each character that has one, from the table's 16-bit part (format 4)."""
    subtables = unpack_from(">H", data, cmap + 2)[0]
    records = (unpack_from(">HHL", data, cmap + 4 + 8 * i) for i in range(subtables))
    at = cmap + next(at for platform, encoding, at in records if (platform, encoding) == (3, 1))
    count = unpack_from(">H", data, at + 6)[0] // 2
    ends = unpack_from(f">{count}H", data, at + 14)
    starts, deltas, jumps = (
        unpack_from(f">{count}H", data, at + 16 + 2 * count * (part + 1)) for part in range(3)
    )
    jumps_at = at + 16 + 6 * count
    glyphs: dict[str, int] = {}
    for i, (start, end, delta, jump) in enumerate(zip(starts, ends, deltas, jumps, strict=True)):
        for code in range(start, end + 1):
            glyph = code
            if jump:
                glyph = unpack_from(">H", data, jumps_at + 2 * i + jump + 2 * (code - start))[0]
            glyph = (glyph + delta) & 0xFFFF if glyph else 0
            # Soft hyphens and byte order marks have a glyph, but are set by some and not others.
            if glyph and not unicodedata.category(chr(code)).startswith("C"):
                glyphs[chr(code)] = glyph
    return glyphs


@lru_cache(maxsize=64)
def font_subset(weight: Weight, characters: str) -> bytes:
    """A TrueType font of the face with the glyphs of `characters` only; the same bytes always.

    Without kerning, ligatures or hints: none of the writers uses them.
    """
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont

    with TTFont(font_file(weight), recalcBBoxes=False, recalcTimestamp=False) as font:
        for tag in ("GSUB", "GPOS", "GDEF", "BASE", "DSIG", "gasp"):
            if tag in font:
                del font[tag]
        options = Options(hinting=False, notdef_outline=True, name_IDs=[0, 1, 2, 14])
        subsetter = Subsetter(options)
        subsetter.populate(text=characters)
        subsetter.subset(font)
        out = io.BytesIO()
        font.save(out, reorderTables=None)
    return out.getvalue()


@cache
def glyph_outline(character: str, weight: Weight) -> str:
    """The shape of a character of a printable text, as SVG path data.

    The unit is a thousandth of the type size, the origin the start of the baseline, y runs UP.
    """
    from fontTools.pens.svgPathPen import SVGPathPen

    glyphs, names = _glyph_shapes(weight)
    pen = SVGPathPen(glyphs)
    glyphs[names[ord(character)]].draw(pen)
    return str(pen.getCommands())


@cache
def _glyph_shapes(weight: Weight) -> tuple[Any, dict[int, str]]:
    from fontTools.ttLib import TTFont

    font = TTFont(font_file(weight))
    return font.getGlyphSet(), font.getBestCmap()
