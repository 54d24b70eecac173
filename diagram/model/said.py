"""What each phrase of a ride or a placing says, as values."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from diagram.trade.words import Gait, GateWay, Slope

Lead = Literal["left", "right"]
Pace = Literal["quiet", "normal", "forward"]


class Transition(Struct, frozen=True):
    """A change of gait inside a line: to `gait` for some steps or seconds.

    It stands in the middle of the line, or begins `after` strides from landing. `sides` are the
    canter strides on each side of it, where they are said.
    """

    gait: Gait
    steps: int | None = None
    seconds: float | None = None
    after: int | None = None
    sides: int | None = None


class WhereSaid(Struct, frozen=True):
    """A part of the arena: along a side, through the gate, out of a corner (of two sides, or near
    a mark), near a mark or side, or at the end of the arena that one lies at."""

    kind: Literal["along", "gate", "corner", "near", "end"]
    names: tuple[str, ...] = ()


class CircleSaid(Struct, frozen=True):
    """A circle ridden on the way. `diameter` metres, or as large as fits; `where`, if said."""

    left: bool
    diameter: float | None = None
    where: WhereSaid | None = None


class StartSaid(Struct, frozen=True):
    """How the ride begins: gait and lead, where from, and on which circle before.

    In trot and walk, which have no lead, `lead` is the rein.
    """

    gait: Gait = "canter"
    lead: Lead | None = None
    where: WhereSaid | None = None
    circle: CircleSaid | None = None


class JumpSaid(Struct, frozen=True):
    """A fence jumped: which, from which side, how far off straight, and the landing lead."""

    fence: str
    from_behind: bool = False
    angle: float = 0.0
    land: Lead | None = None


class WaySaid(Struct, frozen=True):
    """The way to the next fence, or round to it.

    `left` is None for a straight line; `turn` radians (left positive) if the angle is given;
    `tight` for a rollback. One of `strides` and `length` gives the distance of a line or bend;
    where both do, the length is built and the strides are what it is meant to ride in.
    `ways` are other counts of strides that the same way may be ridden in, `paces` how each of
    them is ridden (as the first one where nothing is said). `gait` is the one to come to the next
    fence in, and to every fence after it until another is said. A `round` bend is an arc from
    fence to fence; `radius` in metres, if that is said. `slope` and `gate` are how it lies, where
    that differs from the conditions of the exercise.
    """

    shape: Literal["line", "bend", "turn"]
    left: bool | None = None
    strides: int | None = None
    pace: Pace = "normal"
    length: float | None = None
    turn: float | None = None
    tight: bool = False
    transition: Transition | None = None
    change: Literal["flying", "simple"] | None = None
    counter: bool = False
    ways: tuple[int, ...] = ()
    paces: tuple[Pace, ...] = ()
    gait: Gait | None = None
    round: bool = False
    radius: float | None = None
    slope: Slope | None = None
    gate: GateWay | None = None


class FinishSaid(Struct, frozen=True):
    """How the ride ends: with the rail, straight on or on a circle, where, and in which gaits, one
    after the other."""

    gaits: tuple[Gait, ...] = ()
    circle: CircleSaid | None = None
    straight: bool = False
    rail: bool = False
    where: WhereSaid | None = None


class PlacedSaid(Struct, frozen=True):
    """A fence placed from another: so far beyond it along its line, turned by so much."""

    fence: str
    from_behind: bool = False
    strides: int | None = None
    pace: Pace = "normal"
    length: float | None = None
    turn: float = 0.0


class OnSaid(Struct, frozen=True):
    """A line that a fence stands on: the centre line, a quarter line, a diagonal, along a side
    so far in, or between two marks. `side` is the one that a quarter line is near to."""

    line: Literal["centre line", "short centre line", "quarter line", "diagonal", "side", "marks"]
    side: str | None = None
    inset: float = 0.0
    marks: tuple[str, str] | None = None


class ArrangedSaid(Struct, frozen=True):
    """How fences stand to each other: parallel or square, mirrored over a line, equally far, or
    together in a shape.

    `size` is metres: the diameter of a circle, from side to side of a box, the width of a loop of
    a serpentine, from the first fence of a fan to the others. `side` and `rein` are of a line.
    """

    how: Literal[
        "parallel", "square", "mirrored", "as far", "on a circle", "in a box", "in a serpentine",
        "in a fan", "in an s", "on an outside line", "on a diagonal",
    ]  # fmt: skip
    fences: tuple[str, ...]
    over: OnSaid | None = None
    size: float | None = None
    side: str | None = None
    rein: Lead | None = None


class MovedSaid(Struct, frozen=True):
    """A fence moved from where it stands: metres ahead and to the left, as it faces."""

    fence: str
    ahead_m: float = 0.0
    left_m: float = 0.0
