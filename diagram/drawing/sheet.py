"""One drawing of a plan: everything put together at the largest scale that fits."""

from __future__ import annotations

from dataclasses import dataclass

from diagram.drawing.arena import arena_marks
from diagram.drawing.crowd import Crowd
from diagram.drawing.fences import fence_marks
from diagram.drawing.frame import Frame, largest_scale
from diagram.drawing.furniture import (
    CAUTION_HEIGHT,
    STRIP_HEIGHT,
    TITLE_HEIGHT,
    caution_line,
    legend,
    scale_bar,
    title_line,
)
from diagram.drawing.labels import Label
from diagram.drawing.lanes import Lane, lanes
from diagram.drawing.other_ways import other_way_labels, other_way_marks
from diagram.drawing.strides import (
    crowd_with_strides,
    finding_labels,
    stride_key,
    stride_labels,
    stride_marks,
)
from diagram.drawing.track import drawn_line, track_marks
from diagram.drawing.words import (
    distance_labels,
    end_labels,
    gait_labels,
    lead_labels,
    name_labels,
    number_labels,
)
from diagram.geometry.pose import Point
from diagram.planning import Plan
from diagram.scene import Box, Group, Scene
from diagram.units import Units

MARGIN = 8.0
"""Millimetres round the arena for letters and the gate."""
FENCE_WEIGHT = 3.0
RAIL_WEIGHT = 2.0
GUIDE_WEIGHT = 0.2


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawing and where its labels went."""

    scene: Scene
    frame: Frame
    labels: tuple[Label, ...]

    @property
    def crowded(self) -> tuple[Label, ...]:
        """Labels that cover something, for want of a free place."""
        return tuple(label for label in self.labels if label.place.covered > 0)


def room_for(width: float, height: float) -> tuple[float, float]:
    """Millimetres left for the arena itself on a drawing of `width` by `height`."""
    return width - 2 * MARGIN, height - 2 * MARGIN - STRIP_HEIGHT


def better_way_round(plan: Plan, short: float, long: float) -> tuple[float, float]:
    """Width and height of a sheet turned so that the drawing comes out at the larger scale."""
    upright = largest_scale(plan.arena.size, room_for(short, long))
    lying = largest_scale(plan.arena.size, room_for(long, short))
    return (short, long) if (upright or 10**6) < (lying or 10**6) else (long, short)


def draw_plan(
    plan: Plan, width: float, height: float, units: Units = "feet", titled: bool = False
) -> Drawn:
    """The plan on a drawing of at most `width` by `height` mm.

    `titled` puts the title over it and the caution under it, for a drawing that stands alone.
    Raises ValueError when the arena does not fit at any scale.
    """
    size = plan.arena.size
    head, foot = (TITLE_HEIGHT, CAUTION_HEIGHT) if titled else (0.0, 0.0)
    room = room_for(width, height - head - foot)
    denominator = largest_scale(size, room)
    if denominator is None:
        raise ValueError(f"an arena of {size[0]:g} x {size[1]:g} m does not fit on this paper")
    k = 1000 / denominator
    tall = head + size[1] * k + 2 * MARGIN + STRIP_HEIGHT
    x0, y0, _, _ = plan.arena.region.bounds
    left = (width - size[0] * k) / 2 - x0 * k
    frame = Frame(denominator, left, head + MARGIN + size[1] * k + y0 * k)
    paths = lanes(plan, frame)
    crowd = _crowd(plan, paths, frame, Box(0.5, head + 0.5, width - 0.5, tall - STRIP_HEIGHT))
    crowd_with_strides(plan, paths, frame, crowd)
    labels = [
        *number_labels(plan, frame, crowd),
        *gait_labels(plan, frame, crowd),
        *lead_labels(plan, frame, crowd),
        *distance_labels(plan, frame, crowd, units),
        *other_way_labels(plan, frame, crowd, units),
        *end_labels(plan, frame, crowd),
        *name_labels(plan, frame, crowd, units),
        *finding_labels(plan, frame, crowd),
        *stride_labels(plan, paths, frame, crowd),
    ]
    strip = tall - STRIP_HEIGHT + 3.5
    items: tuple[Group, ...] = (
        arena_marks(plan.arena, frame),
        *([other_way_marks(plan, frame)] if any(leg.others for leg in plan.legs) else []),
        track_marks(plan, paths, frame),
        stride_marks(plan, paths, frame),
        Group("fences", tuple(fence_marks(fence, frame) for fence in plan.fences)),
        Group("labels", tuple(label.marks for label in labels)),
        scale_bar(frame, MARGIN, strip, units),
        legend(plan, width - MARGIN, strip),
        stride_key(plan, width - MARGIN, strip + 5.8),
    )
    if titled:
        items = (title_line(plan, width), *items, caution_line(width, tall))
    scene = Scene(
        width,
        tall + foot,
        items,
        plan.definition.title,
        _description(plan),
        "en",
        float(denominator),
    )
    return Drawn(scene, frame, tuple(labels))


def _description(plan: Plan) -> str:
    order = ", then ".join(
        f"{crossing.jump.number} {crossing.jump.fence}"
        + (" from behind" if crossing.jump.from_behind else "")
        for crossing in plan.crossings
    )
    return f"{plan.definition.purpose} Jumped in this order: {order}."


def _crowd(plan: Plan, paths: tuple[Lane, ...], frame: Frame, page: Box) -> Crowd:
    """Everything that no label may lie on."""
    crowd = Crowd(page)
    for begin, end in plan.arena.region.edges:
        crowd.add_line(frame.many((begin, end)), RAIL_WEIGHT)
    x0, y0, x1, y1 = plan.arena.region.bounds
    if plan.arena.is_rectangle:
        middle = (y0 + y1) / 2
        crowd.add_line(frame.many([(x0, middle), (x1, middle)]), GUIDE_WEIGHT)
    for leg, lane in zip(plan.legs, paths, strict=True):
        crowd.add_line(drawn_line(leg, lane, frame))
    for fence in plan.fences:
        outline: list[Point] = [frame.at(corner) for corner in fence.outline]
        crowd.add_area(outline, FENCE_WEIGHT)
        for bar in fence.fence.parts.bars:
            crowd.add_line([frame.at(fence.ground(p)) for p in (bar.start, bar.end)])
    for pose in (plan.legs[0].curve.start, plan.legs[-1].curve.end):
        x, y = frame.at(pose.point)
        crowd.add_box(Box(x - 2, y - 2, x + 2, y + 2))
    return crowd
