"""What a helper is told of a fence that is built otherwise for the next exercise."""

from __future__ import annotations

import pytest
from lesson_trials import LOW, OXER, spot
from msgspec.structs import replace

from diagram.lessons.ground import said_of
from diagram.lessons.moves import order_of
from diagram.lessons.spots import Build

CROSS = replace(LOW, kind="cross-rail", line="front")


@pytest.mark.parametrize(
    ("built", "wanted", "says"),
    [
        (CROSS, replace(LOW, line="both"),
         "birch: make it a vertical of 2', ground lines both sides"),
        (CROSS, replace(LOW, line="front"), "birch: make it a vertical of 2'"),
        (LOW, OXER, "birch: make it an oxer of 2'7\""),
        (LOW, replace(LOW, line="both"), "birch: ground lines both sides"),
        (LOW, replace(LOW, height_mm=700), "1 rail up to 2'4\""),
        (replace(LOW, height_mm=700), replace(LOW, line="both"),
         "1 rail down to 2'; birch: ground lines both sides"),
    ],
)  # fmt: skip
def test_a_fence_that_is_rebuilt_is_told_whole(built: Build, wanted: Build, says: str) -> None:
    order = order_of([spot("birch", {0: built, 1: wanted})], (0, 1))
    assert said_of(order.changes[1], "feet") == says
