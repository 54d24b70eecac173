"""What stands along the rail on the builder's leaf: pegs, names of sides, posts and the gate."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from diagram.drawing.candidates import Candidate
from diagram.drawing.frame import Frame
from diagram.drawing.labels import LabelLine, around_point, label_size
from diagram.drawing.setting_crowd import FullSheet, least_covering
from diagram.drawing.setting_dimensions import turned
from diagram.geometry.pose import Point, unit_towards
from diagram.scene import Box, Fill, Item, Text
from diagram.stakeout.leaf_words import LeafWords
from diagram.stakeout.pegs import Peg
from diagram.style import INK, points, text_width

PEG, SIDE_NAME = points(11), points(9)
SHARES = (
    0.5,
    0.4,
    0.6,
    0.3,
    0.7,
    0.2,
    0.8,
    0.12,
    0.88,
    0.06,
    0.94,
    0.45,
    0.55,
    0.35,
    0.65,
    0.25,
    0.75,
)
"""Places along a side that are tried for its name, the middle first."""
TOUCH = 6.0
"""Millimetres between two pegs up to which they have one name."""
STEPS = (0.0, 0.5, -0.5, 0.8, -0.8, 1.1, -1.1, 1.5, -1.5, 2.0, -2.0)
"""How far along its rail the name of a peg is moved, in widths of it."""


class RailMarks:
    """The marks in the order in which they take their places in the crowd."""

    def __init__(self, words: LeafWords, frame: Frame, crowd: FullSheet) -> None:
        self.words, self.frame, self.crowd = words, frame, crowd
        self.arena = words.plan.arena

    def _outward(self, side: str) -> Point:
        heading = self.arena.outward(side)
        return (math.cos(heading), -math.sin(heading))

    def pegs(self) -> Iterator[Item]:
        """A black triangle on the rail at each peg, and its name; pegs that touch share one."""
        pegs = self.words.leaf.pegs
        for peg in pegs:
            (x, y), (ox, oy) = self.frame.at(peg.at), self._outward(peg.side)
            yield Fill(
                ((x, y), (x + ox * 3.2 - oy * 1.6, y + oy * 3.2 + ox * 1.6),
                 (x + ox * 3.2 + oy * 1.6, y + oy * 3.2 - ox * 1.6)), INK,
            )  # fmt: skip
            self.crowd.add_box(Box(x - 2.0, y - 2.0, x + 2.0, y + 2.0))
            tx, ty = x + ox * 2.6, y + oy * 2.6
            self.crowd.add_box(Box(tx - 0.8, ty - 0.8, tx + 0.8, ty + 0.8))
        for cluster in self._clusters(pegs):
            places = [self.frame.at(peg.at) for peg in cluster]
            x, y = (sum(values) / len(places) for values in zip(*places, strict=True))
            ox, oy = self._outward(cluster[0].side)
            text = f"peg {', '.join(str(peg.number) for peg in cluster)}"
            lines = (LabelLine(text, PEG, "semibold"),)
            width, height = label_size(lines)
            reach = 3.8 + abs(ox) * width / 2 + abs(oy) * height / 2
            middle = (x + ox * reach, y + oy * reach)
            wanted = [
                *_beside(middle, (-oy, ox), (x, y), width),
                *around_point((x, y), (width, height), (3.0, 5.0)),
            ]
            yield least_covering(text, lines, wanted, self.crowd).marks

    def _clusters(self, pegs: Sequence[Peg]) -> Iterator[list[Peg]]:
        """Pegs of one side whose triangles touch, from left to right or from above."""
        out: list[list[Peg]] = []
        for peg in sorted(pegs, key=lambda peg: (peg.side, self.frame.at(peg.at))):
            last = out[-1][-1] if out else None
            near = last and math.dist(self.frame.at(last.at), self.frame.at(peg.at)) < TOUCH
            if last and near and last.side == peg.side:
                out[-1].append(peg)
            else:
                out.append([peg])
        yield from out

    def posts(self) -> Iterator[Item]:
        """The names of posts that a tape is held to, and of the gate."""
        for name, at in self.arena.posts.items():
            self.crowd.add_box(Box(*self.frame.at(at), *self.frame.at(at)).grown(1.0))
            lines = (LabelLine(name, PEG, "semibold"),)
            places = around_point(self.frame.at(at), label_size(lines), (1.4, 3.0, 5.0))
            yield least_covering(name, lines, places, self.crowd).marks
        gate = self.arena.gate
        if gate is not None:
            yield from self._outside("GATE", gate.side, [self.frame.at(gate.middle)])

    def side(self, name: str) -> Iterator[Item]:
        """The name of a side outside it, where pegs and gate leave it free."""
        a, b = self.arena.sides[name]
        places = [
            self.frame.at((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
            for share in SHARES
        ]
        yield from self._outside(self.words.sides[name].upper(), name, places)

    def _outside(self, text: str, side: str, places: Sequence[Point]) -> Iterator[Item]:
        """A word along a side, outside it at the first of `places` that is free."""
        a, b = (self.frame.at(end) for end in self.arena.sides[side])
        ox, oy = self._outward(side)
        along = unit_towards(a, b)
        width = text_width(text, SIDE_NAME, "semibold") + 1.0
        tried = []
        for n, (x, y) in enumerate(places):
            # Inside the rail only where there is no room outside.
            for out in (3.6, 8.4, 13.0, 18.0, 24.0, -4.0, -7.5, -11.0, -15.0):
                middle = (x + ox * out, y + oy * out)
                corners = turned(middle, along, width / 2, SIDE_NAME / 2)
                price = 0.2 * n + 0.1 * out + (4.0 if out < 0 else 0.0)
                tried.append((price, middle, corners))
        covered = self.crowd.covered_by([corners for *_, corners in tried])
        best = None
        for (price, middle, corners), over in zip(tried, covered, strict=True):
            if best is None or over + price < best[0]:
                best = (over + price, middle, corners)
        assert best is not None
        self.crowd.add_label(best[2])
        turn = math.degrees(math.atan2(-(b[1] - a[1]), b[0] - a[0]))
        turn = (turn + 90) % 180 - 90
        down = SIDE_NAME * 0.33
        at = (
            best[1][0] + down * math.sin(math.radians(turn)),
            best[1][1] + down * math.cos(math.radians(turn)),
        )
        yield Text(at, text, SIDE_NAME, "semibold", "middle", turn)


def _beside(middle: Point, along: Point, target: Point, width: float) -> Iterator[Candidate]:
    """Places for a word outside a rail, moved along it."""
    for n, step in enumerate(STEPS):
        shift = step * (width if abs(along[0]) > 0.5 else 6.0)
        at = (middle[0] + along[0] * shift, middle[1] + along[1] * shift)
        yield Candidate(at, target, n * 0.6)
