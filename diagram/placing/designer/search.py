"""The search over places: backward for what can be ridden to the end, then forward as a beam.

Backward, from the last piece to the first, each state gets the least that the ride still costs
from it, over turns alone. Where none can be ridden on, that turn is the cause, and nothing else.
Forward, the pieces are put down in the order of the ride, the hundred best arrangements kept,
bound by what is still to come. No clock, no chance; equal costs go by order.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.clashes import fences_apart, tracks_to_fences
from diagram.placing.designer.ground import LAST_LEVEL, DesignGround
from diagram.placing.designer.states import Grid, States, states_of
from diagram.placing.designer.term import Wholes
from diagram.placing.designer.terms import terms
from diagram.placing.designer.turn_table import Hand, turned
from diagram.placing.designer.views import Tracks, tracks_of, turn_between, view_of
from diagram.solver.relations import Turning
from diagram.solver.rows import Ints

BEAM, BATCH, MOST_TRIED = 100, 300, 2400
"""Arrangements kept, looked at in one go, and looked at in all for each piece put down: from 100
kept on nothing better was found on the trial courses, with 30 a field went dry."""
ALIKE_LAST = 8
"""Of arrangements that differ only in where earlier pieces stand, so many are kept."""
EACH = 40
"""Turns from each state that are looked at on the ground, those that promise most first; more
only where none of them can be ridden."""
RAIL_SLACK_M = 0.05
ROUNDED = 6
APART_M = 2.0
"""Metres from the standards of one fence to those of another: without it two stood end to end."""
SLACK_M = 0.25
"""Metres by which tracks may seem too near a fence: the least squares that follow close it."""


@dataclass(frozen=True, slots=True)
class Dry:
    """The turn that leads nowhere from any place, by its number among the relations."""

    relation: int


@dataclass(frozen=True, slots=True)
class Beam:
    """Arrangements that can be ridden, best first: K states of each piece, and costs (K,)."""

    states: dict[int, States]
    cost: Floats
    hands: dict[int, Hand]


@dataclass(frozen=True, slots=True)
class _Entry:
    """How a piece is first come to: the turn, the piece it comes from, and a cost for each pair."""

    number: int
    way: Turning
    origin: int
    cost: Floats


def search(
    ground: DesignGround, grid: Grid, level: int = 0, most: float = np.inf
) -> Beam | Dry | None:
    """The best arrangements on a grid; the turn that is in the way; or nothing.

    Turns are kept as straight at their ends as `level` says, less where that leads nowhere.
    Nothing, where what turns and places alone cost is `most` or more already.
    """
    all_states = {
        n: states_of(ground.problem, piece, ground.carriers, grid)
        for n, piece in enumerate(ground.pieces)
    }
    if any(not len(states) for states in all_states.values()):
        return None
    own = {n: _own_cost(ground, n, states) for n, states in all_states.items()}
    order = _order(ground)
    back = _backward(ground, all_states, own, order, level)
    if isinstance(back, Dry):
        return back
    entries, bound, hands = back
    if bound[order[0]].min() >= most:
        return None
    return _forward(ground, all_states, own, order, entries, bound, hands)


def _order(ground: DesignGround) -> list[int]:
    """Pieces as the ride first comes to them."""
    seen: list[int] = []
    if ground.start is not None:
        seen.append(ground.piece_of[ground.start.end.body])
    for _, way in ground.turns:
        seen += [ground.piece_of[way.first.body], ground.piece_of[way.second.body]]
    return list(dict.fromkeys([*seen, *range(len(ground.pieces))]))


def _own_cost(ground: DesignGround, number: int, states: States) -> Floats:
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
) -> tuple[dict[int, _Entry], dict[int, Floats], dict[int, Hand]] | Dry:
    """Turns to each piece, the least cost from each state on, and how turns are ridden."""
    entries: dict[int, _Entry] = {}
    hands = {number: ground.hand(way, level) for number, way in ground.turns}
    bound = {n: own[n].copy() for n in order}
    for k in range(len(order) - 1, 0, -1):
        piece = order[k]
        way = _first_turn_to(ground, piece, order[:k])
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
        entries[piece] = _Entry(number, turn, origin, cost)
        bound[origin] = bound[origin] + least
    return entries, bound, hands


def _first_turn_to(
    ground: DesignGround, piece: int, before: list[int]
) -> tuple[int, Turning] | None:
    for number, way in ground.turns:
        if ground.piece_of[way.second.body] == piece and ground.piece_of[way.first.body] in before:
            return number, way
    return None


def _table(
    ground: DesignGround, first: States, second: States, way: Turning, hand: Hand, bound: Floats
) -> Floats:
    """Cost of turns between states (N, M), infinite where there is none or it is not among the
    best: from each state only the turns that promise most are looked at on the ground."""
    (p, a), (q, b) = first.end(way.first), second.end(way.second)
    found = turned((p[:, None], a[:, None]), (q[None], b[None]), hand)
    priced = np.zeros(found.length.shape)
    for term in terms():
        if term.of_turn is not None:
            priced += term.weight * term.of_turn(ground, way, found)
    priced[~found.possible] = np.inf
    cost = np.full(priced.shape, np.inf)
    promise = np.round(priced + bound, ROUNDED)
    rail = ground.problem.limits.canter.manner.rail
    for least in _so_many_at_a_time(promise):
        i, j = np.nonzero(least)
        inside = found.ways[i, j].inside(ground.problem.region) > rail - RAIL_SLACK_M
        cost[i[inside], j[inside]] = priced[i[inside], j[inside]]
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


def _forward(
    ground: DesignGround, states: dict[int, States], own: dict[int, Floats], order: list[int],
    entries: dict[int, _Entry], bound: dict[int, Floats], hands: dict[int, Hand],
) -> Beam | None:  # fmt: skip
    """The beam: numbers (K, pieces so far) of states, with their cost."""
    first = order[0]
    cost = np.round(bound[first], ROUNDED)
    begin = np.argsort(cost, kind="stable")
    begin = begin[np.isfinite(cost[begin])]
    chosen, so_far = begin[:, None], own[first][begin]
    chosen, so_far, tracks = _kept(ground, states, order[:1], chosen, so_far, hands, {})
    for k in range(1, len(order)):
        if not len(chosen):
            return None
        piece = order[k]
        entry = entries.get(piece)
        step = np.broadcast_to(own[piece], (len(chosen), len(own[piece]))).copy()
        if entry is not None:
            step += entry.cost[chosen[:, order.index(entry.origin)]]
        total = np.round(so_far[:, None] + step + (bound[piece] - own[piece]), ROUNDED)
        ranked = np.argsort(total, axis=None, kind="stable")[:MOST_TRIED]
        parent, state = np.unravel_index(ranked, total.shape)
        fine = np.isfinite(total[parent, state])
        parent, state = parent[fine], state[fine]
        chosen, so_far, tracks = _kept(
            ground, states, order[: k + 1],
            np.concatenate([chosen[parent], state[:, None]], axis=1),
            so_far[parent] + step[parent, state], hands,
            {number: places[parent] for number, places in tracks.items()},
        )  # fmt: skip
    if not len(chosen):
        return None
    picked = {piece: states[piece].picked(chosen[:, n]) for n, piece in enumerate(order)}
    cost = so_far + whole_cost(ground, view_of(ground, picked, hands, tracks))
    best = np.argsort(np.round(cost, ROUNDED), kind="stable")
    return Beam({n: s.picked(best) for n, s in picked.items()}, cost[best], hands)


def _kept(
    ground: DesignGround, states: dict[int, States], order: list[int], chosen: Ints, so_far: Floats,
    hands: dict[int, Hand], tracks: Tracks,
) -> tuple[Ints, Floats, Tracks]:  # fmt: skip
    """The best among `chosen` (N, pieces), cheapest first, in which nothing clashes.

    Of each the turns between its earlier pieces are known, and that those do not clash.
    """
    kept, costs, parts = [], [], []
    last: dict[int, int] = {}
    for at in range(0, len(chosen), BATCH):
        some = chosen[at : at + BATCH]
        picked = {piece: states[piece].picked(some[:, n]) for n, piece in enumerate(order)}
        extra, fits = _closing(ground, picked, order, hands)
        known = {number: places[at : at + BATCH] for number, places in tracks.items()}
        all_tracks = tracks_of(ground, picked, hands, known)
        fits &= clear(ground, view_of(ground, picked, hands, all_tracks), order[-1])
        taken = []
        for n in fits.nonzero()[0]:
            state = int(some[n, -1])
            if last.get(state, 0) < ALIKE_LAST or len(order) == 1:
                last[state] = last.get(state, 0) + 1
                taken.append(n)
        kept.append(some[taken])
        costs.append(so_far[at + np.array(taken, dtype=np.int64)] + extra[taken])
        parts.append({number: places[taken] for number, places in all_tracks.items()})
        if sum(map(len, costs)) >= BEAM and len(order) > 1:
            break
    if not kept:
        return chosen[:0], so_far[:0], {}
    joined = {n: np.concatenate([part[n] for part in parts]) for n in parts[0]}
    return np.concatenate(kept), np.concatenate(costs), joined


def _closing(
    ground: DesignGround, picked: dict[int, States], order: list[int], hands: dict[int, Hand]
) -> tuple[Floats, np.ndarray]:
    """Cost (N,) of turns between pieces that stand, which no table has, and whether they can be."""
    newest = order[-1]
    count = len(picked[newest])
    extra, fits = np.zeros(count), np.ones(count, dtype=bool)
    entered = _first_turn_to(ground, newest, order[:-1])
    rail = ground.problem.limits.canter.manner.rail
    for number, way in ground.turns:
        ends = ground.piece_of[way.first.body], ground.piece_of[way.second.body]
        if newest not in ends or not all(end in picked for end in ends):
            continue
        if entered is not None and number == entered[0]:
            continue
        found = turn_between(ground, picked, way, hands[number])
        for softer in range(LAST_LEVEL + 1):
            if found.possible.any():
                break
            hands[number] = ground.hand(way, softer)
            found = turn_between(ground, picked, way, hands[number])
        inside = found.ways.inside(ground.problem.region) > rail - RAIL_SLACK_M
        fits &= found.possible & inside
        for term in terms():
            if term.of_turn is not None:
                extra += term.weight * term.of_turn(ground, way, found)
    return extra, fits


def clear(ground: DesignGround, view: Wholes, newest: int | None = None) -> np.ndarray:
    """Whether in each arrangement (K,) fences keep from each other and tracks from fences.

    Only what is of the `newest` piece is looked at, if that is said.
    """
    if not view.middles.shape[1]:
        return np.ones(len(view), dtype=bool)
    manner = ground.problem.limits.canter.manner
    apart = (fences_apart(view, newest) - view.thick > APART_M).all(axis=1)
    gaps = tracks_to_fences(ground, view, newest) - view.thick > manner.fences - SLACK_M
    return np.asarray(apart & gaps.all(axis=1))


def whole_cost(ground: DesignGround, view: Wholes) -> Floats:
    """Cost (K,) of all terms that look at a whole arrangement."""
    total = np.zeros(len(view))
    for term in terms():
        if term.of_whole is not None:
            total += term.weight * term.of_whole(ground, view)
    return total
