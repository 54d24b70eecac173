"""How many strides a line has, in words beside or on it.

A count stands on its line, midway; on a bend, or where two passes share the ground, outside.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec.structs import replace

from diagram.drawing.candidates import Candidate
from diagram.drawing.frame import Frame
from diagram.drawing.labels import Place, Wish
from diagram.drawing.nudges import nudge_at
from diagram.drawing.strand import LANE, LegSpan, Strand
from diagram.geometry.pose import Point
from diagram.planning import Plan, PlanLeg
from diagram.scene import Group, Item, Text
from diagram.style import COUNTED, FLAG, text_width
from diagram.units import Units, length_text

BOX_TALL, BOX_SIDE = 6.0, 1.2
"""A count's white box: its height, and the white on each side of its words."""
BEYOND, NEAR, INK_TALL = 7.0, 2.8, 4.4
"""Millimetres from a track to a count outside it: past numerals, past ticks; and its height."""
LESS_WHITE = 0.3
"""Millimetres of the white at each end that a count gives up where it stands close."""
ROOM_OVER = 0.8
"""Millimetres of white over and under the words of a count that numerals may stand in."""
FLATTEST_TURNED = math.radians(30)
FROM_MIDDLE, COUNT_STEP = 0.25, 0.5
"""A count slides at most this share of its line from the middle, in steps of this many mm."""
LEAST_FOR_TICKS = 16.0
"""Millimetres of a line: on a shorter one the beads leave no room for a tick."""


def counted(leg: PlanLeg) -> bool:
    """Whether strides of a leg are counted aloud: lines and bends between two fences."""
    return bool(leg.first and leg.second) and leg.shape in ("line", "bend")


def stride_words(leg: PlanLeg) -> str:
    """``5 strides``, ``bounce``, or nothing when none are said."""
    if leg.strides is None:
        return ""
    if leg.strides == 0:
        poles = any(c and c.fence.fence.for_distances.is_pole for c in (leg.first, leg.second))
        return "" if poles else "bounce"
    return f"{leg.strides} stride{'s' if leg.strides > 1 else ''}"


def count_wishes(
    plan: Plan, strand: Strand, frame: Frame, units: Units, phase: int | None
) -> list[Wish]:
    """The count of every line and bend, said once for passes over the same ground."""
    alike: dict[tuple[frozenset[str], str], list[LegSpan]] = {}
    out: list[Wish] = []
    for span in strand.spans:
        leg = span.leg
        if not counted(leg) or phase not in (None, span.part):
            continue
        if leg.ridden.in_and_out:
            out += _in_and_out(span, plan, strand, frame)
            continue
        words = stride_words(leg) or _length_said(leg, units)
        if words:
            ends = frozenset(c.jump.fence for c in (leg.first, leg.second) if c)
            alike.setdefault((ends, words), []).append(span)
    for (_, words), spans in alike.items():
        alone = _count(spans, words, plan, strand, frame, "")
        measured = _both(spans[0].leg, units)
        if measured and measured != words:
            more = _count(spans, words, plan, strand, frame, measured)
            out.append(replace(more, instead=alone))
        else:
            out.append(alone)
    return out


def _in_and_out(span: LegSpan, plan: Plan, strand: Strand, frame: Frame) -> Iterator[Wish]:
    """The strides before a walk or halt in a line, and those after it, each on its own part."""
    both = span.leg.ridden.in_and_out
    assert both is not None
    turn, on = (span.begin + at * strand.mm_per_m for at in (both.begin_m, both.end_m))
    for name, part, side in (
        ("in", replace(span, end=turn), both.canter_in),
        ("out", replace(span, begin=on), both.canter_out),
    ):
        words = f"{side.strides} stride{'s' if side.strides != 1 else ''}"
        if side.strides:
            wish = _count([part], words, plan, strand, frame, "")
            yield replace(wish, name=f"{wish.name}-{name}")


def _length_said(leg: PlanLeg, units: Units) -> str:
    """The length of a line that a file measures; not of poles in a row, which nobody counts."""
    poles = any(c and c.fence.fence.kind.ridden_over for c in (leg.first, leg.second))
    if not leg.link.way or not leg.link.way.length or (poles and leg.link.inner):
        return ""
    return length_text(leg.track_m, "feet" if units == "both" else units)


