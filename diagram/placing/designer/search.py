"""The search over places: backward for what can be ridden to the end, then forward as a beam.

Backward, from the last piece to the first, each state gets the least that the ride still costs
from it, over turns alone. Where none can be ridden on, that turn is the cause, and nothing else.
Forward, the pieces are put down in the order of the ride, the hundred best arrangements kept,
bound by what is still to come. No clock, no chance; equal costs go by order.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from diagram.geometry.curve import Floats
from diagram.placing.designer.beam import (
    MORE_SLACK_M,
    RAIL_SLACK_M,
    ROUNDED,
    SLACK_M,
    Beam,
    FirstTurn,
    Forward,
    first_turn_to,
)
from diagram.placing.designer.clashes import to_poles
from diagram.placing.designer.ground import LAST_LEVEL, DesignGround
from diagram.placing.designer.states import Grid, States, in_the_middle, slid, states_of
from diagram.placing.designer.terms import terms
from diagram.placing.designer.turn_table import Hand, turned
from diagram.solver.relations import Turning
from diagram.trade.limits import Limit

FREE_AT_THE_GATE = Limit("fence-in-the-gateway", "caution under")
EACH = 40
"""Turns from each state that are looked at on the ground, those that promise most first; more
only where none of them can be ridden."""

FINER_STEPS, ASTRIDE = 16, 8
"""Steps to a stride by which pieces are moved about where they stand; and how many of them to
either side at most: as far as to the next place on the grid before."""

MOVED = 0.03
"""What it costs for each metre that a piece is moved so: without it a ring a hand longer moved a
trial course by half a metre."""


class Dry(Struct, frozen=True):
    """The turn that leads nowhere from any place, by its number among the relations."""

    relation: int


def search(
    ground: DesignGround, grid: Grid, level: int = 0, most: float = np.inf, share: float = 1.0
) -> Beam | Dry | None:
    """The best arrangements on a grid; the turn that is in the way; or nothing.

    Turns are kept as straight at their ends as `level` says, less where that leads nowhere.
    Nothing, where all that is known to cost is `most` or more already. Of arrangements so far a
    `share` of the usual number is kept.
    """
    all_states = {
        n: states_of(ground.problem, piece, ground.carriers_for(piece), grid)
        for n, piece in enumerate(ground.pieces)
    }
    return _searched(ground, all_states, level, most, share)


def finer(
    ground: DesignGround, stood: dict[int, States], level: int, most: float, share: float
) -> Beam | Dry | None:
    """The best arrangements about one, with each piece moved a little along its own line; what is
    all there is, and lies in the middle of that, stays there."""
    step = ground.problem.limits.canter.stride_m / FINER_STEPS
    about = {}
    for n, state in stood.items():
        about[n], number = state, int(state.carrier[0])
        if number >= 0:
            carrier = ground.carriers_for(state.piece)[number]
            if len(stood) == 1 and in_the_middle(ground.problem.region, state, carrier):
                continue
            about[n] = slid(ground.problem, state, carrier, step, ASTRIDE)
    stands = {n: complex(state.place[0, 0]) for n, state in stood.items()}
    return _searched(ground, about, level, most, share, stands)


def _searched(
    ground: DesignGround, states: dict[int, States], level: int, most: float, share: float,
    stands: dict[int, complex] | None = None,
) -> Beam | Dry | None:  # fmt: skip
    """The best arrangements of states; what is moved from where it `stands` costs MOVED a metre."""
    all_states = {n: _free_of_the_gate(ground, some) for n, some in states.items()}
    if any(not len(states) for states in all_states.values()):
        return None
    own = {n: own_cost(ground, n, states) for n, states in all_states.items()}
    for n, place in (stands or {}).items():
        own[n] += MOVED * np.abs(all_states[n].place[:, 0] - place)
    order = _order(ground)
    back = _backward(ground, all_states, own, order, level)
    if isinstance(back, Dry):
        return back
    entries, bound, hands = back
    if bound[order[0]].min() >= most:
        return None
    forward = Forward(ground, all_states, own, order, entries, hands, SLACK_M, most, share)
    found = forward.beam(bound)
    return found or replace(forward, slack=MORE_SLACK_M).beam(bound)


def _free_of_the_gate(ground: DesignGround, states: States) -> States:
    """The states of a piece that leave the way in free; all where none does, pinned there say."""
    if ground.gate is None or not len(states):
        return states
    held = np.ones(len(states), dtype=bool)
    for column, body in enumerate(states.piece.bodies):
        facing = np.exp(1j * states.heading[:, column])
        for fence, pose in ground.problem.bodies[body].parts:
            middle = states.place[:, column] + facing * complex(pose.x, pose.y)
            poles = facing * np.exp(1j * pose.heading) * 1j
            gap = to_poles(np.array(complex(*ground.gate)), middle, poles, fence.at(pose).reach_m)
            held &= gap - fence.depth_m / 2 > FREE_AT_THE_GATE.value
    return states.picked(held.nonzero()[0]) if held.any() else states


def _order(ground: DesignGround) -> list[int]:
    """Pieces as the ride first comes to them."""
    seen: list[int] = []
    if ground.start is not None:
        seen.append(ground.piece_of[ground.start.end.body])
    for _, way in ground.turns:
        seen += [ground.piece_of[way.first.body], ground.piece_of[way.second.body]]
    return list(dict.fromkeys([*seen, *range(len(ground.pieces))]))


def own_cost(ground: DesignGround, number: int, states: States) -> Floats:
    """What each state of a piece costs of itself (S,)."""
    total = np.zeros(len(states))
    for term in terms():
        if term.of_piece is not None:
            total += term.weight * term.of_piece(ground, number, states)
    return total


def _backward(
    ground: DesignGround,
    states: dict[int, States],
    own: dict[int, Floats],
    order: list[int],
    level: int,
) -> tuple[dict[int, FirstTurn], dict[int, Floats], dict[int, Hand]] | Dry:
    """Turns to each piece, the least cost from each state on, and how turns are ridden."""
    entries: dict[int, FirstTurn] = {}
    hands = {number: ground.hand(way, level) for number, way in ground.turns}
    bound = {n: own[n].copy() for n in order}
    for k in range(len(order) - 1, 0, -1):
        piece = order[k]
        way = first_turn_to(ground, piece, order[:k])
        if way is None:
            continue
        number, turn = way
        origin = ground.piece_of[turn.first.body]
        for softer in range(level, LAST_LEVEL + 1):
            hands[number] = ground.hand(turn, softer)
            cost = _table(ground, states[origin], states[piece], turn, hands[number], bound[piece])
            least = (cost + bound[piece]).min(axis=1)
            if np.isfinite(least + bound[origin]).any():
                break
        else:
            return Dry(number)
        entries[piece] = FirstTurn(number, turn, origin, cost)
        bound[origin] = bound[origin] + least
    return entries, bound, hands


def _table(
    ground: DesignGround, first: States, second: States, way: Turning, hand: Hand, bound: Floats
) -> Floats:
    """Cost of turns between states (N, M), infinite where there is none or it is not among the
    best, or where nothing can be ridden on (`bound`): from each state only the turns that promise
    most are looked at on the ground."""
    going = np.isfinite(bound).nonzero()[0]
    (p, a), (q, b) = first.end(way.first), second.picked(going).end(way.second)
    found = turned((p[:, None], a[:, None]), (q[None], b[None]), hand)
    priced = np.zeros(found.length.shape)
    for term in terms():
        if term.of_turn is not None:
            priced += term.weight * term.of_turn(ground, way, found)
    priced[~found.possible] = np.inf
    cost = np.full((len(first), len(second)), np.inf)
    promise = np.round(priced + bound[going], ROUNDED)
    rail = ground.problem.limits.canter.manner.rail
    for least in _so_many_at_a_time(promise):
        i, j = np.nonzero(least)
        inside = found.ways[i, j].inside(ground.problem.region) > rail - RAIL_SLACK_M
        cost[i[inside], going[j[inside]]] = priced[i[inside], j[inside]]
        if inside.any():
            break
    return cost


def _so_many_at_a_time(promise: Floats) -> Iterator[np.ndarray]:
    """Which of each row (N, M) are the EACH least, with all that are as good as the last of those;
    then which are among the rest. What is infinite is never one of them."""
    finite = np.isfinite(promise)
    if promise.shape[1] <= EACH:
        yield finite
        return
    least = np.partition(promise, EACH - 1, axis=1)[:, EACH - 1, None]
    first = finite & (promise <= least)
    yield first
    yield finite & ~first
