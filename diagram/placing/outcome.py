"""How the places of an exercise came about, as values: the outcome, and what it rests on."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from diagram.geometry.pose import Pose
from diagram.solver.relations import Path

Outcome = Literal[
    "placed as pinned", "placed", "placed, with room to choose", "placed, but tight",
    "does not fit this arena",
]  # fmt: skip


class Residual(Struct, frozen=True):
    """What a relation is off by: metres in place, radians in heading."""

    words: str
    path: Path
    off_m: float
    off_rad: float


class Shortage(Struct, frozen=True):
    """A limit that is not kept, and by how many metres; `tight` where it is a radius."""

    words: str
    path: Path
    short_m: float
    tight: bool = False


class Change(Struct, frozen=True):
    """Something to change with which everything does fit, and how crowded it then is."""

    words: str
    crowding: float


class Layout(Struct, frozen=True):
    """How the places came about.

    It is tight where every equation holds but a check warns of where the fences stand.
    `freedom` counts what is left to choose (a sideways shift, a turn of the whole, ...);
    `crowding` is what the roomiest arrangement makes smallest. `shortages` are there when it
    does not fit, worst first, and `changes` are what would help it or a tight one, best first.
    """

    outcome: Outcome
    poses: dict[str, Pose]
    residuals: tuple[Residual, ...] = ()
    freedom: int = 0
    crowding: float = 0.0
    shortages: tuple[Shortage, ...] = ()
    changes: tuple[Change, ...] = ()

    @property
    def tight(self) -> bool:
        """Whether a check warns of where the fences were put."""
        return self.outcome == "placed, but tight"
