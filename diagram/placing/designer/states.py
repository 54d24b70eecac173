"""States of a piece: every place where its carriers and its pins let it stand.

Grids are symmetric about both axes of the arena, so that the mirrored problem has the mirrored
states. What stands in the rail, or has no straight ground before and behind it, is left out.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace
from numpy.typing import NDArray

from diagram.exercise.arena import POST_M
from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.geometry.pose import Point, Pose
from diagram.geometry.region import ALIKE, Region
from diagram.placing.designer.carriers import Carrier
from diagram.placing.designer.pieces import Piece, Shape
from diagram.solver.relations import (
    Bending,
    Body,
    End,
    FacesMark,
    FacingIs,
    OnLine,
    PlaceIs,
    Problem,
    Straight,
)
from diagram.solver.rows import Ints
from diagram.solver.turns import open_places

EDGE_M = 0.3
"""Metres by which a piece may seem to stand outside: what comes after closes that much."""
RAIL_SLACK_M, BULGE_M = 0.02, 0.3
"""Metres by which a track may be too near the rail, and by which a bend may bulge further out than
the parabola that stands for it."""
NEAR_M, NEAR_RAD = 3.0, math.radians(20)
"""How far a state may be from what a pin says of it; what comes after closes that much."""
QUARTERS = math.pi / 4
FROM_WALL_M = 3.0
"""Metres from the last fence of a carrier to the wall at its end, at the very least."""
ALONG_LINE, ALONG_BEND = np.linspace(0.0, 1.0, 9), np.linspace(0.0, 1.0, 13)


Sort = tuple[int, bool, int]
"""A carrier by number, whether it is ridden the other way, and a shape by number."""
Pin = PlaceIs | FacingIs | FacesMark | OnLine


class Grid(Struct, frozen=True):
    """How far apart places on a carrier are, in metres, and how many there are at most.

    `only` holds for some pieces, by their first body, the sorts of state that are looked at.
    """

    step: float
    most: int | None = None
    only: Mapping[int, frozenset[Sort]] = field(default_factory=dict)


class States(Struct, frozen=True):
    """S states of one piece: places (S, B) and headings (S, B) of its bodies in order.

    `carrier` (S,) is the number of the line it stands on, -1 for none, and `turned` (S,) whether
    it is ridden against that; `shape` (S,) is the number of its shape.
    """

    piece: Piece
    place: Numbers
    heading: Floats
    carrier: Ints
    turned: NDArray[np.bool_]
    shape: Ints

    def __len__(self) -> int:
        return len(self.place)

    def picked(self, which: Ints) -> States:
        """Some of the states, by number."""
        return States(
            self.piece, self.place[which], self.heading[which], self.carrier[which],
            self.turned[which], self.shape[which],
        )  # fmt: skip

    def sorts(self) -> frozenset[Sort]:
        """The carriers, ways round and shapes that occur."""
        parts = zip(self.carrier.tolist(), self.turned.tolist(), self.shape.tolist(), strict=True)
        return frozenset(parts)

    def end(self, end: End) -> tuple[Numbers, Floats]:
        """Places (S,) and headings (S,) of an end of one of the piece's bodies."""
        column = self.piece.bodies.index(end.body)
        heading = self.heading[:, column]
        offset = complex(end.pose.x, end.pose.y)
        return self.place[:, column] + np.exp(1j * heading) * offset, heading + end.pose.heading


def states_of(problem: Problem, piece: Piece, carriers: tuple[Carrier, ...], grid: Grid) -> States:
    """All states of a piece, along each carrier as far apart as the grid says."""
    pins = [r for r in problem.relations if isinstance(r, Pin) and r.body in piece.bodies]
    frames: list[tuple[complex, float, int, bool, int]] = []
    for number, shape in enumerate(piece.shapes):
        only = grid.only.get(piece.bodies[0])
        wanted = None if only is None else frozenset((c, t) for c, t, s in only if s == number)
        for pose, carrier, way in _held(problem, piece, shape, pins, carriers, grid, wanted):
            frames.append((complex(pose.x, pose.y), pose.heading, carrier, way, number))
    if not frames:
        return _none(piece)
    at, heading = np.array([f[0] for f in frames]), np.array([f[1] for f in frames])
    shape_of = np.array([f[4] for f in frames])
    within = np.array([[complex(p.x, p.y) for p in s.poses] for s in piece.shapes])[shape_of]
    turned = np.array([[p.heading for p in s.poses] for s in piece.shapes])[shape_of]
    states = States(
        piece, at[:, None] + np.exp(1j * heading)[:, None] * within, heading[:, None] + turned,
        np.array([f[2] for f in frames]), np.array([f[3] for f in frames]), shape_of,
    )  # fmt: skip
    return states.picked(_standing(problem, states, pins).nonzero()[0])


