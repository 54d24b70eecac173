"""A drawing larger than a printer's paper: a PDF of sheets that overlap, to be put together.

Each sheet carries a frame that says where the next one goes: what lies outside it is printed
on the neighbour as well. Crosses stand on both at the same places of the drawing, so that one
sheet can be laid on the other cross on cross. Nothing is scaled.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterable, Iterator

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from diagram.scene import Box, Fill, Group, Item, Scene, Stroke, Text
from diagram.style import FRAME, INK, LABEL, PAPER, SMALL, Pen, text_width
from diagram.writers.files import legal_text
from diagram.writers.pdf import draw_scene, open_canvas

OVERLAP = 10.0
"""Millimetres that neighbouring sheets have in common, at least."""
EDGE = 10.0
"""Millimetres of paper that printers cannot be trusted with."""
NOTE = 6.0
"""Millimetres kept at the foot of each sheet for what it is."""
CROSS = 4.0
CUT = Pen(INK, 0.18, (2.0, 1.5))
MOST_SHEETS = 400


class Tiling(Struct, frozen=True):
    """Sheets of `paper` mm in `columns` and `rows`; each shows `shown` mm of the drawing.

    `across` and `down` are where on the drawing they begin, no further apart than a sheet less
    the overlap.
    """

    paper: tuple[float, float]
    columns: int
    rows: int
    shown: tuple[float, float]
    across: tuple[float, ...] = ()
    down: tuple[float, ...] = ()

    @property
    def step(self) -> tuple[float, float]:
        """Millimetres of the drawing from one sheet to the next, at most."""
        return self.shown[0] - OVERLAP, self.shown[1] - OVERLAP

    @property
    def sheets(self) -> int:
        """How many there are."""
        return self.columns * self.rows


def tiling(scene: Scene, paper: tuple[float, float]) -> Tiling:
    """The way round that needs fewer sheets. Raises ValueError when there would be too many."""
    choices = []
    for width, height in (paper, paper[::-1]):
        shown = (width - 2 * EDGE, height - 2 * EDGE - NOTE)
        counts = [
            max(1, math.ceil((size - OVERLAP) / (room - OVERLAP)))
            for size, room in zip((scene.width, scene.height), shown, strict=True)
        ]
        choices.append(Tiling((width, height), counts[0], counts[1], shown))
    best = min(choices, key=lambda choice: choice.sheets)
    if best.sheets > MOST_SHEETS:
        raise ValueError(f"that takes {best.sheets} sheets; {MOST_SHEETS} are the most")
    boxes = [mark.bbox() for mark in _words(scene.items)]
    across = _begins([(b.left, b.right) for b in boxes], scene.width, best, 0)
    down = _begins([(b.top, b.bottom) for b in boxes], scene.height, best, 1)
    return replace(best, across=across, down=down)


SHIFT = 2.0
"""Millimetres between the places looked at for a sheet."""


def _begins(
    words: list[tuple[float, float]], size: float, plan: Tiling, axis: int
) -> tuple[float, ...]:
    """Where the sheets of a row or column begin for fewest words to be whole on none.

    The drawing needs its last sheet seldom whole, so every seam may be moved back a little. All
    ways are weighed: for each place of a sheet the best of those that lead there.
    """
    count, step, shown = (plan.columns, plan.rows)[axis], plan.step[axis], plan.shown[axis]
    low, high = np.array(words or [(0.0, 0.0)]).T
    back = np.arange(0.0, step - OVERLAP, SHIFT)
    ways: dict[float, tuple[int, tuple[float, ...]]] = {0.0: (0, (0.0,))}
    for _ in range(count - 1):
        found: dict[float, tuple[int, tuple[float, ...]]] = {}
        for begin, (cost, way) in ways.items():
            nexts = begin + step - back
            ends = high > begin + shown
            cut = ((low[ends, None] < nexts[None, :]).sum(axis=0)).tolist()
            for place, broken in zip(np.round(nexts, 3).tolist(), cut, strict=True):
                if place not in found or cost + broken < found[place][0]:
                    found[place] = cost + broken, (*way, place)
        ways = found
    whole = [found for place, found in ways.items() if place + shown >= size - 1e-6]
    # Of equals the one with the sheets furthest on, as without any words.
    return min(whole, key=lambda one: (one[0], [-place for place in one[1]]))[1]


def _words(items: Iterable[Item]) -> Iterator[Text]:
    """Every word for itself."""
    for item in items:
        if isinstance(item, Group):
            yield from _words(item.children)
        elif isinstance(item, Text):
            yield from words_of(item)


def words_of(text: Text) -> Iterator[Text]:
    """The words of a line as marks of their own, where they stand."""
    if text.spacing:
        yield text
        return
    turn = math.radians(text.angle)
    before = ""
    for word in text.text.split(" "):
        along = text.offset() + text_width(before, text.size, text.weight)
        at = (text.at[0] + along * math.cos(turn), text.at[1] - along * math.sin(turn))
        if word:
            yield replace(text, at=at, text=word, anchor="start")
        before += f"{word} "


def tiled_bytes(scene: Scene, paper: tuple[float, float]) -> bytes:
    """A PDF with a page for each sheet, row by row. Raises ValueError for too many sheets."""
    plan = tiling(scene, paper)
    out = io.BytesIO()
    canvas = open_canvas(out, plan.paper, scene.title, language=scene.language)
    canvas.setSubject(legal_text(scene.description))
    for row in range(plan.rows):
        for column in range(plan.columns):
            x, y = plan.across[column], plan.down[row]
            sheet = Scene(*plan.shown, tuple(_own(scene, plan, column, row))).moved(-x, -y)
            draw_scene(canvas, sheet, EDGE, plan.paper[1] - EDGE)
            marks = Scene(*plan.paper, tuple(_marks(scene, plan, column, row)))
            draw_scene(canvas, marks, 0.0, plan.paper[1])
            title = f"row {row + 1}, column {column + 1}"
            canvas.bookmarkPage(title)
            canvas.addOutlineEntry(title, title, 0)
            canvas.showPage()
    canvas.showOutline()
    canvas.save()
    return out.getvalue()


def _own(scene: Scene, plan: Tiling, column: int, row: int) -> Iterator[Item]:
    """What a sheet shows: marks that reach it, and of the words those that no other shows whole."""
    mine = _shown(plan, column, row)
    yield from _within(scene.items, mine, plan)


def _shown(plan: Tiling, column: int, row: int) -> Box:
    x, y = plan.across[column], plan.down[row]
    return Box(x, y, x + plan.shown[0], y + plan.shown[1])


def _within(items: Iterable[Item], mine: Box, plan: Tiling) -> Iterator[Item]:
    for item in items:
        if isinstance(item, Group):
            children = tuple(_within(item.children, mine, plan))
            if children:
                yield replace(item, children=children)
            continue
        box = item.bbox()
        if not box.overlaps(mine):
            continue
        if not isinstance(item, Text) or _inside(box, mine):
            yield item
        elif not _whole_somewhere(box, plan):
            # A line longer than a sheet goes on word by word.
            for word in words_of(item):
                own = word.bbox()
                if _inside(own, mine) or (not _whole_somewhere(own, plan) and own.overlaps(mine)):
                    yield word


def _inside(box: Box, sheet: Box) -> bool:
    return (
        sheet.left <= box.left
        and box.right <= sheet.right
        and sheet.top <= box.top
        and box.bottom <= sheet.bottom
    )


def _whole_somewhere(box: Box, plan: Tiling) -> bool:
    return any(
        _inside(box, _shown(plan, column, row))
        for row in range(plan.rows)
        for column in range(plan.columns)
    )


def _marks(scene: Scene, plan: Tiling, column: int, row: int) -> Iterator[Item]:
    """The frame to cut or lay at, the crosses, which sheet this is, and where it goes."""
    left, top = EDGE, EDGE
    right, bottom = left + plan.shown[0], top + plan.shown[1]
    yield Stroke(((left, top), (right, top), (right, bottom), (left, bottom)), FRAME, closed=True)
    for n, (starts, here) in enumerate(((plan.across, column), (plan.down, row))):
        near, far = (left, right) if n == 0 else (top, bottom)
        seams = []
        if here:
            common = starts[here - 1] + plan.shown[n] - starts[here]
            seams.append((near + common, near + common / 2))
        if here + 1 < len(starts):
            common = starts[here] + plan.shown[n] - starts[here + 1]
            seams.append((far - common, far - common / 2))
        for at, middle in seams:
            if n == 0:
                yield Stroke(((at, top), (at, bottom)), CUT)
            else:
                yield Stroke(((left, at), (right, at)), CUT)
            for share in (0.15, 0.85):
                if n == 0:
                    yield from _cross(middle, top + (bottom - top) * share)
                else:
                    yield from _cross(left + (right - left) * share, middle)
    yield from _note(scene, plan, column, row)


def _cross(x: float, y: float) -> Iterator[Item]:
    pen = Pen(INK, 0.25)
    yield Stroke(((x - CROSS / 2, y), (x + CROSS / 2, y)), pen)
    yield Stroke(((x, y - CROSS / 2), (x, y + CROSS / 2)), pen)


def _note(scene: Scene, plan: Tiling, column: int, row: int) -> Iterator[Item]:
    base = plan.paper[1] - EDGE - 1.0
    cell = min(4.0, NOTE / plan.rows, 40.0 / plan.columns)
    for r in range(plan.rows):
        for c in range(plan.columns):
            x, y = EDGE + c * cell, base - (plan.rows - r) * cell + 1.0
            corners = ((x, y), (x + cell, y), (x + cell, y + cell), (x, y + cell))
            yield Fill(corners, INK if (c, r) == (column, row) else PAPER, Pen(INK, 0.13))
    words = f"row {row + 1} of {plan.rows}, column {column + 1} of {plan.columns}"
    x = EDGE + plan.columns * cell + 2.0
    yield Text((x, base), words, LABEL, "semibold")
    x += text_width(words, LABEL, "semibold") + 4.0
    scale = scene.scale_denominator
    how = "Lay cross on cross. Print at full size"
    yield Text((x, base), f"{how}: scale 1:{scale:g}." if scale else f"{how}.", SMALL)
