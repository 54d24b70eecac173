"""One drawing of a plan: everything put together at the largest scale that fits."""

from __future__ import annotations

from dataclasses import dataclass

from diagram.diagnostics import Diagnostic, Severity
from diagram.drawing.arena import arena_marks, guide_marks
from diagram.drawing.crowd import Crowd
from diagram.drawing.extent import Extent, extent_of
from diagram.drawing.fences import dart_outline, fence_marks, one_way
from diagram.drawing.frame import Frame, largest_scale
from diagram.drawing.furniture import (
    CAPTION_HEIGHT,
    TITLE_HEIGHT,
    caption,
    caution_height,
    caution_line,
    leftovers,
    leftovers_height,
    legend_rows,
    strip,
    strip_height,
    title_line,
)
from diagram.drawing.labels import Label, Unplaced, Wish, place_all
from diagram.drawing.lanes import Lane, lanes
from diagram.drawing.numbers import number_wishes
from diagram.drawing.other_ways import (
    crowd_with_other_ways,
    other_way_marks,
    other_way_wishes,
)
from diagram.drawing.strides import (
    crowd_with_strides,
    finding_wishes,
    stride_labels,
    stride_marks,
)
from diagram.drawing.track import (
    END_CLEAR,
    GATE_TICK,
    Laid,
    arrow_outline,
    drawn_line,
    lay,
    phase_ends,
    slow_line,
    track_marks,
)
from diagram.drawing.view import WHOLE, View
from diagram.drawing.why import why_marks
from diagram.drawing.words import (
    distance_wishes,
    end_wishes,
    gait_wishes,
    lead_wishes,
    name_wishes,
    post_wishes,
    short_name_wishes,
)
from diagram.planning import Plan
from diagram.scene import Box, Disc, Group, Scene, Text, box_around, walk
from diagram.style import TRACK_WIDTH
from diagram.units import Units

