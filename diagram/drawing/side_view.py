"""A fence from the side, first jumped from the left: which pole, cup and filler goes where.

Heights and distances are to scale. Poles of which no height is given lie at even steps, and no
figure is written to them. Safety cups are black.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from diagram.exercise.equipment import poles_in_rows
from diagram.exercise.fence import PlacedFence
from diagram.fences.kind import Bar
from diagram.geometry.pose import Point
from diagram.scene import Disc, Fill, Item, Stroke, Text
from diagram.style import INK, LOOKED_UP, PALE, PAPER, Pen, points, text_width
from diagram.units import Units, length_text

GROUND, RAIL, THIN = Pen(INK, 0.35), Pen(INK, 1.2), Pen(INK, 0.25)
CUP = Pen(INK, 0.5)
POLE_RADIUS, THINNEST = 1.0, 0.55
ABOVE_M = 0.25
"""Metres of standard that show above the top pole."""
HEIGHT, MEASURE = points(13), points(10)
SCALE = 1000 / 60
LOW = 17.0
"""Millimetres of height up to which a view is set low."""
LEAST_VIEW = 8.0
"""Millimetres of ground that heights beside the view must leave it."""


class _View(Struct, frozen=True):
    """From the fence's frame, x ahead and z up in metres, to the paper."""

    origin: Point
    mm_per_m: float

    def at(self, x: float, z: float) -> Point:
        return (self.origin[0] + x * self.mm_per_m, self.origin[1] - z * self.mm_per_m)

    @property
    def radius(self) -> float:
        """Millimetres of a pole: to the eye at 1:60, smaller where the view is."""
        return max(THINNEST, POLE_RADIUS * min(1.0, self.mm_per_m / SCALE))


def side_view(
    placed: PlacedFence, both_ways: bool, right: float, base: float, room: Point, units: Units
) -> Iterator[Item]:
    """The view with the ground at `base` and its right edge at `right`, in at most `room` mm.

    At 1:60, or smaller where that does not fit.
    """
    limit = right
    parts = placed.fence.parts
    bars = [bar for bar in parts.bars if bar.kind != "ground line"]
    top = max((bar.height_m for bar in bars), default=0.0)
    lines = [bar.start[0] for bar in parts.bars if bar.kind == "ground line"]
    xs = [*parts.planes, *lines, *(_middle(bar) for bar in bars), 0.0]
    xs += [end[0] for box in parts.boxes for end in (box.near, box.far)]
    wide, high = max(xs) - min(xs) + 0.6, top + ABOVE_M
    arrows = 14.0 if both_ways else 7.0
    # In a low row the heights stand beside the last standard, not over it.
    low = room[1] < LOW
    said = list(dict.fromkeys(length_text(bar.height_m, units) for bar in bars))
    if low:
        # There the head of the leaf has the unit.
        said = [text.removesuffix(" m") for text in said]
        ways = (said, said[:: max(1, len(said) - 1)], said[-1:])
        taken = [text_width("–".join(way), HEIGHT, "bold") + 1.0 for way in ways]
        # Of three heights the outer two, of two the last, where a fence has no room beside them.
        said = next(
            (way for way, wide in zip(ways, taken, strict=True)
             if room[0] - 7.0 - max(arrows - 7.0, wide) >= LEAST_VIEW), said[-1:],
        )  # fmt: skip
    widest = max((text_width(text, HEIGHT, "bold") for text in said), default=0.0)
    beside = text_width("–".join(said), HEIGHT, "bold") + 1.0 if low else 0.0
    over = 0.5 if low else HEIGHT + 5.5
    free = room[0] - 7.0 - max(arrows - 7.0, beside)
    k = min(SCALE, max(free, LEAST_VIEW / 2) / wide, max(room[1] - over, 6.0) / max(high, 0.4))
    if not low:
        # The height over the last standard sticks out, and the arrow must not go over the figures.
        out = max(arrows - 7.0, widest / 2 - 0.3 * k)
        k = min(k, max(room[0] - 7.0 - out, LEAST_VIEW / 2) / wide)
    right -= max(arrows - 7.0, beside if low else widest / 2 - 0.3 * k)
    view = _View((right - (max(xs) + 0.3) * k, base), k)
    left = view.at(min(xs) - 0.3, 0.0)[0]
    yield Stroke(((left, base), (right, base)), GROUND)
    coming = base - min(top, 0.6) * k * 0.5 - 2.0
    yield from _arrow(left - 5.5, left - 0.8, coming)
    if both_ways:
        yield from _arrow(right + 5.5, right + 0.8, coming)
    yield from _fillers(placed, view)
    for x in lines:
        yield Disc((view.at(x, 0.0)[0], base - view.radius - 0.2), view.radius, PAPER, CUP)
    if not parts.planes:
        yield from _on_the_ground(placed, view)
        return
    rows = poles_in_rows(placed.fence)
    labels = []
    for plane in parts.planes:
        height = max((b.height_m for b in bars if abs(_middle(b) - plane) < 0.15), default=top)
        yield from _row(view, plane, height, rows[plane], plane in parts.safety_cups)
        labels.append((view.at(plane, height + ABOVE_M), length_text(height, units)))
    yield from _lower(placed, view, left, units)
    if low:
        # Over the arrow of those who come from there, or beside the middle of the fence.
        y = coming - 1.8 if both_ways else view.at(0.0, top / 2)[1] + HEIGHT * 0.35
        yield Text((limit, y), "–".join(said), HEIGHT, "bold", "end")
    else:
        yield from _heights(labels, limit)
    yield from _measures(placed, lines, view, limit - beside, units)


