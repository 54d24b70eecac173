"""A measured line with its reading: on it where it has room there, else beside it.

A reading is crossed by no other line and nearer to its own than to any other. One that a row of the
leaf says as well is left out where it would not be, or where it would lie on another word or on a
fence.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from diagram.drawing.frame import Frame
from diagram.drawing.labels import box_at
from diagram.drawing.nearness import LED, NEARER, PEN, Line, own_and_others, struck
from diagram.drawing.setting_crowd import (
    OVER_FENCE,
    OVER_LABEL,
    SPACING,
    Corners,
    FullSheet,
    corners_of,
)
from diagram.geometry.pose import Point, unit_towards
from diagram.scene import Fill, Item, Stroke, Text
from diagram.style import INK, PAPER, Pen, Weight, text_width

SHARES = (
    0.5, 0.56, 0.44, 0.62, 0.38, 0.68, 0.32, 0.74, 0.26, 0.8, 0.2, 0.53, 0.47, 0.65, 0.35, 0.86,
    0.14,
)  # fmt: skip
"""Places along a line that are tried for its reading, the middle first."""
OFF_MIDDLE = 0.8
"""Points of cover that a place at the end of the line costs more than one in the middle."""
BESIDE, GAPS, FAR_GAPS = 1.5, (0.7, 1.8, 3.2), (4.8, 6.5, 9.0, 12.0, 15.0, 19.0, 24.0, 30.0)
"""Points that a place beside the line costs, and millimetres from it; the far ones are for what
must be there, and a thin line leads to them."""
ALONG, ALONG_GAPS, LEVEL = 0.5, (0.5, 1.2), 0.035
"""Points more for words turned beside their line, millimetres from it, and the sine up to which a
line is level anyhow."""
SLANT = 2.5
"""Points for level words beside a line at 45 degrees, which they touch with a corner only."""
CROSSED, STRAY, ALMOST = 90.0, 60.0, 25.0
"""Points for a figure that another line runs through, for one that is nearer to another, and for
one that has a thin line to its own but touches another."""
ASIDE = 0.95
"""Half words by which they stand aside of their thin line."""
SHORT, IN_WAY = 17.0, 15.0
"""Millimetres up to which a line has no room for a figure, and points for a figure beside it."""
STRUCK, SMALLER = 100.0, 6.0
"""Points for a thin line through a word, and for a figure of the next smaller size."""
LEADER, LEADER_PEN = 4.0, Pen(INK, 0.25)
OWN_LINE = 0.3 / SPACING
"""What a millimetre of its own line counts in the crowd."""
PAD = 0.5
TOO_MUCH = 45.0
"""Points of cover from which a figure is left out where it may be."""


class Dimension(Struct, frozen=True):
    """A line on the ground and what a tape reads along it, in the first of `sizes` that finds a
    free place. One that `must` be read from the drawing is left out only where it would lie on
    another word."""

    start: Point
    end: Point
    text: str
    sizes: tuple[float, ...]
    pen: Pen
    weight: Weight = "semibold"
    must: bool = False


class _Place(Struct, frozen=True):
    price: float
    order: int
    middle: Point
    u: Point
    corners: Corners
    size: float
    white: bool
    leader: tuple[Point, ...] = ()


def dimension_marks(
    one: Dimension, frame: Frame, crowd: FullSheet, rail: Sequence[Point], others: Sequence[Line]
) -> tuple[list[Item], list[Item]]:
    """The line, and over it the reading, inside the `rail` on the paper and clear of the `others`;
    the reading's place is taken in the crowd."""
    a, b = frame.at(one.start), frame.at(one.end)
    line: list[Item] = [Stroke((a, b), one.pen, sized="ground")]
    if math.dist(a, b) < 1e-6 or not one.text:
        return line, []
    places: list[_Place] = []
    for n, size in enumerate(one.sizes):
        tried = [
            *_on(one, size, a, b, crowd), *_beside(one, size, a, b, crowd, rail),
            *_along(one, size, a, b, crowd, rail),
        ]  # fmt: skip
        if n:
            tried = [replace(place, price=place.price + n * SMALLER) for place in tried]
        places += _priced(one, tried, (a, b), others)
    if not places:
        return line, []
    best = min(places, key=lambda place: (place.price, place.order))
    # Of two words over each other neither is read; the rows of the leaf say every length as well.
    if best.price >= (OVER_LABEL if one.must else TOO_MUCH):
        return line, []
    crowd.add_label(best.corners)
    if best.leader:
        crowd.add_bar(*best.leader)
    leader = [Stroke(best.leader, LEADER_PEN)] if best.leader else []
    return line, [*leader, *_text(one, best)]


