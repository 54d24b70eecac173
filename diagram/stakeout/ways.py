"""The two ways to find the place of a foot, and how well each one holds it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from diagram.geometry.pose import Point
from diagram.stakeout.crossing import crossing
from diagram.stakeout.points import Foot
from diagram.trade.crew import crew_facts

Way = Literal["tapes", "offset"]


class Tapes(Struct, frozen=True):
    """Two tapes, each from a named point.

    Where they cross twice, the place is the crossing `towards` what is named; it lies to the
    left of the line from first to second if `left`. `angle` in radians between the tapes,
    `error_m` the root mean square metres by which the place is expected to be missed.
    """

    first: str
    second: str
    first_m: float
    second_m: float
    left: bool
    towards: str
    angle: float
    error_m: float

    @property
    def weak(self) -> bool:
        """Whether the tapes cross too flat or too wide for one reading to be trusted."""
        facts = crew_facts()
        return not facts.least_crossing.value <= self.angle <= facts.most_crossing.value

    def place(self, first_m: float, second_m: float, points: Mapping[str, Point]) -> Point | None:
        """Where two readings put the foot; None where the tapes do not reach each other."""
        a, b = points[self.first], points[self.second]
        return crossing(a, first_m, b, second_m, self.left)


class Offset(Struct, frozen=True):
    """Along a side from one of its corners, then square off it into the arena.

    `zero` names the corner, `zero_at` is its place; `along` and `inward` are unit vectors.
    """

    side: str
    zero: str
    zero_at: Point
    along: Point
    inward: Point
    along_m: float
    out_m: float
    error_m: float

    def place(self, along_m: float, out_m: float) -> Point:
        """Where two readings put the foot."""
        (x, y), (ux, uy), (nx, ny) = self.zero_at, self.along, self.inward
        return (x + along_m * ux + out_m * nx, y + along_m * uy + out_m * ny)


class FootWays(Struct, frozen=True):
    """A foot with both ways to it. `best` is the one that is expected to miss by less; of a
    fence, all feet are set the same way."""

    foot: Foot
    tapes: Tapes
    offset: Offset | None
    best: Way

    @property
    def error_m(self) -> float:
        """Expected error of the place, set the better way."""
        return self.offset.error_m if self.best == "offset" and self.offset else self.tapes.error_m
