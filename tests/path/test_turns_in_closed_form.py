"""Turns in closed form: they end where they must, keep to the rail they say, and never tighten
for horses that want more room."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from shapely.geometry import LineString, Polygon

from diagram.geometry.pose import Pose
from diagram.geometry.region import Region
from diagram.path.arcs import Pairs, arc_line_arc, one_arc, three_arcs
from diagram.path.limits import limits_for
from diagram.path.measures import tightness
from diagram.path.natural_turn import natural_turn
from diagram.path.room import Room
from diagram.path.turns import best_turns
from diagram.path.two_arcs import two_arcs
from diagram.trade.horses import Horses

ROUNDING = 1e-9
"""Metres and radians: sums of some ten quadratures of tens of metres."""
SAGITTA_M = 0.01
"""Chords of 5 cm on a radius of 3 m stray by less than a millimetre; eases by 4 mm at 10 m."""
REGION = Region.of(((0.0, 0.0), (60.0, 0.0), (60.0, 30.0), (0.0, 30.0)))
NO_FENCES = Room(REGION, np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0))


@some.composite
def pairs(draw: some.DrawFn) -> tuple[Pose, Pose, bool]:
    places = [
        Pose(draw(some.floats(4, 56)), draw(some.floats(4, 26)), draw(some.floats(-3.1, 3.1)))
        for _ in range(2)
    ]
    return places[0], places[1], draw(some.booleans())


@settings(max_examples=150, deadline=None, derandomize=True)
@given(pairs(), some.floats(0.5, 12), some.floats(0.5, 12), some.floats(3, 12))
def test_every_shape_ends_on_its_end(
    pair: tuple[Pose, Pose, bool], out: float, into: float, radius: float
) -> None:
    start, end, left = pair
    asked = Pairs.of(start, end, left)
    a, b, r = (np.array([value]) for value in (out, into, radius))
    shapes = [one_arc(asked, b), three_arcs(asked, a, b, r)]
    shapes += [arc_line_arc(asked, a, b, r, *hands) for hands in ((1, 1), (-1, 1), (1, -1))]
    for ways in shapes:
        if not ways.good[0]:
            continue
        curve = ways.curve(0)
        assert curve.end.distance(end.point) < ROUNDING * 10
        assert abs(math.remainder(curve.end.heading - end.heading, 2 * math.pi)) < ROUNDING
        assert curve.length == pytest.approx(float(ways.length[0]), abs=ROUNDING * 10)
        # Against shapely, which knows nothing of arcs: the least distance to the rail.
        line, rail = LineString(curve.points(0.05)), Polygon(REGION.corners)
        if rail.contains(line):
            apart = line.distance(rail.exterior)
            assert float(ways.inside(REGION)[0]) == pytest.approx(apart, abs=SAGITTA_M)
        else:
            assert float(ways.inside(REGION)[0]) < SAGITTA_M


def test_a_half_circle_by_plain_geometry() -> None:
    """Two fences 15 m apart, one up and one down: out 10 m, a half circle of 15 m, in 10 m."""
    manner = limits_for(Horses("horse", 3.66)).canter.manner
    asked = Pairs.of(Pose(20, 8, 0), Pose(20, 23, math.pi), True)
    ways = one_arc(asked, np.array([10.0]))
    # The eases move the arc 3 mm in on either side, so its radius is 4 mm less than half of 15 m.
    assert float(ways.radius[0]) == pytest.approx(7.5, abs=0.005)
    found = best_turns(asked, NO_FENCES, manner)
    assert found.clean[0]
    assert tightness(found.curve(0), 3.66).radius_m >= 7.4


@settings(max_examples=12, deadline=None, derandomize=True)
@given(pairs())
def test_no_turn_gets_tighter_for_wanting_more(pair: tuple[Pose, Pose, bool]) -> None:
    if pair[0].distance(pair[1].point) < 8:
        return
    radii = []
    for experience in ("schooled", "trained", "green"):
        manner = limits_for(Horses("horse", 3.66, experience)).canter.manner  # type: ignore[arg-type]
        radii.append(tightness(natural_turn(*pair, NO_FENCES, manner), 3.66).radius_m)
    schooled, trained, green = radii
    assert trained >= schooled - 0.1
    assert green >= min(schooled, trained) - 0.1


def test_small_ponies_turn_in_less() -> None:
    pony, horse = (limits_for(Horses(size, stride)).canter for size, stride in
                   (("small pony", 3.05), ("horse", 3.66)))  # type: ignore[arg-type]  # fmt: skip
    # 10 ft of stride against 12 ft (USEF distance charts [S1]).
    assert pony.manner.least_radius == pytest.approx(horse.manner.least_radius * 10 / 12)


def test_a_table_of_turns_is_made_of_the_turns_that_are_drawn() -> None:
    """Turns told by unit vectors alone, against the drawn curves and against shapely."""
    rng = np.random.default_rng(4)
    count = 4000
    places = rng.uniform((2, 2), (58, 28), (2, count, 2)) @ np.array([1, 1j])
    facing = rng.uniform(-math.pi, math.pi, (2, count))
    for left in (True, False):
        found = two_arcs((places[0], facing[0]), (places[1], facing[1]), left, 6.0, 7.0)
        hands = np.full(count, 1.0 if left else -1.0)
        asked = Pairs(places[0], facing[0], places[1], facing[1], hands)
        drawn = arc_line_arc(asked, found.out, found.into, np.array(7.0))
        rideable = drawn.good & np.isfinite(drawn.length)
        assert (found.possible == rideable).all()
        assert rideable.sum() > count / 4
        assert np.abs(found.length - drawn.length)[rideable].max() < ROUNDING
        rail, depth = Polygon(REGION.corners), found.inside(REGION)
        for n in np.flatnonzero(rideable)[:60]:
            line = LineString(drawn.curve(int(n)).points(0.05))
            inside = rail.contains(line)
            assert inside == (depth[n] > 0) or abs(depth[n]) < SAGITTA_M
            if inside:
                assert depth[n] == pytest.approx(line.distance(rail.exterior), abs=SAGITTA_M)
            places = found[n].places(8, 6)
            looked_at = LineString(np.stack([places.real, places.imag], axis=-1))
            assert looked_at.hausdorff_distance(line) < 1.0


def test_a_turn_between_opposite_lines_goes_square_across() -> None:
    """Lines 20 m apart, one ending 5 m before the other begins: 6 m on, and the 5 m as well."""
    start, end = (np.array([0j]), np.array([0.0])), (np.array([5 + 20j]), np.array([math.pi]))
    found = two_arcs(start, end, True, 6.0, 7.0)
    assert found.out[0] == pytest.approx(11.0)
    assert found.into[0] == pytest.approx(6.0)
    assert found.across[0] == pytest.approx(1j)
