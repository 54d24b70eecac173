"""The drawing of the builder's leaf: the lines in large figures, the tapes that set each fence.

The ride is left out, or drawn faint. A line is whole and thick, with its arrow; the first tape
from the rail whole and thin; tapes that square a fence or give a direction are dashed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from diagram.drawing.arena import arena_marks
from diagram.drawing.fences import fence_marks
from diagram.drawing.frame import Frame
from diagram.drawing.leaf_names import FenceNames
from diagram.drawing.leaf_rail import RailMarks
from diagram.drawing.setting_crowd import FullSheet, corners_of
from diagram.drawing.setting_dimensions import Dimension, dimension_marks
from diagram.geometry.pose import Point, unit_towards
from diagram.planning import Plan
from diagram.scene import Box, Fill, Group, Item, Stroke, Text, walk
from diagram.stakeout.leaf import Check
from diagram.stakeout.leaf_words import LeafWords
from diagram.stakeout.setting import SettingOut
from diagram.stakeout.taped import Taped
from diagram.style import GREY, INK, Pen, points

BESIDE, ABOVE = 8.5, 10.5
"""Millimetres round the arena: pegs, readings along the rail, names of the sides."""
LINE_FIGURES, FIGURES = (points(16), points(14)), (points(14),)
LEAST_DRAWING = 32.0
"""Millimetres: a drawing smaller than this is none."""
MOST_FIGURES = 200
LINE, TAPE = Pen(INK, 0.7), Pen(INK, 0.35)
SECOND = Pen(INK, 0.35, (2.2, 1.2))
TRACK = Pen(GREY, 0.25)
LINE_WEIGHT, RAIL = 0.3, 6.0
WAY, WAY_OFF, WAY_PEN = 4.4, 1.9, Pen(INK, 0.5)
"""Millimetres: the arrow of the way a fence is jumped, and how far beyond the standard it is."""


def leaf_plan(
    setting: SettingOut, words: LeafWords, room: Box, track: bool = False
) -> Group | None:
    """The drawing within `room` mm of the page; None where the arena fits at no scale."""
    inner = _inner(room)
    if min(inner) < LEAST_DRAWING:
        return None
    x0, y0, x1, y1 = _extent(setting.plan)
    # No ruler is laid on a leaf: it is drawn as large as it fits, at a scale in tens.
    least = max(1000 * (x1 - x0) / inner[0], 1000 * (y1 - y0) / inner[1])
    denominator = math.ceil(least / 10 - 1e-9) * 10
    k = 1000 / denominator
    left = room.left + (room.width - (x1 - x0) * k) / 2 - x0 * k
    bottom = room.top + (room.height + (y1 - y0) * k) / 2 + y0 * k
    frame = Frame(denominator, left, bottom)
    return _Drawing(setting, words, frame, room).group(track)


def width_limits(plan: Plan, room: Box) -> bool:
    """Whether a drawing within `room` would be no larger if the room were higher."""
    wide, high = _inner(room)
    x0, y0, x1, y1 = _extent(plan)
    return high / (y1 - y0) >= wide / (x1 - x0)


def _inner(room: Box) -> tuple[float, float]:
    return room.width - 2 * BESIDE, room.height - 2 * ABOVE


def _extent(plan: Plan) -> tuple[float, float, float, float]:
    """The arena; a fence that stands outside is wrong, and must be seen where it stands all the
    same."""
    x0, y0, x1, y1 = plan.arena.region.bounds
    outlines = [corner for fence in plan.fences for corner in fence.outline]
    x0, x1 = min(x0, *(x for x, _ in outlines)), max(x1, *(x for x, _ in outlines))
    y0, y1 = min(y0, *(y for _, y in outlines)), max(y1, *(y for _, y in outlines))
    return x0, y0, x1, y1


class _Drawing:
    def __init__(self, setting: SettingOut, words: LeafWords, frame: Frame, room: Box) -> None:
        self.setting, self.words, self.frame = setting, words, frame
        self.crowd = FullSheet(room)
        self.marks = {**setting.fixed, **{peg.name: peg.at for peg in setting.leaf.pegs}}
        for fence in setting.plan.fences:
            self.marks |= setting.row_middles(fence.name)

    def group(self, track: bool) -> Group:
        """Everything, the words placed last and least over other marks."""
        arena = arena_marks(self.setting.plan.arena, self.frame)
        self._know(arena)
        dimensions = list(self._tapes())
        # The rows say them all; so many figures more could not be told apart.
        dimensions[MOST_FIGURES:] = [replace(d, text="") for d in dimensions[MOST_FIGURES:]]
        for one in dimensions:
            self.crowd.add_line(self.frame.many((one.start, one.end)), LINE_WEIGHT)
        rail = RailMarks(self.words, self.frame, self.crowd)
        pegs = [*rail.pegs(), *rail.posts()]
        ways = [item for fence in self.setting.leaf.fences for item in self._way(fence)]
        # Lengths of lines have the first choice, then names, then what the rows say as well.
        arrows = list(self._arrows())
        drawn = self._drawn([d for d in dimensions if d.must], dimensions)
        # Names of sides stand at their side; those of fences can go further off.
        sides = [item for side in self.setting.plan.arena.sides for item in rail.side(side)]
        called = FenceNames(self.setting, self.frame, self.crowd)
        names = list(called.names(self.setting.leaf.fences))
        names += [item for name in self.setting.stays for item in called.stays(name)]
        drawn += self._drawn([d for d in dimensions if not d.must], dimensions)
        return Group(
            "plan",
            (
                arena,
                Group("track", tuple(self._track()) if track else ()),
                Group("gone", tuple(called.gone())),
                Group("pegs", tuple(pegs)),
                Group("sides", tuple(sides)),
                Group("tapes", tuple(line for lines, _ in drawn for line in lines)),
                Group("arrows", tuple(arrows)),
                Group(
                    "fences", tuple(fence_marks(f, self.frame) for f in self.setting.plan.fences)
                ),
                Group("ways", tuple(ways)),
                Group("figures", tuple(text for _, texts in drawn for text in texts)),
                Group("names", tuple(names)),
            ),
        )

    def _drawn(
        self, these: Sequence[Dimension], every: Sequence[Dimension]
    ) -> list[tuple[list[Item], list[Item]]]:
        """Some of the measured lines, each with its figure clear of every other."""
        rail = self.frame.many(self.setting.plan.arena.region.corners)
        on_paper = [(self.frame.at(one.start), self.frame.at(one.end)) for one in every]
        return [
            dimension_marks(
                one, self.frame, self.crowd, rail,
                [line for other, line in zip(every, on_paper, strict=True) if other is not one],
            )
            for one in these
        ]  # fmt: skip

    def _track(self) -> Iterator[Item]:
        for leg in self.setting.plan.legs:
            line = leg.curve.outline(self.frame.metres(0.02))
            yield Stroke(self.frame.many(line), TRACK, sized="ground")

    def _know(self, arena: Group) -> None:
        """Take the places of what is drawn for good."""
        for edge in self.setting.plan.arena.region.edges:
            self.crowd.add_line(self.frame.many(edge), RAIL)
        for fence in self.setting.plan.fences:
            self.crowd.add_fence(self.frame.at(corner) for corner in fence.outline)
            for item in walk(fence_marks(fence, self.frame).children):
                if isinstance(item, Stroke) and len(item.points) == 2:
                    self.crowd.add_bar(*item.points)
        for word in walk(arena.children):
            if isinstance(word, Text):
                self.crowd.add_box(word.bbox())

    # --- Tapes -----------------------------------------------------------------------------------

    def _tapes(self) -> Iterator[Dimension]:
        """Lines first: their figures are the largest and must have the middle."""
        for check in self.setting.leaf.checks:
            # A combination is read off one tape: the drawing has the lengths in between.
            if check.is_line and self._in_a_combination(check):
                a, b = self.marks[check.start.name], self.marks[check.end.name]
                figure = self.words.figure(check.read_m)
                yield Dimension(a, b, figure, LINE_FIGURES, LINE, "bold", must=True)
        taped = [(f, t) for f in self.setting.leaf.fences for t in f.readings]
        for fence, tape in sorted(taped, key=lambda pair: pair[1].word != "line"):
            start = self.marks[tape.start]
            figure = self.words.figure(tape.read_m[-1])
            if tape.word == "line":
                if not self._in_a_combination(fence):
                    end = self.marks[tape.ends[0]]
                    yield Dimension(start, end, figure, LINE_FIGURES, LINE, "bold", must=True)
            elif tape.word == "direction":
                yield Dimension(start, self.marks[tape.ends[0]], figure, FIGURES, SECOND)
            elif fence.how == "rail" and tape.word in ("out", "square"):
                pen = TAPE if tape.word == "out" else SECOND
                ends = tape.ends if "" not in fence.towards.values() else tape.ends[-1:]
                for n, foot in enumerate(ends):
                    text = self.words.figure(tape.read_m[tape.ends.index(foot)])
                    # Two tapes that read the same lie side by side: said once.
                    text = "" if n and tape.read_m[0] == tape.read_m[1] else text
                    yield Dimension(start, self._foot(fence, foot), text, FIGURES, pen)

    def _in_a_combination(self, line: Taped | Check) -> bool:
        """Whether a fence hangs on an element of its own combination, or a check is within one."""
        if isinstance(line, Check):
            names = (line.start.fence, line.end.fence)
        else:
            names = (line.name, line.hung.start.fence if line.hung.start else line.name)
        one, other = (self.setting.plan.fence(name).fence.whole for name in names)
        return bool(one) and one == other

    def _foot(self, fence: Taped, name: str) -> Point:
        half = fence.placed.fence.measures.width_m / 2
        return fence.plan.ahead(fence.row_x, half if name == fence.feet[0] else -half).point

    def _arrows(self) -> Iterator[Item]:
        """The head of each line, at the fence that is set by it."""
        for fence in self.setting.leaf.fences:
            for tape in fence.readings:
                if tape.word != "line":
                    continue
                a, b = self.frame.many((self.marks[tape.start], self.marks[tape.ends[0]]))
                u = unit_towards(a, b)
                tip = (b[0] - u[0] * 0.8, b[1] - u[1] * 0.8)
                back = (tip[0] - u[0] * 3.0, tip[1] - u[1] * 3.0)
                one, other = ((back[0] - s * u[1] * 1.2, back[1] + s * u[0] * 1.2) for s in (1, -1))
                # A line whose head is hidden has no end that is set.
                self.crowd.add_fence((tip, one, back, other))
                yield Fill((tip, one, other), INK)

    def _way(self, fence: Taped) -> Iterator[Item]:
        """A small arrow beyond one standard, the way the fence is first jumped: which row is the
        front, and where the ground line lies."""
        dx, dy = self.frame.direction(fence.plan.heading)
        half = fence.placed.fence.measures.width_m / 2
        choices = []
        for n, sign in enumerate((1, -1)):
            ax, ay = self.frame.across(fence.plan.heading)
            reach = self.frame.mm(half) + WAY_OFF
            x, y = self.frame.at(fence.plan.point)
            x, y = x + sign * ax * reach, y + sign * ay * reach
            tail, tip = (x - dx * WAY / 2, y - dy * WAY / 2), (x + dx * WAY / 2, y + dy * WAY / 2)
            xs, ys = (tail[0], tip[0]), (tail[1], tip[1])
            choices.append((n, tail, tip, Box(min(xs), min(ys), max(xs), max(ys)).grown(0.8)))
        covered = self.crowd.covered([box for *_, box in choices])
        _, tail, tip, box = min(choices, key=lambda choice: (covered[choice[0]], choice[0]))
        self.crowd.add_fence(corners_of(box))
        neck = (tip[0] - dx * 1.8, tip[1] - dy * 1.8)
        yield Stroke((tail, neck), WAY_PEN)
        yield Fill((tip, (neck[0] - dy, neck[1] + dx), (neck[0] + dy, neck[1] - dx)), INK)
