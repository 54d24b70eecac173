"""The way a rider goes from one fence to another when nobody has said how.

Not the shortest path: out straight, round on a bend the horse can keep, and straight again before
the fence. Nearly always that is one of the closed forms of `turns`. Where none of those keeps the
limits, because fences or rails stand in its way, routes by way of two more places are looked for
as well: laid over a grid, priced the same (`room`), and the cheapest improved by moving its
vertices in ever smaller steps. They are measured on a left turn; a right turn is the same problem
mirrored.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from diagram.geometry.curve import Curve, Floats
from diagram.geometry.pose import Pose
from diagram.geometry.region import ALIKE
from diagram.geometry.route import Sized, build, measure, samples
from diagram.path.arcs import AHEAD_M, SHORTEST_TURN, SHORTEST_TURN_BACK, Pairs
from diagram.path.measures import SAME_RADIUS_M, tightness
from diagram.path.room import BEYOND, FARTHEST, POINT, Manner, Room, Task
from diagram.path.turns import best_turns
from diagram.trade.riding import riding

BATCH = 24
CRAMPED = 0.5
"""Metres kept straight at a fence where there is no room for more."""
MOST_WALLED = 240
STEPS = (4.0, 2.0, 1.0, 0.5, 0.25, 0.1)
"""Metres that a vertex may be moved at once."""
MOST_MOVES = 40
WORTH_MOVING = 0.02
AHEAD = riding().room.ahead_of_the_corner
BESIDE_AHEAD = (AHEAD.low, AHEAD.typical)
BESIDE = riding().room.beside_the_corner.value
"""Metres ahead of and beside a fence where a rider opens out to make room for a turn."""


REMEMBERED = 1024
"""Rides whose turns are known when they are asked for again in the same room: of a file whose words
have changed, of a lesson at another height, of a change that is tried out."""


class AskedTurn(Struct, frozen=True):
    """One turn to ride: from where to where, to which hand, and in which manner."""

    start: Pose
    end: Pose
    left: bool
    manner: Manner


def natural_turn(start: Pose, end: Pose, left: bool, room: Room, manner: Manner) -> Curve:
    """The track from `start` to `end`, turning to the stated hand on balance.

    When no route keeps every limit of `manner`, the one that breaks them least; but never a
    tighter one than horses that want less room would be given.
    """
    return natural_turns([AskedTurn(start, end, left, manner)], room)[0]


def natural_turns(asked: Sequence[AskedTurn], room: Room) -> list[Curve]:
    """The track of each turn, as `natural_turn` has it; those of one manner are looked for at once,
    which takes little longer than one alone, and one asked for again is not looked for again."""
    distinct = tuple(dict.fromkeys(asked))
    found = dict(zip(distinct, _distinct_turns(distinct, room), strict=True))
    return [found[turn] for turn in asked]


# Remembered all together, as they are looked for: the last bit may depend on that.
@lru_cache(maxsize=REMEMBERED)
def _distinct_turns(asked: tuple[AskedTurn, ...], room: Room) -> tuple[Curve, ...]:
    curves = _cheapest_turns(asked, room)
    for n, turn in enumerate(asked):
        manner = turn.manner
        radius = tightness(curves[n], manner.stride).radius_m
        for easier in manner.easier():
            if radius > manner.least_radius - SAME_RADIUS_M:
                break
            (other,) = _cheapest_turns([replace(turn, manner=easier)], room)
            wider = tightness(other, manner.stride).radius_m
            if wider > radius + ALIKE:
                curves[n], radius = other, wider
    return tuple(curves)


def _cheapest_turns(asked: Sequence[AskedTurn], room: Room) -> list[Curve]:
    """In closed form, or by way of two more vertices where that keeps limits better."""
    curves: dict[int, Curve] = {}
    for manner in dict.fromkeys(turn.manner for turn in asked):
        some = [n for n, turn in enumerate(asked) if turn.manner == manner]
        pairs = Pairs.joined([Pairs.of(asked[n].start, asked[n].end, asked[n].left) for n in some])
        found = best_turns(pairs, room, manner)
        for row, n in enumerate(some):
            curves[n] = found.curve(row)
            if found.clean[row]:
                continue
            instead, price = _detour_to_hand(asked[n], room)
            if price < float(found.price[row]) - 1e-6:
                curves[n] = instead
    return [curves[n] for n in range(len(asked))]


def _detour_to_hand(turn: AskedTurn, room: Room) -> tuple[Curve, float]:
    if turn.left:
        return _detour(turn.start, turn.end, room, turn.manner)
    start, end = turn.start.mirrored(), turn.end.mirrored()
    curve, price = _detour(start, end, room.mirrored(), turn.manner)
    return curve.mirrored(), price


def _detour(start: Pose, end: Pose, room: Room, manner: Manner) -> tuple[Curve, float]:
    """A left turn by way of two more vertices, and its price."""
    task = Task(start, end, _net_turn(start, end), room, manner)
    best = _improve(task, _four_corners(task))
    sized = _measure(task, best.points[None])
    if float(sized.radii.min()) < POINT and manner.out > CRAMPED:
        # No room to go straight first: better to turn at once than on the spot.
        cramped = replace(manner, out=CRAMPED, into=CRAMPED)
        return _detour(start, end, room, cramped)[0], best.price
    # Looked-up reaches are good to 1e-4; a hair less radius keeps every line long enough.
    radii = np.maximum(sized.radii[0] * 0.9995, 1e-3)
    return build(start, best.points[1:-1], radii, end), best.price


def _net_turn(start: Pose, end: Pose) -> float:
    """Radians to the left from one heading to the other, in (15, 375] degrees.

    In (90, 450] degrees to an end that does not lie ahead.
    """
    turn = (end.heading - start.heading) % (2 * math.pi)
    ahead = end.seen_from(start).x
    least = SHORTEST_TURN if ahead > AHEAD_M else SHORTEST_TURN_BACK
    return turn if turn > least else turn + 2 * math.pi


class _Choice(Struct, frozen=True):
    """A route's points (m + 2, 2), what it costs, and what it breaks (price units)."""

    points: Floats
    price: float
    broken: float


