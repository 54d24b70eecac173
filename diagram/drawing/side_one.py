"""Side 1 of a card: the drawing as large as the sheet allows, to be read standing at the rail.

Title and purpose above it, the ride in words and a foot below, nothing beside it. Landscape.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from diagram.diagnostics import Severity
from diagram.drawing.also_standing import also_standing_key
from diagram.drawing.beads import changes_over, square_marks
from diagram.drawing.furniture import NO_SUBSTITUTE, STOPPED, cut, scale_line, title_cut
from diagram.drawing.names import fence_heights
from diagram.drawing.ride_words import ride_rows
from diagram.drawing.second_ways import other_way_pen
from diagram.drawing.sheet import Drawn, OnPaper, description, draw_plan, fitted
from diagram.drawing.view import WHOLE, View
from diagram.planning import Plan
from diagram.scene import Group, Item, Scene, Stroke, Text, enlarged, moved, walk
from diagram.style import BOARD, LOOKED_UP, PAPER, SHEET_TITLE, Weight, text_width
from diagram.typesetting import broken, line_items, runs
from diagram.units import Units, length_text

TITLE_LINE, PURPOSE_LINE = 12.8, 7.0
"""Baseline of the title below the upper edge, of the purpose below that."""
ROW = 5.2
FOOT_LINE = 6.0
"""Baseline of the foot above the lower edge."""
KEY_SQUARE = 4.2


class PaperSheet(Struct, frozen=True):
    """A sheet on its side, mm; `factor` is how much larger all is on it than on the small one."""

    width: float
    height: float
    margin: float
    factor: float = 1.0

    @property
    def inner(self) -> float:
        """Millimetres between the side margins."""
        return self.width - 2 * self.margin


A4, LETTER = PaperSheet(297.0, 210.0, 10.0), PaperSheet(279.4, 215.9, 9.0)
LARGE, LONGER = 420.0 / 297.0, 279.4 / 210.0
"""How much larger A3 is than A4; and Tabloid, which is no grown Letter but a longer A4."""
SHEETS = {
    "A4": A4,
    "Letter": LETTER,
    "A3": replace(A4, factor=LARGE),
    "Tabloid": PaperSheet(431.8 / LONGER, 210.0, 9.5, LONGER),
}
"""The sheets of a card. On the large ones every measure is grown, type too."""


def sheet_of(paper: str) -> PaperSheet:
    """A sheet by its name. Raises ValueError for one not known here."""
    if paper not in SHEETS:
        raise ValueError(f'"{paper}" is no paper known here; there are {", ".join(SHEETS)}')
    return SHEETS[paper]


def draw_side_one(
    plan: Plan,
    sheet: PaperSheet = A4,
    units: Units = "feet",
    view: View = WHOLE,
    *,
    enlarged_to: float | None = None,
    part: bool = False,
) -> Drawn:
    """Side 1 on a whole sheet; with a scale `enlarged_to`, all of it as much larger.

    As a `part` of a side it is not enlarged yet, and the caution stands elsewhere.

    Raises ValueError when the arena fits at no scale.
    """
    head = draw_head(plan, sheet, units)
    ride = ride_rows(plan, sheet.inner)
    top = head[1]
    bottom = sheet.height - foot_room() - ride.height
    fit = _fit(plan, sheet, bottom - top, view)
    if enlarged_to:
        sheet = replace(sheet, factor=fit.denominator / enlarged_to)
    drawn = draw_plan(plan, sheet.inner, bottom - top, units, view=view, fit=fit)
    down = top + (bottom - top - drawn.scene.height) / 2
    items = [
        head[0],
        *(moved(item, sheet.margin, down) for item in drawn.scene.items),
        ride.marks(sheet.margin, bottom + 0.6),
        _foot(plan, drawn, sheet, units, not part),
    ]
    scene = Scene(
        sheet.width, sheet.height, tuple(items), plan.title, description(plan), "en",
        drawn.frame.denominator, (drawn.frame.left + sheet.margin, drawn.frame.bottom + down),
        drawn.frame.turned,
    )  # fmt: skip
    frame = replace(
        drawn.frame, left=drawn.frame.left + sheet.margin, bottom=drawn.frame.bottom + down
    )
    return replace(drawn, scene=scene if part else scene.enlarged(sheet.factor), frame=frame)


def foot_room() -> float:
    """Millimetres below the ride in words."""
    return FOOT_LINE + LOOKED_UP + 1.2


def _fit(plan: Plan, sheet: PaperSheet, room: float, view: View) -> OnPaper:
    """The scale: a round one on the sheet as it will be, so a little odd before it is enlarged."""
    return fitted(plan, sheet.inner, room, replace(view, turned=None), sheet.factor)


def draw_head(plan: Plan, sheet: PaperSheet, units: Units) -> tuple[Group, float]:
    """Title, what a rider wants to know first, the purpose; and where they end."""
    right = sheet.width - sheet.margin
    facts = head_facts(plan, units)
    wide = sum(text_width(text, BOARD * (1.0 if weight == "regular" else 1.1), weight)
               for text, weight in facts)  # fmt: skip
    items: list[Item] = [
        Text((sheet.margin, TITLE_LINE), title_cut(plan, sheet.inner - wide - 8.0),
             SHEET_TITLE, "bold"),
    ]  # fmt: skip
    x = right - wide
    for text, weight in facts:
        size = BOARD * (1.0 if weight == "regular" else 1.1)
        if text.strip():
            items.append(Text((x, TITLE_LINE), text, size, weight))
        x += text_width(text, size, weight)
    y = TITLE_LINE + PURPOSE_LINE
    if any(finding.severity is Severity.STOP for finding in plan.findings):
        items.append(Text((sheet.margin, y), STOPPED, BOARD, "bold"))
        y += ROW
    for line in broken(runs(plan.definition.purpose), sheet.inner, BOARD):
        items += line_items(line, sheet.margin, y, BOARD)
        y += ROW
    return Group("head", tuple(items)), y - ROW + 1.7


def head_facts(plan: Plan, units: Units) -> list[tuple[str, Weight]]:
    """``fences 2'6"   8 jumps   50 minutes``, the figures bold."""
    gap = "\N{NO-BREAK SPACE}" * 4
    heights = fence_heights(plan)
    facts: list[tuple[str, Weight]] = []
    if heights is not None:
        low, high = (length_text(height, units) for height in heights)
        said = high if low == high else f"{low} to {high}"
        facts += [("fences ", "regular"), (said, "bold"), (gap, "regular")]
    jumps = plan.totals.efforts or len(plan.crossings)
    word = ("jump" if plan.totals.efforts else "pole") + "s" * (jumps != 1)
    facts += [(str(jumps), "bold"), (f" {word}", "regular")]
    if plan.definition.minutes is not None:
        facts += [(gap, "regular"), (str(plan.definition.minutes), "bold"), (" minutes", "regular")]
    return facts


