"""Ticks and numerals of the strides that are counted: numerals stand all of them or none."""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct

from diagram.drawing.candidates import Candidate, Ranked
from diagram.drawing.counts import LEAST_FOR_TICKS, counted, is_another
from diagram.drawing.crowd import Crowd
from diagram.drawing.labels import Label, Place, Unplaced, Wish, place, take
from diagram.drawing.strand import LegSpan, Strand
from diagram.planning import PlanLeg
from diagram.scene import Group, Stroke, Text
from diagram.style import NUMERAL, TICK, text_width

LONE, LANE_OFF = 4.7, 4.2
"""Millimetres from the track to the middle of a numeral."""
LONE_TICK, LANE_TICK = (1.6, 1.6), (0.0, 2.3)
"""Millimetres of a tick to the left and to the right."""
OTHER_TRACK = 12.0


class Stride(Struct, frozen=True):
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

    def places() -> Iterator[Candidate]:
        for n, side in enumerate(sides):
            for m, (slide, more) in enumerate(NUMERAL_SHIFTS):
                centre = strand.beside(stride.s + slide, side * (off + more))
                yield Candidate(centre, strand.at(stride.s), n + 0.1 * m)

    def misread(one: Candidate) -> float:
        return math.inf if is_another(one.centre, [own], strand, 0.0) else 0.0

    def paint(place: Place) -> Group:
        x, y = place.centre
        mark = Text((x, y + NUMERAL * 0.33), text, NUMERAL, "regular", "middle")
        return Group(f"stride-{stride.leg.number}-{text}", (mark,))

    name = f"stride-{stride.leg.number}-{text}"
    return Wish(name, f"stride {text}", size, Ranked(places), paint, surcharge=misread)
