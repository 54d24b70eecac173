"""The names of fences on the drawing of the builder's leaf, with their order; old ones as well."""

from __future__ import annotations

import copy
import math
from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct

from diagram.drawing.candidates import Candidate
from diagram.drawing.frame import Frame
from diagram.drawing.labels import around_point, box_at
from diagram.drawing.nearness import NEARER, PEN, Line, gaps, struck
from diagram.drawing.setting_crowd import FullSheet, corners_of, thin
from diagram.drawing.setting_dimensions import within
from diagram.exercise.fence import PlacedFence
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.scene import Box, Disc, Fill, Item, Stroke, Text
from diagram.stakeout.setting import SettingOut
from diagram.stakeout.taped import Taped
from diagram.style import INK, PAPER, Pen, Weight, points, text_width

NAME = points(12)
ORDER, OLD = points(13), points(11)
SQUARE = 5.4
GONE = Pen(INK, 0.25, (0.8, 0.8))
LEADER_PEN = Pen(INK, 0.25)
STRUCK, CROWDED, ON_A_WORD = 300.0, 60.0, 1500.0
"""What it costs that a thin line runs through a word or a fence; from what cost on the whole sheet
is searched for a better place; what it costs to lie on a word, beyond what that covers: two words
one on the other are none."""
STRANGE, APART, LEADER = 18.0, 6.0, 6.0
"""What it costs a name to stand no nearer to its own fence than to another, or outside the rail;
millimetres that the other must be further for it to cost nothing; and those from which on a thin
line leads from a name to its fence, as it does from every name that another is as near to."""
LED_OUT, MISLED = 24.0, 60.0
"""What it costs a name that a thin line leads from to stand outside the rail, or nearer to another
fence than to its own by as much as it should be nearer to its own."""
POOR = 45.0
"""Price from which on a place is poor enough to try another order of names."""
KEYED, DOT = 3.0, 0.6
"""What a thin line costs, and the radius of its dot on the fence, in millimetres."""
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
        old = self._gone()
        self.bars = {fence.name: self._bar(fence) for fence in setting.plan.fences}
        self.bars |= {f"old {fence.name}": self._bar(fence) for fence in old}

    def names(self, fences: Sequence[Taped]) -> Iterator[Item]:
        """All names with the order their fences are set in.

        They take their places in that order; where one finds a poor place so, the longest are
        placed first as well, and what costs less in all is taken.
        """
        numbered = list(enumerate(fences, 1))
        best, price = self._placed(numbered)
        if max((cost for cost, _ in best.values()), default=0.0) >= POOR:
            for key in (self._length, self._room):
                other, less = self._placed(sorted(numbered, key=key))
                if less < price - 1e-9:
                    best, price = other, less
        for number, fence in numbered:
            yield from self._name(number, fence, self._take(best[number][1]))

    def _placed(
        self, numbered: Sequence[tuple[int, Taped]]
    ) -> tuple[dict[int, tuple[float, _Place]], float]:
        """The place of each name and its price, one after the other, and what all cost."""
        crowd, self.crowd = self.crowd, copy.deepcopy(self.crowd)
        found = {}
        for number, fence in numbered:
            found[number] = self._free(self._size(number, fence), fence.placed)
            self._take(found[number][1])
        self.crowd = crowd
        return found, sum(price for price, _ in found.values())

    def _length(self, one: tuple[int, Taped]) -> float:
        """The longest names come first."""
        return -self._size(*one)[0]

    def _room(self, one: tuple[int, Taped]) -> float:
        """Those of fences that others stand nearest to come first: millimetres to the nearest."""
        at = _middle(self.bars[one[1].name])
        others = (bar for name, bar in self.bars.items() if name != one[1].name)
        return round(min((math.dist(at, _middle(bar)) for bar in others), default=math.inf), 3)

    @staticmethod
    def _size(order: int, fence: Taped) -> tuple[float, float]:
        return _plate_width(order) + 1.4 + text_width(fence.name, NAME, "bold"), SQUARE

    def _name(self, order: int, fence: Taped, place: _Place) -> Iterator[Item]:
        """The order in a black square and the name, beyond one end of the poles or beside them."""
        wide, x, y = _plate_width(order), place.box.left, place.box.top
        yield _plate(place.box.grown(0.3))
        yield Fill(((x, y), (x + wide, y), (x + wide, y + SQUARE), (x, y + SQUARE)), INK)
        yield from _leader_marks(place)
        down = y + SQUARE / 2 + ORDER * 0.35
        yield Text((x + wide / 2, down), str(order), ORDER, "bold", "middle", colour=PAPER)
        yield Text((x + wide + 1.4, y + SQUARE / 2 + NAME * 0.35), fence.name, NAME, "bold")

    def _take(self, place: _Place) -> _Place:
        """Put a name and its thin line into the crowd."""
        self.crowd.add_box(place.box)
        if place.led:
            self.crowd.add_bar(*place.leader)
        return place

    def _free(self, size: tuple[float, float], placed: PlacedFence) -> tuple[float, _Place]:
        """Where a box of a size near a fence covers least, nearer to it than to another fence, and
        what that costs; with a thin line to it where it is not, or stands far off."""
        own = self._bar(placed)
        others = [bar for name, bar in self.bars.items() if name != placed.name]
        near = [c for at in (_middle(own), *own) for c in around_point(at, size, NAME_GAPS)]
        price, place = self._cheapest(near, size, own, others)
        if price >= CROWDED:
            every = self._anywhere(size, _middle(own))
            less, other = self._cheapest(every, size, own, others)
            price, place = (less, other) if less < price else (price, place)
        return price, place

    def _bar(self, placed: PlacedFence) -> Line:
        """The poles of a fence on paper, from end to end."""
        half = placed.fence.measures.width_m / 2
        return self.frame.at(placed.ground((0.0, half))), self.frame.at(placed.ground((0.0, -half)))

    def _cheapest(
        self, tried: Sequence[Candidate], size: tuple[float, float], own: Line,
        others: Sequence[Line],
    ) -> tuple[float, _Place]:  # fmt: skip
        """The price of the best of some places, and the place."""
        boxes = [box_at(one.centre, *size) for one in tried]
        areas = [corners_of(box) for box in boxes]
        mine, theirs = gaps(areas, [own])[:, 0], gaps(areas, others)
        led = (mine > LEADER) | (theirs.min(axis=1, initial=math.inf) < mine + NEARER)
        outside = [not within(self.rail, one.centre) for one in tried]
        least = 2.0 * np.array([one.price for one in tried])
        least += _strange(theirs - mine[:, None]).sum(axis=1) + KEYED * led
        least += MISLED * led * np.clip((mine - theirs.min(axis=1, initial=math.inf)) / APART, 0, 1)
        out = np.array(outside) & within(self.rail, _middle(own))
        least += np.where(led, LED_OUT, STRANGE) * out
        places = [
            _Place(box, bool(lead), _leader(box, own)) for box, lead in zip(boxes, led, strict=True)
        ]
        prices = np.full(len(boxes), math.inf)
        # What lies under a place is only looked at where the place itself is cheap enough.
        order = np.argsort(least, kind="stable")
        for n in range(0, len(order), AT_ONCE):
            some = order[n : n + AT_ONCE]
            if least[some[0]] > prices.min(initial=math.inf) + 1e-9:
                break
            prices[some] = least[some] + self._hidden([places[n] for n in some], others)
        best = int((prices <= prices.min() + 1e-9).argmax())
        return float(prices[best]), places[best]

    def _hidden(self, places: Sequence[_Place], others: Sequence[Line]) -> Floats:
        """The price of what boxes would cover, and of what their thin lines run through."""
        boxes = [place.box for place in places]
        price = 3.0 * np.array(self.crowd.covered([box.grown(0.4) for box in boxes]))
        price += ON_A_WORD * np.array(self.crowd.words_covered(boxes))
        leaders = [place.leader for place in places]
        through = np.array(self.crowd.words_under(leaders), dtype=float)
        through += struck([thin(*leader, PEN) for leader in leaders], others).sum(axis=1)
        led = np.array([place.led for place in places])
        return price + np.where(led, STRUCK * through, 0.0)

    def _anywhere(self, size: tuple[float, float], at: Point) -> list[Candidate]:
        """Places all over the sheet, for a name that has none near its fence that is free."""
        page, tried = self.crowd.page, []
        sieve = SIEVE * max(1.0, len(self.setting.plan.fences) / MANY)
        for n in range(int((page.height - size[1]) / sieve) + 1):
            for m in range(int((page.width - size[0]) / sieve) + 1):
                left, top = page.left + m * sieve, page.top + n * sieve
                box = Box(left, top, left + size[0], top + size[1])
                centre = (left + size[0] / 2, top + size[1] / 2)
                tried.append(Candidate(centre, at, math.dist(box.nearest(at), at)))
        return tried

    def stays(self, name: str) -> Iterator[Item]:
        """A fence that is there already."""
        yield from self._said(f"{name} stays", self.setting.plan.fence(name), NAME, "bold")

    def _said(self, text: str, placed: PlacedFence, size: float, weight: Weight) -> Iterator[Item]:
        place = self._take(self._free((text_width(text, size, weight), size), placed)[1])
        yield from _leader_marks(place)
        yield Text((place.box.left, place.box.top + size * 0.85), text, size, weight)

    def gone(self) -> Iterator[Item]:
        """Old fences that are taken away, dotted, with their old names."""
        for old in self._gone():
            yield Stroke(self.frame.many(old.outline), GONE, closed=True, sized="ground")
            yield from self._said(f"old {old.name}", old, OLD, "italic")

    def _gone(self) -> list[PlacedFence]:
        kept = set(self.setting.stays.values())
        every = self.setting.after.fences if self.setting.after else ()
        return [old for old in every if old.name not in kept]


