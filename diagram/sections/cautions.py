"""What holds for every exercise on every day, printed on each card, and what spreads ask for."""

from __future__ import annotations

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Table

from diagram.planning import Plan
from diagram.sections.page import Page
from diagram.sections.paragraphs import SIDE, item, part, ruled, words
from diagram.style import text_width

CAUTIONS = (
    "Ride in an approved helmet, fastened, from the first step to the last.",
    "Jump only with a qualified person in the ring, never alone.",
    "Warm up first and start low. Build up one fence at a time.",
    "Safety cups hold the back pole of every spread.",
    "No empty cups on a standard: take them off.",
    "Spare poles and standards lie well out of the track.",
    "A spread is jumped only in the direction it is built for.",
    "A fence jumped from both sides has a ground line on each of them.",
    "Stop when horse or rider tires, and end on something easy.",
    "Distances are where to begin: footing, slope and the horse in front of you decide.",
    "The rules of your federation and the word of the licensed professional come before this card.",
)

EVERY_TIME = (
    "Approved helmet, fastened, from first step to last.",
    "Jump only with a qualified person in the ring.",
    "Warm up. Start low. Build up one fence at a time.",
    "No empty cups on a standard.",
    "Spare poles and standards well out of the track.",
    "Stop when horse or rider tires; end on an easy one.",
    "Distances begin here; footing and horse decide.",
    "Federation rules and a licensed professional come first.",
)
"""The same in one short line each, for a narrow column."""
THEN_FENCES = 5
"""Of them so many stand before what certain fences ask for."""
OF_SPREADS = (
    "Safety cups hold the back pole of every spread.",
    "Jump a spread only the way it is built for.",
)
OF_BOTH_WAYS = ("A fence jumped both ways: a ground line on each side.",)
"""And what holds where there are spreads, and fences jumped from both sides."""


def every_time(plan: Plan) -> tuple[str, ...]:
    """What holds for every exercise, and for one with such fences: a list that speaks of what is
    not there is not read."""
    spreads = any(fence.fence.depth_m and not fence.fence.kind.ridden_over for fence in plan.fences)
    of_fences = (*OF_SPREADS * spreads, *OF_BOTH_WAYS * bool(plan.both_ways))
    return (*EVERY_TIME[:THEN_FENCES], *of_fences, *EVERY_TIME[THEN_FENCES:])


COLUMN_WIDTH = 85.0
"""Millimetres in which most cautions take one line."""

BULLET = 6.0
"""Millimetres of a column that are not text: the bullet and the cell's edges."""

ROOM = 33.0
"""Millimetres that all of them take in two columns: they are not parted."""


def flowables(plan: Plan, page: Page) -> list[Flowable]:  # noqa: ARG001 - the same for every plan
    """All cautions, in columns read downwards."""
    count = max(1, int(page.inner_width // COLUMN_WIDTH))
    each = -(-len(CAUTIONS) // count)
    columns = [CAUTIONS[n * each : (n + 1) * each] for n in range(count)]
    cells = [[item(words(text)) for text in column] for column in columns]
    longest = [max(text_width(text, SIDE) for text in column) + BULLET for column in columns]
    share = page.inner_width * mm / sum(longest)
    return [
        *part("Every time", ROOM * 2 / max(count, 2)),
        Table([cells], colWidths=[share * width for width in longest], style=ruled()),
    ]
