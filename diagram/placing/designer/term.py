"""A term of a designer's cost, and what it may look at."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.states import States
from diagram.placing.designer.turn_table import Turned
from diagram.solver.relations import Turning
from diagram.solver.rows import Ints

POST = -1


class Wholes(Struct, frozen=True):
    """K whole arrangements.

    `states` holds the pieces, K states of each. `first` and `last` (K, L) are the ends of the
    lines of the ground, `turns` (K, T, P) places along the turns, `bends` (K, B, P) along the
    bends, `middles` and `along` (K, F) the fences and the directions of their poles, `half` (F,)
    half their widths, `thick` half their depths, and `fence_piece` (F,) the piece that each belongs
    to. Posts stand among the fences, with POST for their piece. `past_turns` (K, F) is how near
    the turns come to each fence, where that was reckoned already.
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
    past_turns: Floats | None = None

    def __len__(self) -> int:
        return len(self.first)

    def picked(self, which: Ints) -> Wholes:
        """Some of the arrangements, by number."""
        return Wholes(
            tuple(states.picked(which) for states in self.states), self.first[which],
            self.last[which], self.turns[which], self.bends[which], self.opens[which],
            self.middles[which], self.along[which], self.half, self.thick, self.fence_piece,
            None if self.past_turns is None else self.past_turns[which],
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
