"""The blocks of a setting-out sheet: for each fence, in the order of work, all that sets it.

Set large: it is read at arm's length, in the wind, with gloves on.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Spacer, Table

from diagram.fences.kind import with_article
from diagram.sections.page import Page
from diagram.sections.paragraphs import item, paragraph, part, ruled, soft, words
from diagram.stakeout.crew import Crew
from diagram.stakeout.equipment import pole_text
from diagram.stakeout.points import as_first_jumped
from diagram.stakeout.setting import FenceSetting, FootSetting, SettingOut
from diagram.stakeout.texts import error, reading, steps
from diagram.style import GREY, INK, LABEL, PALE, Weight, points
from diagram.units import length_text

NAME, FIGURES, TEXT = points(15), points(12.5), points(10)
SHARES = (30, 47, 30, 47, 30, 29, 19, 30, 30)
"""Widths of the columns, as shares of the width of the page."""

HOW = (
    "Left and right are as the horse sees them when it first jumps the fence; the front row is "
    "the one it meets first.",
    "Each foot is the place under the end of the pole. Hook both tapes in where it is said, "
    "pull them tight, and let the two readings meet.",
    "Two tapes meet in two places: the right one is the one nearer to what is named.",
    "Set the front row first, then the back row the spread behind it; its readings check it.",
    "The readings in bold type belong to the better way; the others check it. Read every tie "
    "before you go on: if it is off by more than a hand, something was misread.",
)


def blocks(setting: SettingOut, page: Page) -> list[Flowable]:
    """How to read the blocks, and one for each fence; a block is never parted."""
    out: list[Flowable] = part("Fence by fence", 70.0)
    out += [item(words(text), TEXT) for text in HOW]
    a, b, c = (reading(side, setting.crew) for side in setting.crew.triangle)
    square = f"A right angle: {a} along the side, {b} out, {c} across between the ends."
    out.append(item(words(square), TEXT))
    for fence in setting.fences:
        out += [Spacer(0, 3.5 * mm), KeepTogether(_block(fence, setting, page))]
    return out


def _block(fence: FenceSetting, setting: SettingOut, page: Page) -> list[Flowable]:
    width = page.inner_width * mm
    head = [
        [
            paragraph(words(f"{fence.step}  {fence.name}", "bold"), NAME),
            paragraph(words(_what(fence, setting), "semibold"), TEXT),
        ]
    ]
    heading = Table(
        head,
        colWidths=[width * 0.27, width * 0.73],
        style=ruled(("VALIGN", (0, 0), (-1, -1), "MIDDLE"), ("LINEABOVE", (0, 0), (-1, 0), 1, INK)),
    )
    notes = [item(words(text, weight), TEXT) for text, weight in _notes(fence, setting)]
    return [heading, _table(fence, setting, page), *notes]


def _what(fence: FenceSetting, setting: SettingOut) -> str:
    """``a vertical, 3' high; poles 12'; the horse comes from the yard end``."""
    placed, units = fence.placed, setting.crew.units
    measures = placed.fence.measures
    text = with_article(placed.fence.kind.name)
    if measures.height_m > 0.05:
        middle = " in the middle" if placed.fence.kind.name == "cross-rail" else ""
        text += f", {length_text(measures.height_m, units)} high{middle}"
    if placed.fence.depth_m:
        text += f", spread {length_text(placed.fence.depth_m, units)} front to back"
    sides = "jumped both ways, first" if fence.both_ways else "the horse comes"
    return (
        f"{text[0].upper()}{text[1:]}. Take-off side: the {fence.comes_from} side of it "
        f"({sides} from the {fence.comes_from}). {', '.join(fence.equipment.words(units))}."
    ).replace(" side side", " side")


def _table(fence: FenceSetting, setting: SettingOut, page: Page) -> Table:
    bases = {(f.ways.offset.side, f.ways.offset.zero) for f in fence.feet if f.ways.offset}
    along = "Along"
    if len(bases) == 1:
        side, zero = next(iter(bases))
        along = f"Along {side} from {zero}"
    heads = [
        "Foot", "Tape 1 from", "reads", "Tape 2 from", "reads", "Meet towards", "Off by",
        along, "Out from it",
    ]  # fmt: skip
    rows = [[paragraph(soft(head), LABEL) for head in heads]]
    rows += [_row(foot, setting, len(bases) != 1) for foot in fence.feet]
    scale = page.inner_width * mm / sum(SHARES)
    return Table(
        rows,
        colWidths=[share * scale for share in SHARES],
        style=ruled(
            ("GRID", (0, 0), (-1, -1), 0.4, GREY),
            ("BACKGROUND", (0, 0), (-1, 0), PALE),
            ("VALIGN", (0, 1), (-1, -1), "MIDDLE"),
        ),
    )


def _row(foot: FootSetting, setting: SettingOut, several: bool) -> list[Flowable | list[Flowable]]:
    ways, crew = foot.ways, setting.crew
    by_tapes: Weight = "bold" if ways.best == "tapes" else "regular"
    by_offset: Weight = "bold" if ways.best == "offset" else "regular"
    name = " ".join(word for word in (ways.foot.side, ways.foot.row) if word)

    def figure(metres: float) -> list[Flowable]:
        return _figure(metres, crew, by_tapes, _twice(metres, crew))

    out: list[Flowable | list[Flowable]] = [
        paragraph(words(name, "bold"), FIGURES),
        paragraph(words(ways.tapes.first), TEXT),
        figure(foot.tapes[0]),
        paragraph(words(ways.tapes.second), TEXT),
        figure(foot.tapes[1]),
        paragraph(words(ways.tapes.towards), TEXT),
        paragraph(words(error(ways.error_m, crew)), TEXT),
    ]
    if ways.offset is None or foot.offset is None:
        return [*out, paragraph(soft("no square"), TEXT), paragraph("", TEXT)]
    where = f" along {ways.offset.side} from {ways.offset.zero}" if several else ""
    for metres, more in zip(foot.offset, (where, ""), strict=True):
        out.append(_figure(metres, crew, by_offset, f"{steps(metres)}{more}"))
    return out


def _figure(metres: float, crew: Crew, weight: Weight, more: str) -> list[Flowable]:
    """A reading, large; what it is in other units, and what else there is to it, under it."""
    large, _, small = reading(metres, crew).partition(" (")
    under = " ".join(text for text in (f"({small}" if small else "", more) if text)
    out = [paragraph(words(large, weight), FIGURES)]
    return [*out, paragraph(soft(under), LABEL)] if under else out


def _twice(metres: float, crew: Crew) -> str:
    """What to do where one tape does not reach."""
    return "lay the tape twice" if crew.joined(metres) else ""


def _notes(fence: FenceSetting, setting: SettingOut) -> Iterator[tuple[str, Weight]]:
    """What else there is to know at this fence, each with the weight it is printed in."""
    crew, placed = setting.crew, fence.placed
    yield from _carried(fence, setting)
    if fence.ties:
        ties = [f"{t.start} → {t.end} {reading(t.metres, crew)}" for t in fence.ties]
        twice = max(_twice(tie.metres, crew) for tie in fence.ties)
        yield f"Tie: {'; '.join(ties)}{f' ({twice})' if twice else ''}.", "semibold"
    yield from _lines(fence, setting)
    yield _poles(fence, setting), "regular"
    for ways in (foot.ways for foot in fence.feet):
        if ways.tapes.weak and ways.best == "tapes":
            angle = math.degrees(ways.tapes.angle)
            text = f"Weak: the tapes to {ways.foot.name} cross at {angle:.0f}°."
            if ways.third:
                text += f" Hold a third: {ways.third.start} {reading(ways.third.metres, crew)}."
            else:
                text += " There is no third to steady it: check it by the line."
            yield text, "bold"
    lines = sum(bar.kind == "ground line" for bar in placed.fence.parts.bars)
    if lines:
        gap = length_text(placed.fence.measures.ground_line_m, crew.units)
        where = "on each side" if lines > 1 else "on the take-off side"
        yield f"Ground line {gap} before the poles, {where}.", "regular"


def _carried(fence: FenceSetting, setting: SettingOut) -> Iterator[tuple[str, Weight]]:
    job = fence.job
    if job is None:
        return
    if job.old:
        yield f"Bring it from where {job.old} stands; {_rest(job.rest, setting)}.", "semibold"
    else:
        yield f"Fetch all of it from the {setting.walk.store_name}.", "semibold"


def _rest(rest: int, setting: SettingOut) -> str:
    if not rest:
        return "nothing else is needed"
    return f"{rest} more {'piece' if rest == 1 else 'pieces'} from the {setting.walk.store_name}"


def _lines(fence: FenceSetting, setting: SettingOut) -> Iterator[tuple[str, Weight]]:
    """Lines to fences that stand when this one has been set."""
    before = {f.name for f in setting.fences if f.step <= fence.step}
    before |= set(setting.change.stays) if setting.change else set()
    for one in setting.lines:
        line = one.line
        ends = {line.start.fence, line.end.fence}
        if fence.name not in ends or not ends <= before:
            continue
        text = f"Line {line.name}: {reading(line.straight_m, setting.crew)}"
        text += " straight, middle to middle" if line.bend else " base to base"
        text += f" ({steps(line.straight_m)})"
        if line.bend:
            text += f", {reading(line.track_m, setting.crew)} on the bent track"
        if line.strides:
            text += f", {line.strides} stride{'s' if line.strides > 1 else ''}"
        yield text + ".", "semibold"


def _poles(fence: FenceSetting, setting: SettingOut) -> str:
    """Which pole lies where."""
    units, placed = setting.crew.units, fence.placed
    measures, parts = placed.fence.measures, placed.fence.parts
    pole = pole_text(round(measures.width_m * 1000), units)
    if not parts.planes:
        return f"No standards: a pole of {pole} on the ground, its ends at the two feet."
    text = f"Left to right {pole}: the pole itself."
    if placed.fence.depth_m:
        bars = sorted((b.start[0], b.height_m) for b in parts.bars if b.kind != "ground line")
        if as_first_jumped(setting.plan, placed) != placed.pose:
            bars.reverse()
        heights = ", ".join(length_text(height, units) for _, height in bars)
        text += f" Top poles, front to back: {heights}."
    if parts.safety_cups:
        where = _rows_of(parts.safety_cups, parts.planes)
        text += f" Safety cups: {where}."
    return text


def _rows_of(cups: Sequence[float], planes: Sequence[float]) -> str:
    if len(cups) == len(planes):
        return "every pole"
    return "the back pole, one each side"