def lower_heights(placed: PlacedFence) -> list[float]:
    """Metres at which the poles below the top one of the front row lie, at even steps; none where
    poles cross or no standard holds them."""
    planes = placed.fence.parts.planes
    bars = [bar for bar in placed.fence.parts.bars if bar.kind != "ground line"]
    if not planes or any(bar.start[0] != bar.end[0] for bar in bars):
        return []
    front = max((b.height_m for b in bars if abs(_middle(b) - planes[0]) < 0.15), default=0.0)
    poles = poles_in_rows(placed.fence)[planes[0]]
    return [front * (poles - n) / poles for n in range(1, poles)]


def _lower(placed: PlacedFence, view: _View, left: float, units: Units) -> Iterator[Item]:
    """Their figures on the side that the horse comes from, where the ground line and the fillers
    leave room."""
    x = view.at(placed.fence.parts.planes[0], 0.0)[0] - 0.7 - 2 * view.radius - CUP.width
    boxes = [view.at(min(box.near[0], box.far[0]), 0.0)[0] for box in placed.fence.parts.boxes]
    right = min([x, *boxes]) - 0.7
    ground = view.origin[1] - 2 * view.radius - 1.2
    for height in lower_heights(placed):
        text = length_text(height, units).removesuffix(" m")
        for size in (MEASURE, LOOKED_UP):
            base = view.at(0.0, height)[1] + size * 0.35
            if text_width(text, size) <= right - left and base <= ground:
                yield Text((right, base), text, size, anchor="end")
                break


def _heights(heights: list[tuple[Point, str]], limit: float) -> Iterator[Item]:
    """Over each standard; once where all are alike, moved apart where they would touch."""
    if len({text for _, text in heights}) == 1:
        xs = [x for (x, _), _ in heights]
        heights = [(((xs[0] + xs[-1]) / 2, heights[0][0][1]), heights[0][1])]
    # Side by side the last one alone has the unit, so that none lies over the readings.
    heights = [*((at, text.removesuffix(" m")) for at, text in heights[:-1]), *heights[-1:]]
    left = limit + 1.0
    for (x, y), text in reversed(heights):
        half = text_width(text, HEIGHT, "bold") / 2
        x = min(x, left - 1.0 - half)
        left = x - half
        yield Text((x, y - 1.4), text, HEIGHT, "bold", "middle")


def _middle(bar: Bar) -> float:
    return (bar.start[0] + bar.end[0]) / 2


