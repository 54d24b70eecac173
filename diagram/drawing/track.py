"""The ridden line on paper: phases in pattern and colour, bridges, walk and trot hollow.

The line is cut wherever a sign, a count or a fence stands, and its dashes are laid anew in every
free stretch, so that each begins and ends with a whole dash and no crumb is left.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator

import numpy as np
from msgspec import Struct

from diagram.drawing.flags import HOLLOW, INSIDE, slow_parts
from diagram.drawing.frame import Frame
from diagram.drawing.strand import Bridge, Flags, LegSpan, Strand, runs_of
from diagram.exercise.fence import PlacedFence
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.planning import PlanLeg
from diagram.scene import Fill, Group, Item, Stroke
from diagram.style import BRIDGE, OTHER_PHASE, PAPER, TRACK_WIDTH, Pen, phase_pen

FINE = 0.25
"""Millimetres: how exactly the line is cut."""
HAIR = 1e-6
"""Millimetres: what lies on an edge but for rounding lies on the same side of it everywhere."""
CRUMB = 1.6
"""Millimetres: a shorter piece of line between two signs is left out."""
OVER = 6.0
"""Millimetres of the upper track that stay whole on a bridge."""
ARROW, ARROW_WIDE, NOTCH = 4.6, 3.8, 1.4
EVERY = 65.0
"""Millimetres of a turn with one arrowhead at least."""
FROM_SIGN, APART = 3.4, 14.0
FENCE_AIR = 0.9


class Blank(Struct, frozen=True):
    """Where no track is drawn: a box round `centre` along `way`, or a disc (no `way`)."""

    centre: Point
    half: float
    tall: float
    way: Point | None = (1.0, 0.0)


def blank_of_fence(placed: PlacedFence, frame: Frame) -> Blank:
    """The ground a fence covers, its ground lines included, and a little air."""
    parts = placed.fence.parts
    reach = [x for bar in parts.bars for x in (bar.start[0], bar.end[0])] or [0.0]
    low, high = min(reach), max(reach)
    (x, y) = frame.at(placed.ground(((low + high) / 2, 0.0)))
    half = frame.mm((high - low) / 2) + FENCE_AIR + 0.4
    tall = frame.mm(placed.fence.measures.width_m / 2)
    return Blank((x, y), half, tall, frame.direction(placed.pose.heading))


def hidden(points: Floats, blanks: Iterable[Blank], more: float = 0.0) -> Flags:
    """Which places lie in any of the blanks, each `more` mm larger all round."""
    out = np.zeros(len(points), bool)
    for blank in blanks:
        dx, dy = points[:, 0] - blank.centre[0], points[:, 1] - blank.centre[1]
        if blank.way is None:
            out |= dx * dx + dy * dy < (blank.half + more - HAIR) ** 2
            continue
        wx, wy = blank.way
        out |= (np.abs(dx * wx + dy * wy) < blank.half + more - HAIR) & (
            np.abs(dy * wx - dx * wy) < blank.tall + more - HAIR
        )
    return out


def free_stretches(
    strand: Strand, blanks: Iterable[Blank], overs: Iterable[Bridge]
) -> list[list[tuple[float, float]]]:
    """For every span the stretches of line to draw, mm along the strand."""
    s = np.arange(0.0, strand.s[-1] + FINE, FINE)
    points = np.stack([np.interp(s, strand.s, strand.points[:, axis]) for axis in (0, 1)], axis=1)
    every = list(blanks)
    off = hidden(points, every)
    slow = [(a, b) for span in strand.spans for _, a, b in slow_parts(span, strand)]
    if slow:
        wider = hidden(points, every, (HOLLOW - TRACK_WIDTH) / 2)
        hollow = np.zeros(len(s), bool)
        for a, b in slow:
            hollow |= (s >= a) & (s <= b)
        off |= wider & hollow
    for bridge in overs:
        off |= np.abs(s - bridge.under) < min(BRIDGE / 2 / bridge.sine, 9.0)
    out = []
    for span in strand.spans:
        begin, end = max(span.begin, strand.s[0]), min(span.end, strand.s[-1])
        inside = ~off & (s >= begin - HAIR) & (s <= end + HAIR)
        pieces = [(float(s[a]), float(s[b - 1])) for a, b in runs_of(inside)]
        out.append([(a, b) for a, b in pieces if b - a >= CRUMB])
    return out


def track_marks(
    strand: Strand,
    stretches: list[list[tuple[float, float]]],
    overs: tuple[Bridge, ...],
    arrows: list[tuple[float, ...]],
    phase: int | None,
) -> Group:
    """All legs in the order ridden; of other phases than `phase` only a hint."""
    groups: list[Item] = []
    shown = [phase is None or span.part == phase for span in strand.spans]
    for span, pieces, full in zip(strand.spans, stretches, shown, strict=True):
        if not full:
            hints = tuple(Stroke(strand.part(a, b), OTHER_PHASE, sized="ground") for a, b in pieces)
            groups.append(Group(f"other-{span.leg.number}", hints))
    for n, (span, pieces, full) in enumerate(zip(strand.spans, stretches, shown, strict=True)):
        if full:
            marks = tuple(_leg(span, pieces, strand, overs, arrows[n]))
            groups.append(Group(f"leg-{span.leg.number}", marks, leg_title(span.leg)))
    return Group("track", tuple(groups), "The line to ride")


def leg_title(leg: PlanLeg) -> str:
    """``leg 2: birch to hazel``."""
    first = leg.first.jump.fence if leg.first else "start"
    second = leg.second.jump.fence if leg.second else "finish"
    return f"leg {leg.number}: {first} to {second}"


def _leg(
    span: LegSpan,
    pieces: list[tuple[float, float]],
    strand: Strand,
    overs: tuple[Bridge, ...],
    arrows: tuple[float, ...],
) -> Iterator[Item]:
    phase = span.part
    slow = [(a, b) for _, a, b in slow_parts(span, strand) if b - a > 0.5]
    whole = [(o.over - OVER / 2, o.over + OVER / 2) for o in overs]
    for begin, end in pieces:
        for a, b, kind in _split(begin, end, slow, whole):
            if kind == "slow":
                points = strand.part(a, b)
                yield Stroke(points, Pen(phase_pen(phase).colour, HOLLOW), sized="ground")
                yield Stroke(points, Pen(PAPER, INSIDE), sized="ground")
            elif kind == "whole":
                yield Stroke(strand.part(a, b), Pen(phase_pen(phase).colour, TRACK_WIDTH),
                             sized="ground")  # fmt: skip
            else:
                yield from _dashed(a, b, phase, strand, kind)
    for at in arrows:
        yield arrow_mark(at, phase, strand)


def _split(
    begin: float, end: float, slow: list[tuple[float, float]], whole: list[tuple[float, float]]
) -> Iterator[tuple[float, float, str]]:
    """A stretch in parts: in walk or trot, whole on a bridge, or in the pattern of its phase.

    A part in the pattern says at which ends it meets whole line and so begins with a gap.
    """
    cuts = {begin, end}
    for a, b in (*slow, *whole):
        cuts |= {at for at in (a, b) if begin < at < end}
    edges = sorted(cuts)
    kinds = []
    for a, b in itertools.pairwise(edges):
        middle = (a + b) / 2
        if any(low <= middle <= high for low, high in slow):
            kinds.append("slow")
        elif any(low <= middle <= high for low, high in whole):
            kinds.append("whole")
        else:
            kinds.append("")
    for n, (a, b) in enumerate(itertools.pairwise(edges)):
        if kinds[n]:
            yield a, b, kinds[n]
            continue
        before = "<" if n and kinds[n - 1] else ""
        after = ">" if n + 1 < len(kinds) and kinds[n + 1] else ""
        yield a, b, before + after


def _dashed(begin: float, end: float, phase: int, strand: Strand, meets: str) -> Iterator[Stroke]:
    """The pattern fitted to a stretch, a whole dash at each free end."""
    pen = phase_pen(phase)
    if not pen.dash:
        yield Stroke(strand.part(begin, end), pen, sized="ground")
        return
    gap = pen.dash[1]
    begin += gap if "<" in meets else 0.0
    end -= gap if ">" in meets else 0.0
    length = end - begin
    if length < CRUMB:
        return
    dash = fitted(pen, length)
    if pen.cap == "round":
        # Round ends reach beyond the line by half its width.
        begin, end = begin + pen.width / 2, end - pen.width / 2
        dash = fitted(pen, max(end - begin, 0.02))
    yield Stroke(strand.part(begin, end), Pen(pen.colour, pen.width, dash, pen.cap), sized="ground")


def fitted(pen: Pen, length: float) -> tuple[float, ...]:
    """The dashes of a pen stretched so that `length` mm begin and end with the first of them."""
    first, period = pen.dash[0], sum(pen.dash)
    count = max(1, round((length + period - first) / period))
    if count == 1:
        return ()
    share = length / (count * period - (period - first))
    if len(pen.dash) == 2 and first > TRACK_WIDTH:
        # The gaps are kept, the dashes take up what is left over.
        gap = pen.dash[1]
        return ((length - (count - 1) * gap) / count, gap)
    return tuple(part * share for part in pen.dash)


def arrow_mark(s: float, phase: int, strand: Strand) -> Fill:
    """An arrowhead with its middle at `s`."""
    return Fill(arrow_outline(s, strand), phase_pen(phase).colour)


def arrow_outline(s: float, strand: Strand) -> tuple[Point, ...]:
    """The corners of an arrowhead."""
    (x, y), (dx, dy) = strand.at(s), strand.way(s)

    def at(u: float, v: float) -> Point:
        return x + dx * u - dy * v, y + dy * u + dx * v

    half, wide = ARROW / 2, ARROW_WIDE / 2
    return at(half, 0.0), at(-half, wide), at(-half + NOTCH, 0.0), at(-half, -wide)


def arrow_places(
    strand: Strand,
    stretches: list[list[tuple[float, float]]],
    overs: tuple[Bridge, ...],
    taken: list[Point],
) -> list[tuple[float, ...]]:
    """Where arrowheads stand on each leg: one in every line, in turns every EVERY mm.

    None within FROM_SIGN of a sign or a bridge, none beside another.
    """
    out = []
    for span, pieces in zip(strand.spans, stretches, strict=True):
        slow = [(a, b) for _, a, b in slow_parts(span, strand)]
        crossed = [o.over for o in overs] + [o.under for o in overs]
        here: list[float] = []
        for wanted in _wanted(span):
            for slide in (0.0, 2.0, -2.0, 4.0, -4.0, 7.0, -7.0, 11.0, -11.0, 15.0, -15.0):
                s = wanted + slide
                at = strand.at(s)
                free = (
                    any(a + FROM_SIGN <= s <= b - FROM_SIGN for a, b in pieces)
                    and not any(a - 3.0 < s < b + 3.0 for a, b in slow)
                    and not any(abs(s - c) < OVER / 2 + 2.6 for c in crossed)
                    and not any(abs(s - other) < APART for other in here)
                    and not any(math.dist(at, other) < 3.6 for other in taken)
                )
                if free:
                    here.append(s)
                    taken.append(at)
                    break
        out.append(tuple(here))
    return out


def _wanted(span: LegSpan) -> Iterator[float]:
    if span.leg.shape in ("line", "bend") and span.leg.first:
        ends = [s.at_m / span.leg.track_m for s in span.leg.ridden.spots if s.what == "stride"][:2]
        yield span.begin + span.length * (sum(ends) / 2 if len(ends) == 2 else 0.28)
        return
    count = max(1, round(span.length / EVERY))
    for n in range(count):
        yield span.begin + span.length * (n + 0.5) / count
