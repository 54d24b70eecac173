"""The beam: pieces put down one after another, the best arrangements of all so far kept.

In the order of the ride, bound by what the rest of it still costs. What clashes is left out; what
some terms say of a part can only grow, so it counts at once. No clock, no chance; equal costs go
by order.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from diagram.geometry.curve import Floats
from diagram.placing.designer.clashes import opens_to_fences, settled, with_tracks
from diagram.placing.designer.ground import LAST_LEVEL, DesignGround
from diagram.placing.designer.so_far import NextPiece, SoFar
from diagram.placing.designer.states import States
from diagram.placing.designer.term import Near, Wholes
from diagram.placing.designer.terms import terms
from diagram.placing.designer.turn_table import Hand
from diagram.placing.designer.views import Look, look_of, tracks_of, turn_between, view_of
from diagram.solver.relations import Turning
from diagram.solver.rows import Ints

BEAM, WIDE, BATCH, MOST_TRIED, EACH_STATE = 150, 300, 300, 2400, 100
"""Arrangements kept, of so many that clash nowhere; taken in one go, and looked at in all for each
piece put down, so many of them with one state of it: with 100 kept some trial courses came out
worse, with 30 a field went dry."""
AT_ONCE = 1200
"""Arrangements looked at in one go, ahead of those that are taken: numpy takes little longer for so
many than for a third of them."""
LAST = 250
"""Arrangements kept with the last piece down: with 200 a shipped test was laid out worse."""
ALIKE_LAST = 8
"""Of arrangements that differ only in where earlier pieces stand, so many are kept."""
RAIL_SLACK_M = 0.05
ROUNDED = 6
APART_M = 2.0
"""Metres from the standards of one fence to those of another: without it two stood end to end."""
SLACK_M, MORE_SLACK_M = 0.05, 0.25
"""Metres by which tracks may seem too near a fence; and where that leads nowhere, which the least
squares that follow may close."""


class Beam(Struct, frozen=True):
    """Arrangements that can be ridden, best first: K states of each piece, and costs (K,)."""

    states: dict[int, States]
    cost: Floats
    hands: dict[int, Hand]


class FirstTurn(Struct, frozen=True):
    """How a piece is first come to: the turn, the piece it comes from, and a cost for each pair."""

    number: int
    way: Turning
    origin: int
    cost: Floats


class Looked(Struct):
    """What was looked at of the arrangements tried: in which of the `parts` each is, -1 where in
    none yet, in which `row` of that, and whether it `fits` (N,)."""

    part: Ints
    row: Ints
    fits: np.ndarray
    parts: list[tuple[SoFar, Wholes]]

    @classmethod
    def of(cls, count: int) -> Looked:
        """Nothing yet."""
        none = np.full(count, -1)
        return cls(none, none.copy(), np.zeros(count, dtype=bool), [])

    def known(self, which: Ints) -> np.ndarray:
        """Which of some were looked at."""
        return np.asarray(self.part[which] >= 0)

    def add(self, which: Ints, found: SoFar, view: Wholes, fits: np.ndarray) -> None:
        """More of them, as they were found."""
        self.part[which], self.row[which] = len(self.parts), np.arange(len(which))
        self.fits[which] = fits
        self.parts.append((found, view))


class Forward(Struct, frozen=True, dict=True):
    """What a beam goes by: the states of each piece and what they cost, the order of the pieces,
    the turns that first lead to each, how turns are ridden, the slack past fences, the `most` that
    an arrangement may cost, and the `share` of the usual number of arrangements that are kept."""

    ground: DesignGround
    states: dict[int, States]
    own: dict[int, Floats]
    order: list[int]
    entries: dict[int, FirstTurn]
    hands: dict[int, Hand]
    slack: float
    most: float
    share: float

    @cached_property
    def looks(self) -> dict[int, Look]:
        """What the states of each piece look like."""
        return {n: look_of(self.ground, n, states) for n, states in self.states.items()}

    def beam(self, bound: dict[int, Floats]) -> Beam | None:
        """The best arrangements; `bound` is the least that each state and what follows it cost."""
        none = np.zeros(1)
        posts = Near.nothing(1, len(self.ground.problem.posts))
        beam = SoFar(np.zeros((1, 0), dtype=np.int64), none, none, none, {}, posts)
        for k, piece in enumerate(self.order):
            entry = self.entries.get(piece)
            step = np.broadcast_to(self.own[piece], (len(beam), len(self.own[piece]))).copy()
            if entry is not None:
                step += entry.cost[beam.chosen[:, self.order.index(entry.origin)]]
            rest = bound[piece] - self.own[piece]
            total = np.round((beam.so_far + beam.grown)[:, None] + step + rest, ROUNDED)
            total[total >= self.most] = np.inf
            # So many parents of each state, that one which clashes with all there is takes not all.
            if len(total) > EACH_STATE and np.isfinite(total).sum() > MOST_TRIED:
                total[total > np.partition(total, EACH_STATE, axis=0)[EACH_STATE]] = np.inf
            best = _cheapest(total)[: MOST_TRIED if k else None]
            parent, state = np.unravel_index(best, total.shape)
            tried = NextPiece(parent, state, step[parent, state], total[parent, state])
            beam = self._kept(self.order[: k + 1], beam, tried, rest)
            if not len(beam):
                return None
        picked, looks = self._picked(self.order, beam)
        view = view_of(self.ground, picked, self.hands, beam.tracks, looks)
        cost = beam.so_far + beam.grown + whole_cost(self.ground, view, growing=False)
        best = np.argsort(np.round(cost, ROUNDED), kind="stable")
        return Beam({n: s.picked(best) for n, s in picked.items()}, cost[best], self.hands)

    def _picked(self, order: list[int], some: SoFar) -> tuple[dict[int, States], dict[int, Look]]:
        """The states of the pieces that stand in some arrangements, and what they look like."""
        chosen = {piece: some.chosen[:, n] for n, piece in enumerate(order)}
        states = {piece: self.states[piece].picked(which) for piece, which in chosen.items()}
        return states, {piece: self.looks[piece].picked(which) for piece, which in chosen.items()}

    def _kept(self, order: list[int], beam: SoFar, tried: NextPiece, rest: Floats) -> SoFar:
        """The best with one more piece among those `tried` in which nothing clashes.

        In the beam the turns between its pieces are known, and that those do not clash. `rest` is
        what the ride still costs from each state of the last piece.
        """
        looked = Looked.of(len(tried))
        full = np.zeros(len(rest), dtype=np.int64)
        wide, batch, ahead = (int(self.share * number) for number in (WIDE, BATCH, AT_ONCE))
        most = ALIKE_LAST if len(order) > 1 else len(tried)
        left = np.arange(len(tried))
        later, taken, count = [left[:0]], [left[:0]], 0
        while count < wide or len(order) == 1:
            alike = full[tried.state[left]] >= most
            later.append(left[alike])
            left = left[~alike]
            if not len(left):
                # Where few can stand at all, more of them may be alike.
                left, later, most = np.sort(np.concatenate(later)), later[:1], len(tried)
            here = left[:batch]
            if not len(here):
                break
            if not looked.known(here).all():
                new = left[:ahead][~looked.known(left[:ahead])]
                looked.add(new, *self._tracked(order, tried.picked(new).put_down(beam)))
            left = left[batch:]
            free = np.zeros(len(here), dtype=bool)
            for n in looked.fits[here].nonzero()[0]:
                state = int(tried.state[here[n]])
                free[n] = full[state] < most
                full[state] += free[n]
            later.append(here[looked.fits[here] & ~free])
            taken.append(here[free])
            count += int(free.sum())
        if not count:
            return beam.picked(left[:0])
        return self._best(order, looked, np.concatenate(taken), rest)

    def _best(self, order: list[int], looked: Looked, taken: Ints, rest: Floats) -> SoFar:
        """The best among those `taken`, of all that was looked at, with all they cost so far."""
        most = BEAM if len(order) < len(self.order) else LAST
        keep = int(self.share * most) if len(order) > 1 else len(taken)
        grown: list[SoFar] = []
        places, costs = [taken[:0]], np.zeros(0)
        for number, (found, view) in enumerate(looked.parts):
            own = np.flatnonzero(looked.part[taken] == number)
            for first in range(0, len(own), BATCH):
                place = own[first : first + BATCH]
                # What is dearer, as it comes, than the last that will be kept is not looked into.
                dear = np.partition(costs, keep - 1)[keep - 1] if len(costs) >= keep else np.inf
                row = looked.row[taken[place]]
                cheap = _priced(found.picked(row), rest) < dear
                row, place = row[cheap], place[cheap]
                grown.append(self._grown(view.picked(row), order[-1], found.picked(row)))
                places.append(place)
                costs = np.concatenate([costs, _priced(grown[-1], rest)])
        joined = SoFar.joined(grown).picked(np.argsort(np.concatenate(places)))
        return joined.picked(_cheapest(_priced(joined, rest))[:keep])

    def _tracked(self, order: list[int], some: SoFar) -> tuple[SoFar, Wholes, np.ndarray]:
        """The same with the turns of the last piece and what they cost, how they look, and which do
        not clash."""
        picked, looks = self._picked(order, some)
        extra, fits = _closing(self.ground, picked, order, self.hands)
        tracks = tracks_of(self.ground, picked, self.hands, some.tracks)
        view = view_of(self.ground, picked, self.hands, tracks, looks)
        new = settled(self.ground, view, order[-1])
        fits &= clear(self.ground, view, new, order[-1], self.slack)
        extra = some.so_far + extra
        return replace(some, so_far=extra, tracks=tracks), replace(view, near=new), fits

    def _grown(self, view: Wholes, newest: int, some: SoFar) -> SoFar:
        """The same with what the terms that only grow say, and how near all comes to the fences;
        `view` tells how near what is settled of the newest piece comes."""
        assert view.near is not None
        known = np.array(view.fence_piece) != newest
        near = some.near.with_new(with_tracks(self.ground, view, view.near, newest), known)
        view = replace(view, near=near)
        summed = some.summed
        for term in terms():
            if term.grows and term.of_new is not None:
                summed = summed + term.weight * term.of_new(self.ground, view, newest)
        grown = summed + whole_cost(self.ground, view, growing=True)
        return replace(some, grown=grown, summed=summed, near=near)


def _priced(some: SoFar, rest: Floats) -> Floats:
    """What arrangements cost (K,) with the least that the ride still costs from their last piece,
    rounded, so that what is as good comes in order."""
    return np.asarray(np.round(some.so_far + some.grown + rest[some.chosen[:, -1]], ROUNDED))


def _cheapest(cost: Floats) -> Ints:
    """The numbers of all that can be, in one row, cheapest first; equal costs go by order."""
    flat = np.round(cost, ROUNDED).ravel()
    ranked = np.argsort(flat, kind="stable")
    return np.asarray(ranked[np.isfinite(flat[ranked])])


def _closing(
    ground: DesignGround, picked: dict[int, States], order: list[int], hands: dict[int, Hand]
) -> tuple[Floats, np.ndarray]:
    """Cost (N,) of turns between pieces that stand, which no table has, and whether they can be."""
    newest = order[-1]
    count = len(picked[newest])
    extra, fits = np.zeros(count), np.ones(count, dtype=bool)
    entered = first_turn_to(ground, newest, order[:-1])
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


def clear(
    ground: DesignGround,
    view: Wholes,
    near: Near | None = None,
    newest: int | None = None,
    slack: float = SLACK_M,
) -> np.ndarray:
    """Whether in each arrangement (K,) fences keep from each other and tracks from fences.

    Only what is of the `newest` piece is looked at, if that is said; `near` is how near what is
    settled comes, where that is known.
    """
    if not view.middles.shape[1]:
        return np.ones(len(view), dtype=bool)
    near = near or settled(ground, view, newest)
    manner = ground.problem.limits.canter.manner
    gaps = np.minimum(near.ways, opens_to_fences(ground, view, newest, manner.wanted_straight))
    apart = (near.fences - view.thick > APART_M).all(axis=1)
    return np.asarray(apart & (gaps - view.thick > manner.fences - slack).all(axis=1))


def whole_cost(ground: DesignGround, view: Wholes, growing: bool) -> Floats:
    """Cost (K,) of terms that look at a whole arrangement: those that only grow, but for sums over
    pairs, which are added up as pieces are put down; or the rest."""
    total = np.zeros(len(view))
    for term in terms():
        if term.of_whole is not None and term.grows == growing and term.of_new is None:
            total += term.weight * term.of_whole(ground, view)
    return total


def first_turn_to(
    ground: DesignGround, piece: int, before: list[int]
) -> tuple[int, Turning] | None:
    for number, way in ground.turns:
        if ground.piece_of[way.second.body] == piece and ground.piece_of[way.first.body] in before:
            return number, way
    return None
