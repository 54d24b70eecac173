"""Whole arrangements, or the part of them that stands so far, from states of their pieces."""

from __future__ import annotations

import numpy as np

from diagram.exercise.arena import POST_M
from diagram.geometry.dual import Numbers
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.states import States, parabola
from diagram.placing.designer.term import POST, Wholes
from diagram.placing.designer.turn_table import Hand, Turned, turned
from diagram.placing.designer.walls import clear_ahead
from diagram.solver.relations import Bending, End, Open, Turning

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


def view_of(
    ground: DesignGround,
    states: dict[int, States],
    hands: dict[int, Hand],
    tracks: Tracks | None = None,
) -> Wholes:
    """The view of pieces that stand (by number, K states of each), with the turns between them."""
    count = len(next(iter(states.values())))
    lines = ground.lines
    nowhere = np.full(count, complex(-1e6, -1e6))
    first = [_at(states, ground, line.first, nowhere) for line in lines]
    last = [_at(states, ground, line.second, nowhere) for line in lines]
    turns = list((tracks or tracks_of(ground, states, hands)).values())
    bends = [
        _bend(ground, states, bend) for bend in ground.bends
        if ground.piece_of[bend.first.body] in states
        and ground.piece_of[bend.second.body] in states
    ]  # fmt: skip
    opens = [_open(ground, states, way) for way in (ground.start, ground.finish)]
    middles, along, half, thick, piece = [], [], [], [], []
    for number in sorted(states):
        own = states[number]
        for column, body in enumerate(own.piece.bodies):
            facing = np.exp(1j * own.heading[:, column])
            for fence, pose in ground.problem.bodies[body].parts:
                middles.append(own.place[:, column] + facing * complex(pose.x, pose.y))
                along.append(facing * np.exp(1j * pose.heading) * 1j)
                half.append(fence.at(pose).reach_m)
                thick.append(fence.depth_m / 2)
                piece.append(number)
    for post in ground.problem.posts:
        middles.append(np.full(count, complex(*post)))
        along.append(np.full(count, 1j))
        half.append(0.0)
        thick.append(POST_M)
        piece.append(POST)
    return Wholes(
        tuple(states[n] for n in sorted(states)),
        _side(first, count), _side(last, count), _side(turns, count), _side(bends, count),
        _side([o for o in opens if o is not None], count),
        _side(middles, count), _side(along, count), np.array(half), np.array(thick), tuple(piece),
    )  # fmt: skip


def _side(parts: list[Numbers], count: int) -> Numbers:
    if not parts:
        return np.zeros((count, 0), dtype=np.complex128)
    return np.stack(parts, axis=1)


def _at(states: dict[int, States], ground: DesignGround, end: End, nowhere: Numbers) -> Numbers:
    own = states.get(ground.piece_of[end.body])
    return own.end(end)[0] if own is not None else nowhere


def turn_between(
    ground: DesignGround, states: dict[int, States], way: Turning, hand: Hand
) -> Turned:
    """The turn from one piece to another, K of each."""
    start = states[ground.piece_of[way.first.body]].end(way.first)
    return turned(start, states[ground.piece_of[way.second.body]].end(way.second), hand)


def _bend(ground: DesignGround, states: dict[int, States], bend: Bending) -> Numbers:
    first = states[ground.piece_of[bend.first.body]].end(bend.first)
    return parabola(first, states[ground.piece_of[bend.second.body]].end(bend.second))


def _open(ground: DesignGround, states: dict[int, States], way: Open | None) -> Numbers | None:
    """The way to the first fence or from the last, straight as far as it goes; or on a circle.

    Where any is a circle, all have as many places.
    """
    if way is None or ground.piece_of[way.end.body] not in states:
        return None
    limits = ground.problem.limits.canter
    place, heading = states[ground.piece_of[way.end.body]].end(way.end)
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
