"""Legs over the same ground are drawn side by side, others stay where they are."""

import numpy as np
import pytest

from diagram.drawing.frame import Frame
from diagram.drawing.lanes import STEP_MM, lanes
from diagram.pipeline import plan_text

OUT_AND_BACK = """\
tapeline: 1
title: T
purpose: P
level: 3'
arena: 40 x 80 m
fences:
  birch: {kind: vertical, at: [20 m, 20 m], facing: 0°, ground line: both sides}
  hazel: {kind: vertical, placed: 6 strides beyond birch, ground line: both sides}
ride:
  - jump: birch
  - line: 6 strides
  - jump: hazel
  - turn: left
  - jump: hazel from behind
  - line: 6 strides
  - jump: birch from behind
"""


def test_the_way_back_is_moved_aside() -> None:
    plan = plan_text(OUT_AND_BACK)
    found = lanes(plan, Frame(250, 0.0, 200.0))
    middle = plan.legs[3].track_m / 2
    assert found[3].at(middle) == pytest.approx(STEP_MM, abs=1e-9)
    assert not found[0].aside.any()
    assert not found[1].aside.any()


def test_crossing_a_line_is_not_sharing_it() -> None:
    plan = plan_text(
        OUT_AND_BACK.split("  - turn: left")[0].replace("line: 6 strides", "line: 6 strides")
    )
    assert not any(np.any(lane.aside) for lane in lanes(plan, Frame(250, 0.0, 200.0)))
