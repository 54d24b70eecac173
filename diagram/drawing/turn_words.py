"""What is said on the track where no stride is counted: how long a turn is, a second round."""

from __future__ import annotations

from msgspec.structs import replace

from diagram.drawing.candidates import Candidate
from diagram.drawing.labels import LabelLine, Wish, label_size, text_wish
from diagram.drawing.strand import LegSpan, Strand
from diagram.geometry.pose import Point
from diagram.style import FLAG, NUMERAL

TURN_SHARES = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82, 0.1, 0.9, 0.02, 0.98)


def turn_wishes(strand: Strand, phase: int | None) -> list[Wish]:
    """``about 14`` on the track of every turn, in its roundest part."""
    alike: dict[tuple[str, str, int], LegSpan] = {}
    for span in strand.spans:
        leg = span.leg
        if leg.shape not in ("turn", "rollback") or not (leg.first and leg.second):
            continue
        strides = leg.ridden.strides if leg.comes_back else leg.about
        if phase in (None, span.part) and strides:
            ends = leg.first.jump.fence, leg.second.jump.fence, strides
            alike.setdefault(ends, span)
    return [_turn(span, strand) for span in alike.values()]


PAIRED = 9.0


def _beside_another(centre: Point, span: LegSpan, strand: Strand) -> bool:
    """Whether another leg passes so near to a place that the words could be said of it."""
    return any(
        far < PAIRED
        for other, far in zip(strand.spans, strand.distances(centre), strict=True)
        if other is not span
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
    words = leg.link.arrives if leg.comes_back else f"about {leg.about}"
    lines = (LabelLine(words, FLAG, "semibold"),)
    size = label_size(lines)
    widest = max(leg.ridden.turns, key=lambda turn: abs(turn.angle), default=None)
    low, high = (widest.begin_m, widest.end_m) if widest else (0.0, leg.track_m)
    places = []
    for n, share in enumerate(TURN_SHARES):
        s = span.begin + (low + (high - low) * share) * strand.mm_per_m
        places.append(Candidate(strand.at(s), strand.at(s), n * 0.2))
    for n, share in enumerate(TURN_SHARES[:5]):
        s = span.begin + (low + (high - low) * share) * strand.mm_per_m
        x, y = strand.at(s)
        for side in (1.0, -1.0):
            bx, by = strand.beside(s, side)
            half = (abs(bx - x) * size[0] + abs(by - y) * size[1]) / 2 + 1.4
            centre = (x + (bx - x) * half, y + (by - y) * half)
            places.append(Candidate(centre, (x, y), 4.5 + n * 0.2 + (side < 0) * 0.1))

    def misread(one: Candidate) -> float:
        return 2.0 * _beside_another(one.centre, span, strand)

    own = frozenset((f"track {leg.number}",))
    ends = " to ".join(c.jump.fence for c in (leg.first, leg.second) if c)
    wish = text_wish(f"turn-{leg.number}", lines, places, None, ends, own)
    return replace(wish, surcharge=misread)
