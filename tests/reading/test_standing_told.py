"""Heights, places and directions that are not understood are answered with what can be written.

The wordings are those of trainers (from memory).
"""

from __future__ import annotations

import re

import pytest

from diagram.diagnostics import RejectedError
from diagram.pipeline import plan_text

FILE = """\
tapeline: 1
title: T
level: {level}
purpose: P.
arena: {arena}
fences:
  birch: {{kind: vertical, {stands}}}
  hazel: {{kind: vertical, placed: 5 strides beyond birch}}
ride:
  - start: canter
  - jump: {jump}
  - line: 5 strides
  - jump: hazel
"""
PLAIN = {
    "level": "3'",
    "arena": "60 x 30 m",
    "stands": "at: [18 m, 15 m], facing: right",
    "jump": "birch",
}
STANDS = "at: [18 m, 15 m], facing: "


@pytest.mark.parametrize(
    ("key", "wrong", "cured"),
    [
        ("level", "2.6", "2'6\""),
        ("level", "3.3", "3'3\""),
        ("stands", "on: around left", "on: 5 m in from left"),
        ("stands", "on: along the left wall", "on: 5 m in from left"),
        ("stands", "on: left hand side", "on: 5 m in from left"),
        ("stands", "on: along the diagonals line", "on: diagonal"),
        ("stands", "on: diagnal", "on: diagonal"),
        ("stands", "on: quater line", "on: quarter line"),
        ("stands", "on: centreline", "on: centre line"),
        ("stands", "at: middle, facing: right", "at: centre, facing: right"),
        ("stands", STANDS + "north", STANDS + "top"),
        ("stands", STANDS + "to the left", STANDS + "left"),
        ("jump", "brich", "birch"),
    ],
)
def test_the_cure_can_be_written(key: str, wrong: str, cured: str) -> None:
    with pytest.raises(RejectedError) as refused:
        plan_text(FILE.format(**PLAIN | {key: wrong}), "f.yaml")
    (problem,) = refused.value.diagnostics
    advised = re.sub(r"^(write|did you mean) |: a ring .*", "", problem.hint).strip('`?"')
    assert advised
    assert advised in cured
    plan_text(FILE.format(**PLAIN | {key: cured}), "f.yaml")


def test_a_height_in_metres_stays_one() -> None:
    with pytest.raises(RejectedError, match=r"write 1.1 m or 1.1'"):
        plan_text(FILE.format(**PLAIN | {"level": "1.1"}), "f.yaml")


def test_a_misspelt_fence_is_told_with_the_other_errors() -> None:
    with pytest.raises(RejectedError) as refused:
        plan_text(
            FILE.format(**PLAIN | {"level": "2.6", "jump": "brich", "stands": "on: nowhere"}), "f"
        )
    assert [d.rule for d in refused.value.diagnostics] == [
        "not-understood", "not-understood", "unknown-fence",
    ]  # fmt: skip
