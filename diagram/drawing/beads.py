"""Beads on the strand: the disc of each jump before its fence, the lead square behind it.

A circle comes before a fence and a square after it, so the direction is said twice. White: land
and stay on this lead. Black: the lead is changed over this fence.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache

from msgspec.structs import replace

from diagram.drawing.candidates import Candidate, Ranked
from diagram.drawing.frame import Frame
from diagram.drawing.labels import Place, Wish
from diagram.drawing.nudges import nudge_at
from diagram.drawing.numerals import strides_of
from diagram.drawing.strand import LegSpan, Strand, aside_of
from diagram.geometry.pose import Point
from diagram.path.line import Crossing
from diagram.planning import Plan, PlanLeg
from diagram.scene import Disc, Fill, Group, Item, Text
from diagram.style import (
    CALLED,
    FLAG,
    INK,
    LEAD_LETTER,
    PAPER,
    RIM,
    Colour,
    Pen,
    phase_pen,
    rim_pen,
    text_width,
)
from diagram.typeface import CAP_HEIGHT

DISC, HALO = 4.0, 0.6
"""Radius of the disc of one figure to the outer edge of its rim, and the white round it."""
LARGEST_DISC, CLEAR_OF_RIM = 5.0, 0.25
SQUARE, SQUARE_HALO = 5.6, 0.5
BEFORE, BEHIND = 11.0, 10.0
"""Millimetres from the middle of the fence to the middle of a disc and of a square."""
LAST_THIRD, LEAST_BEFORE = 0.36, 6.0
"""On a short line a disc stands this share of it before its fence, at least so many mm, so that it
is not read as that of the fence behind it."""
TICKED = 1.0
"""What it costs a disc to hide a tick of its own line."""
SLIDES = (0.0, 1.0, -1.0, 0.5, -0.5, 1.5, -1.5, 2.0, -2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0)
OUT, SQUARE_OUT = (2.4, 3.6), (1.5, 2.4)
"""Millimetres further out, where another pass must get by: one the other way, one the same."""
ASIDE = (0.0, 1.2, -1.2, 2.5, -2.5)
BESIDE = 4.0
ROUNDING = 0.5
"""Millimetres by which a disc is tested larger than it is: the boxes that stand for it are not
round."""
FROM_TRACK, MANY_PASSES, NUMBER_GAP = 5.0, 3, 0.6
"""A square further from its track than this many mm, and one of so many passes, carries the number
of its jump; millimetres between the two."""
OVER_AND_BEYOND = 100.0
"""Dearer than any place that is free: a sign neither on its track nor clear of another."""
FAR_ASIDE = (6.0, -6.0, 8.0, -8.0, 10.0, -10.0, 13.0, -13.0, 17.0, -17.0)
"""Where nothing on the track itself is free: beside it."""


def disc_wishes(plan: Plan, strand: Strand, frame: Frame, phase: int | None) -> list[Wish]:
    """A disc for every jump, in the order ridden."""
    return [
        _disc(span, span.leg.second, plan, strand, frame)
        for span in strand.spans
        if span.leg.second and span.leg.second.jump.label and phase in (None, span.part)
    ]


def square_wishes(strand: Strand, frame: Frame, phase: int | None) -> list[Wish]:
    """A lead square behind every fence from which a lead is carried."""
    out = []
    for before, span in zip(strand.spans, strand.spans[1:], strict=False):
        leg = span.leg
        if leg.first and leg.lead_told and not leg.link.inner:
            if phase not in (None, before.part):
                continue
            out.append(_square(before.leg, span, strand, frame))
    return out


def _often(span: LegSpan, strand: Strand) -> bool:
    """Whether so many passes leave one fence side by side that a square could be any of theirs."""
    leg, at = span.leg, strand.index(span.begin + BEHIND)
    assert leg.first is not None
    name = leg.first.jump.fence
    shared = strand.opposed[at] or strand.leads[at] or strand.follows[at]
    return bool(shared) and sum(s.leg.first is not None and s.leg.first.jump.fence == name
               for s in strand.spans) >= MANY_PASSES  # fmt: skip


def changes_over(before: PlanLeg, after: PlanLeg) -> bool:
    """Whether the lead is changed over the fence between two legs."""
    carried = before.ridden.lead_in
    return bool(after.lead) and carried is not None and carried != after.lead


def disc_radius(figure: str) -> float:
    """Radius to the outer edge of the rim: larger for ``4a`` and ``10``, so that no corner of the
    type comes near the rim."""
    corner = math.hypot(text_width(figure, CALLED, "bold") / 2, CALLED * CAP_HEIGHT / 2)
    return min(max(DISC, RIM + CLEAR_OF_RIM + corner), LARGEST_DISC)


def disc_marks(figure: str, phase: int, centre: tuple[float, float]) -> tuple[Item, ...]:
    """A disc with its figure, as large as `disc_radius` says."""
    x, y = centre
    radius = disc_radius(figure) - RIM / 2
    inside = radius - RIM / 2 - CLEAR_OF_RIM
    wide = text_width(figure, CALLED, "bold")
    size = CALLED * min(1.0, inside / math.hypot(wide / 2, CALLED * CAP_HEIGHT / 2))
    return (
        Disc(centre, radius, fill=PAPER, pen=rim_pen(phase, radius)),
        Text((x, y + size * 0.33), figure, size, "bold", "middle"),
    )


def square_marks(
    letter: str, changed: bool, centre: tuple[float, float], colour: Colour = INK
) -> tuple[Item, ...]:
    """A lead square: filled where the lead is changed over the fence."""
    x, y = centre
    half = SQUARE / 2

    def corners(r: float) -> tuple[tuple[float, float], ...]:
        return ((x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r))

    ground, ink = (colour, PAPER) if changed else (PAPER, INK)
    return (
        Fill(corners(half - 0.25), ground, Pen(colour, 0.5)),
        Text((x, y + LEAD_LETTER * 0.33), letter, LEAD_LETTER, "bold", "middle", colour=ink),
    )


def _disc(span: LegSpan, jump: Crossing, plan: Plan, strand: Strand, frame: Frame) -> Wish:
    figure = jump.jump.label
    radius = disc_radius(figure)
    size = (2 * radius + ROUNDING, 2 * radius + ROUNDING)

    def paint(place: Place) -> Group:
        marks = disc_marks(figure, span.part, place.centre)
        return Group(f"number-{figure}", marks, f"jump {figure}: {jump.jump.fence}")

    off = BEFORE - frame.mm(jump.depth_m / 2)
    off = min(off, max(LEAST_BEFORE, LAST_THIRD * span.length))
    ticks = [strand.at(stride.s) for stride in strides_of(span, strand)]
    hidden = radius + HALO - 0.2
    reach = frame.mm(jump.fence.reach_m)

    def ticked(one: Candidate) -> float:
        return TICKED * any(math.dist(tick, one.centre) < hidden for tick in ticks)

    return Wish(
        f"number-{figure}",
        f"number {figure} at {jump.jump.fence}",
        size,
        Ranked(lambda: _threaded(span, strand, -1, off, OUT, reach)),
        paint,
        nudge_at(plan, jump.jump.path) if not jump.jump.whole else None,
        frozenset((f"track {span.leg.number}", f"stride {span.leg.number}")),
        radius + HALO,
        surcharge=ticked,
    )


def _square(before: PlanLeg, span: LegSpan, strand: Strand, frame: Frame) -> Wish:
    leg = span.leg
    assert leg.first is not None
    lead = leg.lead or "left"
    changed = changes_over(before, leg)
    letter = lead[0].upper()
    # Between two tracks side by side its colour says to which of them it belongs.
    several = any(other.part != span.part for other in strand.spans)
    colour = phase_pen(span.part).colour if several else INK

    side = SQUARE + 2 * SQUARE_HALO
    figure = leg.first.jump.label
    number = text_width(figure, FLAG, "bold") + NUMBER_GAP

    def paint(place: Place) -> Group:
        title = f"land on the {lead} lead" + (", changed over the fence" if changed else "")
        (x, y), numbered = place.centre, place.box.width > side + 0.1
        marks = square_marks(letter, changed, (x + numbered * number / 2, y), colour)
        if numbered:
            left = place.box.left + SQUARE_HALO
            marks = (Text((left, y + FLAG * 0.33), figure, FLAG, "bold"), *marks)
        return Group(f"lead-{leg.number}", marks, title)

    off = BEHIND - frame.mm(leg.first.depth_m / 2)
    reach = frame.mm(leg.first.fence.reach_m)
    often = bool(figure) and _often(span, strand)

    def places() -> Iterator[Candidate]:
        for one in _threaded(span, strand, 1, off, SQUARE_OUT, reach):
            far = often or math.dist(one.centre, one.target) > FROM_TRACK
            yield replace(one, size=(side + number, side)) if figure and far else one

    return Wish(
        f"lead-{leg.number}",
        f"{lead} lead after {leg.first.jump.fence}",
        (side, side),
        Ranked(places),
        paint,
        None,
        frozenset((f"track {leg.number}", f"stride {leg.number}")),
    )


def _threaded(
    span: LegSpan, strand: Strand, way: int, off: float, out: tuple[float, float], reach: float
) -> Iterator[Candidate]:
    """On its own track, slid along it, then a little aside, then cutting another track that is
    in the way, then beside it past the standards, at last the same over a track.

    `way` is 1 from the beginning of the span on and -1 from its end back.
    """
    most = span.length - 5.0
    order = 0

    @cache
    def at(far: float) -> tuple[Point, Point, float]:
        """A place, the way there, and the room for others: asked for once for all that is aside."""
        s = span.begin + far if way > 0 else span.end - far
        return strand.at(s), strand.way(s), strand.room_for_others(s, *out)

    slides = [off + slide for slide in SLIDES if 4.8 <= off + slide <= most]
    if not slides:
        slides = [span.length / 2]
    for aside in ASIDE:
        for far in slides:
            place, along, room = at(far)
            yield Candidate(aside_of(place, along, aside + room), place, order * 0.1)
            order += 1
    for aside in ASIDE[:3]:
        for far in slides:
            place, along, room = at(far)
            centre = aside_of(place, along, aside + room)
            yield Candidate(centre, place, order * 0.1, over=True)
            order += 1
    beyond = [
        (aside, far)
        for aside in (*FAR_ASIDE, reach + 5.0, -reach - 5.0, reach + 9.0, -reach - 9.0)
        for far in (*slides[::2], BESIDE)
    ]
    for dearer, over in ((0.0, False), (OVER_AND_BEYOND, True)):
        for n, (aside, far) in enumerate(beyond, order):
            place, along, _ = at(far)
            yield Candidate(aside_of(place, along, aside), place, dearer + n * 0.1, over=over)
