"""The drawing that a ring crew works from: fences, and every dimension that sets them.

The ridden track is left out, or drawn faint. One drawing carries the tapes, another the
baselines and offsets; both carry the lines from base to base. All of it is to scale.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

from diagram.diagnostics import Severity
from diagram.drawing.arena import arena_marks
from diagram.drawing.fences import fence_marks
from diagram.drawing.frame import Frame, largest_scale
from diagram.drawing.furniture import STRIP_HEIGHT, scale_bar
from diagram.drawing.labels import Label, Line, around_point, label_size
from diagram.drawing.setting_crowd import FullSheet, least_covering
from diagram.drawing.setting_dimensions import Dimension, dimension_marks
from diagram.drawing.sheet import Drawn
from diagram.exercise.fence import PlacedFence
from diagram.scene import Box, Fill, Group, Item, Scene, Stroke, Text, walk
from diagram.stakeout.points import as_first_jumped
from diagram.stakeout.setting import FenceSetting, FootSetting, SettingOut
from diagram.stakeout.texts import reading
from diagram.style import (
    FIGURE,
    GREY,
    HEADING,
    INK,
    LABEL,
    SMALL,
    SOFT_INK,
    Pen,
    points,
    printable,
    text_width,
)
from diagram.units import length_text

Shown = Literal["tapes", "baselines"]

MARGIN = 13.0
"""Millimetres round the arena: letters, the gate, names of the sides, readings along them."""
HEAD = 6.0
STOPPED = "Do not ride this as it stands"
CROSSED = 0.3
"""What it costs a reading to lie over a point of a thin line."""
NAME_SIZE = points(10)
READING_SIZE = points(8)
LINE_SIZE = points(10)
TRACK = Pen(GREY, 0.25)
TAPE = Pen(SOFT_INK, 0.13)
SQUARE = Pen(SOFT_INK, 0.18, (1.6, 0.8))
SIDE_NAME_OUT = 7.4

TITLES: dict[Shown, str] = {
    "tapes": "Two tapes to each foot of the front row",
    "baselines": "Along a side, then square off it",
}


def draw_setting(
    setting: SettingOut, width: float, height: float, shown: Shown, track: bool = False
) -> Drawn:
    """The crew's drawing on at most `width` by `height` mm.

    Raises ValueError when the arena does not fit at any scale.
    """
    arena = setting.plan.arena
    room = (width - 2 * MARGIN, height - 2 * MARGIN - STRIP_HEIGHT - HEAD)
    denominator = largest_scale(arena.size, room)
    if denominator is None:
        long, wide = arena.size
        raise ValueError(f"an arena of {long:g} x {wide:g} m does not fit on this paper")
    k = 1000 / denominator
    x0, y0, x1, _ = arena.region.bounds
    tall = HEAD + arena.size[1] * k + 2 * MARGIN + STRIP_HEIGHT
    left = (width - (x1 - x0) * k) / 2 - x0 * k
    frame = Frame(denominator, left, HEAD + MARGIN + arena.size[1] * k + y0 * k)
    crowd = _crowd(setting, frame, Box(0.5, HEAD, width - 0.5, tall - STRIP_HEIGHT + 1))
    dimensions = list(_dimensions(setting, shown))
    for one in dimensions:
        crowd.add_line(frame.many((one.start, one.end)), CROSSED)
    measured = [dimension_marks(one, frame, crowd) for one in dimensions]
    steps = {fence.name: fence.step for fence in setting.fences}
    labels = [
        _name(placed, steps.get(placed.name), setting, frame, crowd)
        for placed in setting.plan.fences
    ]
    if shown == "baselines":
        labels += list(_outs(setting, frame, crowd))
    strip = tall - STRIP_HEIGHT + 3.5
    items: tuple[Item, ...] = (
        _head(setting, shown, width),
        arena_marks(arena, frame),
        Group("sides", tuple(_side_names(setting, frame))),
        Group("zeros", tuple(_zeros(setting, frame)) if shown == "baselines" else ()),
        Group("track", tuple(_track(setting, frame)) if track else ()),
        Group("measured-lines", tuple(line for lines, _ in measured for line in lines)),
        Group("fences", tuple(_fences(setting, frame))),
        Group("measures", tuple(text for _, texts in measured for text in texts)),
        Group("labels", tuple(label.marks for label in labels)),
        scale_bar(frame, MARGIN, strip, setting.crew.units),
        _key(width - MARGIN, strip + 1.6, shown),
    )
    scene = Scene(
        width, tall, items, setting.plan.definition.title,
        f"{TITLES[shown]}. Fences: " + ", ".join(f.name for f in setting.fences) + ".",
        "en", float(denominator),
    )  # fmt: skip
    return Drawn(scene, frame, tuple(labels))


def _head(setting: SettingOut, shown: Shown, width: float) -> Group:
    """What exercise this is, what is measured, and whether it may be ridden as it stands."""
    title = printable(setting.plan.definition.title).text
    while text_width(title, HEADING, "bold") > width * 0.5 and len(title) > 8:
        title = title[:-2].rstrip() + "…"
    stopped = any(f.severity is Severity.STOP for f in setting.plan.findings)
    said = f"{STOPPED} · {TITLES[shown]}" if stopped else TITLES[shown]
    return Group(
        "head",
        (
            Text((0.0, HEADING), title, HEADING, "bold"),
            Text((width, HEADING), said, FIGURE, "semibold", "end"),
        ),
    )


def _crowd(setting: SettingOut, frame: Frame, page: Box) -> FullSheet:
    crowd = FullSheet(page)
    for edge in setting.plan.arena.region.edges:
        crowd.add_line(frame.many(edge), 2.0)
    for fence in setting.plan.fences:
        crowd.add_area([frame.at(corner) for corner in fence.outline], 4.0)
        for bar in fence.fence.parts.bars:
            crowd.add_line([frame.at(fence.ground(p)) for p in (bar.start, bar.end)], 3.0)
    for word in walk(arena_marks(setting.plan.arena, frame).children):
        if isinstance(word, Text):
            crowd.add_box(word.bbox())
    for own in setting.fences:
        for mark in (*_left_and_right(own, setting, frame), *_way(own, setting, frame)):
            crowd.add_box(mark.bbox().grown(0.2))
    for text in _side_names(setting, frame):
        crowd.add_box(text.bbox())
    return crowd


def _fences(setting: SettingOut, frame: Frame) -> Iterator[Item]:
    for placed in setting.plan.fences:
        yield fence_marks(placed, frame)
    for fence in setting.fences:
        yield from _left_and_right(fence, setting, frame)
        yield from _way(fence, setting, frame)


def _left_and_right(fence: FenceSetting, setting: SettingOut, frame: Frame) -> Iterator[Item]:
    """L and R beyond the standards, as seen when the fence is first jumped."""
    pose = as_first_jumped(setting.plan, fence.placed)
    out = fence.placed.reach_m + frame.metres(1.9)
    for letter, side in (("L", out), ("R", -out)):
        x, y = frame.at(pose.ahead(0.0, side).point)
        yield Text((x, y + SMALL * 0.33), letter, SMALL, "bold", "middle", 0.0, SOFT_INK)


def _way(fence: FenceSetting, setting: SettingOut, frame: Frame) -> Iterator[Item]:
    """An arrow before the fence, the way it is first jumped; one for a whole combination."""
    wholes = [f.name for f in setting.fences if f.placed.fence.whole == fence.placed.fence.whole]
    if fence.placed.fence.whole and fence.name != wholes[0]:
        return
    pose = as_first_jumped(setting.plan, fence.placed)
    lines = fence.placed.fence.measures.ground_line_m + frame.metres(1.0)
    tip = pose.ahead(-fence.placed.fence.depth_m / 2 - lines)
    tail = tip.ahead(-frame.metres(5.0))
    yield Stroke(frame.many((tail.point, tip.ahead(-frame.metres(1.5)).point)), Pen(INK, 0.35))
    wide = frame.metres(1.0)
    back = tip.ahead(-frame.metres(2.2))
    corners = (tip.point, back.ahead(0.0, wide).point, back.ahead(0.0, -wide).point)
    yield Fill(frame.many(corners), INK)


def _name(
    placed: PlacedFence, step: int | None, setting: SettingOut, frame: Frame, crowd: FullSheet
) -> Label:
    """The number in the order of work and the name, near the fence; or that it stays."""
    lines = [
        Line(f"{placed.name} stays" if step is None else f"{step} {placed.name}", NAME_SIZE, "bold")
    ]
    if placed.fence.depth_m:
        spread = length_text(placed.fence.depth_m, setting.crew.units)
        lines.append(Line(f"{spread} front to back", SMALL))
    places = around_point(
        frame.at(placed.pose.point), label_size(lines), (3.0, 5.0, 8.0, 12.0, 16.0)
    )
    return least_covering(f"fence-{placed.name.replace(' ', '-')}", tuple(lines), places, crowd)


def _side_names(setting: SettingOut, frame: Frame) -> Iterator[Text]:
    """The name of each side along it, outside, away from the gate and the letters."""
    arena = setting.plan.arena
    taken = [*arena.letters.values(), *([arena.gate.middle] if arena.gate else [])]
    for name, (a, b) in arena.sides.items():
        shares = (0.5, 0.35, 0.65, 0.2, 0.8)
        spots = [(a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1])) for s in shares]
        spot = max(spots, key=lambda p: min([math.dist(p, t) for t in taken] + [frame.metres(20)]))
        outward = arena.outward(name)
        x, y = frame.at(spot)
        x += math.cos(outward) * SIDE_NAME_OUT
        y -= math.sin(outward) * SIDE_NAME_OUT
        turn = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
        turn = (turn + 90) % 180 - 90
        down = LABEL * 0.33
        at = (x + down * math.sin(math.radians(turn)), y + down * math.cos(math.radians(turn)))
        yield Text(at, name, LABEL, "italic", "middle", turn, SOFT_INK)


def _track(setting: SettingOut, frame: Frame) -> Iterator[Stroke]:
    for leg in setting.plan.legs:
        line = leg.curve.outline(frame.metres(0.02))
        yield Stroke(frame.many(line), TRACK, sized="ground")


def _dimensions(setting: SettingOut, shown: Shown) -> Iterator[Dimension]:
    """Every line that is measured on this drawing, those that matter most first."""
    crew, feet = setting.crew, setting.places
    for line in setting.lines:
        text = reading(line.line.straight_m, crew) + (" straight" if line.line.bend else "")
        ends = (line.line.start.place(feet), line.line.end.place(feet))
        yield Dimension(*ends, text, LINE_SIZE, Pen(INK, 0.25), "bold", dots=True)
    if shown == "tapes":
        yield from _tapes(setting)
    else:
        yield from _squares(setting)


def _tapes(setting: SettingOut) -> Iterator[Dimension]:
    """Both tapes to each foot of the front row."""
    for foot in _front_feet(setting):
        tapes = foot.ways.tapes
        for name, metres in zip((tapes.first, tapes.second), foot.tapes, strict=True):
            start = setting.fixed.get(name) or setting.places[name]
            end = setting.places[foot.ways.foot.name]
            yield Dimension(start, end, reading(metres, setting.crew), READING_SIZE, TAPE)


def _squares(setting: SettingOut) -> Iterator[Dimension]:
    """The square from the side to each foot of the front row, and the reading along the side."""
    written: set[tuple[str, str, float]] = set()
    for foot in _front_feet(setting):
        way = foot.ways.offset
        if way is None or foot.offset is None:
            continue
        base, end = way.place(foot.offset[0], 0.0), way.place(*foot.offset)
        yield Dimension(base, end, "", READING_SIZE, SQUARE)
        if (way.side, way.zero, foot.offset[0]) not in written:
            written.add((way.side, way.zero, foot.offset[0]))
            outward = (-way.inward[0], -way.inward[1])
            text = reading(foot.offset[0], setting.crew)
            yield Dimension(base, base, text, READING_SIZE, SQUARE, beyond=outward)


def _zeros(setting: SettingOut, frame: Frame) -> Iterator[Text]:
    """A nought outside each corner that a reading along a side begins at."""
    written: set[tuple[str, str]] = set()
    for foot in _front_feet(setting):
        way = foot.ways.offset
        if way is None or (way.side, way.zero) in written:
            continue
        written.add((way.side, way.zero))
        x, y = frame.at(way.zero_at)
        x += way.along[0] * 1.5 - way.inward[0] * 3.0
        y -= way.along[1] * 1.5 - way.inward[1] * 3.0
        yield Text((x, y + READING_SIZE * 0.33), "0", READING_SIZE, "semibold", "middle")


def _front_feet(setting: SettingOut) -> Iterator[FootSetting]:
    for fence in setting.fences:
        yield from fence.feet[:2]


def _outs(setting: SettingOut, frame: Frame, crowd: FullSheet) -> Iterator[Label]:
    """Beside each foot of the front row, how far it stands out from the side."""
    for foot in _front_feet(setting):
        if foot.offset is None:
            continue
        lines = (Line(reading(foot.offset[1], setting.crew), READING_SIZE, "semibold"),)
        at = frame.at(setting.places[foot.ways.foot.name])
        places = around_point(at, label_size(lines), (1.0, 2.0, 3.5, 6.0, 9.0))
        yield least_covering(f"out-{foot.ways.foot.name}", lines, places, crowd)


def _key(right: float, top: float, shown: Shown) -> Group:
    """What the marks mean, in one row set from the right edge."""
    words = {
        "tapes": "L, R: left and right standard as seen when first jumped; the arrow points so",
        "baselines": "Outside: along the side from its nearer corner. At a foot: out from the side",
    }[shown]
    return Group("key", (Text((right, top), words, LABEL, anchor="end"),))
