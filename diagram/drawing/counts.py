"""What is counted: the strides of a line in words, their ticks and numerals, the turns.

A count stands on its line, midway; on a bend, or where two passes share the ground, outside.
Numerals stand all of them or none. A turn has no ticks: only how many it is about.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from diagram.drawing.crowd import Crowd
from diagram.drawing.frame import Frame
from diagram.drawing.labels import (
    Candidate,
    Label,
    LabelLine,
    Place,
    Unplaced,
    Wish,
    label_size,
    place,
    take,
    text_wish,
)
from diagram.drawing.nudges import nudge_at
from diagram.drawing.parts import parts_of
from diagram.drawing.strand import LANE, LegSpan, Strand
from diagram.geometry.pose import Point
from diagram.planning import Plan, PlanLeg, SecondWay
from diagram.scene import Group, Item, Stroke, Text
from diagram.style import (
    CALLED,
    COUNTED,
    FLAG,
    NUMERAL,
    TICK,
    Pen,
    phase_pen,
    text_width,
)  # fmt: skip
from diagram.units import Units, length_text

BOX_TALL, BOX_SIDE = 6.0, 1.2
"""A count's white box: its height, and the white on each side of its words."""
BEYOND, NEAR, INK_TALL = 7.0, 2.8, 4.4
"""Millimetres from a track to a count outside it: past numerals, past ticks; and its height."""
LESS_WHITE = 0.3
"""Millimetres of the white at each end that a count gives up where it stands close."""
ROOM_OVER = 0.8
"""Millimetres of white over and under the words of a count that numerals may stand in."""
LONE, LANE_OFF = 4.7, 4.2
"""Millimetres from the track to the middle of a numeral."""
LONE_TICK, LANE_TICK = (1.6, 1.6), (0.0, 2.3)
"""Millimetres of a tick to the left and to the right."""
OTHER_TRACK = 12.0
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
    beside = (size[0] - 2 * BOX_SIDE, size[1] + INK_TALL - BOX_TALL)
    places = [
        *(_on_the_line(span, strand, size) if lone and tall == BOX_TALL else ()),
        *(replace(one, near=own) for one in _outside(spans, strand, frame, beside)),
    ]
    # Rather over another track, which is cut there, than nowhere.
    places += [replace(p, price=p.price + LAST, over=True) for p in places if not p.lines]
    nudge = next((found for one in spans if (found := nudge_at(plan, one.leg.path))), None)
    ends = " to ".join(c.jump.fence for c in (leg.first, leg.second) if c)
    return Wish(f"count-{leg.number}", f"{words} ({ends})", size, tuple(places), paint, nudge, own)


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


def _on_the_line(span: LegSpan, strand: Strand, size: tuple[float, float]) -> Iterator[Candidate]:
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
            clear = size[1] / 2 - ROOM_OVER
            price += CROWDED * any(_is_near(end, span, strand) for end in line)
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
                price += OTHERS * _is_another(centre, spans, strand)
                yield Candidate(centre, (x, y), price, size=size)


LAST = 40.0
"""Dearer than any place that is free."""
OTHERS = 5.0
"""What it costs a count to stand where it could be read as that of another line."""


CROWDED, CROWDED_MM = 0.8, 7.0


def _is_near(end: Point, own: LegSpan, strand: Strand) -> bool:
    """Whether the track of another counted leg passes close to an end of a count."""
    return any(
        math.dist(place, end) < CROWDED_MM
        for span, places in zip(strand.spans, strand.places, strict=True)
        if counted(span.leg) and span.leg is not own.leg
        for place in places
    )


def _is_another(centre: Point, spans: list[LegSpan], strand: Strand, by: float = 1.0) -> bool:
    """Whether a counted leg of others lies nearer to a place than those of `spans`, or less than
    `by` mm further."""

    def far(places: tuple[Point, ...]) -> float:
        return min(math.dist(place, centre) for place in places)

    mine = {span.leg.number for span in spans}
    legs = [(s.leg, p) for s, p in zip(strand.spans, strand.places, strict=True)]
    own = min(far(places) for leg, places in legs if leg.number in mine)
    return any(
        far(places) < own + by for leg, places in legs if leg.number not in mine and counted(leg)
    )


