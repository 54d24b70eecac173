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
from diagram.survey.network import Network
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
        self.at = {
            name: self.network.point(self.x, name) for name in (*self.marks.fixed, *self.marks.feet)
        }
        self.covariance: Array = np.eye(len(self.x)) * LOOSE_M**2
        self.taken: list[tuple[str, str]] = []
        self.ties: list[tuple[str, str]] = []
        self.rows: list[Array] = []

    def _length(self, first: str, second: str) -> float:
        return math.dist(self.at[first], self.at[second])

    def count(self, fence: str) -> int:
        """Tapes from fixed points to a fence."""
        return sum(self.marks.fence[second] == fence for _, second in self.taken)

    def add(self, fence: str, from_fences: bool = False) -> bool:
        """The next best tape to a fence, from a fixed point or from another fence's foot as well.

        False when none reaches.
        """
        own = self.network.columns(self.network.owner[self.marks.of(fence)[0]])
        best, least = None, math.inf
        others = [f for f in self.marks.feet if self.marks.fence[f] != fence]
        feet, known = self.marks.of(fence), np.diag(self.covariance)[own]
        done = {frozenset(pair) for pair in (*self.taken, *self.ties)}
        for first in [*self.marks.fixed, *(others if from_fences else [])]:
            for second in feet:
                if self._length(first, second) > self.tape_m or {first, second} in done:
                    continue
                _, row = self.network.row(self.x, first, second)
                # The trace of what `updated` comes to, for the columns of this fence alone.
                gain = self.covariance @ row
                less = gain[own] * gain[own] / (float(row @ gain) + self.error_m**2)
                size = float((known - less).sum())
                if size < least:
                    best, least = (first, second), size
        if best is None:
            return False
        self.taken.append(best)
        self._know(best)
        return True

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
        self.covariance = updated(self.covariance, row, self.error_m)
        self.rows.append(row)

    def hidden(self, fence: str) -> bool:
        """Whether a wrong tape to this fence might be taken for another one."""
        if not self.rows:
            return False
        design = np.array(self.rows)
        spread = np.eye(len(design)) * self.error_m**2 - design @ self.covariance @ design.T
        size = np.sqrt(np.maximum(np.diag(spread), 1e-12))
        alike = np.abs(spread / np.outer(size, size)) - np.eye(len(design))
        own = self.network.columns(self.network.owner[self.marks.of(fence)[0]])
        touches = np.any(design[:, own] != 0, axis=1)
        weak = size < 0.2 * self.error_m
        return bool(np.any(touches & (weak | (alike.max(axis=1, initial=0.0) > ALIKE))))