MARGIN, SMALL_MARGIN = 8.0, 5.5
"""Millimetres round the arena for letters and the gate."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawing, where its labels went, and those that went nowhere."""

    scene: Scene
    frame: Frame
    labels: tuple[Label, ...]
    unplaced: tuple[Unplaced, ...] = ()

    @property
    def findings(self) -> tuple[Diagnostic, ...]:
        """What a reader must be told about the drawing itself."""
        missing = (
            Diagnostic(
                "no-room-on-drawing",
                Severity.NOTE,
                f"the drawing has no room for: {label.says}",
                hint="it stands under the drawing; larger paper or a label: in the file may help",
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


def room_for(plan: Plan, width: float, height: float, small: bool = False) -> tuple[float, float]:
    """Millimetres left for the arena itself on a drawing of `width` by `height`."""
    margin = SMALL_MARGIN if small else MARGIN
    return width - 2 * margin, height - 2 * margin - _under(plan, width, small)


def _under(plan: Plan, width: float, small: bool) -> float:
    """Millimetres of what stands under the arena."""
    return CAPTION_HEIGHT if small else strip_height(legend_rows(plan, width - 2 * MARGIN))


def better_way_round(plan: Plan, short: float, long: float) -> tuple[float, float]:
    """Width and height of a sheet turned so that the drawing comes out at the larger scale."""
    size = extent_of(plan).size
    upright = largest_scale(size, room_for(plan, short, long))
    lying = largest_scale(size, room_for(plan, long, short))
    return (short, long) if (upright or 10**6) < (lying or 10**6) else (long, short)


def draw_plan(
    plan: Plan,
    width: float,
    height: float,
    units: Units = "feet",
    titled: bool = False,
    *,
    view: View = WHOLE,
    stated: float | None = None,
) -> Drawn:
    """The plan on a drawing of at most `width` by `height` mm.

    `titled` puts the title over it and the caution under it, for a drawing that stands alone.
    `stated` is the scale to print on a drawing that will be enlarged to it. Raises ValueError
    when the arena does not fit at any scale.
    """
    shown = extent_of(plan)
    long, wide = shown.size
    size = (wide, long) if view.turned else (long, wide)
    head, foot = (TITLE_HEIGHT, caution_height(width)) if titled else (0.0, 0.0)
    denominator = largest_scale(size, room_for(plan, width, height - head - foot, view.small))
    if denominator is None:
        raise ValueError(f"an arena of {long:g} x {wide:g} m does not fit on this paper")
    k = 1000 / denominator
    margin = SMALL_MARGIN if view.small else MARGIN
    bottom = head + size[1] * k + 2 * margin
    frame = _frame(shown, denominator, (width - size[0] * k) / 2, head + margin, view.turned)
    paths = lanes(plan, frame)
    laid = lay(plan, paths, frame)
    rail = arena_marks(plan.arena, frame)
    crowd = _crowd(plan, laid, frame, rail, Box(0.5, head + 0.5, width - 0.5, bottom), view)
    labels, unplaced = place_all(_wishes(plan, paths, frame, units, view), crowd)
    if not view.small:
        labels += stride_labels(plan, paths, frame, crowd)
    listed = leftovers_height(unplaced, width)
    under = bottom + _under(plan, width, view.small)
    tall = under + listed
    if unplaced and tall + foot > height:
        return draw_plan(plan, width, height - listed, units, titled, view=view, stated=stated)
    items: tuple[Group, ...] = (
        guide_marks(plan.arena, frame, _covering_guides(labels)),
        *(
            [other_way_marks(plan, frame, view.phase)]
            if any(leg.others for leg in plan.legs)
            else []
        ),
        track_marks(plan, laid, frame, view.phase),
        *([] if view.small else [stride_marks(plan, paths, frame, view.phase)]),
        rail,
        Group("fences", tuple(fence_marks(fence, frame) for fence in plan.fences)),
        Group("labels", tuple(label.marks for label in labels)),
        *_furniture(plan, frame, width, bottom, units, view, stated),
        *leftovers(unplaced, MARGIN, width, under),
    )
    if titled:
        items = (title_line(plan, width), *items, caution_line(width, tall))
    if view.why:
        items = (*items, why_marks(labels, unplaced))
    scene = Scene(
        width, tall + foot, items, plan.definition.title, _description(plan), "en",
        float(denominator),
    )  # fmt: skip
    return Drawn(scene, frame, tuple(labels), tuple(unplaced))


def _furniture(
    plan: Plan,
    frame: Frame,
    width: float,
    top: float,
    units: Units,
    view: View,
    stated: float | None,
) -> tuple[Group, ...]:
    """Scale bar and legend, or the caption of a small drawing."""
    if view.small:
        return (caption(plan, view.phase or 0, frame, width, top),)
    rows = legend_rows(plan, width - 2 * MARGIN)
    return strip(frame, rows, MARGIN, width - MARGIN, top + 3.5, units, stated)


def _frame(shown: Extent, denominator: float, left: float, top: float, turned: bool) -> Frame:
    """The frame that puts the upper left corner of the ground, as drawn, at (left, top)."""
    k = 1000 / denominator
    if turned:
        return Frame(denominator, left + shown.y1 * k, top + shown.x1 * k, turned=True)
    return Frame(denominator, left - shown.x0 * k, top + shown.y1 * k)


def _wishes(
    plan: Plan, paths: tuple[Lane, ...], frame: Frame, units: Units, view: View
) -> list[Wish]:
    """All labels, in the order in which they choose their places."""
    phase = view.phase
    numbers = number_wishes(plan, frame, phase)
    ends = end_wishes(plan, phase_ends(plan, paths, frame, phase))
    if view.small:
        return [*numbers, *ends, *short_name_wishes(plan, frame, phase)]
    return [
        *numbers,
        *gait_wishes(plan, frame, phase),
        *lead_wishes(plan, frame, phase),
        *ends,
        *distance_wishes(plan, frame, units, phase),
        *other_way_wishes(plan, frame, units, phase),
        *name_wishes(plan, frame, units),
        *finding_wishes(plan, frame),
        *post_wishes(plan, frame),
    ]


def _covering_guides(labels: list[Label]) -> list[Box]:
    """Words and the lines of dimensions that a guide must give way to."""
    boxes = [label.place.box for label in labels]
    marks = (mark.bbox() for label in labels for mark in walk(label.marks.children))
    return boxes + [box for box in marks if min(box.width, box.height) < THIN]


THIN = 2.0
"""Millimetres: what is higher and wider runs across a guide, not along it."""


def _description(plan: Plan) -> str:
    order = ", then ".join(
        f"{crossing.jump.label} {crossing.jump.fence}".strip()
        + (" from behind" if crossing.jump.from_behind else "")
        for crossing in plan.crossings
    )
    return f"{plan.definition.purpose} Jumped in this order: {order}."


def _crowd(plan: Plan, laid: Laid, frame: Frame, rail: Group, page: Box, view: View) -> Crowd:
    """Everything that no label may lie on."""
    crowd = Crowd(page)
    for begin, end in plan.arena.region.edges:
        crowd.add_line(frame.many((begin, end)), "rail", 0.4)
    for mark in walk(rail.children):
        if isinstance(mark, Text | Disc):
            crowd.add_box(mark.bbox(), "letter" if isinstance(mark, Text) else "post")
    for leg, lane in zip(plan.legs, laid.lanes, strict=True):
        crowd.add_line(drawn_line(leg, lane, frame), "track", TRACK_WIDTH)
        for stretch in leg.ridden.stretches[1:]:
            if stretch.gait != "canter":
                crowd.add_line(slow_line(leg, lane, stretch, frame), "track", GATE_TICK)
    crowd_with_other_ways(plan, frame, crowd)
    if not view.small:
        crowd_with_strides(plan, laid.lanes, frame, crowd)
    for poses in laid.arrows:
        for pose in poses:
            crowd.add_box(box_around(arrow_outline(pose, frame)), "arrowhead")
    for fence in plan.fences:
        crowd.add_area([frame.at(corner) for corner in fence.outline], "fence")
        for bar in fence.fence.parts.bars:
            kind = "ground line" if bar.kind == "ground line" else "fence"
            crowd.add_line([frame.at(fence.ground(p)) for p in (bar.start, bar.end)], kind, 0.5)
        if one_way(fence):
            crowd.add_box(box_around(dart_outline(fence, frame)), "fence")
    for place in phase_ends(plan, laid.lanes, frame, view.phase):
        if place:
            x, y = place
            r = END_CLEAR
            crowd.add_box(Box(x - r, y - r, x + r, y + r), "start or finish")
    return crowd
