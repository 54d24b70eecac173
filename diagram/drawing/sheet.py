"""One drawing of a plan: everything put together at the largest scale that fits."""

from __future__ import annotations

import math

from msgspec import Struct

from diagram.diagnostics import Diagnostic, Severity
from diagram.drawing import counts, flags, names, numerals, second_ways, turn_words
from diagram.drawing.also_standing import also_standing_marks, also_standing_wishes
from diagram.drawing.arena import (
    OFF_RAIL,
    SideName,
    arena_marks,
    letter_room,
    named_sides,
    side_marks,
    side_name,
    side_room,
    side_size,
    spaced_width,
)
from diagram.drawing.beads import HALO, ROUNDING, disc_wishes, square_wishes
from diagram.drawing.crowd import PAGE, Crowd
from diagram.drawing.extent import Extent, extent_of
from diagram.drawing.fences import dart_outline, fence_marks, one_way
from diagram.drawing.frame import SCALES, Frame
from diagram.drawing.labels import Label, Unplaced, Wish, box_at, place_all, place_close
from diagram.drawing.strand import LegSpan, Strand, bridges, strand_of
from diagram.drawing.track import (
    Blank,
    arrow_outline,
    arrow_places,
    blank_of_fence,
    free_stretches,
    track_marks,
)
from diagram.drawing.view import WHOLE, View
from diagram.drawing.why import why_marks
from diagram.exercise.fence import PlacedFence
from diagram.geometry.pose import Point
from diagram.planning import Plan
from diagram.scene import Box, Disc, Group, Item, Scene, Stroke, Text, box_around, walk
from diagram.style import SIDE_NAME, TRACK_WIDTH, text_width
from diagram.units import Units

LEAST_EDGE = 1.5
"""Millimetres outside the rail where no name stands."""
GATE = "GATE"
LEVEL = (0.0, 22.0, -22.0, 34.0, -34.0, 46.0, -46.0)
SLANTED = (0.0, 5.0, -5.0, 10.0, -10.0)
"""Millimetres along a side that its name may slide to be clear."""
COUNT_TALL = counts.BOX_TALL
LEAST_SIGN = 4.0
"""Millimetres: what is as high as this is a disc, a square or a word, and no numeral."""


class Drawn(Struct, frozen=True):
    """A drawing, where its labels went, and those that went nowhere.

    `left_out` are classes of marks that were dropped for want of room, in words.
    """

    scene: Scene
    frame: Frame
    labels: tuple[Label, ...]
    unplaced: tuple[Unplaced, ...] = ()
    left_out: tuple[str, ...] = ()

    @property
    def findings(self) -> tuple[Diagnostic, ...]:
        """What a reader must be told about the drawing itself."""
        missing = (
            Diagnostic(
                "no-room-on-drawing",
                Severity.NOTE,
                f"the drawing has no room for: {label.says}",
                hint="larger paper or a label: in the file may help",
            )
            for label in self.unplaced
        )
        covering = (
            Diagnostic(
                "label-on-drawing",
                Severity.NOTE,
                f"the label {label.name.replace('-', ' ')}, moved by hand, lies on: "
                f"{label.place.covers}",
                hint="move it further, or take label: out of the file",
            )
            for label in self.labels
            if label.place.covers
        )
        return (*missing, *covering)


class OnPaper(Struct, frozen=True):
    """How a plan lies on paper: its scale, which way round, and mm kept on each side for names."""

    denominator: float
    turned: bool
    upright_names: bool
    left: float
    top: float
    right: float
    bottom: float
    width: float
    height: float