def _priced(
    one: Dimension, places: Sequence[_Place], own: Line, others: Sequence[Line]
) -> list[_Place]:
    """The places with what it costs that another line is in their way."""
    # Only what must be there takes a place that costs so much.
    places = [place for place in places if one.must or place.price < TOO_MUCH]
    ink = []
    for place in places:
        half = text_width(one.text, place.size, one.weight) / 2
        ink.append(turned(place.middle, place.u, half, place.size * 0.33))
    out = []
    to_lines = own_and_others(ink, own, others, one.must).tolist() if places else []
    # Lines too short for their figures want room beside them for thin ones of their own.
    short = [line for line in others if math.dist(*line) < SHORT] if one.must else []
    in_way = struck(ink, [_beyond(line) for line in short]).sum(axis=1).tolist()
    for place, (mine, least), ways in zip(places, to_lines, in_way, strict=True):
        more = STRAY if least > PEN else CROSSED
        if least >= mine + NEARER:
            more = 0.0
        elif place.leader and least > PEN:
            more = ALMOST * max(0.0, 1 - least / LED)
        more += IN_WAY * ways if place.leader else 0.0
        out.append(replace(place, price=place.price + more) if more else place)
    return out


def _beyond(line: Line) -> Line:
    """Across the middle of a line, as far to both sides as its figure may stand."""
    (ax, ay), (bx, by) = line
    share = (FAR_GAPS[-1] + LEADER) / (math.dist(*line) or 1.0)
    x, y, dx, dy = (ax + bx) / 2, (ay + by) / 2, (by - ay) * share, (ax - bx) * share
    return (x + dx, y + dy), (x - dx, y - dy)


def turned(middle: Point, u: Point, half_w: float, half_h: float) -> Corners:
    """The corners of a text along `u`, clockwise on the paper."""
    v = (-u[1], u[0])
    return tuple(
        (
            middle[0] + u[0] * sx * half_w + v[0] * sy * half_h,
            middle[1] + u[1] * sx * half_w + v[1] * sy * half_h,
        )
        for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    )


def _on(
    one: Dimension, size: float, a: Point, b: Point, crowd: FullSheet
) -> Iterator[_Place]:  # fmt: skip
    """On the line, turned with it; where the line shows on both sides of the figure."""
    length = math.dist(a, b)
    width = text_width(one.text, size, one.weight) + 2 * PAD
    u = _upright(*unit_towards(a, b))
    tried = []
    for n, share in enumerate(SHARES):
        if abs(share - 0.5) * length > max(0.0, (length - width) / 2) and n:
            continue
        middle = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
        tried.append((n, share, middle, turned(middle, u, width / 2, size * 0.4)))
    covered = crowd.covered_by([corners for _, _, _, corners in tried])
    own = OWN_LINE * min(width, length)
    for (n, share, middle, corners), over in zip(tried, covered, strict=True):
        price = over - own + OFF_MIDDLE * abs(share - 0.5) * 2
        # A line that is hidden behind its figure is none.
        price += OVER_FENCE if width > length - 3.0 else 0.0
        yield _Place(max(price, 0.0), n, middle, u, corners, size, white=True)


