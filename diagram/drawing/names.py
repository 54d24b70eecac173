"""Names: of fences beyond their upper foot, of posts beside their ring."""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec.structs import replace

from diagram.drawing.candidates import Candidate, Ranked
from diagram.drawing.frame import Frame
from diagram.drawing.labels import LabelLine, Wish, around_point, box_at, label_size, text_wish
from diagram.drawing.nudges import nudge_of_fence
from diagram.exercise.fence import PlacedFence
from diagram.geometry.pose import Point
from diagram.planning import Plan
from diagram.scene import Box
from diagram.style import BOARD, NUMERAL, points
from diagram.units import Units, length_text

POST_NAME = points(9.5)
SAME_M = 0.02
"""Heights no further apart are said once, in the head."""


def fence_heights(plan: Plan) -> tuple[float, float] | None:
    """Lowest and highest fence jumped, in metres, poles on the ground not counted; None where
    only poles are ridden over."""
    jumped = (crossing.fence.fence for crossing in plan.crossings)
    tall = [fence.measures.height_m for fence in jumped if not fence.kind.ridden_over]
    return (min(tall), max(tall)) if tall else None


def measures_text(placed: PlacedFence, plan: Plan, units: Units) -> str:
    """``2'9", 2'3" wide``: of the height only what differs from that of all, and the spread."""
    fence = placed.fence
    parts = []
    heights = fence_heights(plan)
    differ = heights is not None and heights[1] - heights[0] > SAME_M
    if differ and not fence.kind.ridden_over:
        parts.append(length_text(fence.measures.height_m, units))
    if fence.depth_m and not fence.kind.ridden_over:
        # Who rides it from behind wants to know that it is built for that.
        square = "square, " * (placed.name in plan.spreads_both_ways)
        parts.append(f"{square}{length_text(fence.depth_m, units)} wide")
    return ", ".join(parts)


def name_wishes(plan: Plan, frame: Frame, units: Units, phase: int | None) -> list[Wish]:
    """Name and measures of every fence, or of those jumped in a phase."""
    jumped = {c.jump.fence for c in plan.crossings if phase in (None, c.jump.phase)}
    shown = [fence for fence in plan.fences if phase is None or fence.name in jumped]
    rows = {fence.fence.whole for fence in shown if _in_a_row(fence, plan, units)}
    out = [_name(fence, plan, frame, units) for fence in shown if fence.fence.whole not in rows]
    return out + [_row_name(row, shown, frame) for row in sorted(rows)]


def _in_a_row(fence: PlacedFence, plan: Plan, units: Units) -> bool:
    """Whether a fence is one of a combination that has one name.

    A row of poles, and a row of fences all alike of which none is spoken of alone: their discs
    say which is which, and five names between them would not say whose they are.
    """
    whole = fence.fence.whole
    same = [other for other in plan.fences if whole and other.fence.whole == whole]
    if all(other.fence.kind.ridden_over for other in same):
        return bool(same)
    names = [other.name for other in same]
    spoken = any(
        name in said for name in names
        for said in (*plan.definition.notes, *(found.message for found in plan.findings))
    )  # fmt: skip
    alike = not any(measures_text(other, plan, units) for other in same)
    return len(same) >= MANY and alike and not spoken


MANY = 3
"""Fences of a combination from which on their names crowd each other."""


def _row_name(row: str, shown: list[PlacedFence], frame: Frame) -> Wish:
    """The name of a row, beside any fence of it, those in the middle first."""
    poles = [fence for fence in shown if fence.fence.whole == row]
    middle = (len(poles) - 1) / 2
    lines = (LabelLine(row, BOARD, "semibold"),)
    places = [
        replace(candidate, price=candidate.price + 0.2 * abs(n - middle))
        for n, pole in enumerate(poles)
        for candidate in beyond_a_foot(pole, frame, label_size(lines))
    ]
    return text_wish(f"fence-{row.replace(' ', '-')}", lines, places)


def post_wishes(plan: Plan, frame: Frame) -> list[Wish]:
    """The name of every post of the arena."""
    out = []
    for name, point in plan.arena.posts.items():
        lines = (LabelLine(name, POST_NAME),)
        wide, high = label_size(lines)
        # Beside other words a name would be read on with them.
        apart = (wide + 2 * WORD_GAP, high)
        close = list(around_point(frame.at(point), (wide, high), (1.3, 2.6, 4.5)))
        # Between two tracks a name may stand a little higher or lower than its post.
        close += [
            replace(one, centre=(one.centre[0], one.centre[1] + down), price=one.price + 10.0)
            for one in close
            for down in (-UP_OR_DOWN, UP_OR_DOWN)
        ]
        places = [replace(one, size=apart) for one in close]
        places += [replace(one, price=one.price + READ_ON) for one in close]
        key = f"post-{name.replace(' ', '-')}"
        out.append(text_wish(key, lines, places, passing=frozenset(("post",))))
    return out


