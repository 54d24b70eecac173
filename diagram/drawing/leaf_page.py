"""The builder's leaf: title, drawing, checks and pieces on the left, rows on the right.

Measures are millimetres of a page on its side. The left part is 0.55 of the width.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from diagram.diagnostics import Severity
from diagram.drawing.furniture import NO_SUBSTITUTE, STOPPED, cut
from diagram.drawing.leaf_checks import checks_of
from diagram.drawing.leaf_plan import leaf_plan, width_limits
from diagram.drawing.leaf_rows import (
    WIDTH,
    broken,
    draw_rows,
    fitted_rows,
    rows_that_fit,
    usual_poles,
)
from diagram.drawing.side_view import lower_heights
from diagram.exercise.equipment import pole_text
from diagram.plain import counted
from diagram.scene import Box, Group, Item, Scene, Stroke, Text
from diagram.stakeout.leaf_marks import every_mark
from diagram.stakeout.leaf_notes import (
    MEASURED,
    earlier_pegs,
    equipment_words,
    errors,
    middles,
    people,
    rail,
    tape_words,
)  # fmt: skip
from diagram.stakeout.leaf_words import BENDS, MOVE, LeafWords, words_for
from diagram.stakeout.setting import SettingOut
from diagram.style import INK, Pen, Weight, points, text_width
from diagram.units import length_text

TITLE, FACTS, HEIGHTS, BOARD, HAND, SMALL = (points(size) for size in (20, 12, 15, 12, 10.5, 8.5))
TOP, GAP = 15.0, 8.0
"""Millimetres kept for the head; what parts the rows from the rest."""
WAYS = "Small arrows: first jumped so."
SAFETY = "Black pole: safety cups."
ELSEWHERE = "In metres: lines in the checks, every foot on the second leaf."
LINES_AGAIN = "when all stands, read each line of the rows again before a horse goes."
TEXT_LINE = 4.3
LOW_TEXT = (False, points(9.5), 3.8)
"""Without the ends of the ride, smaller: where the texts would make the drawing smaller."""
FOOT_LINE, BEFORE_CHECKS = 3.4, 0.4
MOST, BELOW = 8, 4.0
"""Fences that one leaf holds; millimetres between the texts and rows below them."""
THIN = Pen(INK, 0.25)


def leaf_pages(
    setting: SettingOut, width: float, height: float, track: bool = False
) -> tuple[Scene, ...]:
    """The leaf on pages of `width` by `height` mm; one for as many fences as its rows hold.
    `track` draws the ridden line faint.

    Raises ValueError when the arena does not fit at any scale.
    """
    words = words_for(setting.plan, setting.leaf, setting.crew)
    told_twice = words.crew.units == "both"
    foot = FOOT_LINE * len(_foot_lines(words, width, ELSEWHERE if told_twice else "")) + 0.9
    room = height - TOP - foot
    rows = fitted_rows(setting, words, room)
    if told_twice and len(rows) <= MOST and rows_that_fit(rows, room) < len(rows):
        # One page is worth more to a crew than the other unit in every row.
        told_twice = False
        rows = fitted_rows(setting, replace(words, crew=replace(words.crew, units="feet")), room)
    count = max(1, rows_that_fit(rows, room)) if rows else 0
    marks: list[Item] = [_head(setting, words, width, first=True)]
    right = width - WIDTH
    rest = rows[count:] if count < len(rows) <= MOST else []
    # What the column does not hold goes on under the drawing, where that stays large enough.
    low = sum(row.least for row in rest) + (BELOW if rest else 0.0)
    fewer = _without_repeats(words) if rest else words
    whole = Box(0.0, TOP, right - GAP, height - foot)
    drawn = list(_left(setting, fewer, replace(whole, bottom=whole.bottom - low), track))
    if rest and not drawn:
        rest, low = [], 0.0
        drawn = list(_left(setting, words, whole, track))
    told: list[Item] = []
    if not drawn:
        # So many checks that no drawing fits above them: they go on a leaf of their own.
        alone = leaf_plan(setting, words, whole, track)
        drawn = [alone] if alone else []
        told = list(_left(setting, words, whole, track, False))
    if not drawn:
        long, wide = setting.plan.arena.size
        raise ValueError(f"an arena of {long:g} x {wide:g} m does not fit on this paper")
    marks += [*drawn, draw_rows(rows[:count], setting, right, TOP, room)]
    if rest:
        least = low - BELOW
        marks.append(draw_rows(rest, setting, 0.0, height - foot - least, least))
    elsewhere = ELSEWHERE if words.crew.units == "both" and not told_twice else ""
    pages = [_page(setting, words, marks, width, height, elsewhere)]
    if told:
        head = _head(setting, words, width, first=False)
        pages.append(_page(setting, words, [head, *told], width, height))
    rows = rows[count + len(rest) :]
    while rows:
        marks = [_head(setting, words, width, first=False)]
        for left in (0.0, right):
            count = max(1, rows_that_fit(rows, room)) if rows else 0
            marks.append(draw_rows(rows[:count], setting, left, TOP, room))
            rows = rows[count:]
        pages.append(_page(setting, words, marks, width, height))
    return tuple(pages)


def _page(
    setting: SettingOut, words: LeafWords, marks: Sequence[Item], width: float, height: float,
    more: str = "",
) -> Scene:  # fmt: skip
    title = f"Builder's leaf: {setting.plan.title}"
    about = "Fences in the order of setting: " + ", ".join(f.name for f in setting.leaf.fences)
    items = (*marks, _foot(words, width, height, more))
    return Scene(width, height, items, title, f"{about}.", "en")


def _head(setting: SettingOut, words: LeafWords, width: float, first: bool) -> Group:
    plan, units = setting.plan, words.units
    heights = sorted({f.fence.measures.height_m for f in plan.fences if f.fence.parts.planes})
    high = " to ".join(dict.fromkeys(length_text(h, units) for h in heights[:1] + heights[-1:]))
    count = counted(len(setting.leaf.fences), "fence")
    kind = "builder's leaf" if first else "builder's leaf, continued"
    right = width - (text_width(high, HEIGHTS, "bold") + 2.0 if high else 0.0)
    facts = f"{kind}    {count}"
    marks: list[Item] = [Text((right, 5.6), facts, FACTS, anchor="end")]
    if high:
        marks.append(Text((width, 5.6), high, HEIGHTS, "bold", "end"))
    room = right - text_width(facts, FACTS) - 6.0
    title = cut(plan.title, room, TITLE)
    marks.append(Text((0.0, 5.6), title, TITLE, "bold"))
    stopped = any(f.severity is Severity.STOP for f in plan.findings)
    said = [STOPPED] if stopped else []
    called = [" ".join(text for text in (words.stand, words.corner) if text)]
    called += [words.stand] if words.stand else []
    changes: list[list[str]] = [[]]
    if setting.after is not None:
        after = f"After “{setting.after.title}”: only what changes is here."
        changes = [[after], ["Only what changes is here."]]
    weight: Weight = "semibold" if stopped else "regular"
    # How marks are called must be whole: what goes first is what every crew does anyhow.
    tries = [
        (" ".join([*said, *change, names, *last]), size)
        for change in changes
        for names in called
        for size in (BOARD, HAND)
        for last in (["Tapes lie on the ground."], [])
    ]
    line, size = next(
        ((text, size) for text, size in tries if text_width(text, size, weight) <= width),
        (cut(tries[-1][0], width, HAND, weight), HAND),
    )
    marks.append(Text((0.0, 11.6), line, size, weight))
    return Group("head", tuple(marks))


def _foot_lines(words: LeafWords, width: float, more: str) -> tuple[str, ...]:
    """What all words mean; the last line ends before what stands on the right."""
    right = text_width(NO_SUBSTITUTE, SMALL, "semibold")
    said = f"{errors(words)} {MEASURED} {middles(words)} {tape_words(words)} {WAYS}"
    if any(placed.fence.parts.safety_cups for placed in words.plan.fences):
        said += f" {SAFETY}"
    if more:
        said = f"{more} {said}"
    lines = broken(said, SMALL, width)
    if text_width(lines[-1], SMALL) > width - right - 6.0:
        narrow = broken(said, SMALL, width - right - 6.0)
        # Where the narrower lines are no more, else the last word or two alone in the last line.
        last = broken(lines[-1], SMALL, width - right - 6.0)
        lines = narrow if len(narrow) == len(lines) else (*lines[:-1], *last)
    return lines


def _foot(words: LeafWords, width: float, height: float, more: str = "") -> Group:
    base = height - 1.0
    lines = _foot_lines(words, width, more)
    top = base - (len(lines) - 1) * FOOT_LINE
    rule = base - len(lines) * FOOT_LINE + 0.1
    marks: list[Item] = [Stroke(((0.0, rule), (width, rule)), THIN)]
    marks += [Text((0.0, top + n * FOOT_LINE), text, SMALL) for n, text in enumerate(lines)]
    marks.append(Text((width, base), NO_SUBSTITUTE, SMALL, "semibold", "end"))
    return Group("foot", tuple(marks))


def _left(
    setting: SettingOut, words: LeafWords, room: Box, track: bool, drawing_too: bool = True
) -> Iterator[Item]:
    """The drawing in what checks and texts leave it; nothing where that is too little. Without
    the drawing, checks and texts at the top."""
    checks, tall = checks_of(words, room.width), 0.0
    if checks.rows:
        bends = BENDS if any(check.bend for check in words.leaf.checks) else ""
        move = broken(MOVE + bends, HAND, room.width)
        tall += checks.height + TEXT_LINE * len(move) + 1.5 + BEFORE_CHECKS
    for ride, size, line in ((True, HAND, TEXT_LINE), (False, HAND, TEXT_LINE), LOW_TEXT):
        texts = _texts(setting, words, ride)
        broken_texts = [(head, broken(text, size, room.width - 13.5)) for head, text in texts]
        needed = tall + sum(line * len(lines) + 1.2 for _, lines in broken_texts)
        if width_limits(setting.plan, replace(room, bottom=room.bottom - needed)):
            # Where a ride begins is on the second leaf as well: it costs the drawing nothing.
            break
    y = room.bottom - needed if drawing_too else room.top
    if drawing_too:
        left_over = Box(room.left, room.top, room.right, y)
        drawing = leaf_plan(setting, words, left_over, track)
        if drawing is None:
            return
        yield drawing
    y += 3.6
    for head, lines in broken_texts:
        yield Text((room.left, y), head, size, "semibold")
        for text in lines:
            yield Text((room.left + 13.5, y), text, size)
            y += line
        y += 1.2
    if checks.rows:
        y += BEFORE_CHECKS - 3.6
        yield from checks.marks(room.left, room.right, y)
        y += checks.height + 4.4
        for text in move:
            yield Text((room.left, y), text, HAND)
            y += TEXT_LINE


def _without_repeats(words: LeafWords) -> LeafWords:
    """Without the checks that read once more what a row reads: rows stand in their place."""
    told = {
        frozenset((fence.name, fence.hung.start.fence))
        for fence in words.leaf.fences
        if fence.hung.start and any(tape.word == "line" for tape in fence.readings)
    }
    checks = [c for c in words.leaf.checks if {c.start.fence, c.end.fence} not in told]
    return replace(words, leaf=replace(words.leaf, checks=tuple(checks)))


def _texts(
    setting: SettingOut, words: LeafWords, ride: bool = True
) -> Iterator[tuple[str, str]]:  # fmt: skip
    """What is done before the first fence, in the order of work; each with the word before it.
    With `ride` where it begins and ends."""
    yield from _kit(setting, words)
    if setting.after is None:
        yield "First", rail(words)
    if setting.pegs_before:
        yield "Pegs", f"{earlier_pegs(setting.pegs_before)} of a leaf before: none is used here."
    yield from every_mark(words, ride)
    if len(words.leaf.checks) < len(setting.leaf.checks):
        yield "Lines", LINES_AGAIN
    if setting.change is not None:
        for job in setting.jobs:
            if job.what == "clear":
                yield "Clear", f"what is left of old {job.old}, to the {setting.store_name}."
        altered = setting.change.altered
        as_it_is = [name for name in setting.change.stays if name not in altered]
        if as_it_is:
            yield "Stays", f"{', '.join(as_it_is)} as {'they are' if as_it_is[1:] else 'it is'}."
        for name, notes in altered.items():
            yield "Stays", f"{name}: {'; '.join(notes)}."


def _lower(setting: SettingOut) -> str:
    """How the poles below the top one lie: as the side views have them, with figures where there
    is room."""
    some = any(lower_heights(fence.placed) for fence in setting.leaf.fences)
    return " Lower poles at even steps." if some else ""


def _kit(setting: SettingOut, words: LeafWords) -> Iterator[tuple[str, str]]:
    """What is carried out, and what is not there."""
    units = setting.crew.units
    poles = usual_poles(setting)
    pieces = equipment_words(setting.total, poles)
    if poles is not None:
        length = pole_text(round(poles * 1000), units)
        pieces = pieces.replace(" poles", f" poles of {length}", 1)
    whence = "with what stands" if setting.after else f"from the {words.mark(setting.store_name)}"
    yield "In all", f"{whence}: {pieces}, {people(words)}.{_lower(setting)}"
    for swap in setting.stand_ins:
        asked, used = pole_text(swap.asked_mm, units), pole_text(swap.used_mm, units)
        yield "Poles", f"too few of {asked}: {swap.fence} is built with {used}, and set out for it."
    for lack in setting.shortages:
        yield "Missing", f"{lack.words(units)}; {lack.instead}."