def _count(
    spans: list[LegSpan], words: str, plan: Plan, strand: Strand, frame: Frame, measured: str
) -> Wish:
    span = spans[0]
    leg = span.leg
    width, tall = text_width(words, COUNTED, "bold"), BOX_TALL
    # Between the fences of a combination a length has no room but under its count.
    under = leg.link.inner
    if measured and under:
        width, tall = max(width, text_width(measured, FLAG)), BOX_TALL + UNDER
    elif measured:
        width += MEASURE_GAP + text_width(measured, FLAG)
    size = (width + 2 * BOX_SIDE, tall)

    def paint(place: Place) -> Group:
        return Group(f"count-{leg.number}", tuple(_count_marks(words, measured, place, under)))

    own = frozenset(f"{what} {one.leg.number}" for one in spans for what in ("track", "stride"))
    lone = len(spans) == 1 and leg.curve.tightest < 1e-9
    # A numeral right before its words would be read as part of the count; a grid has none.
    side = 2 * BOX_SIDE if under else BOX_SIDE
    brackets = BRACKETS if "(" in measured else 0.0
    beside = (size[0] - side, size[1] + INK_TALL - BOX_TALL + brackets)
    places = [
        *(_on_the_line(span, strand, size, brackets) if lone and tall == BOX_TALL else ()),
        *(replace(one, near=own) for one in _outside(spans, strand, frame, beside)),
    ]

    def misread(one: Candidate) -> float:
        if one.lines:
            return CROWDED * any(_is_near(end, span, strand) for end in one.lines[0])
        return OTHERS * is_another(one.centre, spans, strand) if one.size else 0.0

    # Rather over another track, which is cut there, than nowhere.
    places += [replace(p, price=p.price + LAST, over=True) for p in places if not p.lines]
    nudge = next((found for one in spans if (found := nudge_at(plan, one.leg.path))), None)
    ends = " to ".join(c.jump.fence for c in (leg.first, leg.second) if c)
    return Wish(
        f"count-{leg.number}", f"{words} ({ends})", size, places, paint, nudge, own,
        surcharge=misread,
    )  # fmt: skip


def _both(leg: PlanLeg, units: Units) -> str:
    """Beside strides the length in metres and feet, where both are asked for."""
    if units == "feet":
        return ""
    return length_text(leg.track_m, units)


def _count_marks(words: str, measured: str, place: Place, under: bool) -> Iterator[Item]:
    x, y = place.centre
    turn = math.radians(place.angle)
    along, down = (math.cos(turn), -math.sin(turn)), (math.sin(turn), math.cos(turn))

    def at(u: float, v: float) -> tuple[float, float]:
        return x + along[0] * u + down[0] * v, y + along[1] * u + down[1] * v

    down_to = COUNTED * 0.33
    if not measured:
        yield Text(at(0.0, down_to), words, COUNTED, "bold", "middle", place.angle)
        return
    if under:
        yield Text(at(0.0, down_to - UNDER / 2), words, COUNTED, "bold", "middle", place.angle)
        low = at(0.0, down_to + UNDER / 2)
        yield Text(low, measured, FLAG, "regular", "middle", place.angle)
        return
    wide = text_width(words, COUNTED, "bold")
    begin = -(wide + MEASURE_GAP + text_width(measured, FLAG)) / 2
    yield Text(at(begin, down_to), words, COUNTED, "bold", "start", place.angle)
    after = begin + wide + MEASURE_GAP
    yield Text(at(after, down_to), measured, FLAG, "regular", "start", place.angle)


MEASURE_GAP, UNDER = 1.6, 4.6
"""Millimetres between a count and its length beside it; and down to a length below it."""
BRACKETS, BRACKETS_BELOW = 1.0, 0.6
"""Millimetres of a box that brackets reach below figures, half of it on either side; and how far
they go below the white of a count on its line."""


