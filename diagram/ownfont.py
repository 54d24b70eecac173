"""A font of the user's for what the typeface has no letters for, named in a settings file.

``font: /path/to/NotoSansHebrew-Regular.ttf`` in ``settings.yaml`` of the user's configuration
folder, or in the file that TAPELINE_SETTINGS names. It is read once. Glyphs are chosen and placed
by HarfBuzz, so that letters join, marks stack and syllables are ordered as their script asks;
without the library (the extra ``scripts``) only scripts that need none of that are set.

Right to left: what runs so is reversed within its line, numbers in it are not. That is the part of
the Unicode bidirectional algorithm (UAX 9) that words without embeddings need, and no more.
"""

from __future__ import annotations

import io
import os
import unicodedata
from collections.abc import Callable, Iterator
from functools import cache, cached_property, lru_cache
from itertools import groupby
from pathlib import Path
from typing import Any

from msgspec import Struct

from diagram.diagnostics import RejectedError
from diagram.source import Mapping, Scalar, read

SHAPED = (
    (0x0600, 0x08FF), (0x0900, 0x109F), (0x1780, 0x18AF), (0x1900, 0x1CFF), (0xA840, 0xAAFF),
    (0xFB50, 0xFDFF), (0xFE70, 0xFEFF),
)  # fmt: skip
"""Blocks whose letters join, stack or change places (Arabic to Mongolian: the Unicode Standard,
chapters 9 and 12 to 16, from memory): wrong, not only plain, where they are set one by one."""
JOINERS = "\u200c\u200d"


class GlyphPlace(Struct, frozen=True):
    """A glyph by name, where it stands from the start of its run, and its advance, in em."""

    glyph: str
    x: float
    y: float
    advance: float


class OwnFont(Struct, frozen=True, dict=True):
    """A font file and what it has."""

    path: Path

    @cached_property
    def _font(self) -> Any:
        from fontTools.ttLib import TTFont

        return TTFont(io.BytesIO(self.path.read_bytes()), fontNumber=0)

    @cached_property
    def _units(self) -> int:
        return int(self._font["head"].unitsPerEm)

    @cached_property
    def _cmap(self) -> dict[int, str]:
        return dict(self._font.getBestCmap() or {})

    @cached_property
    def _shaper(self) -> Any:
        """HarfBuzz's view of the file, or None without the library."""
        try:
            import uharfbuzz
        except ImportError:
            return None
        return uharfbuzz.Font(uharfbuzz.Face(uharfbuzz.Blob.from_file_path(str(self.path))))

    def has(self, character: str) -> bool:
        """Whether a character can be set, and set rightly."""
        if character in JOINERS:
            return self._shaper is not None
        return ord(character) in self._cmap and (
            self._shaper is not None or not _is_shaped(character)
        )

    def shapes(self, text: str, rtl: bool) -> tuple[GlyphPlace, ...]:
        """The glyphs of one run, from left to right as they are painted."""
        if self._shaper is None:
            return tuple(self._one_by_one(text[::-1] if rtl else text))
        import uharfbuzz

        buffer = uharfbuzz.Buffer()
        buffer.add_str(text)
        buffer.guess_segment_properties()
        buffer.direction = "rtl" if rtl else "ltr"
        uharfbuzz.shape(self._shaper, buffer)
        names, out, at = self._font.getGlyphOrder(), [], 0.0
        for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
            x, y = (at + place.x_offset) / self._units, place.y_offset / self._units
            out.append(GlyphPlace(names[info.codepoint], x, y, place.x_advance / self._units))
            at += place.x_advance
        return tuple(out)

    def _one_by_one(self, text: str) -> Iterator[GlyphPlace]:
        at = 0
        for character in text:
            name = self._cmap.get(ord(character), ".notdef")
            advance = self._font["hmtx"][name][0]
            yield GlyphPlace(name, at / self._units, 0.0, advance / self._units)
            at += advance

    @lru_cache(maxsize=4096)  # noqa: B019 - one font lives as long as the program
    def outline(self, glyph: str) -> str:
        """The shape of a glyph as SVG path data; a thousandth of the type size, y runs UP."""
        from fontTools.pens.svgPathPen import SVGPathPen
        from fontTools.pens.transformPen import TransformPen

        glyphs, scale = self._font.getGlyphSet(), 1000 / self._units
        pen = SVGPathPen(glyphs)
        glyphs[glyph].draw(TransformPen(pen, (scale, 0, 0, scale, 0, 0)))
        return str(pen.getCommands())

    @cached_property
    def rise(self) -> tuple[float, float]:
        """Lowest and highest ink in em, as the font says of itself."""
        table = self._font["hhea"]
        return table.descent / self._units, table.ascent / self._units