def _foot(plan: Plan, drawn: Drawn, sheet: PaperSheet, units: Units, caution: bool) -> Group:
    """The caution, the key of the lead squares where there are any, the scale; what is left out."""
    y = sheet.height - FOOT_LINE
    said = NO_SUBSTITUTE if caution else ""
    if drawn.left_out or drawn.unplaced:
        names = [*drawn.left_out, *(label.says for label in drawn.unplaced)]
        room = 118.0 if caution else 60.0
        said = cut(f"{said} Left out: {', '.join(names)}.".strip(), room, LOOKED_UP)
    items: list[Item] = [Text((sheet.margin, y), said, LOOKED_UP)] if said else []
    x = sheet.margin + text_width(said, LOOKED_UP) + 8.0 * bool(said)
    x = max(x, sheet.margin + 86.0 * caution)
    stated = drawn.frame.denominator / sheet.factor
    scale = scale_line(drawn.frame, sheet.width - sheet.margin, y, units, stated)
    end = min(mark.bbox().left for mark in walk(scale.children)) - 3.0
    for marks, words in (*_key(plan), *_numbered_key(drawn)):
        wide = text_width(words, LOOKED_UP)
        before = max(0.0, -KEY_SQUARE / 2 - min(mark.bbox().left for mark in walk(marks)))
        if x + before + KEY_SQUARE + 1.4 + wide > end:
            break
        x += before
        items += [moved(mark, x + KEY_SQUARE / 2, y - LOOKED_UP * 0.33) for mark in marks]
        items.append(Text((x + KEY_SQUARE + 1.4, y), words, LOOKED_UP))
        x += KEY_SQUARE + 1.4 + wide + 5.0
    return Group("foot", (*items, scale))


def _numbered_key(drawn: Drawn) -> Iterator[tuple[tuple[Item, ...], str]]:
    """What a figure before a lead square means, where the drawing has one: several passes over one
    fence have their squares side by side."""
    squares = (
        [mark for mark in walk(group.children) if isinstance(mark, Text)]
        for group in drawn.scene.walk()
        if isinstance(group, Group) and group.name.startswith("lead-")
    )
    for figure, letter in (texts for texts in squares if len(texts) == 2):
        square = square_marks(letter.text, letter.colour == PAPER, (0.0, 0.0))
        marks = [enlarged(mark, KEY_SQUARE / 5.6) for mark in square]
        at = (-KEY_SQUARE / 2 - 0.7, LOOKED_UP * 0.33)
        number = Text(at, figure.text, LOOKED_UP, "bold", "end")
        yield (number, *marks), f"after jump {figure.text}"
        return


def _key(plan: Plan) -> list[tuple[tuple[Item, ...], str]]:
    """The lead squares that the drawing has, small, and the dots of a second line."""
    entries: list[tuple[tuple[Item, ...], str]] = []
    pairs = [
        (before, after) for before, after in zip(plan.legs, plan.legs[1:], strict=False)
        if after.lead_told and not after.link.inner
    ]  # fmt: skip
    for changed, words in ((False, "land on this lead"), (True, "change of lead over the fence")):
        lead = next((a.lead for b, a in pairs if changes_over(b, a) is changed and a.lead), None)
        if lead:
            marks = square_marks(lead[0].upper(), changed, (0.0, 0.0))
            entries.append((tuple(enlarged(mark, KEY_SQUARE / 5.6) for mark in marks), words))
    if any(leg.others for leg in plan.legs):
        dots = Stroke(((-KEY_SQUARE / 2, 0.0), (KEY_SQUARE / 2, 0.0)), other_way_pen(0))
        entries.append(((dots,), "the other line, in the other count"))
    if plan.standing:
        entries.append(also_standing_key())
    return entries