def _on_the_line(
    span: LegSpan, strand: Strand, size: tuple[float, float], brackets: float
) -> Iterator[Candidate]:
    """Midway on a straight line, turned with it where that is nearly level."""
    if span.length < size[0] + 4.0:
        return
    dx, dy = strand.way(span.begin + span.length / 2)
    if dx < 0:
        dx, dy = -dx, -dy
    turned = abs(math.atan2(dy, dx)) <= FLATTEST_TURNED
    most = int(FROM_MIDDLE * span.length / COUNT_STEP)
    for n in sorted(range(-most, most + 1), key=lambda n: (abs(n), n)):
        x, y = strand.at(span.begin + span.length / 2 + n * COUNT_STEP)
        if not turned:
            yield Candidate((x, y), (x, y), abs(n) * COUNT_STEP / span.length * 15.0)
            continue
        angle = -math.degrees(math.atan2(dy, dx)) if abs(dy) > 1e-6 else 0.0
        for less in (0.0, LESS_WHITE):
            price = abs(n) * COUNT_STEP / span.length * 15.0
            half = (size[0] - size[1]) / 2 - less
            line = ((x - dx * half, y - dy * half), (x + dx * half, y + dy * half))
            # Brackets reach below figures at the end of the words.
            clear = size[1] / 2 - ROOM_OVER + BRACKETS_BELOW * (brackets > 0)
            yield Candidate(
                (x, y), (x, y), price + 2 * less, (line,), clear, angle, (1.0, INK_TALL)
            )


def _outside(
    spans: list[LegSpan], strand: Strand, frame: Frame, size: tuple[float, float]
) -> Iterator[Candidate]:
    """Beside the track, beyond the numerals: outside a bend, right or left of shared ground."""
    span = spans[0]
    leg = span.leg
    way = leg.link.way
    outer = 1.0 if way is None or way.left is None or way.left else -1.0
    reach = max(frame.mm(c.fence.reach_m) for c in (leg.first, leg.second) if c)
    short = span.length < LEAST_FOR_TICKS + 6.0
    middle = span.begin + span.length / 2
    for n, off in enumerate((reach + 1.2, reach + 4.0, reach + 8.0) if short else (0.0, 2.5, 6.0)):
        for m, share in enumerate((0.5, 0.4, 0.6, 0.3, 0.7)):
            s = span.begin + share * span.length
            nx, ny = strand.beside(s, 1.0)
            x, y = strand.at(s)
            nx, ny = nx - x, ny - y
            half = (abs(nx) * size[0] + abs(ny) * size[1]) / 2
            for side, price in ((outer, 0.0), (-outer, 0.5 if len(spans) > 1 else 1.5)):
                numbered = side > 0 or len(spans) > 1 or strand.is_opposed(middle)
                far = half + off + (0.0 if short else BEYOND if numbered else NEAR)
                # The pass the other way lies between.
                far += 2 * LANE * (side < 0 and strand.is_opposed(s))
                centre = (x + nx * far * side, y + ny * far * side)
                price += 4.0 + 2.0 * n + 0.4 * m
                yield Candidate(centre, (x, y), price, size=size)


LAST = 40.0
"""Dearer than any place that is free."""
OTHERS = 5.0
"""What it costs a count to stand where it could be read as that of another line."""


CROWDED, CROWDED_MM = 0.8, 7.0


def _is_near(end: Point, own: LegSpan, strand: Strand) -> bool:
    """Whether the track of another counted leg passes close to an end of a count."""
    return any(
        far < CROWDED_MM
        for span, far in zip(strand.spans, strand.distances(end), strict=True)
        if counted(span.leg) and span.leg is not own.leg
    )


def is_another(centre: Point, spans: list[LegSpan], strand: Strand, by: float = 1.0) -> bool:
    """Whether a counted leg of others lies nearer to a place than those of `spans`, or less than
    `by` mm further."""
    mine = {span.leg.number for span in spans}
    legs = [(s.leg, far) for s, far in zip(strand.spans, strand.distances(centre), strict=True)]
    own = min(far for leg, far in legs if leg.number in mine)
    return any(far < own + by for leg, far in legs if leg.number not in mine and counted(leg))
