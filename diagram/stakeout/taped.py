"""One fence of the builder's leaf: what it hangs on, its pegs, its readings, where they put it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct

from diagram.exercise.fence import PlacedFence
from diagram.geometry.pose import Pose
from diagram.stakeout.hanging import How, Hung
from diagram.stakeout.known import SetFence, spread
from diagram.stakeout.pegs import Peg


class Reading(Struct, frozen=True):
    """One tape of the leaf, held at `start` and read at each of `ends`, in metres.

    `word` says what it is for. `read_m` are multiples of the crew's step.
    """

    word: str
    start: str
    ends: tuple[str, ...]
    read_m: tuple[float, ...]
    exact_m: tuple[float, ...]


class TapedFence(Struct, frozen=True):
    """What a way of setting a fence comes to; see `Taped`."""

    pegs: tuple[Peg, ...]
    readings: tuple[Reading, ...]
    stands: SetFence
    row_x: float
    towards: dict[str, str]
    crossing: float


class Taped(Struct, frozen=True):
    """One fence of the leaf.

    `plan` is its planned pose as first jumped, `row_x` where in it the row stands that is set,
    `feet` the names of that row's feet, left and right, and `sides` the sides of the arena that
    they point to. `towards` says for each end of a tape which of two crossings is meant: that
    nearer to this side. `crossing` is the flattest angle, in radians, under which two tapes that
    set it meet; a right angle where it lies on the tape of its combination. For ends in `twice` the
    other crossing lies in the arena as well.
    """

    hung: Hung
    placed: PlacedFence
    pegs: tuple[Peg, ...]
    readings: tuple[Reading, ...]
    plan: Pose
    stands: SetFence
    row_x: float
    feet: tuple[str, str]
    sides: tuple[str, str]
    towards: dict[str, str]
    crossing: float
    twice: frozenset[str] = frozenset()

    @property
    def name(self) -> str:
        """The fence's name."""
        return self.placed.name

    @property
    def how(self) -> How:
        """By which of the three ways it is set."""
        return self.hung.how

    @property
    def rounding_m(self) -> float:
        """Metres by which the rounded readings put its worst foot off its place."""
        return max(self._off(*at) for at in self._corners())

    @property
    def error_m(self) -> float:
        """Metres within which its worst foot stands in 95 of 100, rounding included."""
        return max(spread(self.stands.drift_at(*at)) + self._off(*at) for at in self._corners())

    def _corners(self) -> Iterator[tuple[float, float]]:
        """The feet of its standards in its own frame."""
        half = self.placed.fence.measures.width_m / 2
        for x in self.placed.fence.parts.planes or (0.0,):
            yield from ((x, half), (x, -half))

    def _off(self, x: float, y: float) -> float:
        return math.dist(self.stands.place(x, y), self.plan.ahead(x, y).point)
