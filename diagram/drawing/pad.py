"""A page of words, rules and signs put down one after another, in paper millimetres."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from diagram import typesetting
from diagram.drawing import furniture
from diagram.drawing.beads import disc_marks
from diagram.scene import Anchor, Disc, Fill, Item, Point, Scene, Stroke, Text
from diagram.style import INK, PAPER, Colour, Pen, Weight, points, text_width

Run = tuple[str, float, Weight]
"""Words, their size in points, and their weight."""

LINE = 1.22
"""Of the type size, from one line to the next."""

TICKED = 3.4
"""Millimetres of the box of "passed when"."""


class Pad:
    """Collects the marks of one page. Origin top left; y runs down."""

    def __init__(self, width: float, height: float) -> None:
        self.width, self.height = width, height
        self.items: list[Item] = []

    def text(
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        weight: Weight = "regular",
        anchor: Anchor = "start",
        colour: Colour = INK,
    ) -> None:
        """One line of words with its baseline at `y`; `size` in points."""
        if text:
            self.items.append(Text((x, y), text, points(size), weight, anchor, colour=colour))

    def runs(self, x: float, y: float, runs: Iterable[Run], anchor: Anchor = "start") -> float:
        """Words of several weights on one baseline; returns where they end."""
        pieces = list(runs)
        whole = runs_width(pieces)
        at = x - {"start": 0.0, "middle": whole / 2, "end": whole}[anchor]
        for text, size, weight in pieces:
            self.text(at, y, text, size, weight)
            at += text_width(text, points(size), weight)
        return at

    def rule(
        self, a: Point, b: Point, width: float, dash: tuple[float, ...] = (), colour: Colour = INK
    ) -> None:
        """A straight line."""
        self.items.append(Stroke((a, b), Pen(colour, width, dash)))

    def line(self, points_: Sequence[Point], width: float, round_ends: bool = False) -> None:
        """A line through several points."""
        pen = Pen(INK, width, (), "round" if round_ends else "butt")
        self.items.append(Stroke(tuple(points_), pen))

    def box(self, x: float, y: float, width: float, height: float, pen: float) -> None:
        """An empty rectangle with its top left corner at (x, y)."""
        corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
        self.items.append(Stroke(corners, Pen(INK, pen), closed=True))

    def area(self, corners: Sequence[Point], colour: Colour) -> None:
        """A filled area."""
        self.items.append(Fill(tuple(corners), colour))

    def bar(self, x: float, y: float, width: float, height: float, colour: Colour) -> None:
        """A filled rectangle with its top left corner at (x, y)."""
        self.area(((x, y), (x + width, y), (x + width, y + height), (x, y + height)), colour)

    def dot(
        self, x: float, y: float, radius: float, fill: Colour | None = INK, pen: float = 0.0
    ) -> None:
        """A disc or, without a fill, a ring."""
        self.items.append(Disc((x, y), radius, fill, Pen(INK, pen) if pen else None))

    def paragraph(
        self,
        x: float,
        y: float,
        width: float,
        text: str,
        size: float,
        weight: Weight = "regular",
        line: float = LINE,
    ) -> float:
        """Words broken to a width, the first baseline at `y`; returns the last baseline."""
        lines = broken(text, width, size, weight)
        for n, words in enumerate(lines):
            self.text(x, y + n * points(size) * line, words, size, weight)
        return y + (len(lines) - 1) * points(size) * line

    def tick(self, x: float, y: float, size: float, pen: float = 0.7) -> None:
        """A tick in a square of `size` whose top left corner is (x, y)."""
        self.line(
            (
                (x, y + 0.55 * size),
                (x + 0.36 * size, y + 0.92 * size),
                (x + 1.12 * size, y - 0.1 * size),
            ),
            pen,
            round_ends=True,
        )

    def ticked_box(self, x: float, y: float, ticked: bool, weight: float = 0.9) -> None:
        """The box of "passed when", ticked or empty."""
        self.box(x, y, TICKED, TICKED, 0.35)
        if ticked:
            self.tick(x + 0.4, y + 0.1, TICKED - 0.6, weight)

    def dashes(self, x: float, y: float) -> None:
        """Three dashes: never tried."""
        for n in range(3):
            self.rule((x + 1.3 * n, y), (x + 1.3 * n + 0.9, y), 0.35)

    def phase_disc(self, x: float, y: float, called: str, phase: int) -> None:
        """The disc of a jump as on the card, its rim in the pattern of its phase."""
        self.items += disc_marks(called, phase, (x, y))

    def scene(self, title: str, description: str) -> Scene:
        """The page as a scene that is not to any scale."""
        return Scene(self.width, self.height, tuple(self.items), title, description)


GROUPS: dict[str, Colour] = {"horse": "#00538A", "rider": "#B8450A", "pair": "#262626"}
"""The colours of what the horse, the rider and both have shown: L* 34, 45, 15 in grey."""

WHITE = PAPER


def runs_width(runs: Iterable[Run]) -> float:
    """Millimetres that words of several weights take on one line."""
    return sum(text_width(text, points(size), weight) for text, size, weight in runs)


def broken(text: str, width: float, size: float, weight: Weight = "regular") -> list[str]:
    """Words in lines no wider than `width`; `size` in points."""
    lines = typesetting.broken(
        typesetting.runs(" ".join(text.split()), weight), width, points(size)
    )
    return ["".join(run.text for run in line) for line in lines] or [""]


def fitting(text: str, width: float, sizes: Sequence[float], weight: Weight = "regular") -> float:
    """The first of `sizes`, in points, at which `text` fits in `width`; else the last."""
    return next((s for s in sizes if text_width(text, points(s), weight) <= width), sizes[-1])


def cut(text: str, width: float, size: float, weight: Weight = "regular") -> str:
    """`text`, or as much of it as fits in `width`, with dots; `size` in points."""
    return furniture.cut(text, width, points(size), weight)