@dataclass(frozen=True, slots=True)
class Stride:
    """Where a stride ends: along the strand, its number, its leg."""

    s: float
    number: int
    leg: PlanLeg


def strides_of(span: LegSpan, strand: Strand) -> list[Stride]:
    """The strides that a file counts; none where the beads leave no room for them."""
    few = span.leg.link.inner or (span.leg.strides or 0) < 2
    if not counted(span.leg) or few or span.length < LEAST_FOR_TICKS:
        return []
    return [
        Stride(span.begin + spot.at_m * strand.mm_per_m, spot.number, span.leg)
        for spot in span.leg.ridden.spots
        if spot.what == "stride"
    ]


def tick_of(stride: Stride, strand: Strand) -> Stroke:
    """A tick across a lone track, or to the outside of a lane."""
    left, right = LANE_TICK if strand.is_opposed(stride.s) else LONE_TICK
    return Stroke((strand.beside(stride.s, -left), strand.beside(stride.s, right)), TICK)


def numeral_labels(
    strand: Strand, crowd: Crowd, phase: int | None
) -> tuple[list[Label], list[str]]:
    """Numerals 1 to n of every counted leg, all or none; the legs that stay without are named."""
    labels: list[Label] = []
    without: list[str] = []
    for span in strand.spans:
        leg = span.leg
        if phase not in (None, span.part):
            continue
        strides = strides_of(span, strand)
        if not strides:
            continue
        found = _numerals(strides, span, strand, crowd, labels)
        if found is None:
            without.append(f"{leg.first.jump.fence} to {leg.second.jump.fence}"
                           if leg.first and leg.second else "")  # fmt: skip
            continue
        labels += [label for _, label in found]
    return labels, without


def _numerals(
    strides: list[Stride], span: LegSpan, strand: Strand, crowd: Crowd, there: list[Label]
) -> list[tuple[Wish, Label]] | None:
    """The numerals of a leg, on one side of it if that can be; None if they find no place.

    All of them, but for one between two others.

    Where another pass already has the same figure at the same place it is not said again.
    """
    right, left = (_crossed(strides, span, strand, crowd, side) for side in (1.0, -1.0))
    for sides in ((1, 0), (-1, 0), (1, -1)) if right <= left else ((-1, 0), (1, 0), (-1, 1)):
        found: list[tuple[Wish, Label]] = []
        before, missing = len(crowd), False
        for stride in strides:
            wish = _numeral(stride, span, strand, tuple(side for side in sides if side))
            twin = any(
                label.name.rpartition("-")[2] == str(stride.number)
                and math.dist(label.place.target, strand.at(stride.s)) < TWIN
                for label in there
            )
            label = None if twin else place(wish, crowd)
            if isinstance(label, Unplaced):
                # Between 3 and 5 nobody misses a 4 that another track runs over.
                if 1 < stride.number < len(strides) and not missing:
                    missing = True
                    continue
                crowd.cut_back(before)
                break
            if label:
                found.append((wish, label))
                take(wish, label, crowd)
        else:
            return found
    return None


TWIN = 5.0
"""Millimetres: strides of two passes no further apart share a numeral."""


def _crossed(
    strides: list[Stride], span: LegSpan, strand: Strand, crowd: Crowd, side: float
) -> int:
    """How many strides have another track nearer than OTHER_TRACK on that side."""
    own = frozenset(
        kind for kind in crowd.kinds if not kind.startswith("track") or
        kind == f"track {span.leg.number}"
    )  # fmt: skip
    return sum(
        bool(crowd.line_covered(strand.beside(stride.s, 1.5 * side),
                                strand.beside(stride.s, OTHER_TRACK * side), 0.5, own))
        for stride in strides
    )  # fmt: skip


