"""Lines of words: where they break, how they hang, and what room they take.

Runs of one face each are broken at spaces into lines no wider than a measure, and laid as marks
of a scene. All lengths in mm. A block is set at the origin and moved to where it stands, so that
whoever lays out a page can ask for its height first.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache
from unicodedata import bidirectional

from msgspec import Struct

from diagram.scene import Item, Text, moved
from diagram.style import INK, Weight, text_width

LEADING = 1.22
"""Baseline to baseline, as a share of the type size."""
SHORT_LAST = 0.2
"""Of the measure: a last line shorter than this is mended by narrowing the paragraph."""


class Run(Struct, frozen=True):
    """Words of one face. A no-break space in them is never parted."""

    text: str
    weight: Weight = "regular"


SetLine = tuple[Run, ...]


class Block(Struct, frozen=True):
    """Marks at the origin, y down from the top edge, and the height they take.

    `parts` are blocks inside it, each with where it stands: nothing is moved before a page is
    painted, so that one can be laid out several times over at little cost.
    """

    height: float
    items: tuple[Item, ...] = ()
    parts: tuple[tuple[float, float, Block], ...] = ()

    def at(self, x: float, y: float) -> tuple[Item, ...]:
        """The marks with the upper left corner of the block at (x, y)."""
        out = [moved(item, x, y) for item in self.items]
        for right, down, part in self.parts:
            out += part.at(x + right, y + down)
        return tuple(out)

    def beside(self, right: float, down: float, height: float | None = None) -> Block:
        """The block shifted inside one of `height`, by default as much higher as it is lower."""
        tall = self.height + down if height is None else height
        return Block(tall, (), ((right, down, self),))

    def with_(self, *items: Item) -> Block:
        """The same with marks under it."""
        return Block(self.height, items, ((0.0, 0.0, self),))


def runs(text: str, weight: Weight = "regular") -> tuple[Run, ...]:
    """One text as runs."""
    return (Run(text, weight),)


def marked(text: str) -> tuple[Run, ...]:
    """``**1 alder** and on``: words between two pairs of stars are bold."""
    parts = text.split("**")
    return tuple(Run(part, "bold" if n % 2 else "regular") for n, part in enumerate(parts) if part)


def width_of(line: Iterable[Run], size: float) -> float:
    """Width of runs one after the other."""
    return sum(text_width(run.text, size, run.weight) for run in line)


@lru_cache(maxsize=4096)
def broken(written: tuple[Run, ...], measure: float, size: float) -> tuple[SetLine, ...]:
    """Lines no wider than `measure`, parted at spaces; a word that is wider is cut."""
    lines: list[list[Run]] = [[]]
    used = 0.0
    for word, space in _words(written, measure, size):
        wide = width_of(word, size)
        if lines[-1] and used + wide > measure + 1e-6:
            lines.append([])
            used = 0.0
        lines[-1] += [*word, *space]
        used += wide + width_of(space, size)
    return tuple(_joined(line) for line in lines)


def even(written: tuple[Run, ...], measure: float, size: float) -> tuple[SetLine, ...]:
    """As `broken`, narrowed where the last line would be a mere crumb; never more lines."""
    lines = broken(written, measure, size)
    if len(lines) < 2 or width_of(lines[-1], size) >= SHORT_LAST * measure:
        return lines
    for share in (0.95, 0.9, 0.85, 0.8, 0.75):
        narrower = broken(written, measure * share, size)
        if len(narrower) > len(lines):
            break
        if width_of(narrower[-1], size) >= SHORT_LAST * measure:
            return narrower
    return lines


def _words(
    written: tuple[Run, ...], measure: float, size: float
) -> Iterable[tuple[list[Run], list[Run]]]:
    """What may not be parted, over runs if need be, each with the space after it."""
    word: list[Run] = []
    for run in written:
        for part in re.findall(r"[^ ]+| +", run.text):
            if part[0] != " ":
                word.append(Run(part, run.weight))
                continue
            if word:
                yield from _cut(word, measure, size, [Run(" ", run.weight)])
            word = []
    if word:
        yield from _cut(word, measure, size, [])


def _cut(
    word: list[Run], measure: float, size: float, space: list[Run]
) -> Iterable[tuple[list[Run], list[Run]]]:
    """A word, or the parts of one that is wider than a line."""
    if width_of(word, size) <= measure:
        yield word, space
        return
    part, used = "", 0.0
    weight = word[0].weight
    for letter in "".join(run.text for run in word):
        wide = text_width(letter, size, weight)
        if part and used + wide > measure:
            yield [Run(part, weight)], []
            part, used = "", 0.0
        part, used = part + letter, used + wide
    yield [Run(part, weight)], space


def _joined(line: list[Run]) -> SetLine:
    """Neighbours of one face as one run, without the space at the end of the line."""
    out: list[Run] = []
    for run in line:
        if out and out[-1].weight == run.weight:
            out[-1] = Run(out[-1].text + run.text, run.weight)
        else:
            out.append(run)
    while out and not out[-1].text.rstrip(" "):
        out.pop()
    if out:
        out[-1] = Run(out[-1].text.rstrip(" "), out[-1].weight)
    return tuple(out)


def runs_leftward(text: str) -> bool:
    """Whether words are read from right to left: by their first letter with a direction, as in
    rules P2 and P3 of the Unicode Bidirectional Algorithm (UAX #9)."""
    strong = (bidirectional(letter) for letter in text)
    return next((kind != "L" for kind in strong if kind in ("L", "R", "AL")), False)


def line_items(line: Iterable[Run], x: float, baseline: float, size: float) -> list[Text]:
    """One line from `x` on, a mark for each run."""
    items = []
    for run in line:
        if run.text.strip():
            items.append(Text((x, baseline), run.text, size, run.weight, "start", 0.0, INK))
        x += text_width(run.text, size, run.weight)
    return items


def paragraph(
    written: Sequence[Run],
    measure: float,
    size: float,
    *,
    bullet: str = "",
    hang: float = 0.0,
    leading: float = LEADING,
) -> Block:
    """A paragraph with its lines `hang` mm in; a bullet stands in that room beside the first."""
    lines = even(tuple(written), measure - hang, size)
    items: list[Item] = []
    leftward = runs_leftward("".join(run.text for run in written))
    if bullet:
        at = measure - text_width(bullet, size) if leftward else 0.0
        items.append(Text((at, BASELINE * size), bullet, size))
    for n, line in enumerate(lines):
        # Words from right to left begin at the right edge, and hang there.
        x = measure - hang - width_of(line, size) if leftward else hang
        items += line_items(line, x, (BASELINE + n * leading) * size, size)
    return Block(len(lines) * size * leading, tuple(items))


BASELINE = 0.95
"""Of the type size: from the top of a line to its baseline."""


def stacked(blocks: Iterable[Block], gap: float = 0.0) -> Block:
    """Blocks one under the other."""
    parts: list[tuple[float, float, Block]] = []
    y = 0.0
    for n, block in enumerate(blocks):
        y += gap if n else 0.0
        parts.append((0.0, y, block))
        y += block.height
    return Block(y, (), tuple(parts))