def fitted(
    plan: Plan, width: float, height: float, view: View = WHOLE, factor: float = 1.0
) -> OnPaper:
    """The largest scale at which rail, gate and names of sides fit on `width` by `height` mm.

    The drawing will be enlarged by `factor`, and is at a round scale then. Raises ValueError
    when the arena fits at no scale.
    """
    shown = extent_of(plan)
    ways = (False, True) if view.turned is None else (view.turned,)
    rooms = {
        (turned, upright): _rooms(plan, turned, upright, view)
        for turned in ways
        for upright in (False, True)
    }
    # Nobody lays a ruler on a drawing without words: it fills its room.
    finer = [1.02**n for n in range(100, 400)] if view.bare else SCALES
    for scale in finer:
        denominator = scale * factor
        k = 1000 / denominator
        for turned in ways:
            long, wide = shown.size
            across, down = (wide * k, long * k) if turned else (long * k, wide * k)
            for upright in (False, True):
                left, top, right, bottom = rooms[turned, upright]
                if across + left + right <= width and down + top + bottom <= height:
                    return OnPaper(float(denominator), turned, upright, left, top, right, bottom,
                                  across + left + right, down + top + bottom)  # fmt: skip
    long, wide = shown.size
    raise ValueError(f"an arena of {long:g} x {wide:g} m does not fit on this paper")


def _rooms(
    plan: Plan, turned: bool, upright: bool, view: View
) -> tuple[float, float, float, float]:
    """Millimetres outside the rail to the left, above, to the right and below."""
    frame = Frame(100.0, 0.0, 0.0, turned)
    arena = plan.arena
    rooms = [LEAST_EDGE] * 4
    every = list(_side_names(plan, frame, upright, view))
    reaches = [(name.out, side_room(name)) for name in every]
    if not view.bare:
        letters = letter_room(arena)
        reaches += [((x, y), letters) for x, y in ((1, 0), (-1, 0), (0, 1), (0, -1)) if letters]
        if arena.gate:
            out = frame.direction(arena.outward(arena.gate.side))
            reaches.append((out, _gate_room(out, upright)))
    for (dx, dy), room in reaches:
        for n, share in enumerate((-dx, -dy, dx, dy)):
            if share > 0.9:
                rooms[n] = max(rooms[n], room + 0.3)
    return rooms[0], rooms[1], rooms[2], rooms[3]


def _gate_room(out: tuple[float, float], upright: bool) -> float:
    wide = 0.0 if upright else text_width(GATE, SIDE_NAME, "semibold") + 1.4
    return OFF_RAIL + 1.4 + max(abs(out[0]) * wide, SIDE_NAME)


def _side_names(plan: Plan, frame: Frame, upright: bool, view: View) -> list[SideName]:
    if view.bare or not view.sides:
        return []
    return [side_name(plan.arena, side, frame, upright) for side in named_sides(plan.arena)]


def draw_plan(
    plan: Plan,
    width: float,
    height: float,
    units: Units = "feet",
    *,
    view: View = WHOLE,
    fit: OnPaper | None = None,
) -> Drawn:
    """The plan alone on a drawing of at most `width` by `height` mm, as high as it needs.

    Raises ValueError when the arena does not fit at any scale.
    """
    fit = fit or fitted(plan, width, height, view)
    frame = _frame(extent_of(plan), fit, (width - fit.width) / 2 + fit.left, fit.top)
    page = Box(0.0, 0.0, width, fit.height)
    return _Board(plan, frame, page, units, view, fit.upright_names).drawn()


def _frame(shown: Extent, fit: OnPaper, left: float, top: float) -> Frame:
    """The frame that puts the upper left corner of the ground, as drawn, at (left, top)."""
    k = 1000 / fit.denominator
    if fit.turned:
        return Frame(fit.denominator, left + shown.y1 * k, top + shown.x1 * k, turned=True)
    return Frame(fit.denominator, left - shown.x0 * k, top + shown.y1 * k)


