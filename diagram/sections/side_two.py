"""Side 2 of a card: for the instructor. Two columns of elements, a third for the evening.

Where not everything fits, the lines are first set tighter without loss, then whole classes of
text are dropped in a fixed order and named; type is never made smaller.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import lru_cache
from itertools import product
from string import ascii_lowercase

from msgspec import Struct
from msgspec.structs import replace

from diagram.drawing.beads import DISC
from diagram.drawing.furniture import NO_SUBSTITUTE, cut, title_cut
from diagram.drawing.parts import parts_of
from diagram.drawing.ride_words import sample_pen
from diagram.drawing.side_one import FOOT_LINE, TITLE_LINE, PaperSheet
from diagram.exercise.course import ElementLesson
from diagram.plain import plural
from diagram.planning import Plan
from diagram.scene import Disc, Group, Item, Scene, Stroke, Text
from diagram.sections.care import STOPPED, care_texts, warnings_of
from diagram.sections.cautions import every_time
from diagram.sections.teaching import TaughtElement, TaughtPart, elements_of
from diagram.style import (
    BOARD,
    CALLED,
    HAND,
    HAND_LARGE,
    INK,
    LOOKED_UP,
    PAPER,
    RULE,
    SHEET_TITLE,
    THIN_RULE,
    Pen,
    Weight,
    points,
    rim_pen,
    text_width,
)  # fmt: skip
from diagram.typesetting import BASELINE, Block, Run, paragraph, runs, stacked
from diagram.units import Units, feet_inches, length_text

TOP = TITLE_LINE + 4.2
"""Millimetres from the upper edge to the rule under the title."""
SHARES, GAP = (97.0, 97.0, 71.0), 6.0
"""Millimetres of the columns on a measure of 277, in proportion on another, and between them."""
GUTTER = 10.0
SMALL_DISC, TIGHT_DISC = 3.6, 2.7
HEADING = points(12.5)
BOX = 2.9
BULLET, BULLET_STEP = 3.2, 6.0
"""Millimetres that a bullet hangs, and between items that share a row."""
PHASE_ROW = 8.0
PHASE_BREAK = 12.0
"""Millimetres of unevenness that are worth it for a phase to begin a column."""
FRAME, FRAME_PAD = Pen(INK, 0.7), 3.0
MOST_WATCH, MOST_WARM_UP = 2, 2
RUNS_ON = ("Leads to", "Harder", "Easier", "Warm-up")
"""What stands under the elements where the third column is full, in the order in which it goes."""
ADVICE_GAP = 7.0


class TextSetting(Struct, frozen=True):
    """How tight, and what is left out. `size` is that of the text to teach from."""

    size: float = HAND
    one_heading: bool = False
    run_on: bool = False
    gap: float = 3.4
    left_out: tuple[str, ...] = ()

    def without(self, *names: str) -> TextSetting:
        """The same with more left out."""
        return replace(self, left_out=(*self.left_out, *names))


LEADS_TO, WARM_UP, HARDER = "what it leads to", "some of the warm-up", "harder"
WATCH, REPEATED, EASIER = "some of what to watch", "purposes said before", "easier"


def draw_side_two(plan: Plan, sheet: PaperSheet, units: Units = "feet") -> tuple[Scene, ...]:
    """Side 2, and for long rides the sides after it, each a whole sheet."""
    page = Columns(plan, sheet, units)
    return tuple(scene.enlarged(sheet.factor) for scene in page.scenes())


class Columns:
    """Sets the columns at the first setting at which they fit, from `top` mm down.

    The last of `shares` is the width of advice, the others those of elements.
    """

    def __init__(
        self,
        plan: Plan,
        sheet: PaperSheet,
        units: Units,
        top: float = TOP + 3.2,
        shares: tuple[float, ...] = SHARES,
    ) -> None:
        self.plan, self.sheet, self.units, self.top = plan, sheet, units, top
        self.most = len(shares) - 1
        share = (sheet.inner - self.most * GAP) / sum(shares)
        self.widths = tuple(width * share for width in shares)
        wide = text_width(imprint(plan, units), LOOKED_UP) + text_width(NO_SUBSTITUTE, LOOKED_UP)
        # A long imprint takes a row of its own rather than be cut.
        self.second_row = LOOKED_UP * 1.22 if wide + 6.0 > sheet.inner else 0.0
        self.room = sheet.height - FOOT_LINE - LOOKED_UP - 3.4 - self.second_row - top
        self.elements = elements_of(plan, units)
        self.phases = parts_of(plan).names
        self.care, self.warned = care_texts(plan), bool(warnings_of(plan))

    def scenes(self) -> Iterator[Scene]:
        """One scene a side."""
        elements, first, left_out = self._first()
        yield self._scene(first, left_out, 0)
        for n, begin in enumerate(range(2, len(elements), 3), 1):
            columns = (*elements[begin : begin + 3], Block(0.0), Block(0.0))[:3]
            yield self._scene(columns, (), n)

    def one(self) -> tuple[tuple[Item, ...], tuple[str, ...]] | None:
        """Columns and foot where one side holds them, and what is left out; else None."""
        elements, columns, left_out = self._first()
        if len(elements) > self.most or columns[-1].height > self.room:
            return None
        return (*self._columns_at(columns), *self._foot(left_out)), left_out

    def _first(self) -> tuple[list[Block], tuple[Block, ...], tuple[str, ...]]:
        """All columns of elements, those of the first side with the advice, and what is left
        out."""
        elements, chosen = self._elements()
        first = list(elements[: self.most])
        third, left_out = self._third(chosen, first)
        return elements, (*first, third), tuple(dict.fromkeys((*chosen.left_out, *left_out)))

    # --- Columns 1 and 2 ----------------------------------------------------------------------

    def _elements(self) -> tuple[list[Block], TextSetting]:
        """Columns of elements; at most two where any setting allows it."""
        tight = (
            TextSetting(HAND_LARGE), TextSetting(), TextSetting(one_heading=True),
            TextSetting(one_heading=True, run_on=True),
            TextSetting(one_heading=True, run_on=True, gap=2.4),
        )  # fmt: skip
        settings = [*tight, tight[-1].without(WATCH), tight[-1].without(WATCH, REPEATED)]
        for setting in settings:
            columns = self._columns(setting)
            if len(columns) <= self.most:
                fits = max(column.height for column in columns) <= self.room
                if setting.size > HAND and not (
                    fits and self._third_fits(setting, self._padded(columns))
                ):
                    continue
                if fits:
                    return self._padded(columns), setting
        return self._filled(settings[-1]), settings[-1]

    def _padded(self, columns: list[Block]) -> list[Block]:
        return [*columns, Block(0.0)][: self.most]

    def _blocks(self, setting: TextSetting) -> list[tuple[Block, bool, int]]:
        """Each element as a block, whether a phase begins with it, and which."""
        out, before = [], -1
        for element in self.elements:
            begins = element.phase != before and len(self.phases) > 1
            before = element.phase
            block = self._element(element, setting)
            out.append((block, begins, element.phase))
        return out

    def _columns(self, setting: TextSetting) -> list[Block]:
        """Parted where the columns come out most even; a phase likes to begin one."""
        blocks = self._blocks(setting)
        best: tuple[float, int] | None = None
        for at in range(1 if self.most > 1 else len(blocks), len(blocks) + 1):
            heights = [self._height(part, setting) for part in (blocks[:at], blocks[at:])]
            if max(heights) > self.room:
                continue
            cost = max(heights)
            if at < len(blocks) and blocks[at][1]:
                cost -= PHASE_BREAK
            if best is None or cost < best[0] - 1e-6:
                best = cost, at
        if best is None:
            return [Block(math.inf)] * 3
        at = best[1]
        return [self._stack(part, setting) for part in (blocks[:at], blocks[at:]) if part]

    def _filled(self, setting: TextSetting) -> list[Block]:
        """As many columns as it takes, each as full as can be."""
        columns: list[list[tuple[Block, bool, int]]] = [[]]
        for one in self._blocks(setting):
            if columns[-1] and self._height([*columns[-1], one], setting) > self.room:
                columns.append([])
            columns[-1].append(one)
        return [self._stack(column, setting) for column in columns]

    def _height(self, part: list[tuple[Block, bool, int]], setting: TextSetting) -> float:
        return self._stack(part, setting).height if part else 0.0

    def _stack(self, part: list[tuple[Block, bool, int]], setting: TextSetting) -> Block:
        blocks: list[Block] = []
        for n, (block, begins, phase) in enumerate(part):
            if begins:
                head = self._phase(phase)
                block = stacked([head, block])
            blocks.append(block if n == 0 or not begins else block.beside(0.0, 2.0))
        return stacked(blocks, setting.gap)

    def _phase(self, phase: int) -> Block:
        """The line of a phase and its name."""
        y = PHASE_ROW * 0.45
        line = Stroke(((0.0, y - 1.2), (8.0, y - 1.2)), sample_pen(phase, 8.0))
        name = self.phases[phase] if phase < len(self.phases) else ""
        return Block(PHASE_ROW, (line, Text((GUTTER, y), name, BOARD, "semibold")))

    def _element(self, element: TaughtElement, setting: TextSetting) -> Block:
        """A disc in the gutter, heading and how it is ridden, then each part."""
        width = self.widths[0] - GUTTER
        heads = [(Run(element.heading, "bold"),), (Run(element.how, "semibold"),)]
        if setting.one_heading:
            joined = (Run(f"{element.heading}  ", "bold"), Run(element.how, "semibold"))
            rows = [paragraph(joined, width, setting.size)]
        else:
            rows = [
                paragraph(heads[0], width, HEADING, leading=1.15),
                paragraph(heads[1], width, setting.size, leading=1.2),
            ]
        for part in element.parts:
            rows.append(self._part(part, element, width, setting).beside(0.0, 0.6))
        body = stacked(rows)
        block = body.beside(GUTTER, 0.0, max(body.height, 2 * SMALL_DISC))
        if not element.figure:
            return block
        radius = TIGHT_DISC if setting.one_heading else SMALL_DISC
        # Of a combination its number alone: the drawing has the letters.
        figure = element.figure.split("\N{EN DASH}")[0].rstrip(ascii_lowercase)
        return block.with_(*_small_disc(figure, element.phase, radius))

    def _part(
        self, part: TaughtPart, element: TaughtElement, width: float, setting: TextSetting
    ) -> Block:
        size, lesson = setting.size, self._kept(part, element, setting)
        rows: list[Block] = []
        if lesson.purpose:
            rows.append(paragraph(runs(lesson.purpose), width, size))
        if lesson.watch:
            rows += _watch(lesson.watch, width, size, setting.run_on)
        if lesson.passed_when:
            rows.append(_passed(lesson.passed_when, width, size))
        for said in lesson.if_it_goes_wrong:
            rows.append(paragraph((Run("If not: ", "semibold"), Run(_small(said))), width, size))
        body = stacked(rows)
        if not rows:
            return body
        x = -GUTTER + 8.2 - text_width(part.name, LOOKED_UP)
        label = Text((max(x, -GUTTER), BASELINE * size), part.name, LOOKED_UP)
        return body.with_(label)

    def _kept(
        self, part: TaughtPart, element: TaughtElement, setting: TextSetting
    ) -> ElementLesson:
        lesson = part.lesson
        if WATCH in setting.left_out:
            lesson = replace(lesson, watch=lesson.watch[:MOST_WATCH])
        if REPEATED in setting.left_out and part.name == "jump" and len(element.parts) > 1:
            lesson = replace(lesson, purpose="")
        return lesson

    # --- Column 3 -----------------------------------------------------------------------------

    def _third_fits(self, setting: TextSetting, columns: list[Block]) -> bool:
        return self._arranged(replace(setting, left_out=()), columns) is not None

    def _third(self, setting: TextSetting, columns: list[Block]) -> tuple[Block, tuple[str, ...]]:
        """The third column, with whole classes dropped until it fits.

        Advice that has no room in it stands under one of `columns`, which are changed then.
        """
        own = replace(setting, left_out=())
        for name in ("", LEADS_TO, WARM_UP, HARDER, EASIER):
            own = own.without(name) if name else own
            arranged = self._arranged(own, columns)
            if arranged:
                break
        else:
            arranged = self._third_at(own, ()), columns
        said = self.plan.definition
        there = {
            LEADS_TO: bool(said.leads_to), HARDER: bool(said.harder), EASIER: bool(said.easier),
            WARM_UP: len(said.warm_up) > MOST_WARM_UP,
        }  # fmt: skip
        columns[:] = arranged[1]
        return arranged[0], tuple(name for name in own.left_out if there.get(name))

    def _arranged(
        self, setting: TextSetting, columns: list[Block]
    ) -> tuple[Block, list[Block]] | None:
        """The third column and both others with what runs on under them; None if nothing fits."""
        # What holds every time is for safety: it is set as large as the rest where it can be.
        sizes = (min(setting.size, HAND), LOOKED_UP)
        for every, count in product(sizes, range(len(RUNS_ON) + 1)):
            moved = RUNS_ON[:count]
            third = self._third_at(setting, moved, every)
            if third.height > self.room:
                continue
            placed = list(columns)
            for name in reversed(moved):
                block = self._advice(name, setting, self.widths[0] - GUTTER)
                if block is None:
                    continue
                under = next(
                    (n for n in (1, 0) if n < len(placed) and
                     placed[n].height + ADVICE_GAP + block.height <= self.room), None,
                )  # fmt: skip
                if under is None:
                    break
                block = block.beside(GUTTER, 0.0)
                there = placed[under]
                placed[under] = stacked([there, block], ADVICE_GAP) if there.height else block
            else:
                return third, placed
        return None

    def _advice(self, name: str, setting: TextSetting, width: float) -> Block | None:
        """One class of advice as a list; None where there is none or it is left out."""
        said = self.plan.definition
        warm_up = said.warm_up[:MOST_WARM_UP] if WARM_UP in setting.left_out else said.warm_up
        texts = {
            "If it goes wrong": said.if_it_goes_wrong,
            "Warm-up": warm_up,
            "Easier": () if EASIER in setting.left_out else said.easier,
            "Harder": () if HARDER in setting.left_out else said.harder,
            "Leads to": () if LEADS_TO in setting.left_out else said.leads_to,
        }[name]
        return _list(name, texts, width, setting.size) if texts else None

    def _third_at(
        self, setting: TextSetting, elsewhere: tuple[str, ...], every: float = LOOKED_UP
    ) -> Block:
        width, size = self.widths[-1], setting.size
        blocks = []
        care = self.care
        if care:
            # Notes of a file may be of any kind: alone they are not called a warning.
            head = "Tonight take care" if self.warned else "Tonight"
            inside = _list(head, care, width - 2 * FRAME_PAD, size)
            blocks.append(_framed(inside, width))
        for name in ("Warm-up", "If it goes wrong", "Easier", "Harder", "Leads to"):
            block = None if name in elsewhere else self._advice(name, setting, width)
            if block:
                blocks.append(block)
        always = every_time(self.plan)
        blocks.append(_list("Every time", always, width, every, max(every, points(11.5))))
        return stacked(blocks, 2.6 if setting.gap > 3.0 else 1.8)

    # --- The sheet ----------------------------------------------------------------------------

    def _scene(self, columns: Iterable[Block], left_out: tuple[str, ...], turn: int) -> Scene:
        sheet = self.sheet
        right = sheet.width - sheet.margin
        words = "for the instructor" if not turn else f"for the instructor, continued ({turn + 1})"
        words = f"{self.plan.name}, {words}" if self.plan.name else words
        room = sheet.inner - text_width(words, BOARD) - 8.0
        items: list[Item] = [
            Text((sheet.margin, TITLE_LINE), title_cut(self.plan, room), SHEET_TITLE, "bold"),
            Text((right, TITLE_LINE), words, BOARD, anchor="end"),
            Stroke(((sheet.margin, TOP), (right, TOP)), RULE),
        ]  # fmt: skip
        items += [*self._columns_at(columns), *self._foot(left_out)]
        return Scene(
            sheet.width, sheet.height, tuple(items), self.plan.title,
            f"{self.plan.title}, for the instructor", "en", None,
        )  # fmt: skip

    def _columns_at(self, columns: Iterable[Block]) -> Iterator[Group]:
        x = self.sheet.margin
        for n, (column, width) in enumerate(zip(columns, self.widths, strict=False)):
            yield Group(f"column-{n + 1}", column.at(x, self.top))
            x += width + GAP

    def _foot(self, left_out: tuple[str, ...]) -> Iterator[Item]:
        sheet = self.sheet
        y, right = sheet.height - FOOT_LINE, sheet.width - sheet.margin
        above = y - self.second_row
        rule = above - LOOKED_UP - 0.6
        yield Stroke(((sheet.margin, rule), (right, rule)), THIN_RULE)
        end = right - text_width(NO_SUBSTITUTE, LOOKED_UP)
        room = sheet.inner if self.second_row else end - sheet.margin - 6.0
        # What is missing is said whole, whatever it costs of the rest.
        left = f" Left out for want of room: {', '.join(left_out)}." if left_out else ""
        room -= text_width(left, LOOKED_UP)
        said = imprint(self.plan, self.units)
        if text_width(said, LOOKED_UP) > room:
            said = imprint(self.plan, self.units, timed=False)
        yield Text((sheet.margin, above), cut(said, room, LOOKED_UP) + left, LOOKED_UP)
        yield Text((end, y), NO_SUBSTITUTE, LOOKED_UP)


def imprint(plan: Plan, units: Units, timed: bool = True) -> str:
    """``Summer field, Thornbeck (invented), 246' × 151'. Horses, trained, stride 12'. ...``.

    With the time allowed where there is one, unless it is not to be `timed`.
    """
    long, wide = plan.arena.size
    feet = f"{feet_inches(long, 12)} × {feet_inches(wide, 12)}"
    metres = f"{round(long, 1):g} × {round(wide, 1):g} m"
    size = {"feet": feet, "metres": metres, "both": f"{feet} ({metres})"}[units]
    name = plan.arena.name
    where = metres if name[:1].isdigit() and units == "metres" else size
    place = where if name[:1].isdigit() else f"{name}, {where}"
    horses = plan.terms.horses
    who = plural(horses.size or "horse")
    table = plan.terms.table.name
    by = f"by the {table}" if table.endswith("chart") else f"by the table “{table}”"
    return (
        f"{place}. {who[:1].upper()}{who[1:]}, {horses.experience}, "
        f"stride {length_text(horses.stride_m, units)}. Distances {by}."
        + (_time_allowed(plan, units) if timed else "")
    )


def _time_allowed(plan: Plan, units: Units) -> str:
    """`` Time allowed 63 s: 367 m at 350 m a minute.``, with feet the length in both; nothing for
    what is ridden without one. Speeds of rounds are metres a minute in every rule book."""
    clock = plan.totals.clock
    if clock.time_allowed is None or clock.track_m is None:
        return ""
    length, speed = round(clock.track_m), round(clock.speed * 60)
    said = f"{length} m" if units == "metres" else f"{feet_inches(clock.track_m, 12)} ({length} m)"
    return f" Time allowed {clock.time_allowed} s: {said} at {speed} m a minute."


def _small(text: str) -> str:
    """The first letter made small, as it goes on in a sentence: unless it is a word in capitals."""
    first, rest = text[:1], text[1:]
    return first.lower() + rest if rest[:1].islower() or rest[:1] == " " else text


def _small_disc(figure: str, phase: int, outer: float) -> tuple[Item, ...]:
    """The disc of the drawing, small, in the gutter."""
    at = (SMALL_DISC, outer - 0.2)
    radius = outer - 0.45
    wide = text_width(figure, 1.0, "bold")
    fits = min(CALLED * outer / DISC, (2 * radius - 1.2) / max(wide, 0.1))
    size = max(fits, LOOKED_UP)
    return (
        Disc(at, radius, fill=PAPER, pen=replace(rim_pen(phase, radius), width=0.9)),
        Text((at[0], at[1] + size * 0.33), figure, size, "bold", "middle"),
    )


def _watch(texts: tuple[str, ...], width: float, size: float, run_on: bool) -> list[Block]:
    """Bullets in one row if the row holds them all, else one a line; or run on."""
    wide = [BULLET + text_width(text, size) for text in texts]
    if sum(wide) + BULLET_STEP * (len(texts) - 1) <= width:
        items: list[Item] = []
        x = 0.0
        for text, taken in zip(texts, wide, strict=True):
            items.append(Text((x, BASELINE * size), "•", size))
            items.append(Text((x + BULLET, BASELINE * size), text, size))
            x += taken + BULLET_STEP
        return [Block(size * 1.22, tuple(items))]
    if run_on:
        return [paragraph(runs("•  " + "   •  ".join(texts)), width, size)]
    return [paragraph(runs(text), width, size, bullet="•", hang=BULLET) for text in texts]


def _passed(text: str, width: float, size: float) -> Block:
    """A box to tick and when."""
    said = (Run("Passed when ", "semibold"), Run(_small(text)))
    block = paragraph(said, width, size, hang=BOX + 1.4)
    base = BASELINE * size
    corners = ((0.25, base - BOX + 0.35), (BOX, base - BOX + 0.35), (BOX, base + 0.35),
               (0.25, base + 0.35))  # fmt: skip
    return block.with_(Stroke(corners, RULE, closed=True))


@lru_cache(maxsize=64)
def _list(
    name: str, texts: tuple[str, ...], width: float, size: float, head: float = BOARD
) -> Block:
    rows = [paragraph((Run(name, "bold"),), width, head, leading=1.25)]
    for text in texts:
        weight: Weight = "bold" if text == STOPPED else "regular"
        rows.append(paragraph((Run(text, weight),), width, size, bullet="•", hang=BULLET))
    return stacked(rows)


def _framed(block: Block, width: float) -> Block:
    tall = block.height + 2 * FRAME_PAD - 1.2
    edge = FRAME.width / 2
    corners = ((edge, 0.0), (width - edge, 0.0), (width - edge, tall), (edge, tall))
    inside = block.beside(FRAME_PAD, FRAME_PAD - 0.8, tall)
    return inside.with_(Stroke(corners, FRAME, closed=True))
