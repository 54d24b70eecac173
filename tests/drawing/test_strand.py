"""The ride as one strand: passes side by side, bridges, and which part of the ride a leg is of."""

import math
from pathlib import Path

import numpy as np
import pytest
from samples import SAMPLES

from diagram.drawing.flags import start_at
from diagram.drawing.frame import Frame
from diagram.drawing.parts import parts_of
from diagram.drawing.strand import LANE, bridges, strand_of
from diagram.pipeline import drawing_of, plan, plan_text

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
  - jump: hazelBEHIND
  - line: 6 strides
  - jump: birch from behind
"""
BACK = OUT_AND_BACK.replace("BEHIND", " from behind")
ROUND = """\
tapeline: 1
title: T
purpose: P
level: 3'
arena: 40 x 80 m
fences:
  birch: {kind: vertical, at: [30 m, 12 m], facing: 0°}
  hazel: {kind: vertical, at: [50 m, 28 m], facing: 180°}
ride:
  - start: canter, left lead
  - jump: birch
  - turn: left
  - jump: hazel
  - turn: left
  - jump: birch
  - turn: left
  - jump: hazel
"""
FRAME = Frame(250, 0.0, 200.0)


def test_two_opposite_passes_keep_to_their_own_right() -> None:
    strand = strand_of(plan_text(BACK), FRAME)
    out, home = strand.spans[1], strand.spans[3]
    for span in (out, home):
        middle = (span.begin + span.end) / 2
        assert strand.aside[strand.index(middle)] == pytest.approx(LANE, abs=0.01)
        assert strand.is_opposed(middle)
    a, b = strand.at((out.begin + out.end) / 2), strand.at((home.begin + home.end) / 2)
    assert abs(a[1] - b[1]) == pytest.approx(2 * LANE, abs=0.02)
    # Ridden to the right on the paper, the right hand is below.
    assert a[1] > b[1]


def test_a_later_pass_the_same_way_moves_to_the_left() -> None:
    strand = strand_of(plan_text(ROUND), FRAME)
    first, second = strand.spans[1], strand.spans[3]
    where = first.length / 2
    assert strand.aside[strand.index(first.begin + where)] == pytest.approx(0.0, abs=0.01)
    assert strand.aside[strand.index(second.begin + where)] == pytest.approx(-LANE, abs=0.01)


def test_crossing_a_line_is_not_sharing_it() -> None:
    text = OUT_AND_BACK.split("  - turn: left")[0]
    assert not np.any(strand_of(plan_text(text), FRAME).aside)


def test_a_strand_is_as_long_as_the_ride() -> None:
    made = plan_text(BACK)
    strand = strand_of(made, FRAME)
    under = sum(crossing.depth_m for crossing in made.crossings)
    metres = sum(leg.track_m for leg in made.legs) + under
    assert strand.s[-1] == pytest.approx(FRAME.mm(metres), abs=1e-6)
    assert np.all(np.diff(strand.s) > 0)
    assert np.hypot(*np.diff(strand.points, axis=0).T).max() < 1.2


def test_a_line_that_crosses_itself_has_a_bridge_the_later_pass_over() -> None:
    eight = next(file for file in SAMPLES if file.stem.startswith("figure-of-eight"))
    strand = strand_of(plan(eight), FRAME)
    found = bridges(strand)
    assert found
    for bridge in found:
        assert bridge.over > bridge.under
        assert math.dist(strand.at(bridge.over), strand.at(bridge.under)) < 0.3


def test_a_circle_touches_the_line_that_it_begins_and_ends_on() -> None:
    """Neither a bridge nor two lines side by side: as anybody draws it."""
    text = BACK.replace("  - turn: left\n", "  - circle: right, 15 m\n  - turn: left\n")
    strand = strand_of(plan_text(text), FRAME)
    leg = next(span for span in strand.spans if span.leg.link.circles)
    inside = (strand.s > leg.begin) & (strand.s < leg.end)
    assert not strand.leads[inside].any()
    assert not [b for b in bridges(strand) if leg.begin < b.under and b.over < leg.end]


def test_legs_that_meet_at_a_fence_do_not_cross() -> None:
    strand = strand_of(plan_text(BACK.split("  - turn: left")[0]), FRAME)
    assert bridges(strand) == ()


def test_a_ride_that_goes_round_twice_has_two_parts() -> None:
    parts = parts_of(plan_text(ROUND))
    assert parts.names == ("first round", "second round")
    assert parts.of_leg == (0, 0, 1, 1, 1)
    assert parts_of(plan_text(BACK)).names == ("",)
    named = ROUND.replace("  - start:", "  - phase: one\n  - start:")
    again = "  - jump: hazel\n  - turn: left\n  - jump: birch\n"
    named = named.replace(again, again.replace("  - turn", "  - phase: two\n  - turn"), 1)
    assert parts_of(plan_text(named)).names == ("one", "two")


@pytest.mark.parametrize("file", SAMPLES, ids=lambda file: file.stem)
def test_start_and_finish_stand_on_their_own_track(file: Path) -> None:
    """Both are drawn nearer where another pass would run under them; the ride itself is not cut."""
    drawn, made = drawing_of(plan(file)), plan(file)
    strand = strand_of(made, drawn.frame)
    for n, place in ((0, start_at(strand)), (len(strand.s) - 1, strand.at(strand.s[-1]))):
        far = np.hypot(*(strand.points - np.array(place)).T)
        others = np.abs(strand.s - strand.s[n]) > 20.0
        near = bool((far[others] < 2.6).any())
        assert not near or file.stem in MET_AT_ONCE, (file.stem, n)


MET_AT_ONCE = {"every-fence-twice"}
"""Where another pass lies across the way out right where the walk begins: no place is free."""
