"""Which tapes to take, so that each fence is known and each tape checked.

For each fence those tapes from fixed points after which it is known best, one after the other;
for each line the two from base to base, on the left and on the right. More are added, from other
fences too, where a wrong tape could not be told from a sound one.
"""

from __future__ import annotations

import math

import numpy as np

from diagram.planning import Plan
from diagram.survey.adjustment import Array
from diagram.survey.lines_now import lines_of
from diagram.survey.marks import Marks, marks_of
from diagram.survey.network import NO_DISTANCE, Network
from diagram.survey.places import WIDEST_M, figures_of, updated

AT_LEAST = 4
"""Tapes to a fence from fixed points: its three unknowns, and one to check."""

AT_MOST = 7

ALIKE = 0.95
"""Correlation of two residuals from which the one tape hides behind the other."""

LOOSE_M = 20 * WIDEST_M


def form_tapes(plan: Plan, tape_m: float, error_m: float) -> tuple[tuple[str, str], ...]:
    """Pairs of points to tape, fence by fence and then line by line.

    `tape_m` is the length of the longest tape and `error_m` its standard error, in metres.
    """
    form = _Form(plan, tape_m, error_m)
    for fence in plan.fences:
        for _ in range(AT_LEAST):
            # Where no fixed point is within a tape, what stands must do.
            if not form.add(fence.name):
                form.add(fence.name, from_fences=True)
    for line in lines_of(plan):
        form.tie(*line.ends)
    for fence in plan.fences:
        while form.hidden(fence.name) and form.count(fence.name) < AT_MOST:
            if not form.add(fence.name, from_fences=True):
                break
    order = {fence.name: n for n, fence in enumerate(plan.fences)}
    taken = sorted(form.taken, key=lambda pair: (order[form.marks.fence[pair[1]]], pair))
    return tuple(taken) + tuple(form.ties)


class _Form:
    """The tapes chosen so far, and what would be known from them."""

    def __init__(self, plan: Plan, tape_m: float, error_m: float) -> None:
        self.marks: Marks = marks_of(plan)
        self.network = Network(self.marks.fixed, figures_of(plan, self.marks))
        self.tape_m, self.error_m = tape_m, error_m
        self.x = self.network.start()
        names = (*self.marks.fixed, *self.marks.feet)
        self.at = {name: self.network.point(self.x, name) for name in names}
        self.slopes = {name: self.network.slopes(self.x, name) for name in names}
        self.covariance: Array = np.eye(len(self.x)) * LOOSE_M**2
        self.taken: list[tuple[str, str]] = []
        self.ties: list[tuple[str, str]] = []
        self.rows: Array = np.zeros((0, len(self.x)))
        self.known: Array = np.zeros((0, 0))
        """How the lengths of the tapes taken are known from all of them: their covariance."""

    def count(self, fence: str) -> int:
        """Tapes from fixed points to a fence."""
        return sum(self.marks.fence[second] == fence for _, second in self.taken)

    def add(self, fence: str, from_fences: bool = False) -> bool:
        """The next best tape to a fence, from a fixed point or from another fence's foot as well.

        False when none reaches.
        """
        others = [f for f in self.marks.feet if self.marks.fence[f] != fence]
        firsts = [*self.marks.fixed, *(others if from_fences else [])]
        done = {frozenset(pair) for pair in (*self.taken, *self.ties)}
        pairs = [
            (first, second)
            for first in firsts
            for second in self.marks.of(fence)
            if math.dist(self.at[first], self.at[second]) <= self.tape_m
            and frozenset((first, second)) not in done
        ]
        if not pairs:
            return False
        best = pairs[int(self._left_unknown(fence, pairs).argmin())]
        self.taken.append(best)
        self._know(best)
        return True

    def _left_unknown(self, fence: str, pairs: list[tuple[str, str]]) -> Array:
        """The trace of what `updated` comes to for the columns of a fence, for each tape to it."""
        own = self.network.columns(self.network.owner[self.marks.of(fence)[0]])
        out = np.array([np.subtract(self.at[b], self.at[a]) for a, b in pairs])
        out /= np.maximum(np.hypot(*out.T), NO_DISTANCE)[:, None]
        ahead = np.einsum("pi,pij->pj", out, np.array([self.slopes[b] for _, b in pairs]))
        # The other end stands fixed, or with another fence: what is not there counts nothing.
        behind, columns = np.zeros((len(pairs), 3)), np.zeros((len(pairs), 3), dtype=np.intp)
        for n, (first, _) in enumerate(pairs):
            slopes = self.slopes[first]
            if slopes.shape[1]:
                at = self.network.columns(self.network.owner[first])
                behind[n, : slopes.shape[1]] = -out[n] @ slopes
                columns[n, : slopes.shape[1]] = np.arange(at.start, at.stop)
        between = np.einsum("opk,pk->po", self.covariance[own][:, columns], behind)
        moved = ahead @ self.covariance[own, own]
        back = self.covariance[columns[:, :, None], columns[:, None, :]]
        spread = ((moved + 2 * between) * ahead).sum(axis=1)
        spread += np.einsum("pi,pij,pj->p", behind, back, behind)
        less = ((moved + between) ** 2).sum(axis=1) / (spread + self.error_m**2)
        return np.asarray(np.trace(self.covariance[own, own]) - less)

    def tie(self, first: str, second: str) -> None:
        """Two tapes from base to base, by the nearest feet on each side."""
        for side in ("left", "right"):
            a, b = ([f for f in self.marks.of(name) if f.removeprefix(f"{name} ").startswith(side)]
                    for name in (first, second))  # fmt: skip
            at = self.marks.feet
            pair = min(
                ((p, q) for p in a for q in b), key=lambda pq: math.dist(at[pq[0]], at[pq[1]])
            )
            if math.dist(at[pair[0]], at[pair[1]]) > self.tape_m or pair in self.ties:
                continue
            if pair[::-1] not in self.ties:
                self.ties.append(pair)
                self._know(pair)

    def _know(self, pair: tuple[str, str]) -> None:
        _, row = self.network.row(self.x, *pair)
        self.rows = np.vstack([self.rows, row])
        before = self.rows @ (self.covariance @ row)
        known = np.pad(self.known, (0, 1))
        known[-1], known[:, -1] = before, before
        # As `updated` has it, of the tapes instead of the parameters.
        self.known = known - np.outer(before, before) / (before[-1] + self.error_m**2)
        self.covariance = updated(self.covariance, row, self.error_m)

    def hidden(self, fence: str) -> bool:
        """Whether a wrong tape to this fence might be taken for another one."""
        own = self.network.columns(self.network.owner[self.marks.of(fence)[0]])
        touches = np.flatnonzero(np.any(self.rows[:, own] != 0, axis=1))
        if not len(touches):
            return False
        size = np.sqrt(np.maximum(self.error_m**2 - np.diag(self.known), 1e-12))
        spread = np.eye(len(self.rows))[touches] * self.error_m**2 - self.known[touches]
        alike = np.abs(spread / np.outer(size[touches], size))
        alike[np.arange(len(touches)), touches] = 0.0
        weak = size[touches] < 0.2 * self.error_m
        return bool(np.any(weak | (alike.max(axis=1) > ALIKE)))
