"""How high a cross-rail is whose file says no height of its own."""

from __future__ import annotations

import pytest

from diagram.pipeline import plan_text
from diagram.units import INCH

FILE = """\
tapeline: 1
title: T
purpose: P
level: {level}
arena: 30 x 60 m
fences:
  birch: {{kind: cross-rail, at: [25 m, 15 m], facing: 0°{more}}}
ride:
  - start: canter, left lead
  - jump: birch
  - finish: straight on, walk
"""


@pytest.mark.parametrize(("level", "inches"), [("2'", 16), ("2'6\"", 20), ("3'", 24)])
def test_it_counts_as_the_level_half_way_up(level: str, inches: int) -> None:
    """By hand, as [R36] measures a cross: half-way between the crossing and its ends, which lie
    twice as high (common practice), is one and a half times the crossing."""
    (birch,) = plan_text(FILE.format(level=level, more="")).fences
    assert birch.fence.measures.height_m == pytest.approx(inches * INCH)


def test_what_is_said_is_where_it_crosses() -> None:
    (birch,) = plan_text(FILE.format(level="2'6\"", more=", height: 2'")).fences
    assert birch.fence.measures.height_m == pytest.approx(24 * INCH)
