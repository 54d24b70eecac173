"""A published study of strides in a double, beside what is reckoned here. They differ.

"Two strides inside an 80 cm vertical-vertical double set at 10 m, six non-elite horses with a
mean canter stride of 3.05 m on the flat: 4.12 m, then 3.81 m" (published paper abstract [P4]).
"""

from __future__ import annotations

import pytest
from ride_trials import BIRCH, beyond

from diagram.pipeline import plan_text
from diagram.planning import PlanLeg

DISTANCE, FLAT, FIRST, SECOND = 10.0, 3.05, 4.12, 3.81


def _leg() -> PlanLeg:
    """The double of the study on its horses."""
    lines = [
        "tapeline: 1", "title: T", "purpose: P", "level: 80 cm", "arena: 40 x 80 m",
        "horses: 3.05 m stride", "fences:", f"  {BIRCH}", f"  {beyond('10 m')}", "ride:",
        "  - jump: birch", "  - line: 2 strides", "  - jump: hazel",
    ]  # fmt: skip
    return plan_text("\n".join(lines)).legs[1]


def test_the_same_in_kind() -> None:
    """Both say that 10 m is long for two strides of horses with 3.05 m."""
    needs = _leg().ridden.needs
    assert needs is not None
    assert needs.strides == 2
    assert needs.share > 1.1
    assert (FIRST + SECOND) / 2 / FLAT > 1.1


def test_the_difference_in_figures() -> None:
    """Landing and take-off at 80 cm are 5 ft 6 in each for a 12-ft stride ([S14], between
    4 ft 6 in and 6 ft), which is 1.3980 m for a stride of 3.05 m. So reckoned strides are
    (10 - 2.7960) / 2 = 3.6020 m, where 3.965 m were measured on the mean: 0.363 m less each.

    The horses of the study spent 2.07 m on landing and take-off together, we 2.80 m: they
    covered the ground by galloping on between the fences, where a trainer's rule takes half a
    stride on each side of every fence. And their second stride was shorter than their first;
    here both are alike, because no source says how the shortening goes on a longer line.
    """
    leg = _leg()
    strides = [spot.length_m for spot in leg.ridden.spots if spot.what == "stride"]
    assert strides == pytest.approx([3.6020, 3.6020], abs=0.001)
    mean = (FIRST + SECOND) / 2
    assert mean - strides[0] == pytest.approx(0.363, abs=0.001)
    measured = DISTANCE - FIRST - SECOND
    assert measured == pytest.approx(2.07)
    ground = leg.ridden.ground
    assert ground.landing_m + ground.take_off_m - measured == pytest.approx(0.726, abs=0.001)
