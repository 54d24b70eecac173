"""What is to be done at a spot: start, finish, a change of gait, a change of lead by here."""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from diagram.drawing.candidates import Candidate, Ranked
from diagram.drawing.labels import (
    LabelLine,
    Place,
    Wish,
    box_at,
    label_size,
    text_wish,
)  # fmt: skip
from diagram.drawing.strand import LegSpan, Strand
from diagram.geometry.pose import Point
from diagram.planning import Plan, PlanLeg
from diagram.ride import Stretch
from diagram.scene import Box, Disc, Group, Item, Stroke, Text
from diagram.style import BAR, BOARD, FLAG, INK, PAPER, Pen, text_width
from diagram.typesetting import broken, runs

BAR_LONG = 5.2
BAR_OUTSIDE, BAR_INSIDE, BAR_BESIDE = 3.0, 1.4, 0.8
"""Millimetres of a bar away from another lane; towards one the other way, and the same way."""
RING, POINT = 2.4, 1.0
RING_OUT = RING + 0.8
"""Radius of the ring and of the point where the ride starts."""
HOLLOW, INSIDE = 2.2, 1.3
"""Width of the track in walk or trot, and of the white inside it."""
IN_HAND_MM = 52.0
"""Measure of what stands in a flag."""


class GaitBar(Struct, frozen=True):
    """A bar across the track at `s`."""

    s: float
    leg: PlanLeg


def slow_parts(span: LegSpan, strand: Strand) -> Iterator[tuple[Stretch, float, float]]:
    """Stretches of a leg not ridden in the gait it began in, where on the strand they lie.

    A leg that begins slower than canter begins hollow as well.
    """
    first, last = float(strand.s[0]), float(strand.s[-1])
    for stretch in span.leg.ridden.stretches:
        begin = max(span.begin + stretch.begin_m * strand.mm_per_m, first)
        end = min(span.begin + stretch.end_m * strand.mm_per_m, last)
        if stretch.gait != "canter" and begin < end:
            yield stretch, begin, end


def bars(strand: Strand, phase: int | None) -> list[GaitBar]:
    """Where the gait changes within a leg, where a lead must be changed, where the ride ends."""
    out: list[GaitBar] = []
    for span in strand.spans:
        leg = span.leg
        if phase not in (None, span.part):
            continue
        k = strand.mm_per_m
        for stretch in leg.ridden.stretches[1:]:
            for at in sorted({stretch.begin_m, stretch.end_m}):
                if 0.1 < at < leg.track_m - 0.1:
                    out.append(GaitBar(span.begin + at * k, leg))
        out += [GaitBar(span.begin + c.at_m * k, leg) for c in leg.ridden.changes if c.kind]
        if leg.second is None:
            out.append(GaitBar(float(strand.s[-1]), leg))
    drawn = {bar.s: bar for bar in out if strand.s[0] <= bar.s <= strand.s[-1]}
    return sorted(drawn.values(), key=lambda bar: bar.s)


def bar_mark(bar: GaitBar, strand: Strand) -> Stroke:
    """The bar; to the outside where another pass runs beside, so that it lies on no other."""
    away = strand.room_for_others(bar.s, 1.0, 1.0)
    inside = BAR_INSIDE if strand.is_opposed(bar.s) else BAR_BESIDE
    near, far = (-inside * away, BAR_OUTSIDE * away) if away else (-BAR_LONG / 2, BAR_LONG / 2)
    return Stroke((strand.beside(bar.s, near), strand.beside(bar.s, far)), BAR)


def start_at(strand: Strand) -> Point:
    """The middle of the start's ring: on the track, or to its side where another pass runs by."""
    begin = float(strand.s[0])
    return strand.beside(begin, strand.room_for_others(begin, RING, RING))


def start_marks(at: Point) -> tuple[Item, ...]:
    """A ring round a point."""
    return (
        Disc(at, RING, fill=PAPER, pen=Pen(INK, 1.0)),
        Disc(at, POINT, fill=INK),
    )


def flag_wishes(plan: Plan, strand: Strand, phase: int | None) -> list[Wish]:
    """The words of the start, and of every change of gait and of lead before the last leg."""
    out: list[Wish] = []
    if phase in (None, strand.spans[0].part):
        out.append(_start(plan, strand))
    for span in strand.spans[:-1]:
        if phase in (None, span.part):
            out += _of_leg(span, strand)
    return out


