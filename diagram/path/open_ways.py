"""The way to the first fence and the way from the last: ridden, as all the rest is.

A start comes along the rail, the way a horse goes round an arena, turns in on one arc or two and
is straight before the fence; or along the line of the fence itself where that runs beside a rail
or is long enough; or through the gate. Where no fair turn leads to the fence on the lead carried,
it begins further along, straight before the fence, with as many strides as there is room for. A
finish is the same ridden backwards: straight, round with the rail, and along it to the downward
transition. Many are tried in closed form (`arcs`), priced in metres, and the cheapest is taken.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache
from typing import Any

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from diagram.geometry.curve import Curve, CurvePiece, Floats
from diagram.geometry.pose import Point, Pose
from diagram.geometry.region import first_least
from diagram.path.arcs import Pairs, Places, Ways, arc_line_arc, one_arc
from diagram.path.limits import GaitLimits
from diagram.path.measures import SAME_RADIUS_M, SAME_STRIDE
from diagram.path.open_prices import (
    GLANCE,
    LOOK,
    OTHER_HAND,
    WantedWay,
    floor_of,
    place_price,
    shape_price,
    wall_price,
    walls_price,
)
from diagram.path.room import BROKEN, FARTHEST, FREE_AFTER, NEAR_RAIL, Room
from diagram.trade import gaits

LOOK_M = 0.25
BEHIND = 3
"""Strides that a start goes on backwards inside the arena: the horse came from somewhere."""
AT_LEAST = 4
"""Strides that it is straight before a fence that no fair turn leads to, if there is room."""
APART_M = 2.0
"""Metres between the places along a rail that are tried."""
INTO = (2, 3, 4, 5, 7, 9, 12)
"""Straight strides beside the fence that are tried."""
AWAY_FROM_RAIL = 15.0
"""Price of a straight way in the middle of nowhere."""
WITH = math.radians(10)
"""A line that lies with a rail to this lies with it."""
OFF_A_WALL = 1e5
"""Price of a start straight off a wall: only where nothing else joins at all."""
REMEMBERED = 1024
"""Ways that are known when they are asked for again in the same room."""
LOOKED_OVER, LOOKED_AT = 128, 16
"""Ways that are glanced at together, and looked at together."""
STEPS = ((1.0, 2.0, 1.0), (0.5, 1.0, 0.5), (0.25, 0.5, 0.25))
"""Metres along the rail, before the fence and of radius by which the best is moved about."""


NO_DETOUR = math.radians(150)
"""Turned in all by a way that simply meets a rail and goes along it: more comes about."""


class _Found(Struct, frozen=True):
    """A way in, its price in metres, and whether it is fair: no tighter than is wanted, a straight
    stride at least, and not on the outside lead."""

    curve: Curve
    price: float
    fair: bool = True


@lru_cache(maxsize=REMEMBERED)
def way_in(end: Pose, wanted: WantedWay, room: Room, limits: GaitLimits) -> Curve:
    """The way from the start to the first fence, which is come to at `end`."""
    return _cheapest(end, wanted, room, limits).curve


def way_out(start: Pose, wanted: WantedWay, room: Room, limits: GaitLimits) -> Curve:
    """The way from the last fence, left at `start`, to the finish."""
    left = None if wanted.left is None else not wanted.left
    back = way_in(start.reversed(), replace(wanted, left=left), room, limits)
    pieces = tuple(CurvePiece(p.length, -p.k1, -p.k0) for p in reversed(back.pieces))
    # Laid from the fence, so that the way begins on it exactly.
    return Curve.of(start, pieces)


def _cheapest(end: Pose, wanted: WantedWay, room: Room, limits: GaitLimits) -> _Found:
    straight = _straight(end, wanted, room, limits)
    if wanted.straight_on:
        return straight
    turned = _from_the_rail(end, wanted, room, limits)
    if turned is None:
        return straight
    if wanted.begin is not None or wanted.side is not None or wanted.only:
        return turned
    if not turned.fair:
        return straight
    if wanted.rail and _turned(turned.curve) <= NO_DETOUR:
        return turned
    return min((straight, turned), key=lambda way: round(way.price, 6))


def _turned(curve: Curve) -> float:
    """Radians turned in all, to either hand."""
    return sum(abs(piece.turn) for piece in curve.pieces)


def _straight(end: Pose, wanted: WantedWay, room: Room, limits: GaitLimits) -> _Found:
    """Straight along the line of the fence, as far as there is room for it."""
    back, stride, manner = end.reversed(), limits.stride_m, limits.manner
    clear = max(_clear_ahead(back, room, manner.rail), 0.5)
    behind = 0.0 if wanted.straight_on else BEHIND * stride
    least = limits.landing_m + AT_LEAST * stride
    length = min(wanted.strides * stride, max(clear - behind, min(clear, least)))
    curve = Curve.straight(end.ahead(-length), length)
    price = BROKEN * max(wanted.strides - length / stride, 0.0)
    if clear < behind + stride:
        price += OFF_A_WALL
    along = 1.0 if _beside_a_rail(end, room) else 0.0
    price += AWAY_FROM_RAIL * (1.0 - along) * max(0.0, 1.0 - clear / 40.0)
    price += place_price(np.array([complex(*curve.start.point)]), wanted)[0]
    points = _points_of(curve)
    free = np.abs(points - complex(*end.point)) <= FREE_AFTER
    price += float(wall_price(points, free, room, limits))
    return _Found(curve, price)


def _clear_ahead(pose: Pose, room: Room, rail: float) -> float:
    """Metres straight ahead until a rail is `rail` metres away, measured square to it."""
    far = min(room.region.ray_length(pose.point, pose.direction), FARTHEST)
    s = np.arange(0.0, far + LOOK_M, LOOK_M)
    (x, y), (c, d) = pose.point, pose.direction
    inside = room.region.inside(np.stack([x + s * c, y + s * d], axis=1))
    # A fence may stand nearer to a rail than the way on from it comes again.
    near = (inside < rail - 1e-9) & (np.diff(inside, prepend=inside[0]) < 0)
    if not near.any():
        return far
    first = int(near.argmax())
    if first == 0:
        return 0.0
    before, after = inside[first - 1], inside[first]
    share = (before - rail) / (before - after) if before > rail else 0.0
    return float(s[first - 1] + share * LOOK_M)


def _beside_a_rail(end: Pose, room: Room) -> bool:
    for (ax, ay), (bx, by) in room.region.edges:
        heading = math.atan2(by - ay, bx - ax)
        off = -(end.x - ax) * math.sin(heading) + (end.y - ay) * math.cos(heading)
        if abs(math.sin(end.heading - heading)) < math.sin(WITH) and 0 < off < NEAR_RAIL:
            return True
    return False


def _from_the_rail(end: Pose, wanted: WantedWay, room: Room, limits: GaitLimits) -> _Found | None:
    """The best way in that comes along a rail, or through a gate, and turns in."""
    pairs, behind = _begins(end, wanted, room, limits)
    if not len(behind):
        return None
    manner, stride = limits.manner, limits.stride_m
    into = np.array([limits.landing_m + count * stride for count in INTO])
    radii = np.array([r for r in manner.tried if r <= manner.liked_radius * 1.3])
    best: _Best | None = None
    for some in _liked_hand_first(pairs, wanted):
        if not len(some) or (best is not None and best[0] <= OTHER_HAND):
            continue
        shape = (len(some), len(into), len(radii))
        tried = [np.broadcast_to(into[None, :, None], shape), np.broadcast_to(radii, shape)]
        spread, room_back = pairs[some][:, None, None], behind[some][:, None, None]
        floor = floor_of(pairs.start[some], into, end, room, limits)
        found = _priced(spread, room_back, tried, end, wanted, room, limits, floor)
        if found is not None and (best is None or found[0] < best[0]):
            best = found
    if best is None:
        return None
    for steps in STEPS:
        again = _priced(*_moved(best, *steps, limits), end, wanted, room, limits)
        if again is not None and again[0] < best[0] - 1e-6:
            best = again
    price, ways, out, _ = best
    lines = np.array(ways.lines)
    pairs = ways.pairs
    # Lengthened backwards along the rail, to as many strides as are wanted.
    start = Pose(float(pairs.start.real), float(pairs.start.imag), float(pairs.facing)).ahead(-out)
    lines[0] += out
    way = Ways(Pairs.of(start, end, float(pairs.hand) > 0)[0], lines, ways.arcs, ways.radius)
    curve = way.curve(())
    return _Found(curve, price, _is_fair(curve, way, wanted, room, limits))


def _liked_hand_first(pairs: Pairs, wanted: WantedWay) -> tuple[NDArray[np.intp], ...]:
    """Places that turn to the hand of the lead, and the others, which cost OTHER_HAND at least."""
    if wanted.left is None:
        return (np.arange(len(pairs.hand)),)
    liked = (pairs.hand > 0) == wanted.left
    return np.flatnonzero(liked), np.flatnonzero(~liked)


def _is_fair(curve: Curve, way: Ways, wanted: WantedWay, room: Room, limits: GaitLimits) -> bool:
    """Whether a way in is inside, as wide as is wanted, straight for a stride, and on the lead."""
    depth = float(room.region.inside(curve.points(0.5)).min())
    straight = (float(way.lines[3]) - limits.landing_m) / limits.stride_m
    inside = wanted.left is None or (float(way.pairs.hand) > 0) == wanted.left
    wide = float(way.radius) >= limits.manner.least_radius - SAME_RADIUS_M
    kept = depth >= limits.manner.rail - SAME_RADIUS_M
    return kept and inside and wide and straight >= 1 - SAME_STRIDE


_Numbers = NDArray[Any]
NOTHING = np.array(0.0)
_Best = tuple[float, Ways, float, float]
"""Price, the way from where its turn begins, metres ridden along the rail before, and behind."""


def _begins(end: Pose, wanted: WantedWay, room: Room, limits: GaitLimits) -> tuple[Pairs, Floats]:
    """Places along the rails where a turn may begin, both ways round, and the metres behind each
    that a horse may have come along; or the one place said."""
    if wanted.begin is not None:
        both = _pairs([clear_of_gate(wanted.begin, limits)] * 2, np.array([1.0, -1.0]), end)
        return both, np.full(2, limits.stride_m)
    track = gaits.clearance("track to rail")
    poses: list[Pose] = []
    hands: list[float] = []
    behind: list[float] = []
    for (ax, ay), (bx, by) in room.region.edges:
        if wanted.side is not None and not _same_side(((ax, ay), (bx, by)), wanted.side):
            continue
        length, heading = math.dist((ax, ay), (bx, by)), math.atan2(by - ay, bx - ax)
        corner = Pose(ax, ay, heading)
        count = int(length / APART_M)
        for n in range(1, count + 1):
            at = length * n / (count + 1)
            places = [corner.ahead(at, rail) for rail in (track.typical, track.low)]
            tried = [(place, 1.0, at) for place in places]
            tried += [(place.reversed(), -1.0, length - at) for place in places]
            for pose, hand, back in tried:
                if wanted.only and wanted.left is not None and (hand > 0) != wanted.left:
                    continue
                free = back - limits.manner.rail - BEHIND * limits.stride_m
                if free >= 0:
                    poses.append(pose)
                    hands.append(hand)
                    behind.append(free)
    return _pairs(poses, np.array(hands), end), np.array(behind)


def clear_of_gate(gate: Pose, limits: GaitLimits) -> Pose:
    """Where a ride that comes in through a gate may turn: it begins clear of the rail, and keeps
    straight for a stride."""
    return gate.ahead(limits.manner.rail + limits.stride_m)


def _same_side(edge: tuple[Point, Point], side: tuple[Point, Point]) -> bool:
    ends = {(round(x, 6), round(y, 6)) for x, y in edge}
    return ends == {(round(x, 6), round(y, 6)) for x, y in side}


def _pairs(poses: list[Pose], hands: Floats, end: Pose) -> Pairs:
    count = len(poses)
    return Pairs(
        np.array([complex(p.x, p.y) for p in poses], dtype=np.complex128),
        np.array([p.heading for p in poses], dtype=np.float64),
        np.full(count, complex(end.x, end.y)),
        np.full(count, end.heading),
        hands,
    )


def _moved(
    best: _Best, along: float, before: float, around: float, limits: GaitLimits
) -> tuple[Pairs, Floats, list[Floats]]:
    """The best and its neighbours: moved along the rail, straighter, wider or tighter."""
    _, ways, _, free = best
    shift, more, wider = (
        grid.ravel()
        for grid in np.meshgrid(
            np.array([-along, 0.0, along]), np.array([-before, 0.0, before]),
            np.array([-around, 0.0, around]), indexing="ij",
        )
    )  # fmt: skip
    pairs = ways.pairs
    count = len(shift)
    start = pairs.start + shift * np.exp(1j * pairs.facing)
    spread = Pairs(start, *(np.full(count, getattr(pairs, name)) for name in pairs.names[1:]))
    into = np.maximum(float(ways.lines[3]) + more, limits.landing_m)
    radius = np.maximum(float(ways.radius) + wider, min(limits.manner.tried))
    return spread, free + shift, [into, radius]


def _priced(
    pairs: Pairs, behind: Floats, tried: list[Floats], end: Pose, wanted: WantedWay,
    room: Room, limits: GaitLimits, floor: Floats = NOTHING,
) -> _Best | None:  # fmt: skip
    """The cheapest of ways in that begin their turn at the pairs; for rails and fences each pays
    `floor` at least."""
    into, radius = tried
    fence = complex(end.x, end.y)
    best: _Best | None = None
    # The radius of a single arc follows from its straights.
    single = into[..., :1] if into.ndim > 1 else into
    shapes = [
        arc_line_arc(pairs, NOTHING, into, radius),
        one_arc(pairs, single),
        arc_line_arc(pairs, NOTHING, into, radius, last=-1),
    ]
    if wanted.begin is not None:
        # From a rail there is nothing to open out to; from a gate there is.
        shapes.append(arc_line_arc(pairs, NOTHING, into, radius, first=-1))
    for ways in shapes:
        free = np.broadcast_to(behind, ways.radius.shape)
        price, out = shape_price(ways, free, wanted, room, limits)
        floors = (price + floor).ravel()
        order = np.flatnonzero(np.isfinite(floors))
        order = order[np.argsort(floors[order], kind="stable")]
        flat, outs, frees, costs = ways.flat(), out.ravel(), free.ravel(), price.ravel()
        for block in _cut(order, LOOKED_OVER):
            if best is not None and floors[block[0]] >= best[0]:
                break
            # Fewer places of the same ways: they are never dearer than all of them.
            glanced = walls_price(flat[block], outs[block], GLANCE, fence, room, limits)
            least = np.maximum(costs[block] + glanced, floors[block])
            block = block[np.argsort(least, kind="stable")]
            least = np.sort(least, kind="stable")
            for some, bound in zip(_cut(block, LOOKED_AT), _cut(least, LOOKED_AT), strict=True):
                if best is not None and bound[0] >= best[0]:
                    break
                walls = walls_price(flat[some], outs[some], LOOK, fence, room, limits)
                totals = costs[some] + walls
                first = int(first_least(totals))
                if best is None or totals[first] < best[0]:
                    n = some[first]
                    best = float(totals[first]), flat[n], float(outs[n]), float(frees[n])
    return best


def _cut(numbers: _Numbers, size: int) -> Iterator[_Numbers]:
    """A row in pieces of `size`."""
    return (numbers[at : at + size] for at in range(0, len(numbers), size))


def _points_of(curve: Curve) -> Places:
    points = curve.points(1.0)
    return points[:, 0] + 1j * points[:, 1]
