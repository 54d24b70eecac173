"""A ride ends where walk lies on no other track: cut or ridden on, by as little as frees it.

The referee is shapely: distances from the last part, as the plan has it, to every other leg.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from samples import EXERCISES, SAMPLES
from shapely import LineString

from diagram.geometry.curve import Curve
from diagram.geometry.pose import Pose
from diagram.geometry.region import Region
from diagram.path.finish import LAST_LEAST_M, LAST_M, finish_apart
from diagram.path.limits import limits_for
from diagram.path.room import Room
from diagram.pipeline import plan
from diagram.planning import Plan
from diagram.trade.horses import Horses
from diagram.trade.riding import riding

HORSES = limits_for(Horses("horse", 3.66)).canter
FIELD = Region.of(((0.0, 0.0), (80.0, 0.0), (80.0, 60.0), (0.0, 60.0)))
LEAST = riding().get_away.off_other_tracks.low


def room(at: tuple[float, float] | None = None) -> Room:
    """A field with nothing in it, or with a post."""
    posts = np.array([at] if at else np.zeros((0, 2)), dtype=float).reshape(-1, 2)
    return Room(FIELD, posts, posts, np.full(len(posts), 0.2))


def across(x: float) -> Curve:
    """A track straight across the field, `x` metres along it."""
    return Curve.straight(Pose(x, 5.0, math.pi / 2), 50.0)


WAY = Curve.straight(Pose(10.0, 30.0, 0.0), 18.3)


def test_nothing_changes_where_nothing_is_in_the_way() -> None:
    ended = finish_apart(WAY, [across(60.0)], ["walk"], room(), HORSES, cut=True)
    assert ended.curve is WAY
    assert ended.last_m == pytest.approx(18.3 / 4)


@pytest.mark.parametrize(("x", "longer"), [(28.0, False), (24.5, True), (20.0, True)])
def test_it_ends_before_the_track_that_is_in_the_way_or_behind_it(x: float, longer: bool) -> None:
    """Whichever is the lesser change; two straight strides at the least stay cantered."""
    ended = finish_apart(WAY, [across(x)], ["walk"], room(), HORSES, cut=True)
    end = 10.0 + ended.curve.length
    gap = end - ended.last_m - x if end > x else x - end
    assert gap >= LEAST - 1e-6
    assert (ended.curve.length > WAY.length) is (longer and end > x and end > 28.3)
    straight = HORSES.landing_m + 2 * HORSES.stride_m
    assert ended.curve.length - ended.last_m >= straight - 1e-6


def test_a_circle_said_is_never_cut() -> None:
    ended = finish_apart(WAY, [across(28.0)], ["walk"], room(), HORSES, cut=False)
    assert ended.curve.length > WAY.length
    assert ended.last_m in (pytest.approx(LAST_M), pytest.approx(LAST_LEAST_M))


def test_it_is_not_ridden_on_into_a_post() -> None:
    ended = finish_apart(WAY, [across(28.0)], ["walk"], room((30.5, 30.0)), HORSES, cut=False)
    assert ended.curve is WAY, "there is no room behind the track, and it may not be cut"


def last_part(made: Plan) -> LineString | None:
    """Where the ride is walked or trotted at its end."""
    leg = made.legs[-1]
    slow = [part for part in leg.ridden.stretches[1:] if part.length_m > 0.1]
    if leg.second is not None or not slow:
        return None
    return LineString(leg.curve.part(slow[0].begin_m, leg.track_m).points(0.1))


OTHERS = ("little-round-with-a-double", "out-and-back", "outside-diagonal-outside-diagonal",
          "poles-on-a-circle", "test-at-3ft", "verticals-on-a-slant")  # fmt: skip
"""Exercises whose usual way out ends on another track."""
FILES = (*SAMPLES, *(EXERCISES / f"{name}.yaml" for name in OTHERS))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_no_shipped_ride_walks_across_a_track(file: Path) -> None:
    made = plan(file)
    last = last_part(made)
    if last is None:
        return
    for leg in made.legs[:-1]:
        assert not LineString(leg.curve.points(0.1)).crosses(last), f"leg {leg.number}"