def end_wishes(strand: Strand, phase: int | None) -> list[Wish]:
    """The words of the finish and of the changes of gait before it, which stand close together."""
    last = strand.spans[-1]
    return [_end(strand), *_of_leg(last, strand)] if phase in (None, last.part) else []


def start_words(plan: Plan) -> str:
    """``canter, left lead``; ``trot, left rein``."""
    gait, lead = plan.course.start.gait, plan.course.start.lead
    kept = "lead" if gait == "canter" else "rein"
    return f"{gait}, {lead} {kept}" if lead else gait


def _start(plan: Plan, strand: Strand) -> Wish:
    words = start_words(plan)
    head = text_width("START ", BOARD, "bold")
    wide = head + text_width(words, FLAG)
    size = (wide + 1.0, BOARD)

    def paint(place: Place) -> Group:
        x, y = place.box.left + 0.5, place.centre[1] + BOARD * 0.33
        marks = (Text((x, y), "START", BOARD, "bold"), Text((x + head, y), words, FLAG))
        return Group("label-start", marks)

    at = start_at(strand)
    own = strand.spans[0].leg.number
    lines = (
        LabelLine("START", BOARD, "bold"),
        *(LabelLine(part, FLAG) for part in words.split(", ")),
    )
    tall, short = (
        _flown(
            text_wish(
                "start", rows, _round(at, label_size(rows), RING + 1.4, own), passing=OWN_RING
            ),
            START_FAR,
            RING_OUT,
        )
        for rows in (lines, lines[:1])
    )
    places = _round(at, size, RING + 1.4, own)
    wish = Wish("start", f"start, {words}", size, places, paint, passing=OWN_RING)
    return replace(_flown(wish, START_FAR, RING_OUT), instead=replace(tall, instead=short))


def _end(strand: Strand) -> Wish:
    lines = (LabelLine("FINISH", BOARD, "bold"),)
    at = strand.at(strand.spans[-1].end)
    own = strand.spans[-1].leg.number
    return text_wish("finish", lines, _round(at, label_size(lines), BAR_LONG / 2 + 0.6, own))


def _round(at: Point, size: tuple[float, float], off: float, own: int) -> Ranked:
    """Below, above, beside, then further away and slid; `own` is the number of its leg."""
    return Ranked(lambda: _further_off(at, size, off, own))


def _further_off(at: Point, size: tuple[float, float], off: float, own: int) -> Iterator[Candidate]:
    (x, y), (w, h) = at, size
    near = frozenset((f"track {own}",))
    for n, more in enumerate((0.0, 2.0, 5.0, 9.0, 14.0, 20.0)):
        far = off + more
        for m, (cx, cy) in enumerate(
            (
                (x, y + far + h / 2), (x, y - far - h / 2),
                (x + w * 0.45, y + far + h / 2), (x + w * 0.45, y - far - h / 2),
                (x - w * 0.45, y + far + h / 2), (x - w * 0.45, y - far - h / 2),
                (x + far + w / 2, y), (x + far + w / 2, y - h), (x - far - w / 2, y),
                (x + far + w / 2, y + far), (x + far + w / 2, y - far),
                (x - far - w / 2, y + far), (x - far - w / 2, y - far),
            )
        ):  # fmt: skip
            yield Candidate((cx, cy), at, n * 3.0 + m * 0.1, near=near)


def _of_leg(span: LegSpan, strand: Strand) -> Iterator[Wish]:
    leg = span.leg
    for n, stretch in enumerate(leg.ridden.stretches):
        if n == 0 or (stretch.gait == "canter" and leg.second is not None):
            continue
        s = span.begin + stretch.begin_m * strand.mm_per_m
        end = min(span.begin + stretch.end_m * strand.mm_per_m, float(strand.s[-1]))
        lines = (LabelLine(gait_words(leg, stretch), FLAG, "semibold"),)
        amid = 1.0 if end - s < LONG else 9.0
        own = leg.number
        places = [
            *_beside(s, strand, lines, own), *_beside((s + end) / 2, strand, lines, own, amid)
        ]  # fmt: skip
        yield _flown(text_wish(f"gait-{leg.number}-{n}", lines, places))
    for n, change in enumerate(leg.ridden.changes):
        if change.kind:
            s = span.begin + change.at_m * strand.mm_per_m
            yield _change(f"change-{leg.number}-{n}", f"{change.kind} change to {change.to}, "
                          "by here", leg, s, strand)  # fmt: skip