def _ends(task: Task, count: int) -> tuple[Floats, Floats]:
    """Places for the first vertex, ahead of the start, and the last, behind the end."""
    region, manner, start, back = task.room.region, task.manner, task.start, task.end.reversed()
    ahead = min(region.ray_length(start.point, start.direction), FARTHEST)
    behind = min(region.ray_length(back.point, back.direction), FARTHEST)
    a = np.linspace(manner.out + 1, max(ahead - manner.rail, manner.out + 2), count)
    b = np.linspace(manner.into + 1, max(behind - manner.rail, manner.into + 2), count)
    first = np.array(start.point) + a[:, None] * np.array(start.direction)
    return first, np.array(back.point) + b[:, None] * np.array(back.direction)


def _four_corners(task: Task) -> _Choice:
    """The best route by way of two more vertices: on a grid, or to the sides of the fences."""
    first, last = _ends(task, 4)
    x0, y0, x1, y1 = task.room.region.bounds
    inset = task.manner.rail + 0.5
    xs, ys = np.linspace(x0 + inset, x1 - inset, 5), np.linspace(y0 + inset, y1 - inset, 4)
    grid = np.stack(np.meshgrid(xs, ys, indexing="ij"), axis=-1).reshape(-1, 2)
    beside = [
        pose.ahead(forward, left).point
        for pose in (task.start, task.end.reversed())
        for forward in BESIDE_AHEAD
        for left in (-BESIDE, BESIDE)
    ]
    grid = np.concatenate([grid, np.array(beside)])
    grid = grid[task.room.region.inside(grid) > task.manner.rail - 1.0]
    sizes = (len(first), len(grid), len(grid), len(last))
    i, j, k, m = np.indices(sizes).reshape(4, -1)
    apart = j != k
    return _cheapest(task, [first[i[apart]], grid[j[apart]], grid[k[apart]], last[m[apart]]])


def _cheapest(task: Task, vertices: list[Floats]) -> _Choice:
    """The best of many routes."""
    n = len(vertices[0])
    begin, finish = np.full((n, 2), task.start.point), np.full((n, 2), task.end.point)
    sized = _measure(task, np.stack([begin, *vertices, finish], axis=1))
    price, broken = _shape_price(task, sized)
    return _choose(task, sized, price, broken)


def _measure(task: Task, points: Floats) -> Sized:
    return measure(points, task.manner.out, task.manner.into, task.manner.widest)


def _shape_price(task: Task, sized: Sized) -> tuple[Floats, Floats]:
    price, broken = task.shape_price(
        sized.length, sized.turns, sized.radii, sized.first, sized.last
    )
    return price, broken + task.turn_price(sized.turns)


def _choose(
    task: Task, sized: Sized, price: Floats, broken: Floats, best: _Choice | None = None
) -> _Choice:
    """The cheapest of the routes, or `best` if none is worth changing for.

    Where a route runs only adds to its price, so routes are held against the walls a batch at
    a time, cheapest shape first, until the next shape alone costs more than the best found.
    """
    shape = np.round(price + broken, 9)
    order = np.argsort(shape, kind="stable")[:MOST_WALLED]
    limit = best.price - WORTH_MOVING if best else math.inf
    for first in range(0, len(order), BATCH):
        batch = order[first : first + BATCH]
        batch = batch[shape[batch] < limit]
        if not len(batch):
            break
        some = sized.pick(batch)
        middles = (some.points[:, 1:-2] + some.points[:, 2:-1]) / 2
        wall, wall_broken = task.wall_price(samples(some), middles)
        total = np.round(price[batch] + broken[batch] + wall + wall_broken, 9)
        i = int(np.argmin(total))
        if total[i] < limit:
            limit = float(total[i])
            best = _Choice(some.points[i], limit, float((broken[batch] + wall_broken)[i]))
    assert best is not None
    return best


def _improve(task: Task, best: _Choice) -> _Choice:
    """Move one vertex at a time, by whichever of STEPS pays most, while that is cheaper.

    The outer two slide along the lines of the fences; the inner ones move freely.
    """
    moves = [np.zeros_like(best.points) for _ in range(2 + 2 * (len(best.points) - 4))]
    moves[0][1], moves[1][-2] = task.start.direction, task.end.direction
    for n, move in enumerate(moves[2:]):
        move[2 + n // 2, n % 2] = 1.0
    moves += [moves[0] - moves[1]]
    ways = np.concatenate([step * sign * np.stack(moves) for step in STEPS for sign in (1, -1)])
    for _ in range(MOST_MOVES):
        routes = best.points + ways
        sized = _measure(task, routes)
        price, broken = _shape_price(task, sized)
        choice = _choose(task, sized, price, broken + _backwards(task, routes), best)
        if choice is best:
            break
        best = choice
    return best


def _backwards(task: Task, routes: Floats) -> Floats:
    """Price of an outer vertex that has slid past its fence."""
    ahead = (routes[:, 1] - routes[:, 0]) @ np.array(task.start.direction)
    behind = (routes[:, -1] - routes[:, -2]) @ np.array(task.end.direction)
    price: Floats = BEYOND * (np.maximum(0.5 - ahead, 0) + np.maximum(0.5 - behind, 0))
    return price
