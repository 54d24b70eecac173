"""A term of a designer's cost, and what it may look at."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.states import States
from diagram.placing.designer.turn_table import Turned
from diagram.solver.relations import Turning
from diagram.solver.rows import Ints

POST = -1
FAR_M = 99.0
"""Metres that stand for anything which is not near."""


class Near(Struct, frozen=True):
    """Metres (K, F) from each of F fences to what is nearest of another piece: to `fences`, to
    `ways` that are as they are (lines, bends and circles), to plain `turns`, and to the straight
    ways before the ride and after it (`opens`)."""

    fences: Floats
    ways: Floats
    turns: Floats
    opens: Floats

    @classmethod
    def nothing(cls, count: int, fences: int) -> Near:
        """Where nothing is near to any of so many fences."""
        far = np.full((count, fences), FAR_M)
        return cls(far, far, far, far)

    @classmethod
    def joined(cls, parts: list[Near]) -> Near:
        """Of the arrangements of some, one after another."""
        return cls(
            np.concatenate([p.fences for p in parts]), np.concatenate([p.ways for p in parts]),
            np.concatenate([p.turns for p in parts]), np.concatenate([p.opens for p in parts]),
        )  # fmt: skip

    @property
    def tracks(self) -> Floats:
        """To the nearest of all tracks."""
        return np.minimum(np.minimum(self.ways, self.turns), self.opens)

    def picked(self, which: Ints) -> Near:
        """Of some of the arrangements, by number."""
        return Near(self.fences[which], self.ways[which], self.turns[which], self.opens[which])

    def with_new(self, new: Near, known: NDArray[np.bool_]) -> Near:
        """The nearest of this, for the fences that were `known` (F,), and of the `new`."""

        def both(old: Floats, more: Floats) -> Floats:
            out = more.copy()
            out[:, known] = np.minimum(old, more[:, known])
            return out

        return Near(
            both(self.fences, new.fences), both(self.ways, new.ways),
            both(self.turns, new.turns), both(self.opens, new.opens),
        )  # fmt: skip


class Wholes(Struct, frozen=True):
    """K whole arrangements.

    `states` holds the pieces, K states of each. `first` and `last` (K, L) are the ends of the
    lines of the ground, `turns` (K, T, P) places along the turns, `bends` (K, B, P) along the
    bends, `middles` and `along` (K, F) the fences and the directions of their poles, `half` (F,)
    half their widths, `thick` half their depths, and `fence_piece` (F,) the piece that each belongs
    to. Posts stand among the fences, with POST for their piece. `near` is how near all that comes
    to each fence, where that was reckoned already.
    """

    states: tuple[States, ...]
    first: Numbers
    last: Numbers
    turns: Numbers
    bends: Numbers
    opens: Numbers
    middles: Numbers
    along: Numbers
    half: Floats
    thick: Floats
    fence_piece: tuple[int, ...]
    near: Near | None = None

    def __len__(self) -> int:
        return len(self.first)

    def picked(self, which: Ints) -> Wholes:
        """Some of the arrangements, by number."""
        return Wholes(
            tuple(states.picked(which) for states in self.states), self.first[which],
            self.last[which], self.turns[which], self.bends[which], self.opens[which],
            self.middles[which], self.along[which], self.half, self.thick, self.fence_piece,
            None if self.near is None else self.near.picked(which),
        )  # fmt: skip


OfPiece = Callable[[DesignGround, int, States], Floats]
OfTurn = Callable[[DesignGround, Turning, Turned], Floats]
OfWhole = Callable[[DesignGround, Wholes], Floats]
OfNew = Callable[[DesignGround, Wholes, int], Floats]


class Term(Struct, frozen=True):
    """One term: its name as a trainer reads it, its weight, and what it costs.

    `of_piece` gives a cost for each state of a piece (S,), `of_turn` one for each pair of states,
    `of_whole` one for each arrangement (K,); each about 0 to 1 for one thing that is amiss, before
    the weight. What `of_whole` says of a part `grows` as more is put down, or it says nothing yet.
    Where it is a sum over pairs of things, `of_new` gives what the newest piece adds (K,).
    """

    name: str
    weight: float
    of_piece: OfPiece | None = None
    of_turn: OfTurn | None = None
    of_whole: OfWhole | None = None
    grows: bool = False
    of_new: OfNew | None = None