def _change(name: str, words: str, leg: PlanLeg, s: float, strand: Strand) -> Wish:
    """The words at a change, and under them what to do if it is not through."""
    rows = [LabelLine(words, FLAG, "semibold")]
    for said in leg.link.lesson.if_it_goes_wrong[:1]:
        rows += [
            LabelLine("".join(run.text for run in line), FLAG)
            for line in broken(runs(said), IN_HAND_MM, FLAG)
        ]
    lines = tuple(rows)
    return _flown(text_wish(name, lines, _beside(s, strand, lines, leg.number)))


LONG = 30.0
"""Millimetres of a stretch in one gait from which its middle is too far from where it begins."""
POLE = Pen(INK, 0.25)
FAR = BAR_LONG / 2 + 1.6
"""Millimetres from a bar beyond which a thin pole ties the words to it."""


OWN_RING = frozenset(("start",))
START_FAR = 9.0
"""The same from the middle of the start's ring."""


def _flown(wish: Wish, far: float = FAR, hidden: float = 0.0) -> Wish:
    """The words on a pole, where they stand more than `far` mm away from their bar; of the pole so
    many mm at the bar are `hidden`."""

    def paint(place: Place) -> Group:
        near = place.box.nearest(place.target)
        group = wish.paint(place)
        if math.dist(near, place.target) <= far:
            return group
        (x, y), share = place.target, hidden / math.dist(near, place.target)
        foot = x + share * (near[0] - x), y + share * (near[1] - y)
        return replace(group, children=(Stroke((foot, near), POLE), *group.children))

    w, h = wish.size

    def poled() -> Iterator[Candidate]:
        return (_with_pole(one, w, h, far) for one in wish.candidates)

    ranked = isinstance(wish.candidates, Ranked)
    return replace(wish, paint=paint, candidates=Ranked(poled) if ranked else tuple(poled()))


def _with_pole(candidate: Candidate, width: float, height: float, far: float) -> Candidate:
    """The candidate with its pole, which must be free of words."""
    near = box_at(candidate.centre, width, height).nearest(candidate.target)
    if math.dist(near, candidate.target) <= far:
        return candidate
    return replace(candidate, lines=((near, candidate.target),), clear=0.3, poled=True)


FROM_BAR = (
    (0.0, BAR_LONG / 2 + 0.7), (0.7, BAR_LONG / 2 + 1.3), (2.0, 5.5), (4.0, 8.5), (6.0, 12.0),
)  # fmt: skip
"""What standing so many mm from the middle of a bar costs: slanting bars need a little more."""


def _beside(
    s: float, strand: Strand, lines: tuple[LabelLine, ...], own: int, price: float = 0.0
) -> Iterator[Candidate]:
    """On either side of a bar, its foot or its head at the bar's; `own` numbers its leg."""
    near = frozenset((f"track {own}",))
    (w, h), (x, y) = label_size(lines), strand.at(s)
    rx, ry = strand.beside(s, 1.0)
    nx, ny = rx - x, ry - y
    for off, gap in FROM_BAR:
        half = (abs(nx) * w + abs(ny) * h) / 2
        for m, side in enumerate((-1.0, 1.0)):
            far = side * (gap + half)
            cx, cy = x + nx * far, y + ny * far
            for k, slide in enumerate((0.0, w * 0.35, -w * 0.35)):
                centre = cx - ny * slide, cy + nx * slide
                yield Candidate(centre, (x, y), price + off + 0.3 * m + 0.2 * k, near=near)


def gait_words(leg: PlanLeg, stretch: Stretch) -> str:
    """``walk 5``, ``halt 4 s``, ``trot``."""
    said = leg.link.way.transition if leg.link.way else None
    if said is None or said.gait != stretch.gait:
        return stretch.gait
    if said.steps:
        return f"{said.gait} {said.steps}"
    if said.seconds:
        return f"{said.gait} {said.seconds:g} s"
    return said.gait


def start_box(strand: Strand) -> Box:
    """What the mark of the start covers."""
    x, y = start_at(strand)
    r = RING_OUT
    return Box(x - r, y - r, x + r, y + r)
