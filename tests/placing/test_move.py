"""A fence moved by hand goes there; lines stay exact, and what is not tied to it stays."""

import math

import pytest

from diagram.diagnostics import RejectedError
from diagram.fitting import Wanted, fit
from diagram.pipeline import plan_text

TEXT = """\
tapeline: 1
title: Two lines
purpose: To be moved.  # as the ring needs
level: 2'6"
arena: 70 x 45 m
fences:
  birch: {kind: vertical}
  hazel: {kind: oxer}
  elm: {kind: vertical}
  oak: {kind: oxer}
ride:
  - start: canter, left lead
  - jump: birch
  - line: 5 strides
  - jump: hazel
  - turn: left
  - jump: elm
  - line: 4 strides
  - jump: oak
"""
STEP = 0.9144


def with_move(said: str) -> str:
    return TEXT.replace("fences:\n", f"move: {said}\nfences:\n")


@pytest.mark.parametrize(
    ("said", "ahead", "left"),
    [
        ("hazel 2 steps left", 0.0, 2 * STEP),
        ("hazel 1 m right", 0.0, -1.0),
        ("hazel 1.5 m forward", 1.5, 0.0),
        ("hazel 3' back, 1 m left", -3 * 0.3048, 1.0),
    ],
)
def test_it_goes_there_and_its_line_stays_exact(said: str, ahead: float, left: float) -> None:
    before, after = plan_text(TEXT), plan_text(with_move(said))
    old, new = before.fence("hazel").pose, after.fence("hazel").pose
    wanted = old.ahead(ahead, left)
    assert new.distance(wanted.point) < 0.01
    for leg in after.legs:
        if leg.asked is not None:
            assert leg.track_m == pytest.approx(leg.asked.aim_m, abs=0.01)
    # Its own line comes with it and turns no more than the move makes it; the other line stays.
    moved = after.fence("birch").pose.distance(before.fence("birch").pose.point)
    assert moved < 2 * math.hypot(ahead, left)
    for name in ("elm", "oak"):
        assert after.fence(name).pose.distance(before.fence(name).pose.point) < 0.05


def test_a_fence_that_is_not_there() -> None:
    with pytest.raises(RejectedError, match='no fence is called "rowan"'):
        plan_text(with_move("rowan 2 steps left"))


@pytest.mark.parametrize("said", ["hazel left", "hazel 2 steps up", "2 m left", "hazel 900 m left"])
def test_what_is_no_move(said: str) -> None:
    with pytest.raises(RejectedError):
        plan_text(with_move(said))


def test_the_command_writes_it_into_the_file_and_nothing_else() -> None:
    fitted = fit(plan_text(TEXT), Wanted(move=("hazel 2 steps left",)))
    line = "move: [hazel 2 steps left]"
    old, new = TEXT.splitlines(), fitted.text.splitlines()
    assert [text for text in new if text not in old] == [line]
    assert len(new) == len(old) + 1
    assert fitted.after.fence("hazel").pose != fitted.before.fence("hazel").pose
