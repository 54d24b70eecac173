"""Every place where the horse comes down along a leg: landing, strides, steps, take-off.

A stride is counted where it ends, as it is counted aloud: the last one ends where the horse
takes off. Between landing and take-off the ground is shared out evenly; a horse shortens a
little towards a fence, by how much no source says.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from diagram.geometry.curve import Curve
from diagram.model.said import Transition
from diagram.ride.leads import Carried
from diagram.ride.stretches import LegGround, Stretch, step_of, steps_said
from diagram.trade.words import Gait

What = Literal["landing", "stride", "step", "halt", "take-off"]


class Spot(Struct, frozen=True):
    """One place along a leg.

    `at_m` metres along the track from the beginning of the leg, of which `length_m` since the
    spot before. `number` counts strides or steps within their stretch from 1. `bend` is the
    curvature in 1/m, left positive; `speed` in m/s; `clock` seconds since the leg began.
    """

    what: What
    at_m: float
    length_m: float
    number: int
    gait: Gait
    stretch: int
    lead: str | None = None
    bend: float = 0.0
    speed: float = 0.0
    clock: float = 0.0


def shared_out(ground: LegGround, alone: bool, strides: int | None, stride_m: float) -> LegGround:
    """The ground with landing and take-off made smaller where there is no room for them.

    A bounce is all landing and take-off. Where a counted line (`alone` in one gait) would leave
    less than LEAST of a stride for each one said, landing, strides and take-off are all short
    in proportion.
    """
    both = ground.landing_m + ground.take_off_m
    share = 1.0
    if strides == 0 and min(ground.landing_m, ground.take_off_m) > HAIR_M:
        share = ground.length_m / both
    elif alone and strides and ground.length_m - both < strides * LEAST * stride_m:
        share = ground.length_m / (both + strides * stride_m)
    elif both > ground.length_m:
        share = ground.length_m / both
    return LegGround(ground.length_m, ground.landing_m * share, ground.take_off_m * share)


HAIR_M = 1e-6
"""Metres of landing or take-off that are none."""
LEAST = 1 / 3
"""Of a stride: less than this is none."""


def spots(
    curve: Curve,
    ground: LegGround,
    stretches: tuple[Stretch, ...],
    strides: int | None,
    transition: Transition | None,
    carried: Carried,
    stride_m: float,
) -> tuple[Spot, ...]:
    """The spots of a leg in order. `strides` are those that the file says."""
    found: list[Spot] = []
    first = ground.landing_m
    last = max(ground.length_m - ground.take_off_m, first)
    if first > 0:
        found.append(Spot("landing", first, first, 0, stretches[0].gait, 0))
    at = first
    for index, stretch in enumerate(stretches):
        begin = max(stretch.begin_m, first)
        end = min(stretch.end_m, last)
        if stretch.gait == "halt":
            found.append(Spot("halt", begin, begin - at, 0, "halt", index))
            at = begin
            continue
        count = _count(end - begin, stretch, stretches, index, strides, transition, stride_m)
        what: What = "stride" if stretch.gait == "canter" else "step"
        each = (end - begin) / count if count else 0.0
        for n in range(1, count + 1):
            place = begin + n * each
            found.append(Spot(what, place, place - at, n, stretch.gait, index))
            at = place
    if ground.take_off_m > 0:
        found.append(Spot("take-off", last, last - at, 0, stretches[-1].gait, len(stretches) - 1))
    return _told(found, curve, stretches, carried)


def _count(
    length: float,
    stretch: Stretch,
    stretches: tuple[Stretch, ...],
    index: int,
    strides: int | None,
    transition: Transition | None,
    stride_m: float,
) -> int:
    """Strides or steps in a stretch of `length` metres."""
    if length <= 0:
        return 0
    alone = len(stretches) == 1
    if alone and strides is not None:
        return strides
    if stretch.gait != "canter":
        middle = transition is not None and index == 1
        if middle and transition is not None and not transition.seconds:
            return steps_said(transition)
        return max(1, round(length / step_of(stretch.gait, stride_m)))
    if transition is not None:
        # Coming back and striking off a horse shortens: a part of a stride is one more.
        return max(1, math.ceil(length / stride_m - A_LITTLE_OVER))
    return max(1, round(length / stride_m))


A_LITTLE_OVER = 0.2
"""Of a stride: so much is spread over the others (common practice, no source)."""


def _told(
    found: list[Spot], curve: Curve, stretches: tuple[Stretch, ...], carried: Carried
) -> tuple[Spot, ...]:
    """The spots with bend, lead, speed and clock."""
    if not found:
        return ()
    _, _, _, bends = curve.locate(np.array([spot.at_m for spot in found]))
    out = []
    for spot, bend in zip(found, bends, strict=True):
        stretch = stretches[spot.stretch]
        speed = stretch.length_m / stretch.seconds if stretch.seconds else 0.0
        before = sum(earlier.seconds for earlier in stretches[: spot.stretch])
        clock = before + ((spot.at_m - stretch.begin_m) / speed if speed else 0.0)
        lead = carried.at(spot.at_m) if spot.gait == "canter" else None
        out.append(replace(spot, bend=float(bend), lead=lead, speed=speed, clock=clock))
    return tuple(out)
