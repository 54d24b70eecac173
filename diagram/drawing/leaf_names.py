"""The names of fences on the drawing of the builder's leaf, with their order; old ones as well."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from diagram.drawing.candidates import Candidate
from diagram.drawing.frame import Frame
from diagram.drawing.labels import around_point, box_at
from diagram.drawing.setting_crowd import FullSheet
from diagram.drawing.setting_dimensions import within
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.scene import Box, Fill, Item, Stroke, Text
from diagram.stakeout.setting import SettingOut
from diagram.stakeout.taped import Taped
from diagram.style import INK, PAPER, Pen, points, text_width

NAME = points(12)
ORDER, OLD = points(13), points(11)
SQUARE = 5.4
GONE = Pen(INK, 0.25, (0.8, 0.8))
LEADER_PEN = Pen(INK, 0.25)
STRUCK, CROWDED, ON_A_WORD = 300.0, 150.0, 1500.0
"""What it costs that a thin line runs through a word; from what cost on the whole sheet is
searched for a better place; what it costs to lie on a word, beyond what that covers: two words one
on the other are none."""
STRANGE, APART, LEADER = 18.0, 6.0, 6.0
"""What it costs a name to stand no nearer to its own fence than to another, or outside the rail;
millimetres that the other must be further for it to cost nothing; and those from which on a thin
line leads from a name to its fence."""
SIEVE, MANY = 2.0, 40
"""Millimetres between the places on the sheet for a name that has no other; and the fences from
which on they are further apart, for there is no good place for any."""
AT_ONCE = 256
"""Places of which is looked at together what they would cover."""
NAME_GAPS = (2.5, 4.0, 5.5, 7.0, 10.0, 14.0, 19.0, 25.0, 32.0, 40.0)
"""Millimetres between a name and its fence that are tried."""


class FenceNames:
    """Each takes its place in the crowd when it is asked for."""

    def __init__(self, setting: SettingOut, frame: Frame, crowd: FullSheet) -> None:
        self.setting, self.frame, self.crowd = setting, frame, crowd
        self.rail = frame.many(setting.plan.arena.region.corners)

    def name(self, order: int, fence: Taped) -> Iterator[Item]:
        """The order in a black square and the name, beyond one end of the poles or beside them."""
        figure = str(order)
        wide = max(SQUARE, text_width(figure, ORDER, "bold") + 2.0)
        width = wide + 1.4 + text_width(fence.name, NAME, "bold")
        at = self.frame.at(fence.placed.pose.point)
        box = self._free((width, SQUARE), at)
        x, y = box.left, box.top
        yield _plate(box.grown(0.3))
        yield Fill(((x, y), (x + wide, y), (x + wide, y + SQUARE), (x, y + SQUARE)), INK)
        if _gap(box, at) > LEADER:
            start = box.grown(0.6).nearest(at)
            self.crowd.add_bar(start, at)
            yield Stroke((start, at), LEADER_PEN)
        down = y + SQUARE / 2 + ORDER * 0.35
        yield Text((x + wide / 2, down), figure, ORDER, "bold", "middle", colour=PAPER)
        yield Text((x + wide + 1.4, y + SQUARE / 2 + NAME * 0.35), fence.name, NAME, "bold")

    def _free(self, size: tuple[float, float], at: Point) -> Box:
        """Where a box of a size near a place covers least, nearer to it than to another fence."""
        price, box = self._cheapest(list(around_point(at, size, NAME_GAPS)), size, at)
        if price >= CROWDED:
            less, other = self._cheapest(self._anywhere(size, at), size, at)
            box = other if less < price else box
        self.crowd.add_box(box)
        return box

    def _cheapest(
        self, tried: Sequence[Candidate], size: tuple[float, float], at: Point
    ) -> tuple[float, Box]:
        """The price of the best of some places, and its box."""
        boxes = [box_at(one.centre, *size) for one in tried]
        middles = [self.frame.at(f.pose.point) for f in self.setting.plan.fences]
        gaps, others = _gaps(boxes, [at]), _gaps(boxes, [m for m in middles if m != at])
        outside = [not within(self.rail, one.centre) for one in tried]
        least = 2.0 * np.array([one.price for one in tried]) + _strange(others - gaps).sum(axis=1)
        least += STRANGE * (np.array(outside) & within(self.rail, at))
        prices = np.full(len(boxes), math.inf)
        # What lies under a place is only looked at where the place itself is cheap enough.
        order = np.argsort(least, kind="stable")
        for n in range(0, len(order), AT_ONCE):
            some = order[n : n + AT_ONCE]
            if least[some[0]] > prices.min(initial=math.inf) + 1e-9:
                break
            prices[some] = least[some] + self._hidden([boxes[n] for n in some], at, gaps[some, 0])
        best = int((prices <= prices.min() + 1e-9).argmax())
        return float(prices[best]), boxes[best]

    def _hidden(self, boxes: list[Box], at: Point, gaps: Floats) -> Floats:
        """The price of what boxes would cover, and of what their thin lines run through."""
        price = 3.0 * np.array(self.crowd.covered([box.grown(0.4) for box in boxes]))
        price += ON_A_WORD * np.array(self.crowd.words_covered(boxes))
        through = self.crowd.words_under([(box.grown(0.6).nearest(at), at) for box in boxes])
        price += np.where(gaps > LEADER, STRUCK * np.array(through), 0.0)
        return price

    def _anywhere(self, size: tuple[float, float], at: Point) -> list[Candidate]:
        """Places all over the sheet, for a name that has none near its fence that is free."""
        page, tried = self.crowd.page, []
        sieve = SIEVE * max(1.0, len(self.setting.plan.fences) / MANY)
        for n in range(int((page.height - size[1]) / sieve) + 1):
            for m in range(int((page.width - size[0]) / sieve) + 1):
                left, top = page.left + m * sieve, page.top + n * sieve
                box = Box(left, top, left + size[0], top + size[1])
                centre = (left + size[0] / 2, top + size[1] / 2)
                tried.append(Candidate(centre, at, _gap(box, at)))
        return tried

    def stays(self, name: str) -> Iterator[Item]:
        """A fence that is there already."""
        placed = self.setting.plan.fence(name)
        text = f"{name} stays"
        width = text_width(text, NAME, "bold")
        box = self._free((width, NAME), self.frame.at(placed.pose.point))
        yield Text((box.left, box.top + NAME * 0.85), text, NAME, "bold")

    def gone(self) -> Iterator[Item]:
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
            width = text_width(text, OLD)
            box = self._free((width, OLD), self.frame.at(old.pose.point))
            yield Text((box.left, box.top + OLD * 0.85), text, OLD, "italic")


def _strange(further: Floats) -> Floats:
    """What it costs that other fences are only so many millimetres further away than its own."""
    price: Floats = STRANGE * np.clip((APART - further) / (APART - 1.0), 0.0, 1.0)
    return price


def _gaps(boxes: Sequence[Box], places: Sequence[Point]) -> Floats:
    """Millimetres (B, P) from boxes to places."""
    sides = np.array([(b.left, b.top, b.right, b.bottom) for b in boxes]).T[..., None]
    x, y = np.array(places, dtype=float).reshape(-1, 2).T
    aside = np.maximum(np.maximum(sides[0] - x, x - sides[2]), 0.0)
    over = np.maximum(np.maximum(sides[1] - y, y - sides[3]), 0.0)
    gaps: Floats = np.hypot(aside, over)
    return gaps


def _plate(box: Box) -> Fill:
    """White under a name, so that no tape runs through it."""
    corners = ((box.left, box.top), (box.right, box.top), (box.right, box.bottom))
    return Fill((*corners, (box.left, box.bottom)), PAPER)


def _gap(box: Box, at: Point) -> float:
    """Millimetres from a box to a place."""
    return math.dist(box.nearest(at), at)
