"""A card on one side of a sheet: the drawing above, the instructor's columns below.

For small exercises. Upright or on its side, whichever loses no text, then whichever has the
larger drawing; what the columns lose they name, as on side 2. What does not fit is refused: a
second side is better than small type.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from diagram.drawing.ride_words import ride_rows
from diagram.drawing.sheet import Drawn, OnPaper, fitted
from diagram.drawing.side_one import PaperSheet, draw_head, draw_side_one, foot_room
from diagram.drawing.view import WHOLE
from diagram.planning import Plan
from diagram.scene import Item, Scene, Stroke
from diagram.sections.side_two import SHARES, Columns
from diagram.style import THIN_RULE
from diagram.units import Units

UPRIGHT_SHARES = (113.0, 71.0)
"""Columns of an upright sheet: elements, advice."""
GAP = 3.2
"""Millimetres from the foot of the drawing to the rule, and from there to the columns."""
SMALLEST_STEPS = 4
"""Scales tried on each way round: a smaller drawing has no room for its signs."""
SMALLEST = 500.0
"""No smaller: signs keep their size, and hide a drawing."""
SPARED = ("post-", "turn-")
"""Labels that a small drawing may be without; the foot names them."""


class _Try(Struct, frozen=True):
    drawn: Drawn
    below: tuple[Item, ...]
    lost: int
    sheet: PaperSheet


def draw_one_side(plan: Plan, sheet: PaperSheet, units: Units = "feet") -> Scene:
    """The whole card on one side.

    Raises ValueError when it does not fit, or the arena fits at no scale.
    """
    tries = list(_tries(plan, sheet, units))
    if not tries:
        raise ValueError("this does not fit on one side of that paper: print it on two")
    best = min(tries, key=lambda one: (one.lost, one.drawn.frame.denominator))
    upper, held = best.drawn.scene, best.sheet
    items = (*upper.items, *best.below)
    return replace(upper, width=held.width, height=held.height, items=items).enlarged(held.factor)


def _tries(plan: Plan, sheet: PaperSheet, units: Units) -> Iterator[_Try]:
    upright = replace(sheet, width=sheet.height, height=sheet.width)
    for held, shares in ((sheet, SHARES), (upright, UPRIGHT_SHARES)):
        for fit in _scales(plan, held):
            found = _try(plan, held, shares, fit, units)
            if found:
                yield found


def _scales(plan: Plan, held: PaperSheet) -> Iterator[OnPaper]:
    """The largest scales at which the drawing is no wider than the sheet."""
    room = held.height
    for _ in range(SMALLEST_STEPS):
        try:
            fit = fitted(plan, held.inner, room, WHOLE, held.factor)
        except ValueError:
            return
        if fit.denominator / held.factor > SMALLEST:
            return
        yield fit
        room = fit.height - 0.5


def _try(
    plan: Plan, held: PaperSheet, shares: tuple[float, ...], fit: OnPaper, units: Units
) -> _Try | None:
    """The sheet with its drawing at one scale; None where the columns do not fit below it."""
    used = draw_head(plan, held, units)[1] + ride_rows(plan, held.inner).height + foot_room()
    height = used + fit.height + 0.1
    # Everything is set on the sheet as if it were small, and enlarged in the end.
    small = replace(held, factor=1.0)
    if height + 2 * GAP > held.height:
        return None
    below = Columns(plan, small, units, height + 2 * GAP, shares).one()
    if below is None:
        return None
    drawn = draw_side_one(plan, replace(held, height=height), units, part=True)
    if any(not label.name.startswith(SPARED) for label in drawn.unplaced):
        return None
    y = height + GAP
    rule = Stroke(((held.margin, y), (held.width - held.margin, y)), THIN_RULE)
    lost = len(below[1]) + len(drawn.left_out) + len(drawn.unplaced)
    return _Try(drawn, (rule, *below[0]), lost, held)
