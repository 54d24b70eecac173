"""First guesses: the fences put down one after another, each time in the best of many places.

The places tried are spread evenly, not at random: try number k takes the k-th member of Halton's
sequence (Halton 1960). So the same file always starts from the same places.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec.structs import replace

from diagram.geometry.corner import reaches, run
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Pose
from diagram.solver.descent import System, Weights, cost_of
from diagram.solver.relations import (
    TIES,
    Bending,
    Beyond,
    End,
    FacesMark,
    FacingIs,
    OnLine,
    PlaceIs,
    Problem,
    Straight,
    Turning,
    renumbered,
)
from diagram.solver.ways import extra_columns

PRIMES = (2, 3, 5, 7, 11, 13, 17, 19, 23, 29)
GENTLE, SHARP = math.radians(25), math.radians(95)
"""Range of turns from which a bend with no angle starts."""
USUAL_LINE_M = 20.0
PLACES, ANGLES = 24, 6
"""Tries for a fence that no other leads to, and for one at the end of a bend with no angle."""
MOST_IN_ALL, FEWEST = 4608, 8
"""Tries in all, for one fence after another, and the fewest for each guess of those that stand."""
STEPS_IN_AN_ATTEMPT = 100
CHILDREN = 4
"""Guesses of one parent that may live on, so that different beginnings do."""
ROUGH = Weights(3.0, 3.0, 0.3)

Tie = Straight | Bending | Beyond
Poses = dict[int, Floats]


def halton(first: int, count: int, dimension: int) -> Floats:
    """Members `first` to `first + count` of the sequence: in (0, 1), spread evenly."""
    base = PRIMES[dimension % len(PRIMES)]
    index = np.arange(first, first + count) + 1 + 7 * (dimension // len(PRIMES))
    out, share = np.zeros(count), 1.0
    while (index > 0).any():
        share /= base
        out += share * (index % base)
        index = index // base
    return out


def starts(problem: Problem, count: int, with_room: bool = True, attempt: int = 0) -> Floats:
    """`count` guesses (S, n) or fewer, best first; in another `attempt` other ones."""
    poses: Poses = {}
    size, most = 1, MOST_IN_ALL // len(problem.bodies)
    for step, body in enumerate(_order(problem), attempt * STEPS_IN_AN_ATTEMPT):
        tie = _tie(problem, body, poses)
        tries = min(_tries(problem, body, tie), max(FEWEST, most // size))
        parents = {number: np.repeat(pose, tries, axis=0) for number, pose in poses.items()}
        total = size * tries
        if tie is None:
            parents[body] = _root(problem, body, total, step)
        else:
            parents[body] = _follow(tie, parents, total, step)
        chosen = _survivors(problem, parents, tries, count, with_room)
        poses = {number: pose[chosen] for number, pose in parents.items()}
        size = len(chosen)
    return assembled(problem, poses)


def assembled(problem: Problem, poses: Poses) -> Floats:
    """Guesses (S, n) from poses (S, 3) by number of body."""
    unknowns = np.zeros((len(next(iter(poses.values()))), problem.size))
    for body, pose in poses.items():
        unknowns[:, 3 * body : 3 * body + 3] = pose
    for number, column in extra_columns(problem).items():
        relation = problem.relations[number]
        if isinstance(relation, Bending):
            unknowns[:, column] = relation.radius * 1.5
        elif isinstance(relation, Turning):
            unknowns[:, column : column + 2] = relation.straight * 1.3
            unknowns[:, column + 2] = relation.radius * 1.1
    return unknowns


def _order(problem: Problem) -> list[int]:
    """Pinned bodies first, then those tied to one that comes before, as the file has them."""
    pinned = [r.body for r in problem.relations if isinstance(r, PlaceIs)]
    partly = [r.body for r in problem.relations if isinstance(r, OnLine | FacingIs | FacesMark)]
    rest = list(dict.fromkeys([*pinned, *partly, *range(len(problem.bodies))]))
    out: list[int] = []
    while rest:
        tied = [body for body in rest if _tie(problem, body, dict.fromkeys(out))]
        body = rest[0] if rest[0] in pinned or not tied else tied[0]
        out.append(body)
        rest.remove(body)
    return out


def _tie(problem: Problem, body: int, placed: dict[int, Floats] | dict[int, None]) -> Tie | None:
    """A relation that leads to a body from one that stands; a stiff one before a bend."""
    if any(isinstance(r, PlaceIs) and r.body == body for r in problem.relations):
        return None
    found = [
        r
        for r in problem.relations
        if isinstance(r, TIES)
        and body in problem.indices_of(r)
        and any(other in placed and other != body for other in problem.indices_of(r))
    ]
    return min(found, key=_looseness, default=None)


def _looseness(tie: Tie) -> int:
    return (isinstance(tie, Bending) and tie.turn is None) + (not isinstance(tie, Beyond))


def _tries(problem: Problem, body: int, tie: Tie | None) -> int:
    if isinstance(tie, Bending) and tie.turn is None:
        return ANGLES
    if tie is not None:
        return 1
    whole = any(isinstance(r, PlaceIs) and r.body == body for r in problem.relations)
    return 4 if whole else PLACES


def _survivors(
    problem: Problem, poses: Poses, tries: int, count: int, with_room: bool
) -> list[int]:
    """Numbers of the best guesses so far, judged by what is asked of the bodies that stand."""
    total = len(next(iter(poses.values())))
    part, numbers = _part(problem, list(poses))
    if not part.relations and not with_room:
        return list(range(min(total, count)))
    trials = assembled(part, {numbers[body]: pose for body, pose in poses.items()})
    cost = np.round(cost_of(System.of(part), trials, ROUGH, with_room, fine=False), 6)
    kept: list[int] = []
    children: dict[int, int] = {}
    most = CHILDREN if total > tries else count
    for i in np.argsort(cost, kind="stable"):
        parent = int(i) // tries
        if children.get(parent, 0) < most:
            children[parent] = children.get(parent, 0) + 1
            kept.append(int(i))
        if len(kept) == count:
            break
    return kept


def _part(problem: Problem, standing: list[int]) -> tuple[Problem, dict[int, int]]:
    """The problem of the bodies that stand, and their numbers in it."""
    numbers = {body: n for n, body in enumerate(standing)}

    relations = tuple(
        renumbered(relation, numbers)
        for relation in problem.relations
        if all(body in numbers for body in problem.indices_of(relation))
    )
    opens = tuple(
        replace(way, end=replace(way.end, body=numbers[way.end.body]))
        for way in problem.opens
        if way.end.body in numbers
    )
    bodies = tuple(problem.bodies[body] for body in standing)
    return replace(problem, bodies=bodies, relations=relations, opens=opens), numbers


def _root(problem: Problem, body: int, count: int, step: int) -> Floats:
    """Poses (S, 3) of a body that no other leads to: as pinned, else all over the arena."""
    x0, y0, x1, y1 = problem.region.bounds
    u, v, w = (halton(11 * step, count, k) for k in range(3))
    # Half the tries look along the sides of the arena, as most fences do.
    square = np.floor(w * 8) * math.pi / 4
    heading = np.where(np.arange(count) % 2 == 0, square, w * 2 * math.pi)
    pose = np.stack([x0 + (x1 - x0) * u, y0 + (y1 - y0) * v, heading], axis=1)
    for relation in problem.relations:
        match relation:
            case PlaceIs(body=own, point=point) if own == body:
                pose[:, :2] = point
            case OnLine(body=own) if own == body:
                _put_on_line(pose, relation)
            case FacingIs(body=own, heading=facing, either=either) if own == body:
                pose[:, 2] = facing + (math.pi * (np.arange(count) % 2) if either else 0.0)
            case FacesMark(body=own, point=(x, y)) if own == body:
                pose[:, 2] = np.arctan2(y - pose[:, 1], x - pose[:, 0])
            case _:
                pass
    return pose


def _put_on_line(pose: Floats, relation: OnLine) -> None:
    """Move poses (S, 3) to the lines, by turns to the one and the other, facing either way."""
    numbers = np.arange(len(pose))
    which = numbers % len(relation.lines)
    for n, ((x, y), along) in enumerate(relation.lines):
        own = which == n
        c, s = math.cos(along), math.sin(along)
        reach = (pose[own, 0] - x) * c + (pose[own, 1] - y) * s
        pose[own, 0], pose[own, 1] = x + reach * c, y + reach * s
        if relation.along:
            flip = (numbers // len(relation.lines)) % 2
            pose[own, 2] = along + math.pi * flip[own]


def _follow(tie: Tie, poses: Poses, count: int, step: int) -> Floats:
    """Poses (S, 3) of the body at the other end of a tie."""
    if isinstance(tie, Beyond):
        if tie.first in poses:
            return _moved(poses[tie.first], _of(tie.offset))
        return _moved(poses[tie.second], _of(Pose(0, 0, 0).seen_from(tie.offset)))
    way = _way(tie, count, step)
    if tie.first.body in poses:
        return _moved(_moved(_at(tie.first, poses), way), _inverse(_of(tie.second.pose)))
    back = _moved(_at(tie.second, poses), _inverse(way))
    return _moved(back, _inverse(_of(tie.first.pose)))


def _at(end: End, poses: Poses) -> Floats:
    return _moved(poses[end.body], _of(end.pose))


def _way(tie: Straight | Bending, count: int, step: int) -> Floats:
    """Pose (S, 3) of the second end seen from the first: straight on, or round an even bend."""
    length = tie.length or USUAL_LINE_M
    if isinstance(tie, Straight):
        return np.broadcast_to(np.array([max(length, tie.least), 0.0, 0.0]), (count, 3))
    if tie.between:
        length = sum(tie.between) / 2
    share = halton(step, count, 3)
    turn = np.full(count, tie.turn) if tie.turn else GENTLE + (SHARP - GENTLE) * share
    unit, way = reaches(turn)[0], run(turn)
    radius = np.maximum((length - 2 * tie.straight) / way, np.minimum(tie.radius, length / way))
    arm = (length + radius * (2 * unit - way)) / 2
    hand = 1.0 if tie.left else -1.0
    x, y = arm + arm * np.cos(turn), arm * np.sin(turn) * hand
    return np.stack([x, y, turn * hand], axis=1)


def _of(pose: Pose) -> Floats:
    return np.array([[pose.x, pose.y, pose.heading]])


def _moved(frame: Floats, pose: Floats) -> Floats:
    """A pose in a frame as a pose in the arena; both (S, 3)."""
    c, s = np.cos(frame[:, 2]), np.sin(frame[:, 2])
    x = frame[:, 0] + c * pose[:, 0] - s * pose[:, 1]
    y = frame[:, 1] + s * pose[:, 0] + c * pose[:, 1]
    return np.stack([x, y, frame[:, 2] + pose[:, 2]], axis=1)


def _inverse(pose: Floats) -> Floats:
    c, s = np.cos(pose[:, 2]), np.sin(pose[:, 2])
    x, y = -(c * pose[:, 0] + s * pose[:, 1]), s * pose[:, 0] - c * pose[:, 1]
    return np.stack([x, y, -pose[:, 2]], axis=1)