def _row(view: _View, plane: float, height: float, poles: int, safety: bool) -> Iterator[Item]:
    """A standard with its poles on the take-off side, each in its cup."""
    x, foot = view.at(plane, 0.0)
    _, tip = view.at(plane, height + ABOVE_M)
    yield Stroke(((x, foot), (x, tip)), Pen(INK, min(RAIL.width, 1.2 * view.radius)))
    yield Stroke(((x - 1.3, foot - 0.4), (x + 1.3, foot - 0.4)), Pen(INK, 0.7))
    for n in range(poles):
        z = height * (poles - n) / poles
        y = view.at(plane, z)[1]
        at = (x - 0.7 - view.radius, y)
        yield Stroke(((at[0] - 1.2, y + view.radius + 0.25), (x, y + view.radius + 0.25)), CUP)
        yield Disc(at, view.radius, INK if safety else PAPER, CUP)


def _on_the_ground(placed: PlacedFence, view: _View) -> Iterator[Item]:
    """Poles without standards, on blocks where they lie off the ground."""
    for bar in placed.fence.parts.bars:
        if bar.kind != "ground line":
            x, y = view.at(_middle(bar), bar.height_m)
            lift = min(y, view.origin[1] - view.radius - 0.2)
            if bar.height_m > 0.05:
                yield Stroke(((x, view.origin[1]), (x, lift)), RAIL)
            yield Disc((x, lift), view.radius, PAPER, CUP)


def _fillers(placed: PlacedFence, view: _View) -> Iterator[Item]:
    """Boxes: the whole height where no pole lies over them; else no height is given, and six
    tenths of it are drawn (common practice: two poles' room is left over a box)."""
    top = placed.fence.measures.front_m or placed.fence.measures.height_m
    share = 0.6 if any(poles_in_rows(placed.fence).values()) else 1.0
    for box in placed.fence.parts.boxes:
        x0, x1 = sorted((box.near[0], box.far[0]))
        corners = ((x0, 0.0), (x1, 0.0), (x1, top * share), (x0, top * share))
        yield Fill(tuple(view.at(*corner) for corner in corners), PALE, THIN)


def _measures(
    placed: PlacedFence, lines: list[float], view: _View, limit: float, units: Units
) -> Iterator[Item]:
    """Under the ground: how far the ground line lies before the front, and the spread."""
    planes = sorted(placed.fence.parts.planes)
    stretches = [(x, planes[0]) for x in lines if x < planes[0] - 0.05]
    stretches += [(planes[-1], x) for x in lines if x > planes[-1] + 0.05]
    if len(planes) > 1:
        stretches.append((planes[0], planes[-1]))
    y = view.origin[1] + 1.6
    for a, b in stretches:
        (left, _), (right, _) = view.at(a, 0.0), view.at(b, 0.0)
        yield Stroke(((left, y), (right, y)), THIN)
        for x in (left, right):
            yield Stroke(((x, y - 0.8), (x, y + 0.8)), THIN)
    left_of = limit + 1.2
    lengths = [round(b - a, 6) for a, b in stretches]
    if len(lengths) > 1 and lengths[0] == lengths[1]:
        # Ground lines on both sides lie alike: one figure does.
        stretches = [stretches[0], *stretches[2:]]
    for a, b in sorted(stretches, reverse=True):
        # Side by side there is room for the figures alone; the height above has the unit.
        text = length_text(b - a, units).removesuffix(" m")
        half = text_width(text, MEASURE) / 2
        x = min((view.at(a, 0.0)[0] + view.at(b, 0.0)[0]) / 2, left_of - 1.2 - half)
        left_of = x - half
        yield Text((x, y + 0.8 + MEASURE * 0.8), text, MEASURE, anchor="middle")


def _arrow(tail: float, tip: float, y: float) -> Iterator[Item]:
    """The way the horse comes."""
    sign = 1.0 if tip > tail else -1.0
    yield Stroke(((tail, y), (tip - sign * 1.8, y)), Pen(INK, 0.7))
    yield Fill(((tip, y), (tip - sign * 2.2, y - 1.1), (tip - sign * 2.2, y + 1.1)), INK)
