"""The points that tapes are held to: what stands in the arena for good, and the feet of fences.

Every point has a name that a crew can find it by: ``corner yard end / hedge side``,
``gate post hedge side``, ``letter K``, ``old oak``, ``birch left front``. The names are the
same on the sheet, in its CSV, and in the file of measured tapes.
"""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct

from diagram.exercise.arena import Arena
from diagram.exercise.fence import PlacedFence
from diagram.geometry.pose import Point, Pose
from diagram.planning import Plan

Side = Literal["left", "right"]
Row = Literal["", "front", "middle", "back"]

ROWS: dict[int, tuple[Row, ...]] = {
    1: ("",),
    2: ("front", "back"),
    3: ("front", "middle", "back"),
}
"""What the rows of standards of a fence are called, first jumped first."""

ON_THE_RAIL = 0.05
"""Metres from the rail up to which a letter is taken to hang on it."""


class Foot(Struct, frozen=True):
    """The foot of one standard, on the ground under the end of the pole; of a fence without
    standards, the end of its pole. Left and right as seen when the fence is first jumped."""

    fence: str
    side: Side
    row: Row
    point: Point

    @property
    def name(self) -> str:
        """``birch left``, ``hazel right back``."""
        return " ".join(word for word in (self.fence, self.side, self.row) if word)


class RowPoint(Struct, frozen=True):
    """The middle of one row of standards, between their feet."""

    fence: str
    row: Row

    @property
    def name(self) -> str:
        """``middle of hub`` is in its front row, as first jumped; ``back of birch`` behind it."""
        where = {"": "middle", "front": "middle", "middle": "middle row", "back": "back"}
        return f"{where[self.row]} of {self.fence}"


def fixed_points(arena: Arena) -> dict[str, Point]:
    """What a tape can be held to before any fence stands: corners, gate posts, letters, posts.

    Letters are those on the rail: nothing marks D, L, X, I and G on the ground. A letter in the
    middle of the gate is left out, because it is moved when the gate opens.
    """
    points = {**corners(arena), **_gate_posts(arena)}
    for letter, at in arena.letters.items():
        if arena.region.depth(at) < ON_THE_RAIL and not (arena.gate and arena.gate.spans(at)):
            points[f"letter {letter}"] = at
    for name, at in arena.posts.items():
        points[name if name not in points else f"post {name}"] = at
    return points


def corners(arena: Arena) -> dict[str, Point]:
    """Corners by the two sides that meet there, the shorter side first."""
    sides = list(arena.sides.items())
    out: dict[str, Point] = {}
    for (before, (a, corner)), (after, (_, b)) in zip(sides, sides[1:] + sides[:1], strict=True):
        pair = [before, after]
        if math.dist(a, corner) > math.dist(corner, b):
            pair.reverse()
        out[f"corner {pair[0]} / {pair[1]}"] = corner
    return out


def _gate_posts(arena: Arena) -> dict[str, Point]:
    """Both posts of the gate, each by the neighbouring side that it is nearer to."""
    gate = arena.gate
    if gate is None:
        return {}
    names = list(arena.sides)
    at = names.index(gate.side)
    begin, _ = arena.sides[gate.side]
    (x, y), (dx, dy), half = gate.middle, gate.direction, gate.width / 2
    posts = sorted(
        ((x - dx * half, y - dy * half), (x + dx * half, y + dy * half)),
        key=lambda post: math.dist(begin, post),
    )
    neighbours = (names[at - 1], names[(at + 1) % len(names)])
    return {f"gate post {side}": post for side, post in zip(neighbours, posts, strict=True)}


def as_first_jumped(plan: Plan, placed: PlacedFence) -> Pose:
    """The fence's pose, facing the way it is first jumped; as it faces where it never is."""
    first = plan.first_jumps.get(placed.name)
    return placed.pose.reversed() if first and first.jump.from_behind else placed.pose


def row_places(plan: Plan, placed: PlacedFence) -> dict[RowPoint, Point]:
    """The middle of each row of a fence, first jumped first."""
    pose = as_first_jumped(plan, placed)
    planes = placed.fence.parts.planes or (0.0,)
    rows = ROWS[len(planes)]
    return {
        RowPoint(placed.name, row): pose.ahead(x).point for x, row in zip(planes, rows, strict=True)
    }


def feet_of(placed: PlacedFence, pose: Pose) -> tuple[Foot, ...]:
    """The feet of one fence, front row first, left before right, as seen facing with `pose`."""
    half = placed.fence.measures.width_m / 2
    planes = placed.fence.parts.planes or (0.0,)
    return tuple(
        Foot(placed.name, side, row, pose.ahead(x, y).point)
        for x, row in zip(planes, ROWS[len(planes)], strict=True)
        for side, y in _sides(half)
    )


def _sides(half: float) -> tuple[tuple[Side, float], tuple[Side, float]]:
    return ("left", half), ("right", -half)


def fence_feet(plan: Plan) -> tuple[Foot, ...]:
    """The feet of every fence, in the order of the file."""
    return tuple(
        foot for placed in plan.fences for foot in feet_of(placed, as_first_jumped(plan, placed))
    )


def feet(plan: Plan) -> dict[str, Point]:
    """Every foot's name and its place in the arena."""
    return {foot.name: foot.point for foot in fence_feet(plan)}
