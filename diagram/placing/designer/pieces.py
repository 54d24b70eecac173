"""Pieces: fences that lines and bends tie together, and the shapes that each piece can have.

A piece is placed in one go. A line has one shape. A bend whose angle nobody said has several, one
for each angle tried; bends of one piece get the same angle, since what is said alike comes out
alike.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from diagram.geometry.bend import bend, bend_of
from diagram.geometry.corner import arc_pieces, run
from diagram.geometry.curve import Curve
from diagram.geometry.pose import Pose, wrap
from diagram.geometry.region import ALIKE
from diagram.solver.relations import Bending, Beyond, Problem, Straight

UNSAID_M = 20.0
"""Metres taken for a line of which no length is said."""
ANGLES_DEG = (90, 60, 45, 72, 30, 120, 40, 18)
"""Angles tried for a bend that says none; a quarter first, of which four make a circle. The last
is what a bend of three strides has room for."""
WIDE_ROUND = 1.6
"""A bend said to be round is on a circle at most so much wider than is liked, some 30 m for horses;
on a larger one they take the step of a line (common practice, no source)."""
CLOSES_M = 0.05
"""How nearly a ring of bends has to close of itself for its shape to count as found."""
NEARLY_CLOSES_M = 3.0
EVEN_BENDS, SPARE_M = 9, 0.05
"""Bends tried between fences that are ridden in another count as well, the widest first, and the
metres that are left over of what that may be long."""

Tie = Straight | Bending | Beyond


class Shape(Struct, frozen=True):
    """Poses of the bodies of a piece in its own frame: x along the line that goes on a carrier.

    `off_m` is how far the ties of a ring of bends are from closing.
    """

    poses: tuple[Pose, ...]
    off_m: float
    bent: bool


class Piece(Struct, frozen=True):
    """Numbers of the bodies that are placed in one go, and the shapes they may take."""

    bodies: tuple[int, ...]
    shapes: tuple[Shape, ...]


def pieces_of(problem: Problem) -> tuple[Piece, ...]:
    """The pieces of a problem, in the order of the ride."""
    group = list(range(len(problem.bodies)))
    ties = [r for r in problem.relations if isinstance(r, Tie) and not getattr(r, "given", False)]
    for tie in ties:
        first, second = problem.indices_of(tie)
        old, new = max(group[first], group[second]), min(group[first], group[second])
        group = [new if g == old else g for g in group]
    x0, y0, x1, y1 = problem.region.bounds
    slant = math.atan2(min(x1 - x0, y1 - y0), max(x1 - x0, y1 - y0))
    members: dict[int, list[int]] = {}
    for body in _ridden_order(problem):
        members.setdefault(group[body], []).append(body)
    return tuple(
        Piece(tuple(bodies), tuple(_shapes(bodies, [
            t for t in ties if group[problem.indices_of(t)[0]] == group[bodies[0]]
        ], slant)))
        for bodies in members.values()
    )  # fmt: skip


def _ridden_order(problem: Problem) -> list[int]:
    """Numbers of the bodies as the ride first comes to them."""
    seen: list[int] = []
    for relation in problem.relations:
        if isinstance(relation, Tie) or hasattr(relation, "second"):
            seen += problem.indices_of(relation)
    return list(dict.fromkeys([*seen, *range(len(problem.bodies))]))


def _shapes(bodies: list[int], ties: list[Tie], slant: float) -> Iterator[Shape]:
    """Each shape, once for every line of the piece that may lie on the carrier.

    A bend may also take the angle from an outside line to the diagonal, at a `slant` to it.
    """
    free = any(isinstance(tie, Bending) and tie.turn is None for tie in ties)
    angles = (*map(math.radians, ANGLES_DEG), slant, math.pi / 2 - slant) if free else (0.0,)
    fair = [angle for angle in angles if all(_has_room(tie, angle) for tie in ties)]
    found = [_chained(bodies, ties, angle) for angle in fair or angles]
    closing = [f for f in found if f[1] < CLOSES_M] or [
        f for f in found if f[1] < max(NEARLY_CLOSES_M, 1.01 * min(off for _, off in found))
    ]
    for poses, off in closing:
        frames = _frames(bodies, poses, ties)
        for frame in frames:
            seen = tuple(poses[body].seen_from(frame) for body in bodies)
            yield Shape(seen, off, any(isinstance(tie, Bending) for tie in ties))


def _chained(bodies: list[int], ties: list[Tie], angle: float) -> tuple[dict[int, Pose], float]:
    """Poses with the first body at the origin, and the metres by which other ties are off."""
    poses = {bodies[0]: Pose(0.0, 0.0, 0.0)}
    left = list(ties)
    off = 0.0
    while left:
        ready = next((t for t in left if _ends(t)[0] in poses or _ends(t)[1] in poses), None)
        if ready is None:
            break
        left.remove(ready)
        first, second = _ends(ready)
        way = _way(ready, angle, _other_counts(ties, ready))
        if first in poses and second in poses:
            off = max(off, _off(ready, poses, way))
        elif first in poses:
            poses[second] = _second(ready, poses[first], way)
        else:
            poses[first] = _first(ready, poses[second], way)
    return poses, off


def _has_room(tie: Tie, angle: float) -> bool:
    """Whether a bend of its length can turn so far, with its straights and no tighter than fair."""
    if not isinstance(tie, Bending) or tie.length is None or tie.between is not None:
        return True
    turn = angle if tie.turn is None else tie.turn
    if tie.round:
        widest = tie.liked[0] * WIDE_ROUND if tie.liked else math.inf
        return tie.radius * turn - ALIKE <= tie.length <= widest * turn + ALIKE
    return tie.length - 2 * tie.straight >= tie.radius * float(run(turn)) - ALIKE


def _ends(tie: Tie) -> tuple[int, int]:
    if isinstance(tie, Beyond):
        return tie.first, tie.second
    return tie.first.body, tie.second.body


def _other_counts(ties: list[Tie], of: Tie) -> list[Bending]:
    """The ways over the same two fences in other counts."""
    bends = [tie for tie in ties if isinstance(tie, Bending) and tie.between is not None]
    return [tie for tie in bends if _ends(tie) == _ends(of)]


def _way(tie: Tie, angle: float, others: list[Bending]) -> Pose:
    """The second end as seen from the first; `others` are the same way in other counts."""
    if isinstance(tie, Beyond):
        return tie.offset
    length = tie.length
    if isinstance(tie, Straight):
        return Pose(max(tie.least, UNSAID_M) if length is None else length, 0.0, 0.0)
    if length is None:
        length = sum(tie.between) / 2 if tie.between else UNSAID_M
    turn = (angle if tie.turn is None else tie.turn) * (1 if tie.left else -1)
    if tie.round:
        radius = tie.exact or length / abs(turn)
        return Curve.of(Pose(0.0, 0.0, 0.0), arc_pieces(turn, radius)).end
    straight = tie.straight if _has_room(tie, angle) else min(tie.straight, length / 4)
    most = max((length - tie.radius * float(run(abs(turn)))) / 2, straight)
    tried = np.linspace(straight, most, EVEN_BENDS) if others else (straight,)
    ways = [bend_of(Pose(0.0, 0.0, 0.0), turn, length, s, tie.radius).end for s in tried]
    return min(ways, key=lambda way: round(sum(_count_off(tie, way, o) for o in others), 3))


def _count_off(tie: Bending, way: Pose, other: Bending) -> float:
    """Metres by which no bend in another count comes near its length, from where these ends are."""
    start = other.first.pose.placed_in(_inverse(tie.first.pose))
    end = other.second.pose.placed_in(_inverse(tie.second.pose).placed_in(way))
    found = bend(start, end, other.straight, other.radius)
    if found is None or other.between is None:
        return NEARLY_CLOSES_M
    low, high = other.between
    return max(found.shortest + SPARE_M - high, low + SPARE_M - found.longest, 0.0)


def _second(tie: Tie, first: Pose, way: Pose) -> Pose:
    if isinstance(tie, Beyond):
        return way.placed_in(first)
    end = way.placed_in(tie.first.pose.placed_in(first))
    return _inverse(tie.second.pose).placed_in(end)


def _first(tie: Tie, second: Pose, way: Pose) -> Pose:
    if isinstance(tie, Beyond):
        return _inverse(way).placed_in(second)
    start = _inverse(way).placed_in(tie.second.pose.placed_in(second))
    return _inverse(tie.first.pose).placed_in(start)


def _inverse(pose: Pose) -> Pose:
    return Pose(0.0, 0.0, 0.0).seen_from(pose)


def _off(tie: Tie, poses: dict[int, Pose], way: Pose) -> float:
    """Metres that a tie between two that stand is off; ways of another count do not matter."""
    if isinstance(tie, Bending) and (tie.between is not None or tie.length is None):
        return 0.0
    first, second = _ends(tie)
    found = _second(tie, poses[first], way).seen_from(poses[second])
    return math.hypot(found.x, found.y) + abs(found.heading) * 5


def _frames(bodies: list[int], poses: dict[int, Pose], ties: list[Tie]) -> list[Pose]:
    """Poses that a carrier may take hold of: on each line, facing as ridden, amid the whole piece.

    Lines of the same direction count once. A piece of bends alone is held by its middle as well.
    """
    out: list[Pose] = []
    for tie in ties:
        if isinstance(tie, Straight):
            one = tie.first.pose.placed_in(poses[tie.first.body])
            other = tie.second.pose.placed_in(poses[tie.second.body])
            line = Pose((one.x + other.x) / 2, (one.y + other.y) / 2, one.heading)
            along = [poses[body].seen_from(line).x for body in bodies]
            out.append(line.ahead((max(along) + min(along)) / 2))
    if not out:
        xs, ys = [poses[b].x for b in bodies], [poses[b].y for b in bodies]
        middle = (max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2
        # A ring of bends stands as well with its fences between the sides as against them.
        ring = len(ties) >= len(bodies) > 2
        for turn in (0.0, math.pi / 4) if ring else (0.0,):
            out.append(Pose(*middle, poses[bodies[0]].heading + turn))
    kept: list[Pose] = []
    for pose in out:
        # A line the other way round, or a parallel one, brings no other state of the piece.
        alike = [k for k in kept if abs(wrap(2 * (k.heading - pose.heading))) < 1e-6]
        if not any(abs(pose.seen_from(k).y) < 1e-6 for k in alike):
            kept.append(pose)
    return kept
