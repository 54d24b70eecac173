"""The drawing of the builder's leaf: the lines in large figures, the tapes that set each fence.

The ride is left out, or drawn faint. A line is whole and thick, with its arrow; the first tape
from the rail whole and thin; tapes that square a fence or give a direction are dashed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from diagram.drawing.arena import arena_marks
from diagram.drawing.fences import fence_marks
from diagram.drawing.frame import Frame, largest_scale
from diagram.drawing.labels import Candidate, LabelLine, around_point, label_size
from diagram.drawing.setting_crowd import FullSheet, least_covering
from diagram.drawing.setting_dimensions import Dimension, dimension_marks
from diagram.geometry.pose import Point
from diagram.scene import Box, Fill, Group, Item, Stroke, Text, walk
from diagram.stakeout.leaf import Check
from diagram.stakeout.leaf_words import LeafWords
from diagram.stakeout.setting import SettingOut
from diagram.stakeout.taped import Taped
from diagram.style import GREY, INK, PAPER, Pen, points, text_width

BESIDE, ABOVE = 8.5, 10.5
"""Millimetres round the arena: pegs, readings along the rail, names of the sides."""
NAME, LINE_FIGURE, FIGURE = points(12), points(15), points(11)
SIDE_NAME, ORDER = points(9), points(13)
SQUARE = 5.4
SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88, 0.06, 0.94)
"""Places along a side that are tried for its name, the middle first."""
LEAST_DRAWING = 20.0
"""Millimetres: a drawing smaller than this is none."""
LINE, TAPE = Pen(INK, 0.7), Pen(INK, 0.35)
SECOND = Pen(INK, 0.35, (2.2, 1.2))
TRACK = Pen(GREY, 0.25)
GONE = Pen(INK, 0.25, (0.8, 0.8))


def leaf_plan(
    setting: SettingOut, words: LeafWords, room: Box, track: bool = False
) -> Group | None:
    """The drawing within `room` mm of the page; None where the arena fits at no scale."""
    arena = setting.plan.arena
    inner = (room.width - 2 * BESIDE, room.height - 2 * ABOVE)
    if min(inner) < LEAST_DRAWING:
        return None
    # A racecourse is drawn as well, at whatever round scale it takes.
    least = max(1000 * ground / paper for ground, paper in zip(arena.size, inner, strict=True))
    denominator = largest_scale(arena.size, inner) or math.ceil(least / 250) * 250
    k = 1000 / denominator
    x0, y0, x1, y1 = arena.region.bounds
    left = room.left + (room.width - (x1 - x0) * k) / 2 - x0 * k
    bottom = room.top + (room.height + (y1 - y0) * k) / 2 + y0 * k
    frame = Frame(denominator, left, bottom)
    return _Drawing(setting, words, frame, room).group(track)


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
        for one in dimensions:
            self.crowd.add_line(self.frame.many((one.start, one.end)), 0.3)
        pegs = [item for fence in self.setting.leaf.fences for item in self._pegs(fence)]
        sides = [item for side in self.setting.plan.arena.sides for item in self._side(side)]
        drawn = [dimension_marks(one, self.frame, self.crowd) for one in dimensions]
        names = [
            item for n, f in enumerate(self.setting.leaf.fences, 1) for item in self._name(n, f)
        ]
        names += [item for name in self.setting.stays for item in self._stays(name)]
        return Group(
            "plan",
            (
                arena,
                Group("track", tuple(self._track()) if track else ()),
                Group("gone", tuple(self._gone())),
                Group("pegs", tuple(pegs)),
                Group("sides", tuple(sides)),
                Group("tapes", tuple(line for lines, _ in drawn for line in lines)),
                Group("arrows", tuple(self._arrows())),
                Group(
                    "fences", tuple(fence_marks(f, self.frame) for f in self.setting.plan.fences)
                ),
                Group("figures", tuple(text for _, texts in drawn for text in texts)),
                Group("names", tuple(names)),
            ),
        )

    def _track(self) -> Iterator[Item]:
        for leg in self.setting.plan.legs:
            line = leg.curve.outline(self.frame.metres(0.02))
            yield Stroke(self.frame.many(line), TRACK, sized="ground")

    def _fences(self) -> Iterator[Item]:
        for placed in self.setting.plan.fences:
            yield fence_marks(placed, self.frame)

    def _know(self, arena: Group) -> None:
        """Take the places of what is drawn for good."""
        for edge in self.setting.plan.arena.region.edges:
            self.crowd.add_line(self.frame.many(edge), 2.0)
        for fence in self.setting.plan.fences:
            self.crowd.add_area([self.frame.at(corner) for corner in fence.outline], 4.0)
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
                yield Dimension(a, b, self.words.figure(check.read_m), LINE_FIGURE, LINE, "bold")
        taped = [(f, t) for f in self.setting.leaf.fences for t in f.readings]
        for fence, tape in sorted(taped, key=lambda pair: pair[1].word != "line"):
            start = self.marks[tape.start]
            figure = self.words.figure(tape.read_m[-1])
            if tape.word == "line":
                if not self._in_a_combination(fence):
                    end = self.marks[tape.ends[0]]
                    yield Dimension(start, end, figure, LINE_FIGURE, LINE, "bold")
            elif tape.word == "direction":
                yield Dimension(start, self.marks[tape.ends[0]], figure, FIGURE, SECOND)
            elif fence.how == "rail" and tape.word in ("out", "square"):
                pen = TAPE if tape.word == "out" else SECOND
                ends = tape.ends if "" not in fence.towards.values() else tape.ends[-1:]
                for foot in ends:
                    text = self.words.figure(tape.read_m[tape.ends.index(foot)])
                    yield Dimension(start, self._foot(fence, foot), text, FIGURE, pen)

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
                length = math.dist(a, b) or 1.0
                u = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
                tip = (b[0] - u[0] * 0.8, b[1] - u[1] * 0.8)
                back = (tip[0] - u[0] * 3.0, tip[1] - u[1] * 3.0)
                yield Fill(
                    (tip, (back[0] - u[1] * 1.2, back[1] + u[0] * 1.2),
                     (back[0] + u[1] * 1.2, back[1] - u[0] * 1.2)), INK,
                )  # fmt: skip

    # --- Pegs and sides --------------------------------------------------------------------------

    def _outward(self, side: str) -> Point:
        heading = self.setting.plan.arena.outward(side)
        return (math.cos(heading), -math.sin(heading))

    def _pegs(self, fence: Taped) -> Iterator[Item]:
        """A black triangle on the rail, its name, and the tape along the rail outside."""
        for peg in fence.pegs:
            (x, y), (ox, oy) = self.frame.at(peg.at), self._outward(peg.side)
            yield Fill(
                ((x, y), (x + ox * 3.2 - oy * 1.6, y + oy * 3.2 + ox * 1.6),
                 (x + ox * 3.2 + oy * 1.6, y + oy * 3.2 - ox * 1.6)), INK,
            )  # fmt: skip
            self.crowd.add_box(Box(x - 2.5, y - 2.5, x + 2.5, y + 2.5))
            lines = (LabelLine(peg.name, FIGURE, "semibold"),)
            width, height = label_size(lines)
            reach = 3.8 + abs(ox) * width / 2 + abs(oy) * height / 2
            middle = (x + ox * reach, y + oy * reach)
            places = [
                *_beside(middle, (-oy, ox), (x, y), width),
                *around_point((x, y), (width, height), (3.0, 5.0)),
            ]
            yield least_covering(peg.name, lines, places, self.crowd).marks

    def _side(self, name: str) -> Iterator[Item]:
        """The name of a side outside it, where pegs and gate leave it free."""
        a, b = self.setting.plan.arena.sides[name]
        text = self.words.sides[name].upper()
        ox, oy = self._outward(name)
        level = abs(oy) > 0.7
        width = text_width(text, SIDE_NAME, "semibold") + 1.0
        best = None
        for n, share in enumerate(SHARES):
            x, y = self.frame.at((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
            # Inside the rail only where there is no room outside.
            for out in (3.6, 8.4, -4.0):
                cx, cy = x + ox * out, y + oy * out
                half = (width / 2, SIDE_NAME / 2) if level else (SIDE_NAME / 2, width / 2)
                box = Box(cx - half[0], cy - half[1], cx + half[0], cy + half[1])
                price = self.crowd.covered(box) + 0.2 * n + 0.1 * out + (4.0 if out < 0 else 0.0)
                if best is None or price < best[0]:
                    best = (price, (cx, cy), box)
        assert best is not None
        self.crowd.add_box(best[2])
        turn = math.degrees(math.atan2(-(self.frame.at(b)[1] - self.frame.at(a)[1]),
                                       self.frame.at(b)[0] - self.frame.at(a)[0]))  # fmt: skip
        turn = (turn + 90) % 180 - 90
        down = SIDE_NAME * 0.33
        at = (
            best[1][0] + down * math.sin(math.radians(turn)),
            best[1][1] + down * math.cos(math.radians(turn)),
        )
        yield Text(at, text, SIDE_NAME, "semibold", "middle", turn)

    # --- Names -----------------------------------------------------------------------------------

    def _name(self, order: int, fence: Taped) -> Iterator[Item]:
        """The order in a black square and the name, beyond one end of the poles or beside them."""
        figure = str(order)
        wide = max(SQUARE, text_width(figure, ORDER, "bold") + 2.0)
        width = wide + 1.4 + text_width(fence.name, NAME, "bold")
        box = self._free((width, SQUARE), self.frame.at(fence.placed.pose.point))
        x, y = box.left, box.top
        yield Fill(((x, y), (x + wide, y), (x + wide, y + SQUARE), (x, y + SQUARE)), INK)
        down = y + SQUARE / 2 + ORDER * 0.35
        yield Text((x + wide / 2, down), figure, ORDER, "bold", "middle", colour=PAPER)
        yield Text((x + wide + 1.4, y + SQUARE / 2 + NAME * 0.35), fence.name, NAME, "bold")

    def _free(self, size: tuple[float, float], at: Point) -> Box:
        """Where a box of a size near a place covers least."""
        best = None
        for candidate in around_point(at, size, (2.5, 4.5, 7.0, 10.0, 14.0)):
            (x, y), (w, h) = candidate.centre, size
            box = Box(x - w / 2, y - h / 2, x + w / 2, y + h / 2)
            price = 3.0 * self.crowd.covered(box.grown(0.4)) + candidate.price
            if best is None or price < best[0] - 1e-9:
                best = (price, box)
        assert best is not None
        self.crowd.add_box(best[1])
        return best[1]

    def _stays(self, name: str) -> Iterator[Item]:
        """A fence that is there already."""
        placed = self.setting.plan.fence(name)
        text = f"{name} stays"
        width = text_width(text, NAME, "bold")
        box = self._free((width, NAME), self.frame.at(placed.pose.point))
        yield Text((box.left, box.top + NAME * 0.85), text, NAME, "bold")

    def _gone(self) -> Iterator[Item]:
        """Old fences that are taken away, dotted, with their old names."""
        after = self.setting.after
        if after is None:
            return
        kept = set(self.setting.stays.values())
        for old in after.fences:
            if old.name in kept:
                continue
            yield Stroke(self.frame.many(old.outline), GONE, closed=True, sized="ground")
            text = f"old {old.name}"
            width = text_width(text, FIGURE)
            box = self._free((width, FIGURE), self.frame.at(old.pose.point))
            yield Text((box.left, box.top + FIGURE * 0.85), text, FIGURE, "italic")


def _beside(middle: Point, along: Point, target: Point, width: float) -> Iterator[Candidate]:
    """Places for a word outside a rail, moved along it."""
    for n, step in enumerate((0.0, 0.5, -0.5, 0.8, -0.8, 1.1, -1.1)):
        shift = step * (width if abs(along[0]) > 0.5 else 6.0)
        at = (middle[0] + along[0] * shift, middle[1] + along[1] * shift)
        yield Candidate(at, target, n * 0.6)
