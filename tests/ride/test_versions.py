"""Forward and waiting versions of one line, by hand."""

from __future__ import annotations

import pytest
from ride_trials import BIRCH, beyond, ridden

from diagram.planning import PlanLeg
from diagram.ride.stretches import LegGround
from diagram.ride.versions import version
from diagram.units import FOOT


def _line(distance: str, said: str) -> PlanLeg:
    ride = ("jump: birch", f"line: {said}", "jump: hazel")
    return ridden(*ride, fences=(BIRCH, beyond(distance))).legs[1]


def test_five_on_a_distance_made_for_five_and_a_half() -> None:
    """78 ft less 12 ft of landing and take-off are 66 ft: five of 13 ft 2.4 in, 110 in 100; or
    six of 11 ft, 92 in 100."""
    leg = _line("78 ft", "5 strides")
    needs = leg.ridden.needs
    assert needs is not None
    assert needs.stride_m / FOOT == pytest.approx(13.2)
    assert needs.share == pytest.approx(1.1)
    assert needs.manner == "forward"
    waiting = leg.ridden.others[1]
    assert (waiting.strides, waiting.manner) == (6, "waiting")
    assert waiting.share == pytest.approx(11 / 12)


def test_which_counts_a_stride_can_be_stretched_to() -> None:
    """72 ft: four would take 15 ft (125 in 100), six 10 ft (83 in 100). A canter stride goes from
    10 ft [P4] to 13 ft 9 in [S1], for 12 ft."""
    four, six = _line("72 ft", "5 strides").ridden.others
    assert (four.stride_m / FOOT, six.stride_m / FOOT) == (pytest.approx(15), pytest.approx(10))
    assert (four.possible, six.possible) == (False, True)


def test_a_measured_line_says_the_count_it_is_nearest_to() -> None:
    leg = _line("75 ft", "75 ft")
    assert leg.ridden.needs is not None
    assert (leg.ridden.needs.strides, leg.ridden.needs.manner) == (5, "forward")


@pytest.mark.parametrize("said", ["bounce", "10 strides, walk 4 steps in the middle"])
def test_a_bounce_and_a_line_with_a_walk_have_no_versions(said: str) -> None:
    leg = _line("11 ft" if said == "bounce" else "132 ft", said)
    assert leg.ridden.needs is None
    assert leg.ridden.others == ()


def test_no_stride_is_no_version() -> None:
    with pytest.raises(ValueError, match="bounce"):
        version(LegGround(4.0, 2.0, 2.0), 0, 3.66)