def slid(problem: Problem, state: States, carrier: Carrier, step: float, count: int) -> States:
    """The one state given, moved along its carrier by up to `count` steps of so many metres to
    either side, wherever it then stands; nearest first."""
    pins = [r for r in problem.relations if isinstance(r, Pin) and r.body in state.piece.bodies]
    along = np.array(_even(count * step, step)) * np.exp(1j * carrier.heading)
    moved = state.picked(np.zeros(len(along), dtype=np.int64))
    moved = replace(moved, place=moved.place + along[:, None])
    held = _standing(problem, moved, pins)
    return moved.picked(held.nonzero()[0]) if held.any() else state


def in_the_middle(region: Region, state: States, carrier: Carrier) -> bool:
    """Whether the one state given lies evenly about the middle of its carrier."""
    own = state.piece.shapes[int(state.shape[0])].poses[0]
    facing = np.exp(1j * (state.heading[0, 0] - own.heading))
    whole = state.place[0, 0] - facing * complex(own.x, own.y)
    along = (whole - complex(*carrier.point)) * np.exp(-1j * carrier.heading)
    return bool(abs(along.real - _span(region, carrier.point, carrier.heading)[0]) < ALIKE)


def _none(piece: Piece) -> States:
    nothing = np.zeros((0, len(piece.bodies)))
    numbers = np.zeros(0, dtype=np.int64)
    return States(piece, nothing + 0j, nothing, numbers, np.zeros(0, dtype=bool), numbers)


def _held(
    problem: Problem, piece: Piece, shape: Shape, pins: list[Pin],
    carriers: tuple[Carrier, ...], grid: Grid,
    wanted: frozenset[tuple[int, bool]] | None,
) -> list[tuple[Pose, int, bool]]:  # fmt: skip
    """Poses of the piece's frame, with the carrier and whether it is ridden the other way."""
    place = next((p for p in pins if isinstance(p, PlaceIs)), None)
    facing = next((p for p in pins if isinstance(p, FacingIs)), None)
    line = next((p for p in pins if isinstance(p, OnLine)), None)
    ahead = max(abs(p.x) for p in shape.poses)
    out: list[tuple[Pose, int, bool]] = []
    if place is not None:
        own = shape.poses[piece.bodies.index(place.body)]
        for turn in _turns(piece, shape, facing):
            back = Pose(0.0, 0.0, turn).ahead(own.x, own.y)
            out.append((Pose(place.point[0] - back.x, place.point[1] - back.y, turn), -1, False))
        return out
    if line is not None:
        own = shape.poses[piece.bodies.index(line.body)]
        for point, along in line.lines:
            for heading in _line_headings(line, along, facing):
                turned = heading - own.heading
                back = Pose(0.0, 0.0, turned).ahead(own.x, own.y)
                # What goes along the line stands even about the middle as a whole.
                whole = back.x * math.cos(along) + back.y * math.sin(along) if line.along else 0.0
                reach = ahead if line.along else 0.0
                for aside in _steps(problem.region, point, along, grid, reach):
                    x = point[0] + (aside + whole) * math.cos(along) - back.x
                    y = point[1] + (aside + whole) * math.sin(along) - back.y
                    out.append((Pose(x, y, turned), -1, False))
        return out
    for number, carrier in enumerate(carriers):
        if carrier.family == "slant" and not shape.bent:
            continue
        for way in (0.0, math.pi):
            heading = carrier.heading + way
            if wanted is not None and (number, way > 0.0) not in wanted:
                continue
            if facing is not None and not _faces(piece, shape, facing, heading):
                continue
            for aside in _steps(problem.region, carrier.point, carrier.heading, grid, ahead):
                x = carrier.point[0] + aside * math.cos(carrier.heading)
                y = carrier.point[1] + aside * math.sin(carrier.heading)
                out.append((Pose(x, y, heading), number, way > 0.0))
    if not out and facing is not None:
        out = _turned_free(problem, piece, shape, facing, grid)
    return out