WORD_GAP = 1.1
"""Millimetres to either side of the name of a post that are free of words: its own mark is nearer,
and is none."""
READ_ON = 20.0
"""What it costs the name of a post to stand close beside other words."""
UP_OR_DOWN = 0.9
"""Millimetres that the name of a post gives way."""


def _name(placed: PlacedFence, plan: Plan, frame: Frame, units: Units) -> Wish:
    lines = [LabelLine(placed.name, BOARD, "semibold")]
    measures = measures_text(placed, plan, units)
    if measures:
        lines.append(LabelLine(measures, NUMERAL))
    size = label_size(lines)
    places = Ranked(lambda: beyond_a_foot(placed, frame, size))
    name = f"fence-{placed.name.replace(' ', '-')}"
    wish = text_wish(name, tuple(lines), places, nudge_of_fence(plan, placed.name))
    own = _along(placed, frame)
    others = tuple(
        at for other in plan.fences if other is not placed for at in _along(other, frame)
    )  # fmt: skip

    def surcharge(one: Candidate) -> float:
        return _strangeness(box_at(one.centre, *size), own, others)

    return replace(wish, surcharge=surcharge)


def _along(placed: PlacedFence, frame: Frame) -> tuple[Point, ...]:
    """Places along the poles of a fence on paper, from end to end."""
    return tuple(frame.at(at) for at in placed.along_poles(ALONG))


def _strangeness(box: Box, own: tuple[Point, ...], others: tuple[Point, ...]) -> float:
    """What it costs a name to stand nearly as close to another fence as to its own, or closer."""
    mine = min(math.dist(box.nearest(at), at) for at in own)
    reach = mine + OWN_BY
    near = min(
        (
            math.dist(box.nearest((x, y)), (x, y))
            for x, y in others
            if box.left - reach < x < box.right + reach and box.top - reach < y < box.bottom + reach
        ),
        default=reach,
    )
    if near < mine + CLEARLY:
        return MISTAKEN
    return ASTRAY if near < reach else 0.0


def beyond_a_foot(
    placed: PlacedFence, frame: Frame, size: tuple[float, float]
) -> Iterator[Candidate]:
    """Beyond the upper foot, then the lower, slid along, then further off."""
    width, height = size
    half = placed.reach_m
    feet = []
    for side in (1, -1):
        x, y = frame.at(placed.ground((0.0, side * half)))
        ox, oy = frame.at(placed.ground((0.0, side * (half + 1.0))))
        length = math.hypot(ox - x, oy - y)
        feet.append((x, y, (ox - x) / length, (oy - y) / length))
    feet.sort(key=lambda foot: (round(foot[1], 3), foot[0]))
    for price, n, m, k in STEPS_OFF:
        x, y, dx, dy = feet[m]
        reach, slide = (abs(dx) * width + abs(dy) * height) / 2 + GAPS[n], SLIDES[k]
        yield Candidate((x + dx * reach - dy * slide, y + dy * reach + dx * slide), (x, y), price)
    # Rather over a track, which is cut there, than nowhere.
    around = [
        (candidate.centre, (x, y), candidate.price)
        for x, y, _, _ in feet
        for candidate in around_point((x, y), size, (2.0, 5.0, 9.0, 14.0))
    ]
    around.sort(key=lambda place: place[2])
    for more, over in ((10.0, False), (40.0, True)):
        for centre, foot, price in around:
            yield Candidate(centre, foot, price + more, over=over)


ALONG = 4
"""Places looked at from the middle of a pole to either end."""
CLEARLY, MISTAKEN = 1.8, 30.0
"""Millimetres by which a name must be nearer to its own fence than to another, and what it costs if
it is not: more than any step off its fence, or to stand over a track."""
OWN_BY, ASTRAY = 2.5, 1.8
"""Millimetres by which a name is nearer to its own fence than to any other, and what it costs if it
is not: as much as standing a step further off."""
GAPS, SLIDES = (1.3, 3.0, 5.0, 8.0), (0.0, 2.5, -2.5, 6.0, -6.0, 10.0, -10.0)
"""Millimetres from a foot to the name of its fence, and along the fence."""
STEPS_OFF = sorted(
    (1.5 * n + 0.9 * m + 0.3 * k, n, m, k)
    for n in range(len(GAPS)) for m in range(2) for k in range(len(SLIDES))
)  # fmt: skip
"""What a name costs so many steps off and along, at the upper or the lower foot: least first."""