class _Place(Struct, frozen=True):
    """A box for a name; the thin line from it to its fence, and whether it needs one."""

    box: Box
    led: bool
    leader: Line


def _middle(bar: Line) -> Point:
    return (bar[0][0] + bar[1][0]) / 2, (bar[0][1] + bar[1][1]) / 2


def _leader(box: Box, bar: Line) -> Line:
    """From a box to the nearest of both ends and the middle of a fence."""
    outer = box.grown(0.6)
    end = min((*bar, _middle(bar)), key=lambda at: math.dist(outer.nearest(at), at))
    return outer.nearest(end), end


def _leader_marks(place: _Place) -> Iterator[Item]:
    if place.led:
        yield Stroke(place.leader, LEADER_PEN)
        yield Disc(place.leader[1], DOT)


def _plate_width(order: int) -> float:
    """Millimetres of the black square, or of a wider plate for a longer figure."""
    return max(SQUARE, text_width(str(order), ORDER, "bold") + 2.0)


def _strange(further: Floats) -> Floats:
    """What it costs that other fences are only so many millimetres further away than its own."""
    price: Floats = STRANGE * np.clip((APART - further) / (APART - 1.0), 0.0, 1.0)
    return price


def _plate(box: Box) -> Fill:
    """White under a name, so that no tape runs through it."""
    corners = ((box.left, box.top), (box.right, box.top), (box.right, box.bottom))
    return Fill((*corners, (box.left, box.bottom)), PAPER)