def _turned_free(
    problem: Problem, piece: Piece, shape: Shape, facing: FacingIs, grid: Grid
) -> list[tuple[Pose, int, bool]]:
    """A piece that has to face where no carrier runs, all over the arena."""
    own = shape.poses[piece.bodies.index(facing.body)]
    x0, y0, x1, y1 = problem.region.bounds
    middle = (x0 + x1) / 2, (y0 + y1) / 2
    out: list[tuple[Pose, int, bool]] = []
    for turn in (0.0, math.pi) if facing.either else (0.0,):
        heading = facing.heading + turn - own.heading
        for dx in _even((x1 - x0) / 2, 2 * grid.step):
            for dy in _even((y1 - y0) / 2, 2 * grid.step):
                out.append((Pose(middle[0] + dx, middle[1] + dy, heading), -1, False))
    return out


def _turns(piece: Piece, shape: Shape, facing: FacingIs | None) -> list[float]:
    """Headings of the frame of a piece that stands at a point."""
    if facing is None:
        return [k * QUARTERS for k in range(8)]
    own = shape.poses[piece.bodies.index(facing.body)]
    return [facing.heading + t - own.heading for t in ((0.0, math.pi) if facing.either else (0.0,))]


def _line_headings(line: OnLine, along: float, facing: FacingIs | None) -> list[float]:
    if line.along:
        return [along, along + math.pi]
    if facing is not None and facing.body == line.body:
        return [facing.heading, facing.heading + math.pi] if facing.either else [facing.heading]
    return [along + k * QUARTERS for k in range(8)]


def _faces(piece: Piece, shape: Shape, facing: FacingIs, heading: float) -> bool:
    own = shape.poses[piece.bodies.index(facing.body)]
    off = heading + own.heading - facing.heading
    if facing.either:
        return abs(math.sin(off)) < math.sin(NEAR_RAD)
    return math.cos(off) > math.cos(NEAR_RAD)


def _steps(
    region: Region, point: tuple[float, float], heading: float, grid: Grid, reach: float
) -> list[float]:
    """Places along a line, even about its middle, as far as the arena goes.

    `reach` is how far from its middle what stands there goes along the line.
    """
    middle, half = _span(region, point, heading)
    far = half - reach - FROM_WALL_M
    if far <= 0.0:
        return [middle]
    step = grid.step if grid.most is None else max(grid.step, 2 * far / (grid.most - 1))
    return [middle + place for place in _even(far, step)]


def _span(region: Region, point: Point, heading: float) -> tuple[float, float]:
    """Metres along a line from a point of it to the middle of what lies in the arena, and from
    there to its end."""
    ahead = region.ray_length(point, (math.cos(heading), math.sin(heading)))
    behind = region.ray_length(point, (-math.cos(heading), -math.sin(heading)))
    ahead, behind = (x if math.isfinite(x) else 0.0 for x in (ahead, behind))
    return (ahead - behind) / 2, (ahead + behind) / 2


