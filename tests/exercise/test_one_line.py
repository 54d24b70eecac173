"""A line that is ridden twice is built once, however it is ridden."""

from __future__ import annotations

import pytest

from diagram.units import FOOT
from tests.checks.check_trials import of_rule, trial

CROSS = "birch: {kind: cross-rail, height: 1'6\", ground line: both sides}"
NEXT = "hazel: {kind: vertical, height: 2', ground line: both sides}"
GRID = ("jump: birch", "line: 1 stride", "jump: hazel")


def lengths(fences: tuple[str, ...], ride: tuple[str, ...]) -> list[float]:
    plan = trial(fences, ride, arena="40 x 80 m")
    assert plan.layout.outcome.startswith("placed")
    assert not of_rule(plan, "distance-off")
    return [leg.track_m for leg in plan.legs if leg.shape == "line"]


def test_a_grid_from_trot_and_then_from_canter_has_one_length_for_both() -> None:
    found = lengths((CROSS, NEXT), ("start: trot", *GRID, "turn: left, canter", *GRID,
                                    "finish: straight on, walk"))  # fmt: skip
    # From canter 21 ft is set over low fences, from trot 18 to 20 ft; 24 ft for a bold horse
    # ([S113], [S8]): the shortest that is set for canter is the nearest to what the trot asks.
    assert found == pytest.approx([21 * FOOT] * 2, abs=0.011)


def test_it_is_the_same_with_the_canter_first() -> None:
    found = lengths((CROSS, NEXT), ("start: canter, left lead", *GRID, "turn: left, trot", *GRID,
                                    "finish: straight on, walk"))  # fmt: skip
    assert found[0] == pytest.approx(found[1], abs=0.002)
    assert 21 * FOOT - 0.011 <= found[0] <= 24 * FOOT + 0.011


def test_uphill_and_home_again_is_one_line() -> None:
    ride = ("start: canter, left lead", "jump: birch", "line: 5 strides, uphill", "jump: hazel",
            "turn: left", "jump: hazel, from behind", "line: 5 strides",
            "jump: birch, from behind", "finish: halt on the line")  # fmt: skip
    out, home = lengths((CROSS, NEXT), ride)
    assert out == pytest.approx(home, abs=0.002)
    (uphill,) = lengths((CROSS, NEXT), (*ride[:4], "finish: halt on the line"))
    assert out == pytest.approx(uphill, abs=0.002)


LEVEL = ("birch: {kind: vertical, height: 2'6\", ground line: both sides}",
         "hazel: {kind: vertical, height: 2'6\", ground line: both sides}")  # fmt: skip


def in_counts(*counts: int) -> tuple[str, ...]:
    passes = [("jump: birch", f"line: {count} strides", "jump: hazel") for count in counts]
    joined = [step for one in passes for step in (*one, "turn: left")][:-1]
    return ("start: canter, left lead", *joined, "finish: halt on the line")


@pytest.mark.parametrize("counts", [(5, 6), (6, 5), (6, 7), (4, 5, 4)])
def test_one_line_in_several_counts_has_one_length_between_them(counts: tuple[int, ...]) -> None:
    """One stride more, and one fewer, on the same ground: common practice (no source)."""
    plan = trial(LEVEL, in_counts(*counts), arena="40 x 80 m")
    assert {str(f.severity) for f in plan.findings} <= {"note"}
    found = [leg for leg in plan.legs if leg.shape == "line"]
    assert [leg.strides for leg in found] == list(counts)
    assert found[0].track_m == pytest.approx(found[-1].track_m, abs=0.002)
    alone = {
        count: trial(LEVEL, in_counts(count), arena="40 x 80 m").legs[1].track_m
        for count in (min(counts), max(counts))
    }
    assert alone[min(counts)] < found[0].track_m < alone[max(counts)]


def test_counts_that_no_horse_can_ride_on_one_line_stay_a_contradiction() -> None:
    from diagram.diagnostics import RejectedError

    ride = ("start: canter, left lead", "jump: birch", "line: 3 strides", "jump: hazel",
            "turn: left", "jump: birch", "line: 5 strides", "jump: hazel",
            "finish: halt on the line")  # fmt: skip
    with pytest.raises(RejectedError, match="cannot all hold"):
        trial((CROSS, NEXT), ride, arena="40 x 80 m")
