"""Words set in lines: a plain paragraph of a few faces and colours.

A paragraph of reportlab can do far more and takes several times as long: half the time of a
card. This one knows the markup that `words` and `soft` make, and nothing else.
"""

from __future__ import annotations

import re
from functools import lru_cache
from html import unescape
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable

from diagram.sections.shapes import fill_shapes
from diagram.style import INK, MM_PER_POINT, Weight
from diagram.typeface import FACE_NAMES, is_plain, text_width

Run = tuple[str, Weight, str]
"""Text, face and colour."""

_TOKEN = re.compile(r"(<[^>]*>)")
_FONT = re.compile(r'<font (?:name="(?P<name>[^"]+)"|color="(?P<colour>#[0-9a-f]{6})")>')
_WEIGHTS: dict[str, Weight] = {name: weight for weight, name in FACE_NAMES.items()}
_HEX = lru_cache(maxsize=64)(HexColor)
BASELINE = 1.0
"""Of the type size: from the top of a line to its baseline, as reportlab sets it."""


class UnknownMarkup(ValueError):  # noqa: N818 - it says what is the matter with the text
    """Markup that is none of what `words` and `soft` make."""


@lru_cache(maxsize=4096)
def runs_of(markup: str) -> tuple[tuple[Run, ...], ...]:
    """Lines as written, each as runs. Raises UnknownMarkup."""
    lines: list[list[Run]] = [[]]
    stack: list[tuple[Weight, str]] = [("regular", INK)]
    for token in _TOKEN.split(markup):
        if not token:
            continue
        if not token.startswith("<"):
            lines[-1].append((unescape(token), *stack[-1]))
        elif token == "<br/>":
            lines.append([])
        elif token == "</font>" and len(stack) > 1:
            stack.pop()
        elif match := _FONT.fullmatch(token):
            weight, colour = stack[-1]
            named = _WEIGHTS.get(match["name"] or "", weight)
            stack.append((named, match["colour"] or colour))
        else:
            raise UnknownMarkup(token)
    return tuple(tuple(line) for line in lines)


class Words(Flowable):  # type: ignore[misc]  # reportlab has no types
    """Lines of words in a width, as high as they need. Raises UnknownMarkup."""

    def __init__(self, markup: str, style: ParagraphStyle, bullet: str = "") -> None:
        super().__init__()
        self.written = runs_of(markup)
        self.style = style
        self.bullet = bullet
        self.lines: tuple[tuple[Run, ...], ...] = ()

    def wrap(self, width: float, _height: float) -> tuple[float, float]:
        """Break the lines; width and height taken, in points."""
        room = (width - self.style.leftIndent) * MM_PER_POINT
        self.lines = _broken(self.written, room, self.style.fontSize * MM_PER_POINT)
        self.width, self.height = width, len(self.lines) * self.style.leading
        return self.width, self.height

    def draw(self) -> None:
        """Set them, each line in one go so that it can be selected and searched."""
        style, canvas = self.style, self.canv
        size = style.fontSize
        y = self.height - size * BASELINE
        if self.bullet:
            canvas.setFont(FACE_NAMES["regular"], size)
            canvas.setFillColor(style.textColor)
            canvas.drawString(0, y, self.bullet)
        for line in self.lines:
            self._set(canvas, line, y, size)
            y -= style.leading

    def _set(self, canvas: Any, line: tuple[Run, ...], y: float, size: float) -> None:
        if not line:
            return
        x = self.style.leftIndent
        if self.style.alignment:
            taken = sum(text_width(text, 1.0, weight) for text, weight, _ in line) * size
            x += (self.width - x - taken) / (2 if self.style.alignment == 1 else 1)
        if not all(is_plain(text) for text, _, _ in line):
            self._fill(canvas, line, x, y, size)
            return
        words = canvas.beginText(x, y)
        for text, weight, colour in line:
            words.setFont(FACE_NAMES[weight], size)
            words.setFillColor(_HEX(colour))
            words.textOut(text.replace("\N{NO-BREAK SPACE}", " "))
        canvas.drawText(words)

    def _fill(self, canvas: Any, line: tuple[Run, ...], x: float, y: float, size: float) -> None:
        """A line with letters of the user's font: as shapes, run by run."""
        for text, weight, colour in line:
            canvas.saveState()
            canvas.translate(x, y)
            canvas.setFillColor(_HEX(colour))
            fill_shapes(canvas, text, weight, 0.0, size)
            canvas.restoreState()
            x += text_width(text, size, weight)


@lru_cache(maxsize=4096)
def _broken(
    written: tuple[tuple[Run, ...], ...], room: float, size: float
) -> tuple[tuple[Run, ...], ...]:
    """Lines no wider than `room` mm, parted at spaces; words that are wider are cut."""
    out: list[tuple[Run, ...]] = []
    for line in written:
        current: list[Run] = []
        used = 0.0
        for piece in _pieces(line, room, size):
            wide = sum(text_width(text, size, weight) for text, weight, _ in piece)
            tail = piece[-1][0]
            bare = wide - (text_width(" ", size, piece[-1][1]) if tail.endswith(" ") else 0.0)
            if current and used + bare > room + 1e-6:
                out.append(_joined(current))
                current, used = [], 0.0
            current += piece
            used += wide
        out.append(_joined(current))
    return tuple(out)


def _pieces(line: tuple[Run, ...], room: float, size: float) -> list[list[Run]]:
    """What may not be parted: a word, over runs if need be, and the space after it."""
    pieces: list[list[Run]] = [[]]
    for text, weight, colour in line:
        for word in re.findall(r"[^ ]* |[^ ]+", text):
            for part in _cut(word, room, size, weight):
                pieces[-1].append((part, weight, colour))
                if part.endswith(" ") or part != word:
                    pieces.append([])
    return [piece for piece in pieces if piece]


def _cut(word: str, room: float, size: float, weight: Weight) -> list[str]:
    """A word in parts that fit."""
    if text_width(word.rstrip(" "), size, weight) <= room:
        return [word]
    parts, begin = [], 0
    for end in range(1, len(word) + 1):
        if end > begin + 1 and text_width(word[begin:end], size, weight) > room:
            parts.append(word[begin : end - 1])
            begin = end - 1
    return [*parts, word[begin:]]


def _joined(runs: list[Run]) -> tuple[Run, ...]:
    """Neighbours of one look as one run, without the space at the end of the line."""
    out: list[Run] = []
    for text, weight, colour in runs:
        if out and out[-1][1:] == (weight, colour):
            out[-1] = (out[-1][0] + text, weight, colour)
        else:
            out.append((text, weight, colour))
    if out:
        text, weight, colour = out[-1]
        out[-1] = (text.rstrip(" "), weight, colour)
    return tuple(run for run in out if run[0])