NUMERAL_SHIFTS = (
    (0.0, 0.0), (0.0, 0.7), (0.0, -0.8), (1.5, 0.0), (-1.5, 0.0), (2.6, 0.0), (-2.6, 0.0),
    (0.0, 1.6), (0.0, 3.3), (0.0, 4.6),
)  # fmt: skip
"""Millimetres along and further out that a numeral may give way."""


def _numeral(stride: Stride, own: LegSpan, strand: Strand, sides: tuple[int, ...]) -> Wish:
    text = str(stride.number)
    size = (text_width(text, NUMERAL) + 0.5, NUMERAL * 0.66 + 0.5)
    lane = strand.is_opposed(stride.s)
    off = LANE_OFF if lane else LONE
    places = []
    for n, side in enumerate(sides):
        for m, (slide, more) in enumerate(NUMERAL_SHIFTS):
            centre = strand.beside(stride.s + slide, side * (off + more))
            if not _is_another(centre, [own], strand, 0.0):
                places.append(Candidate(centre, strand.at(stride.s), n + 0.1 * m))

    def paint(place: Place) -> Group:
        x, y = place.centre
        mark = Text((x, y + NUMERAL * 0.33), text, NUMERAL, "regular", "middle")
        return Group(f"stride-{stride.leg.number}-{text}", (mark,))

    name = f"stride-{stride.leg.number}-{text}"
    return Wish(name, f"stride {text}", size, tuple(places), paint)


TURN_SHARES = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82, 0.1, 0.9, 0.02, 0.98)


def turn_wishes(strand: Strand, phase: int | None) -> list[Wish]:
    """``about 14`` on the track of every turn, in its roundest part."""
    alike: dict[tuple[str, str, int], LegSpan] = {}
    for span in strand.spans:
        leg = span.leg
        if leg.shape not in ("turn", "rollback") or not (leg.first and leg.second):
            continue
        if phase in (None, span.part) and leg.ridden.strides:
            ends = leg.first.jump.fence, leg.second.jump.fence, leg.ridden.strides
            alike.setdefault(ends, span)
    return [_turn(span, strand) for span in alike.values()]


PAIRED = 9.0


def _beside_another(centre: Point, span: LegSpan, strand: Strand) -> bool:
    """Whether another leg passes so near to a place that the words could be said of it."""
    return any(
        math.dist(place, centre) < PAIRED
        for other, places in zip(strand.spans, strand.places, strict=True)
        if other is not span
        for place in places
    )


EVERY_TAG = 60.0


def round_wishes(strand: Strand, phase: int | None) -> list[Wish]:
    """``2nd`` beside a pass that runs along an earlier one, every EVERY_TAG mm of it."""
    out = []
    for span in strand.spans:
        # The way out after the last jump is no round.
        if phase not in (None, span.part) or span.leg.second is None:
            continue
        last = -EVERY_TAG
        s = span.begin + 6.0
        while s < span.end - 6.0:
            if strand.follows[strand.index(s)] and s - last >= EVERY_TAG:
                out.append(_tag(span, s, strand))
                last = s
            s += 6.0
    return out


def _tag(span: LegSpan, s: float, strand: Strand) -> Wish:
    lines = (LabelLine("2nd", NUMERAL, "semibold"),)
    size = label_size(lines)
    places = []
    for n, slide in enumerate((0.0, 5.0, -5.0, 10.0, 15.0, 20.0, 25.0)):
        (x, y), (bx, by) = strand.at(s + slide), strand.beside(s + slide, -1.0)
        nx, ny = bx - x, by - y
        far = (abs(nx) * size[0] + abs(ny) * size[1]) / 2 + 1.2
        places.append(Candidate((x + nx * far, y + ny * far), (x, y), n * 0.2))
    return text_wish(f"round-{span.leg.number}-{s:.0f}", lines, places)