class _Board:
    """Puts one drawing together: fences first, then what is called, counted, read, looked up."""

    def __init__(
        self, plan: Plan, frame: Frame, page: Box, units: Units, view: View, upright: bool
    ) -> None:
        self.plan, self.frame, self.page = plan, frame, page
        self.units, self.view, self.upright = units, view, upright
        self.strand = strand_of(plan, frame)
        self.overs = bridges(self.strand)
        self.bars = flags.bars(self.strand, view.phase)
        self.rail = arena_marks(plan.arena, frame)
        self.labels: list[Label] = []
        self.unplaced: list[Unplaced] = []
        self.left_out: list[str] = []

    def drawn(self) -> Drawn:
        """The drawing."""
        crowd = self._crowd()
        sides = self._sides(crowd)
        if not self.view.bare:
            self._place(crowd)
        blanks = [blank_of_fence(fence, self.frame) for fence in self.plan.fences]
        blanks += self._blanks()
        stretches = free_stretches(self.strand, blanks, self.overs)
        arrows = arrow_places(self.strand, stretches, self.overs, [])
        arrows = [self._clear(at) for at in arrows]
        title = self.plan.title
        scene = Scene(
            self.page.width, self.page.height, tuple(self._items(sides, stretches, arrows)),
            title, description(self.plan), "en", self.frame.denominator,
            (self.frame.left, self.frame.bottom), self.frame.turned,
        )  # fmt: skip
        return Drawn(
            scene, self.frame, tuple(self.labels), tuple(self.unplaced), tuple(self.left_out)
        )

    def _items(
        self,
        sides: list[Group],
        stretches: list[list[tuple[float, float]]],
        arrows: list[tuple[float, ...]],
    ) -> list[Item]:
        plan, strand, phase = self.plan, self.strand, self.view.phase
        starts = phase in (None, strand.spans[0].part)
        ways = tuple(stroke for _, stroke in second_ways.second_ways(plan, self.frame, phase))
        return [
            *([Group("other-ways", ways, "Other lines between the same fences")] if ways else []),
            track_marks(strand, stretches, self.overs, arrows, phase),
            Group("strides", tuple(self._ticks(stretches)), "Strides"),
            Group("bars", tuple(flags.bar_mark(bar, strand) for bar in self.bars)),
            *([Group("start", flags.start_marks(flags.start_at(strand)))] * starts),
            self.rail,
            *sides,
            *also_standing_marks(plan, self.frame),
            Group("fences", tuple(fence_marks(fence, self.frame) for fence in plan.fences)),
            Group("labels", tuple(label.marks for label in self.labels)),
            *([why_marks(self.labels, self.unplaced)] if self.view.why else []),
        ]

    def _ticks(self, stretches: list[list[tuple[float, float]]]) -> list[Stroke]:
        """Ticks where the line itself is drawn: under a sign there is none."""
        if self.view.bare:
            return []
        out = []
        for span, pieces in zip(self.strand.spans, stretches, strict=True):
            if self.view.phase in (None, span.part):
                out += [
                    numerals.tick_of(stride, self.strand)
                    for stride in numerals.strides_of(span, self.strand)
                    if any(a - 0.2 <= stride.s <= b + 0.2 for a, b in pieces)
                ]
        taken = [label.place.box for label in self.labels if label.place.box.height > LEAST_SIGN]
        return [tick for tick in out if not any(tick.bbox().overlaps(box) for box in taken)]

    def _place(self, crowd: Crowd) -> None:
        plan, strand, frame, view = self.plan, self.strand, self.frame, self.view
        phase = view.phase
        self._all(disc_wishes(plan, strand, frame, phase), crowd)
        self._all(square_wishes(strand, frame, phase), crowd)
        self._all(counts.count_wishes(plan, strand, frame, self.units, phase), crowd)
        self._all(second_ways.second_way_wishes(plan, frame, self.units, phase), crowd)
        self._all(flags.flag_wishes(plan, strand, phase), crowd)
        self._put(place_close(flags.end_wishes(strand, phase), crowd))
        numbered, without = numerals.numeral_labels(strand, crowd, phase)
        self.labels += numbered
        if without:
            self.left_out.append("numerals of some lines")
        self._all(names.name_wishes(plan, frame, self.units, phase), crowd)
        if phase is None:
            self._all(names.post_wishes(plan, frame), crowd)
        self._some(also_standing_wishes(plan, frame), crowd)
        # A turn is long: its words find another place along it.
        self._all(turn_words.turn_wishes(strand, phase), crowd)
        self._some(turn_words.round_wishes(strand, phase), crowd)

    def _all(self, wishes: list[Wish], crowd: Crowd) -> None:
        self._put(place_all(wishes, crowd))

    def _put(self, placed: tuple[list[Label], list[Unplaced]]) -> None:
        self.labels += placed[0]
        self.unplaced += placed[1]

    def _some(self, wishes: list[Wish], crowd: Crowd) -> None:
        """Marks that help and say nothing new: where there is no room nobody misses them."""
        self.labels += place_all(wishes, crowd)[0]

    def _sides(self, crowd: Crowd) -> list[Group]:
        """The names of the sides and the word at the gate, outside the rail."""
        if self.view.bare:
            return []
        out = []
        gate = self.plan.arena.gate
        if gate:
            out.append(self._gate(crowd))
        for name in _side_names(self.plan, self.frame, self.upright, self.view):
            wide, tall = side_size(name)
            (mx, my), (dx, dy) = name.middle, name.out
            far = OFF_RAIL + (abs(dx) * wide + abs(dy) * tall) / 2
            if name.angle:
                far = OFF_RAIL + SIDE_NAME * 0.35
            slanted = 1.0 < abs(name.angle) < 89.0
            for slide in SLANTED if slanted else LEVEL:
                at = (mx + dx * far - dy * slide, my + dy * far + dx * slide)
                if self._side_free(name, at, crowd):
                    crowd.add_box(box_at(at, *side_size(name)), "side")
                    out.append(side_marks(name, at))
                    break
            else:
                self.left_out.append(f"the name of the {name.side}")
        return out

    def _side_free(self, name: SideName, at: Point, crowd: Crowd) -> bool:
        """Whether a name may stand there: on no letter, no gate and no other name."""
        wide, tall = side_size(name)
        if name.angle:
            turn = math.radians(name.angle)
            half = max(spaced_width(line) for line in name.lines) / 2
            dx, dy = math.cos(turn) * half, -math.sin(turn) * half
            ends = (at[0] - dx, at[1] - dy), (at[0] + dx, at[1] + dy)
            return not crowd.line_covered(*ends, SIDE_NAME * 0.4, frozenset(("rail",)))
        along = wide + 5.0 if abs(name.out[1]) > 0.9 else wide
        return crowd.covered([box_at(at, along, tall)], frozenset((PAGE,)))[0] in ("", PAGE)

    def _gate(self, crowd: Crowd) -> Group:
        arena = self.plan.arena
        assert arena.gate is not None
        dx, dy = self.frame.direction(arena.outward(arena.gate.side))
        x, y = self.frame.at(arena.gate.middle)
        wide = text_width(GATE, SIDE_NAME, "semibold") + 1.4
        turned = self.upright and abs(dx) > 0.9
        name = SideName("gate", (GATE,), 90.0 if turned else 0.0, (x, y), (dx, dy))
        size = side_size(name)
        far = OFF_RAIL + 1.2 + (abs(dx) * size[0] + abs(dy) * size[1]) / 2
        at = (x + dx * far, y + dy * far)
        taken = crowd.covered([box_at(at, *size)], frozenset(("rail",)))[0]
        if taken:
            beside = self.frame.mm(arena.gate.width / 2) + wide * 0.7
            at = (at[0] - dy * beside, at[1] + dx * beside)
        crowd.add_box(box_at(at, *size), "gate")
        return side_marks(name, at)

    def _crowd(self) -> Crowd:
        """Everything that no label may lie on."""
        crowd, frame, strand = Crowd(self.page), self.frame, self.strand
        for begin, end in self.plan.arena.region.edges:
            crowd.add_line(frame.many((begin, end)), "rail", 1.0)
        for mark in walk(self.rail.children):
            if isinstance(mark, Text | Disc):
                kind = "letter" if isinstance(mark, Text) else "post"
                crowd.add_box(mark.bbox().grown(0.4), kind)
        for fence in (*self.plan.fences, *self.plan.standing):
            self._crowd_with_fence(crowd, fence)
        for span in strand.spans:
            points = _coarse(span, strand)
            crowd.add_line(points, f"track {span.leg.number}", TRACK_WIDTH + 0.5)
            for stride in numerals.strides_of(span, strand):
                box = numerals.tick_of(stride, strand).bbox()
                crowd.add_box(box, f"stride {span.leg.number}")
        for leg, stroke in second_ways.second_ways(self.plan, frame, self.view.phase):
            crowd.add_line(stroke.points, f"other way {leg.number}", 1.0)
        for bar in self.bars:
            crowd.add_box(flags.bar_mark(bar, strand).bbox().grown(0.3), "bar")
        if self.view.phase in (None, strand.spans[0].part):
            crowd.add_box(flags.start_box(strand), "start")
        return crowd

    def _crowd_with_fence(self, crowd: Crowd, fence: PlacedFence) -> None:
        frame = self.frame
        crowd.add_area([frame.at(corner) for corner in fence.outline], "fence")
        for bar in fence.fence.parts.bars:
            kind = "ground line" if bar.kind == "ground line" else "fence"
            crowd.add_line([frame.at(fence.ground(p)) for p in (bar.start, bar.end)], kind, 1.8)
        for mark in walk(fence_marks(fence, frame).children):
            if isinstance(mark, Stroke) and mark.sized == "paper":
                crowd.add_line(mark.points, "fence", mark.pen.width)
        if one_way(fence):
            crowd.add_box(box_around(dart_outline(fence, frame)), "fence")

    def _blanks(self) -> list[Blank]:
        """Where signs and words lie on the line."""
        out = []
        for label in self.labels:
            box, chosen = label.place.box, label.place.chosen
            if label.name.startswith("number-"):
                out.append(Blank(label.place.centre, (box.width - ROUNDING) / 2 + HALO, 0.0, None))
            elif chosen and chosen.lines:
                (ax, ay), (bx, by) = chosen.lines[0]
                length = max(((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5, 1e-6)
                way = (bx - ax) / length, (by - ay) / length
                out.append(
                    Blank(label.place.centre, length / 2 + COUNT_TALL / 2, COUNT_TALL / 2, way)
                )
            elif label.name.startswith(("count-", "lead-", "turn-")) or (chosen and chosen.over):
                # Where another track is cut it may run along the edge.
                more = 0.9 if chosen and chosen.over else 0.3
                out.append(Blank(label.place.centre, box.width / 2 + more, box.height / 2 + more))
        first = self.strand.spans[0]
        if self.view.phase in (None, first.part):
            out.append(Blank(flags.start_at(self.strand), flags.RING + 1.1, 0.0, None))
        return out

    def _clear(self, places: tuple[float, ...]) -> tuple[float, ...]:
        """Arrowheads that lie on no word, on no pole of one and on no other pass."""
        taken = [label.place.box for label in self.labels]
        for label in self.labels:
            chosen = label.place.chosen
            if chosen and chosen.poled:
                taken += [box_around(line).grown(0.3) for line in chosen.lines]
        boxes = [box_around(arrow_outline(s, self.strand)) for s in places]
        return tuple(
            s for s, box in zip(places, boxes, strict=True)
            if not any(box.overlaps(other) for other in taken)
        )  # fmt: skip


def _coarse(span: LegSpan, strand: Strand) -> list[tuple[float, float]]:
    """A leg as a few dozen chords: enough for words to keep off it."""
    count = max(2, int(span.length / 3.0) + 1)
    return [strand.at(span.begin + span.length * n / (count - 1)) for n in range(count)]


def description(plan: Plan) -> str:
    """What the drawing shows, for those who hear it instead of seeing it."""
    order = ", then ".join(
        f"{crossing.jump.label} {crossing.jump.fence}".strip()
        + (" jumped the other way" if crossing.jump.from_behind else "")
        for crossing in plan.crossings
    )
    return f"{plan.definition.purpose} Jumped in this order: {order}."
