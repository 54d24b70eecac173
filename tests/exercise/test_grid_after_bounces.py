"""One strides after bounces in a grid from trot, held against published grids."""

from __future__ import annotations

import pytest

from diagram.pipeline import plan_text
from diagram.units import FOOT

FILE = """\
tapeline: 1
title: T
purpose: P
level: 2'
arena: 20 x 70 m
horses: horse
fences:
  grid: {{kind: grid, at: [25 m, 10 m], facing: 0°, elements: [{elements}]}}
ride:
  - start: trot
  - jump: grid
  - finish: straight on, walk
"""
FENCE, POLE = (
    "{kind: vertical, after: %s}",
    "{kind: placing pole}, {kind: cross-rail, after: bounce}",
)
GRIDS = {
    # Approached in trot; all fences small where the source says nothing else.
    "[S91]": ("b1", (9, 19)),
    "[S113]": ("b11", (9, 18, 19)),
    "[S90]": ("1bbb11", (18, 10, 10, 10, 21, 21)),
}


@pytest.mark.parametrize("source", GRIDS)
def test_after_bounces_it_goes_on_as_published(source: str) -> None:
    """Two feet: the second one stride has 21 ft in [S8], by which the table goes, 19 in [S113]."""
    gaps, feet = GRIDS[source]
    rest = [FENCE % ("bounce" if gap == "b" else "1 stride") for gap in gaps]
    plan = plan_text(FILE.format(elements=", ".join([POLE, *rest])))
    built = [leg.track_m / FOOT for leg in plan.legs if leg.link.inner][1:]
    assert built == pytest.approx(feet, abs=2.05)


def test_each_one_stride_is_longer_while_trot_becomes_canter() -> None:
    """[S8]: 18, 21 and 22 to 24 ft, and bounces before them change nothing of it."""
    rows = []
    for bounces in (0, 2):
        rest = [FENCE % "bounce"] * bounces + [FENCE % "1 stride"] * 3
        plan = plan_text(FILE.format(elements=", ".join([POLE, *rest])))
        rows.append([leg.track_m / FOOT for leg in plan.legs if leg.link.inner][-3:])
    assert rows[0] == pytest.approx(rows[1])
    assert rows[0] == pytest.approx([18, 21, 23], abs=1.0)