def _turn(span: LegSpan, strand: Strand) -> Wish:
    leg = span.leg
    back = leg.link.arrives != leg.resolved.gait
    words = leg.link.arrives if back else f"about {leg.ridden.strides}"
    lines = (LabelLine(words, FLAG, "semibold"),)
    size = label_size(lines)
    widest = max(leg.ridden.turns, key=lambda turn: abs(turn.angle), default=None)
    low, high = (widest.begin_m, widest.end_m) if widest else (0.0, leg.track_m)
    places = []
    for n, share in enumerate(TURN_SHARES):
        s = span.begin + (low + (high - low) * share) * strand.mm_per_m
        price = n * 0.2 + 2.0 * _beside_another(strand.at(s), span, strand)
        places.append(Candidate(strand.at(s), strand.at(s), price))
    for n, share in enumerate(TURN_SHARES[:5]):
        s = span.begin + (low + (high - low) * share) * strand.mm_per_m
        x, y = strand.at(s)
        for side in (1.0, -1.0):
            bx, by = strand.beside(s, side)
            half = (abs(bx - x) * size[0] + abs(by - y) * size[1]) / 2 + 1.4
            centre = (x + (bx - x) * half, y + (by - y) * half)
            price = 4.5 + n * 0.2 + (side < 0) * 0.1 + 2.0 * _beside_another(centre, span, strand)
            places.append(Candidate(centre, (x, y), price))
    own = frozenset((f"track {leg.number}",))
    ends = " to ".join(c.jump.fence for c in (leg.first, leg.second) if c)
    return text_wish(f"turn-{leg.number}", lines, places, None, ends, own)


# --- Second lines between the same fences -----------------------------------------------------

WAY_SHARES = np.array((0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74))
OTHER_WAY_DOTS = (0.01, 1.6)


def second_ways(plan: Plan, frame: Frame, phase: int | None) -> Iterator[tuple[PlanLeg, Stroke]]:
    """The line of every second count, thin and dotted."""
    parts = parts_of(plan)
    for leg in plan.legs:
        for other in leg.others:
            if phase in (None, parts.of(leg)) and other.way.curve is not leg.curve:
                points = frame.many(other.way.curve.outline(frame.metres(0.02)))
                yield leg, Stroke(points, other_way_pen(parts.of(leg)), sized="ground")


def other_way_pen(phase: int) -> Pen:
    """The dots of a second line, in the colour of its phase."""
    return Pen(phase_pen(phase).colour, 0.7, OTHER_WAY_DOTS, "round")


def second_way_wishes(plan: Plan, frame: Frame, units: Units, phase: int | None) -> list[Wish]:
    """``or 6`` beside every second line, with its length where those of others are said."""
    parts = parts_of(plan)
    return [
        _second(leg, other, frame, units)
        for leg in plan.legs
        for other in leg.others
        if phase in (None, parts.of(leg))
    ]


def _second(leg: PlanLeg, other: SecondWay, frame: Frame, units: Units) -> Wish:
    lines: tuple[LabelLine, ...] = (LabelLine(f"or {other.strides}", CALLED, "bold"),)
    if units != "feet":
        lines += (LabelLine(length_text(other.way.curve.length, units), FLAG),)
    size = label_size(lines)
    x, y, heading, _ = other.way.curve.locate(WAY_SHARES * other.way.curve.length)
    inner = 1.0 if leg.link.way and leg.link.way.left else -1.0
    places = []
    for n, (px, py, theta) in enumerate(zip(x, y, heading, strict=True)):
        at, (nx, ny) = frame.at((float(px), float(py))), frame.across(float(theta))
        half = (abs(nx) * size[0] + abs(ny) * size[1]) / 2
        for gap in (1.4, 3.0, 6.0):
            for side in (inner, -inner):
                far = side * (half + gap)
                centre = (at[0] + nx * far, at[1] + ny * far)
                places.append(Candidate(centre, at, gap + n * 0.3 + (side != inner) * 2.0))
    return text_wish(f"way-{leg.number}-in-{other.strides}", lines, places)