def _even(far: float, step: float) -> list[float]:
    count = int((far + 1e-6) // step)
    return [k * step for k in sorted(range(-count, count + 1), key=lambda k: (abs(k), k))]


def _standing(problem: Problem, states: States, pins: list[Pin]) -> np.ndarray:
    """Whether each state (S,) stands clear of rails and posts and agrees with its pins."""
    held = np.ones(len(states), dtype=bool)
    region = problem.region
    for column, number in enumerate(states.piece.bodies):
        body: Body = problem.bodies[number]
        at, facing = states.place[:, column], np.exp(1j * states.heading[:, column])
        for fence, pose in body.parts:
            placed = fence.at(pose)
            corners = np.array([complex(*placed.ground(c)) for c in placed.corners])
            held &= region.inside(pairs(at[:, None] + facing[:, None] * corners)).min(axis=1) > (
                -EDGE_M if _is_pinned(pins) else 0.0
            )
            for post in problem.posts:
                own = (complex(*post) - at) * facing.conj() - complex(pose.x, pose.y)
                own = own * np.exp(-1j * pose.heading)
                aside = np.maximum(np.abs(own.imag) - placed.reach_m, 0.0)
                gap = np.hypot(aside, own.real) - fence.depth_m / 2 - POST_M
                held &= gap > problem.limits.canter.manner.fences - EDGE_M
    for pin in pins:
        held &= _agrees(states, pin)
    return np.asarray(held if pins else held & _ridden_inside(problem, states))


def _ridden_inside(problem: Problem, states: States) -> np.ndarray:
    """Whether what is ridden of the piece keeps from the rail: lines, bends, and the ways to the
    first fence and home."""
    held = np.ones(len(states), dtype=bool)
    rail = problem.limits.canter.manner.rail - RAIL_SLACK_M
    for relation in problem.relations:
        if isinstance(relation, Straight) and relation.first.body in states.piece.bodies:
            if relation.given:
                continue
            first, last = states.end(relation.first)[0], states.end(relation.second)[0]
            places = first[:, None] + (last - first)[:, None] * ALONG_LINE
            held &= problem.region.inside(pairs(places)).min(axis=1) > rail
        if isinstance(relation, Bending) and relation.first.body in states.piece.bodies:
            if relation.given or relation.between is not None:
                continue
            places = parabola(states.end(relation.first), states.end(relation.second))
            held &= problem.region.inside(pairs(places)).min(axis=1) > rail + BULGE_M
    for way in problem.opens:
        if way.end.body in states.piece.bodies:
            place, heading = states.end(way.end)
            ahead = np.array(open_places(way, problem))
            places = place[:, None] + np.exp(1j * heading)[:, None] * ahead
            held &= problem.region.inside(pairs(places)).min(axis=1) > rail
    return held


def _is_pinned(pins: list[Pin]) -> bool:
    return any(isinstance(p, PlaceIs) for p in pins)


def _agrees(states: States, pin: Pin) -> np.ndarray:
    column = states.piece.bodies.index(pin.body)
    place, heading = states.place[:, column], states.heading[:, column]
    match pin:
        case PlaceIs(point=point):
            return np.asarray(np.abs(place - complex(*point)) < NEAR_M)
        case FacingIs(heading=wanted, either=either):
            off = np.cos(heading - wanted)
            return np.asarray((np.abs(off) if either else off) > math.cos(NEAR_RAD))
        case FacesMark(point=point):
            toward = np.angle(complex(*point) - place)
            return np.asarray(np.cos(heading - toward) > math.cos(NEAR_RAD))
        case OnLine(lines=lines):
            asides = [
                np.abs(((place - complex(*p)) * np.exp(-1j * along)).imag) for p, along in lines
            ]
            return np.asarray(np.min(asides, axis=0) < NEAR_M)


def pairs(places: Numbers) -> Floats:
    """Places (...) as coordinates (..., 2)."""
    return np.ascontiguousarray(places).view(np.float64).reshape(*places.shape, 2)


def parabola(first: tuple[Numbers, Floats], last: tuple[Numbers, Floats]) -> Numbers:
    """Places (S, K) on parabolas from ends to ends, which lie within a metre of an even bend."""
    (p, a), (q, b) = first, last
    half = np.clip(np.abs((b - a + np.pi) % (2 * np.pi) - np.pi) / 2, 0.0, 1.4)
    reach = np.abs(q - p) / 2 / np.cos(half)
    vertex = (p + reach * np.exp(1j * a))[:, None]
    s = ALONG_BEND
    found: Numbers = p[:, None] * (1 - s) ** 2 + 2 * vertex * s * (1 - s) + q[:, None] * s**2
    return found
