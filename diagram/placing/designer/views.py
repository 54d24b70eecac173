"""Whole arrangements, or the part of them that stands so far, from states of their pieces."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from diagram.exercise.arena import POST_M
from diagram.geometry.dual import Numbers
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.states import States, parabola
from diagram.placing.designer.term import POST, Wholes
from diagram.placing.designer.turn_table import Hand, Turned, turned
from diagram.placing.designer.walls import clear_ahead
from diagram.solver.relations import End, Open, Turning
from diagram.solver.rows import Ints

APPROACH_STRIDES, GET_AWAY_STRIDES = 6, 4
ALONG_OPEN = np.linspace(0.0, 1.0, 8)
ROUND = np.linspace(0.0, 2 * np.pi, 13)
"""Places on a circle: between them the track lies out by 0.35 m at most."""


Tracks = dict[int, Numbers]
"""Places (K, P) along turns, by their number among the relations."""


def tracks_of(
    ground: DesignGround,
    states: dict[int, States],
    hands: dict[int, Hand],
    known: Tracks | None = None,
) -> Tracks:
    """Places along all turns between pieces that stand; those that are known are not reckoned."""
    known = known or {}
    return {
        number: known[number] if number in known
        else turn_between(ground, states, way, hands[number]).places()
        for number, way in ground.turns
        if ground.piece_of[way.first.body] in states and ground.piece_of[way.second.body] in states
    }  # fmt: skip


class Look(Struct, frozen=True):
    """What states of one piece look like, S of them.

    By numbers of the lines, of the bends within the piece, and of the ways before and after the
    ride: where lines begin (S,) and end (S,), and places along the others (S, P). Of the fences
    middles and directions of poles (S, F), half their widths, and half their depths.
    """

    first: dict[int, Numbers]
    last: dict[int, Numbers]
    bends: dict[int, Numbers]
    opens: dict[int, Numbers]
    middles: Numbers
    along: Numbers
    half: tuple[float, ...]
    thick: tuple[float, ...]

    def picked(self, which: Ints) -> Look:
        """Some of the states, by number."""
        first, last, bends, opens = (
            {n: places[which] for n, places in some.items()}
            for some in (self.first, self.last, self.bends, self.opens)
        )
        middles, along = self.middles[which], self.along[which]
        return Look(first, last, bends, opens, middles, along, self.half, self.thick)


def look_of(ground: DesignGround, number: int, states: States) -> Look:
    """What states of a piece, by its number, look like."""

    def own(end: End) -> bool:
        return ground.piece_of[end.body] == number

    lines = list(enumerate(ground.lines))
    opens = {
        n: _open(ground, states, way) for n, way in enumerate((ground.start, ground.finish))
        if way is not None and own(way.end)
    }  # fmt: skip
    bends = {
        n: parabola(states.end(bend.first), states.end(bend.second))
        for n, bend in enumerate(ground.bends) if own(bend.first) and own(bend.second)
    }  # fmt: skip
    middles, along, half, thick = [], [], [], []
    for column, body in enumerate(states.piece.bodies):
        facing = np.exp(1j * states.heading[:, column])
        for fence, pose in ground.problem.bodies[body].parts:
            middles.append(states.place[:, column] + facing * complex(pose.x, pose.y))
            along.append(facing * np.exp(1j * pose.heading) * 1j)
            half.append(fence.at(pose).reach_m)
            thick.append(fence.depth_m / 2)
    count = len(states)
    return Look(
        {n: states.end(line.first)[0] for n, line in lines if own(line.first)},
        {n: states.end(line.second)[0] for n, line in lines if own(line.second)},
        bends, opens, _side(middles, count), _side(along, count), tuple(half), tuple(thick),
    )  # fmt: skip


def view_of(
    ground: DesignGround,
    states: dict[int, States],
    hands: dict[int, Hand],
    tracks: Tracks | None = None,
    looks: dict[int, Look] | None = None,
) -> Wholes:
    """The view of pieces that stand (by number, K states of each), with the turns between them;
    `tracks` and `looks` where those are known."""
    count = len(next(iter(states.values())))
    numbers = sorted(states)
    found = looks or {n: look_of(ground, n, states[n]) for n in numbers}
    nowhere = np.full(count, complex(-1e6, -1e6))
    first = {n: places for look in found.values() for n, places in look.first.items()}
    last = {n: places for look in found.values() for n, places in look.last.items()}
    opens = {n: places for look in found.values() for n, places in look.opens.items()}
    bends = {n: places for look in found.values() for n, places in look.bends.items()}
    for n, bend in enumerate(ground.bends):
        ends = ground.piece_of[bend.first.body], ground.piece_of[bend.second.body]
        if n not in bends and all(end in states for end in ends):
            bends[n] = parabola(states[ends[0]].end(bend.first), states[ends[1]].end(bend.second))
    turns = list((tracks or tracks_of(ground, states, hands)).values())
    posts = np.array([complex(*post) for post in ground.problem.posts], dtype=np.complex128)
    standing = np.broadcast_to(posts, (count, len(posts)))
    halves = [half for n in numbers for half in found[n].half]
    depths = [thick for n in numbers for thick in found[n].thick]
    pieces = [n for n in numbers for _ in found[n].half]
    lines = range(len(ground.lines))
    return Wholes(
        tuple(states[n] for n in numbers),
        _side([first.get(n, nowhere) for n in lines], count),
        _side([last.get(n, nowhere) for n in lines], count),
        _side(turns, count),
        _side([bends[n] for n in sorted(bends)], count),
        _side([opens[n] for n in sorted(opens)], count),
        np.concatenate([*(found[n].middles for n in numbers), standing], axis=1),
        np.concatenate([*(found[n].along for n in numbers), np.full(standing.shape, 1j)], axis=1),
        np.array(halves + [0.0] * len(posts)),
        np.array(depths + [POST_M] * len(posts)),
        (*pieces, *([POST] * len(posts))),
    )


def _side(parts: list[Numbers], count: int) -> Numbers:
    if not parts:
        return np.zeros((count, 0), dtype=np.complex128)
    return np.stack(parts, axis=1)


def turn_between(
    ground: DesignGround, states: dict[int, States], way: Turning, hand: Hand
) -> Turned:
    """The turn from one piece to another, K of each."""
    start = states[ground.piece_of[way.first.body]].end(way.first)
    return turned(start, states[ground.piece_of[way.second.body]].end(way.second), hand)


def _open(ground: DesignGround, states: States, way: Open) -> Numbers:
    """The way to the first fence or from the last, straight as far as it goes; or on a circle.

    Where any is a circle, all have as many places.
    """
    limits = ground.problem.limits.canter
    place, heading = states.end(way.end)
    if way.circle:
        hand = 1.0 if way.left else -1.0
        round_it = limits.manner.out + hand * 1j * way.radius * (1 - np.exp(hand * 1j * ROUND))
        ahead = np.exp(1j * heading)[:, None]
        return np.asarray(place[:, None] + ahead * np.concatenate([[0.0], round_it]))
    along = np.linspace(0.0, 1.0, len(ROUND) + 1) if _any_circle(ground) else ALONG_OPEN
    strides = APPROACH_STRIDES if way.approach else GET_AWAY_STRIDES
    clear = clear_ahead(ground.problem.region, place, heading) - limits.manner.rail
    far = np.clip(clear, 0.5, limits.landing_m + strides * limits.stride_m)
    found: Numbers = place[:, None] + (np.exp(1j * heading) * far)[:, None] * along
    return found


def _any_circle(ground: DesignGround) -> bool:
    return any(way.circle for way in (ground.start, ground.finish) if way)
