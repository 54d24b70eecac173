"""A little change is a little change on the ground, and the mirrored file is the mirror image."""

import math
import re
from collections.abc import Callable

import pytest
from said import SIXTY, Said
from test_sixty import placed

from diagram.pipeline import plan_text
from diagram.planning import Plan

LITTLE_M = 0.5
"""Half a metre is what a trainer lets the crew set a fence off by without a thought."""
METRES = re.compile(r"size: (\d+) x (\d+) m")
SOME = {said.name: said for said in SIXTY}


def furthest(
    one: Plan, other: Plan, image: Callable[[tuple[float, float]], tuple[float, float]]
) -> float:
    pairs = zip(one.fences, other.fences, strict=True)
    return max(math.dist(image(a.pose.point), b.pose.point) for a, b in pairs)


def same(place: tuple[float, float]) -> tuple[float, float]:
    return place


def hands_changed(text: str) -> str:
    """Left for right in the ride, top for bottom in the arena."""
    head, ride = text.split("ride:")
    hands = {"left": "right", "right": "left"}
    ride = re.sub(r"\b(left|right)\b", lambda m: hands[m[1]], ride)
    sides = {"side: bottom": "side: top"}
    return re.sub("side: bottom", lambda m: sides[m[0]], head) + "ride:" + ride


HAND = re.compile(r"[<>]|\([LR]")
MIRRORED = [
    s
    for s in SIXTY
    if METRES.search(s.text) and HAND.search(s.ride) and "posts" not in s.text and not s.apart
]
"""Rides that turn somewhere: one that only goes straight has no hand to change."""


@pytest.mark.parametrize(
    "said",
    [pytest.param(s, marks=[pytest.mark.long] * bool(n % 3)) for n, s in enumerate(MIRRORED)],
    ids=lambda s: s.name,
)
def test_left_for_right_is_the_mirror_image(said: Said) -> None:
    size = METRES.search(said.text)
    assert size is not None
    one, other = placed(said), plan_text(hands_changed(said.text))
    assert furthest(one, other, lambda p: (p[0], float(size[2]) - p[1])) < 1e-6


LONGER = (
    "two outside lines", "two outside lines to the right", "line, turn, single",
    "five fences round the ring", "five in a field with posts", "line to a double",
    "grid down the centre", "circle of four", "two fences and a change of rein",
    "eight over one fence",
)  # fmt: skip


@pytest.mark.parametrize("name", LONGER)
def test_a_ring_a_hand_longer(name: str) -> None:
    text = SOME[name].text
    longer = METRES.sub(lambda m: f"size: {int(m[1]) + 0.1} x {m[2]} m", text)
    assert furthest(placed(SOME[name]), plan_text(longer), same) < LITTLE_M


@pytest.mark.parametrize("name", [*LONGER[:4], "twice around", "rollback", "line in an L"])
def test_a_stride_two_inches_shorter(name: str) -> None:
    text = SOME[name].text
    shorter = text.replace("horses: horse\n", "horses: 11'10\" stride\n")
    assert furthest(placed(SOME[name]), plan_text(shorter), same) < LITTLE_M


PINNED = (
    *LONGER, "twice around", "full lines with a single", "home to the gate", "three singles",
    "lines and an oxer in a big field", "two lines, ponies, 20 x 60",
)  # fmt: skip


@pytest.mark.parametrize("name", PINNED)
def test_a_pin_at_the_place_found(name: str) -> None:
    text = SOME[name].text
    found = placed(SOME[name])
    fence = found.fences[0]
    body = fence.fence.whole or fence.name
    pose = found.layout.poses[body]
    at = f"at: [{pose.x:.3f} m, {pose.y:.3f} m], facing: {math.degrees(pose.heading) % 360:.3f}°"
    pinned = re.sub(rf"(  {body}: \{{kind: \w+)", rf"\1, {at}", text, count=1)
    assert furthest(found, plan_text(pinned), same) < LITTLE_M