def _beside(
    one: Dimension, size: float, a: Point, b: Point, crowd: FullSheet, rail: Sequence[Point]
) -> Iterator[_Place]:
    """Level, next to the line on either side, where that is inside the rail."""
    length = math.dist(a, b)
    half = (text_width(one.text, size, one.weight) / 2 + PAD, size * 0.4)
    v = (-(b[1] - a[1]) / length, (b[0] - a[0]) / length)
    slant = SLANT * abs(2 * v[0] * v[1])
    tried = []
    aside = [(gap, share, 0.0) for gap in GAPS for share in SHARES[:11]]
    if one.must:
        # Of lines close together the thin ones pass beside each other's words.
        aside += [(gap, share, 0.0) for gap in FAR_GAPS for share in SHARES[:11]]
        aside += [(gap, 0.5, part) for gap in FAR_GAPS for part in (ASIDE, -ASIDE)]
    for gap, share, part in aside:
        for sign in (1, -1):
            out = sign * (gap + abs(v[0]) * half[0] + abs(v[1]) * half[1])
            on = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
            shift = part * (abs(v[1]) * half[0] + abs(v[0]) * half[1])
            middle = (on[0] + out * v[0] + shift * v[1], on[1] + out * v[1] - shift * v[0])
            box = box_at(middle, 2 * half[0], 2 * half[1])
            if all(within(rail, corner) for corner in corners_of(box)):
                tried.append((gap + abs(part), share, on, middle, box))
    covered = crowd.covered([box for *_, box in tried])
    through = crowd.words_under([(on, box.nearest(on)) for _, _, on, _, box in tried])
    for order, ((gap, share, on, middle, box), over, words) in enumerate(
        zip(tried, covered, through, strict=True), len(SHARES) + 1
    ):
        price = over + BESIDE + gap + OFF_MIDDLE * abs(share - 0.5) * 2 + slant
        leader = (on, box.nearest(on)) if gap > LEADER else ()
        price += STRUCK * words if leader else 0.0
        yield _Place(price, order, middle, (1.0, 0.0), corners_of(box), size, False, leader)


def _along(
    one: Dimension, size: float, a: Point, b: Point, crowd: FullSheet, rail: Sequence[Point]
) -> Iterator[_Place]:
    """Turned with a sloping line, close to it on either side."""
    length = math.dist(a, b)
    u = _upright(*unit_towards(a, b))
    width = text_width(one.text, size, one.weight) + 2 * PAD
    if abs(u[1]) < LEVEL or width > length:
        return
    tried = []
    for gap in ALONG_GAPS:
        for share in SHARES[:11]:
            for sign in (1, -1):
                out = sign * (gap + size * 0.4)
                x, y = (a[n] + share * (b[n] - a[n]) for n in (0, 1))
                middle = (x - out * u[1], y + out * u[0])
                corners = turned(middle, u, width / 2, size * 0.4)
                shows = abs(share - 0.5) * length <= (length - width) / 2
                if shows and all(within(rail, corner) for corner in corners):
                    tried.append((gap, share, middle, corners))
    covered = crowd.covered_by([corners for *_, corners in tried])
    for order, ((gap, share, middle, corners), over) in enumerate(
        zip(tried, covered, strict=True), 1000
    ):
        price = over + BESIDE + ALONG + gap + OFF_MIDDLE * abs(share - 0.5) * 2
        yield _Place(price, order, middle, u, corners, size, False)


def within(corners: Sequence[Point], at: Point) -> bool:
    """Whether a place is inside a polygon: a ray to the right meets its edges an odd number of
    times."""
    x, y = at
    odd = False
    for (ax, ay), (bx, by) in pairwise([*corners, corners[0]]):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            odd = not odd
    return odd


def _upright(dx: float, dy: float) -> Point:
    """The direction in which words along a line are read."""
    return (-dx, -dy) if dx < -1e-9 or (abs(dx) <= 1e-9 and dy > 0) else (dx, dy)


def _text(one: Dimension, place: _Place) -> Iterator[Item]:
    """The reading, on white where it lies on its line."""
    middle, u, size = place.middle, place.u, place.size
    if place.white:
        width = text_width(one.text, size, one.weight) + 2 * PAD
        yield Fill(turned(middle, u, width / 2, size * 0.46), PAPER)
    v, down = (-u[1], u[0]), size * 0.33
    at = (middle[0] + v[0] * down, middle[1] + v[1] * down)
    turn = math.degrees(math.atan2(-u[1], u[0]))
    yield Text(at, one.text, size, one.weight, "middle", turn, INK)
