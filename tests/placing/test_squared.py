"""What no template fits still stands along or across the ring, where it can be ridden so."""

from __future__ import annotations

import math

import pytest

from diagram.pipeline import plan_text

RIDE = """
ride:
  - start: canter, left rein
  - jump: oak
  - line: 5 strides
  - jump: ash
  - turn: left
  - jump: elm
  - turn: left, trot
  - jump: poles
  - finish: halt
"""


@pytest.mark.parametrize("ash", ["oxer 2'6\"", "oxer 2'6\", 5 strides beyond oak"])
@pytest.mark.parametrize("elm", ["plank", "plank, facing left"])
def test_lines_and_fences_do_not_stand_askew(ash: str, elm: str) -> None:
    # Poles on the centre line leave no half circle to them from an outside line: a blind search.
    plan = plan_text(
        "tapeline: 1\ntitle: T\npurpose: P\nlevel: 2'6\"\narena: 30 x 60 m\nfences:\n"
        f"  oak: vertical\n  ash: {ash}\n  elm: {elm}\n"
        f"  poles: four trot poles, 4'6\" apart, on the centre line{RIDE}"
    )
    assert plan.layout.outcome.startswith("placed")
    for pose in plan.layout.poses.values():
        off = math.degrees(pose.heading) % 90
        assert min(off, 90 - off) < 0.1
