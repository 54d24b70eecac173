"""Small pictures as text, at 254 dpi: what is really on the paper, half a millimetre a letter.

A cell is ``#`` when more than half of it is dark, ``+`` when more than an eighth, else ``.``.
Edges lie well away from these limits, so that cairo's versions agree.
"""

from __future__ import annotations

import io

from PIL import Image

from diagram.drawing.fences import fence_marks
from diagram.drawing.frame import Frame
from diagram.geometry.pose import Pose
from diagram.pipeline import plan_text
from diagram.scene import Group, Scene, Stroke, moved
from diagram.style import CASING, PAPER, Pen, phase_pen
from diagram.writers import png

CELL = 5
"""Pixels: half a millimetre."""

FENCE = """\
tapeline: 1
title: T
purpose: P
level: 3'
arena: 60 x 30 m
fences:
  a: {kind: oxer, spread: 1 m, poles: 3 m, at: [20 m, 15 m], facing: 0°}
ride:
  - jump: a
"""


def picture(scene: Scene) -> list[str]:
    image = Image.open(io.BytesIO(png.scene_bytes(scene, dpi=254))).convert("L")
    small = image.resize((image.width // CELL, image.height // CELL), Image.Resampling.BOX)
    rows = [small.crop((0, y, small.width, y + 1)).tobytes() for y in range(small.height)]
    return ["".join("#" if v < 128 else "+" if v < 224 else "." for v in row) for row in rows]


def test_an_oxer_at_1_to_250_shows_two_planes_and_the_side_to_jump_from() -> None:
    """Jumped from left to right: the thin ground line lies to the left of two poles 4 mm apart."""
    fence = plan_text(FENCE).fences[0].fence.at(Pose(0.0, 0.0, 0.0))
    marks = fence_marks(fence, Frame(250, 5.25, 9.25))
    rows = picture(Scene(10, 18.5, (marks,)))
    middle = rows[18]
    dark = [x for x, cell in enumerate(middle) if cell != "."]
    poles = [x for x in dark if middle[x] == "#"]
    assert len(poles) == 2, rows
    assert poles[1] - poles[0] == 8
    assert dark[:-2]
    assert dark[-2:] == poles


def test_the_line_passed_under_is_broken_and_the_one_over_it_is_not() -> None:
    under, over = phase_pen(0), Pen("#000000", 0.7)
    level = Stroke(((0.0, 5.25), (10.0, 5.25)), under)
    upright = ((5.25, 0.0), (5.25, 10.0))
    marks = Group("", (level, Stroke(upright, Pen(PAPER, CASING.width)), Stroke(upright, over)))
    rows = picture(Scene(10, 10, (moved(marks, 0.0, 0.0),)))
    assert rows[10][10] == "#"
    assert "#" not in rows[10][9] + rows[10][11]
    assert rows[10][6] + rows[10][14] == "##"
    assert {rows[y][10] for y in range(20)} == {"#"}