def settings_file() -> Path:
    """Where the settings of this user are kept."""
    named = os.environ.get("TAPELINE_SETTINGS")
    if named:
        return Path(named)
    from platformdirs import user_config_path

    return user_config_path("tapeline", appauthor=False) / "settings.yaml"


@cache
def named_font() -> tuple[OwnFont | None, str]:
    """The font that the settings name, and what is wrong with them; nothing without settings."""
    file = settings_file()
    if not file.is_file():
        return None, ""
    try:
        root = read(file).root
    except RejectedError as problem:
        return None, f"{file}: {problem}"
    value = root.get("font") if isinstance(root, Mapping) else None
    if not isinstance(value, Scalar):
        return None, f"{file} names no font: write font: and the path of a font file"
    path = Path(value.text).expanduser()
    path = path if path.is_absolute() else file.parent / path
    font = OwnFont(path)
    try:
        font.has("a")
        font.rise  # noqa: B018 - a file without these tables is no font to set with
    except Exception as problem:  # a font file can be broken in any way
        return None, f"{path} named in {file} is no font that can be read: {problem}"
    return font, ""


def own_font() -> OwnFont | None:
    """The font that the settings name, if it can be read."""
    return named_font()[0]


class OwnRun(Struct, frozen=True):
    """Neighbouring characters of one direction, set in the user's font or in the typeface."""

    text: str
    own: bool
    rtl: bool


Owned = Callable[[str, bool], bool]
"""Whether a character, in a run from right to left or not, is set in the user's font."""


def in_order(text: str, owned: Owned) -> tuple[OwnRun, ...]:
    """Runs from left to right as they are painted."""
    ways = _ways(text)
    base = next((way for way in ways if way in "LR"), "L")
    parts = [
        (way, "".join(text[n] for n in places))
        for way, places in ((w, list(p)) for w, p in groupby(range(len(text)), ways.__getitem__))
    ]
    ordered: list[tuple[str, str]] = []
    waiting: list[tuple[str, str]] = []
    for way, words in parts:
        if way == "L":
            ordered += [*waiting[::-1], (way, words)]
            waiting = []
        else:
            waiting.append((way, words))
    ordered += waiting[::-1]
    if base == "R":
        # The runs of a line that begins from the right follow each other to the left.
        ordered = parts[::-1]
    return tuple(run for way, words in ordered for run in _fonts(words, way == "R", owned))


def _ways(text: str) -> str:
    """For each character L, R, or N for a number amid R; what is neutral goes with both sides."""
    classes = [unicodedata.bidirectional(c) for c in text]
    strong = ["R" if c in ("R", "AL") else "L" if c == "L" else "" for c in classes]
    base = next((s for s in strong if s), "L")
    out: list[str] = []
    for n, kind in enumerate(classes):
        before = next((s for s in strong[n::-1] if s), base)
        after = next((s for s in strong[n:] if s), base)
        if strong[n]:
            out.append(strong[n])
        elif kind in ("EN", "AN"):
            out.append("N" if before == "R" else "L")
        elif kind == "NSM":
            out.append(before)
        else:
            out.append(before if before == after else base)
    return "".join(out)


def _fonts(text: str, rtl: bool, owned: Owned) -> Iterator[OwnRun]:
    """A run of one direction parted by font."""
    runs = [
        OwnRun("".join(letters), own, rtl)
        for own, letters in groupby(text, lambda letter: owned(letter, rtl))
    ]
    yield from reversed(runs) if rtl else runs


def _is_shaped(character: str) -> bool:
    return any(low <= ord(character) <= high for low, high in SHAPED)
