"""What an open way costs, in metres of extra track: by its shape, its place and where it runs."""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point, Pose
from diagram.path.arcs import Places, Ways, of_three
from diagram.path.limits import GaitLimits
from diagram.path.measures import SAME_STRIDE
from diagram.path.room import BROKEN, FREE_AFTER, SWERVE, TIGHT, Room

FEW_STRAIGHT, TOO_FEW_STRAIGHT = 8.0, 40.0
"""Price of each straight stride under those wanted, and under two."""
OTHER_HAND, TO_GATE = 150.0, 0.1
"""Price of turning to the other hand than the lead, and of a metre to the gate."""
ASKEW = 3.0
"""Price of a metre of straight, between two arcs, square to all rails: riders cross no corner."""
OUT_OF_PLACE = 4.0
"""Price of a metre away from where the file says."""
LOOK, GLANCE = (12, 9), (4, 3)
"""Places on each arc and each line at which a way is looked at; and a part of just these."""


class WantedWay(Struct, frozen=True):
    """What an open way should be: strides in all and straight ones; the hand it turns to (as
    ridden) and whether that is said; straight on; along one side; near a point; from a pose;
    with a rail wherever that is no detour."""

    strides: float
    straight: float
    left: bool | None = None
    only: bool = False
    straight_on: bool = False
    side: tuple[Point, Point] | None = None
    near: Point | None = None
    begin: Pose | None = None
    gate: Point | None = None
    rail: bool = False


def floor_of(starts: Places, into: Floats, end: Pose, room: Room, limits: GaitLimits) -> Floats:
    """Price (N, C, 1) that every way pays from one of N places with one of C straights before the
    fence, however it turns: for where it begins and for that straight."""
    fence, share = complex(end.x, end.y), np.linspace(0.0, 1.0, LOOK[1])
    last = fence - into[:, None] * share * np.exp(1j * end.heading)
    firsts = _too_near(starts[:, None], np.zeros((len(starts), 1), dtype=np.bool_), room, limits)
    lasts = _too_near(last, np.abs(last - fence) <= FREE_AFTER, room, limits)
    rail, fences = (
        np.maximum(first[:, None], straight) for first, straight in zip(firsts, lasts, strict=True)
    )
    price: Floats = BROKEN * (rail + fences)[..., None]
    return price


def shape_price(
    ways: Ways, behind: Floats, wanted: WantedWay, room: Room, limits: GaitLimits
) -> tuple[Floats, Floats]:
    """Price of ways by their shape and place, and metres along the rail before their turn."""
    manner, stride = limits.manner, limits.stride_m
    with np.errstate(invalid="ignore", divide="ignore"):
        out = np.clip(wanted.strides * stride - ways.length, stride, behind)
        length = out + ways.length
        price = np.abs(length - wanted.strides * stride)
        price = price + BROKEN * np.maximum(wanted.strides - 0.05 - length / stride, 0.0)
        price = price + ways.turned * manner.liked_radius**2 / np.maximum(ways.radius, 0.2)
        price = price + SWERVE * of_three(np.maximum(-ways.arcs, 0.0))
        price = price + ASKEW * ways.lines[..., 1] * _off_the_rails(ways, room)
        straight = (ways.lines[..., 3] - limits.landing_m) / stride
        price = price + FEW_STRAIGHT * np.maximum(wanted.straight - straight, 0.0)
        price = price + TOO_FEW_STRAIGHT * np.maximum(2 - SAME_STRIDE - straight, 0.0)
        price = price + BROKEN * np.maximum(1 - SAME_STRIDE - straight, 0.0)
        tight = np.maximum(manner.least_radius - ways.radius, 0.0)
        price = price + (BROKEN + TIGHT) * tight + TIGHT * tight**2
        if wanted.left is not None:
            price = price + OTHER_HAND * ((ways.pairs.hand > 0) != wanted.left)
        start = ways.pairs.start - out * np.exp(1j * ways.pairs.facing)
    price = price + place_price(start, wanted)
    good = ways.good & (behind >= stride)
    return np.where(good, price, np.inf), out


def _off_the_rails(ways: Ways, room: Room) -> Floats:
    """Sine of the angle of each straight across to the rail that it is nearest along."""
    across = ways.pairs.facing + ways.pairs.hand * ways.arcs[..., 0]
    off = np.full(across.shape, 1.0)
    for rail in room.region.headings:
        off = np.minimum(off, np.abs(np.sin(across - rail)))
    return off


def place_price(start: Places, wanted: WantedWay) -> Floats:
    """Price of where ways begin: away from where the file says, else from the gate."""
    price: Floats = np.zeros(start.shape)
    if wanted.near is not None:
        price = price + OUT_OF_PLACE * np.abs(start - complex(*wanted.near))
    elif wanted.gate is not None:
        price = price + TO_GATE * np.abs(start - complex(*wanted.gate))
    return price


def walls_price(
    ways: Ways, out: Floats, look: tuple[int, int], fence: complex, room: Room, limits: GaitLimits
) -> Floats:
    """Price of coming too near to a rail or a fence, of each way; the fence itself is no obstacle
    to the straight before it, but is to what passes it on the way there."""
    places = ways.points(*look)
    on_line = look[1]
    free = np.abs(places - fence) <= FREE_AFTER
    free[..., : 3 * on_line] = False
    free[..., 4 * on_line :] = False
    # Along the rail, before the turn begins.
    back = out[..., None] * np.linspace(0.0, 1.0, on_line)
    along = ways.pairs.start[..., None] - back * np.exp(1j * ways.pairs.facing)[..., None]
    places = np.concatenate([places, along], axis=-1)
    free = np.concatenate([free, np.zeros(along.shape, dtype=np.bool_)], axis=-1)
    return wall_price(places, free, room, limits)


def wall_price(places: Places, free: NDArray[np.bool_], room: Room, limits: GaitLimits) -> Floats:
    """Price of coming too near to a rail, or to a fence where not `free`, of rows of places."""
    rail, fences = _too_near(places, free, room, limits)
    price: Floats = BROKEN * (rail + fences)
    return price


def _too_near(
    places: Places, free: NDArray[np.bool_], room: Room, limits: GaitLimits
) -> tuple[Floats, Floats]:
    """Metres by which rows of places come too near to a rail, and to a fence where not `free`."""
    manner = limits.manner
    points = np.stack([places.real, places.imag], axis=-1)
    rail = np.maximum(manner.rail - room.region.inside(points).min(axis=-1), 0.0)
    short = np.where(free, 0.0, manner.fences - room.closeness(points, manner.fences))
    return rail, short.max(axis=-1, initial=0.0)
