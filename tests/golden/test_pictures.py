"""Small pictures as text, at 254 dpi: what is really on the paper, half a millimetre a letter.

A cell is ``#`` when more than half of it is dark, ``+`` when more than an eighth, else ``.``.
Edges lie well away from these limits, so that cairo's versions agree.
"""

from __future__ import annotations

import io
import re

import pytest
from PIL import Image

from diagram.drawing.fences import fence_marks
from diagram.drawing.frame import Frame
from diagram.drawing.strand import bridges, strand_of
from diagram.geometry.pose import Pose
from diagram.pipeline import drawing_of, plan_text
from diagram.scene import Group, Scene, moved
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


CROSSED = """\
tapeline: 1
title: T
purpose: P
level: 3'
arena: 60 x 60 m
fences:
  a: {kind: vertical, at: [15 m, 30 m], facing: 0°}
  b: {kind: vertical, at: [32 m, 44 m], facing: 270°}
ride:
  - start: canter, left lead
  - jump: a
  - turn: left
  - jump: b
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
    runs = [(m.start(), m.end()) for m in re.finditer(r"#+", middle)]
    thin, *poles = runs
    assert len(poles) == 2, rows
    # From middle to middle, in half millimetres.
    assert sum(poles[1]) / 2 - sum(poles[0]) / 2 == pytest.approx(8, abs=1)
    assert thin[1] - thin[0] < poles[0][1] - poles[0][0]


def test_the_line_passed_under_is_broken_and_the_one_over_it_is_not() -> None:
    """Home straight across the line out: a crossing at a right angle, drawn as a bridge."""
    scene = drawing_of(plan_text(CROSSED)).scene
    track = next(item for item in scene.items if isinstance(item, Group) and item.name == "track")
    strand = strand_of(plan_text(CROSSED), drawing_of(plan_text(CROSSED)).frame)
    bridge = bridges(strand)[0]
    x, y = bridge.at
    rows = picture(Scene(10, 10, (moved(track, 5.25 - x, 5.25 - y),)))
    assert rows[10][10] == "#"
    level, upright = rows[10], "".join(row[10] for row in rows)
    whole, broken = sorted((level, upright), key=lambda line: line.count("#"), reverse=True)
    assert whole.count("#") == 20
    assert "#" not in broken[7:9] + broken[13:14]
