"""The gaits, the turns they allow, the room and the straights they want."""

from __future__ import annotations

from typing import Annotated, TypeVar

from diagram.diagnostics import near
from diagram.trade.figures import Figure, Range
from diagram.trade.sheet import Count, Counts, Length, Lengths, Named, Sheet, Speeds, load
from diagram.trade.words import Experience, Gait

T = TypeVar("T")

STANDING = Range(0.0, 0.0, 0.0, "derived", "a horse at halt stands")


class GaitFacts(Sheet):
    """Stride in metres and speed in metres per second. A halt has none of either."""

    name: Gait
    stride: Lengths = STANDING
    speed: Speeds = STANDING


class TurnLimit(Sheet):
    """Smallest radius of a turn in metres by experience; nobody rides under the floor."""

    green: Length
    trained: Length
    schooled: Length
    floor: Length

    def least(self, experience: Experience) -> Figure:
        """The smallest radius for horses of some experience."""
        return {"green": self.green, "trained": self.trained, "schooled": self.schooled}[experience]


class Straights(Sheet):
    """Straight strides at one side of a fence: at the very least, and if there is room."""

    least: Count
    wanted: Count


class StraightStrides(Sheet):
    """Straight strides before and after a fence next to a turn, and at each end of a bend."""

    before: Straights
    after: Straights
    in_a_bending_line: Count


class _Gaits(Sheet):
    gaits: Annotated[dict[str, GaitFacts], Named]
    turns: dict[str, TurnLimit]
    straight_strides: StraightStrides
    clearances: dict[str, Lengths]
    transitions: dict[str, Counts]


def gait(name: str) -> GaitFacts:
    """Stride and speed of a gait. Raises KeyError for a gait that is not known."""
    return _known(_sheet().gaits, name, "gait")


def turn(gait: str) -> TurnLimit:
    """Smallest turns in a gait; a halt turns as a walk. Raises KeyError."""
    return _known(_sheet().turns, "walk" if gait == "halt" else gait, "gait")


def straight_strides() -> StraightStrides:
    """How many straight strides a fence wants before and after it."""
    return _sheet().straight_strides


def clearance(name: str) -> Range:
    """Free ground in metres; `low` is the least, `typical` what is wanted. Raises KeyError.

    Names: ``track to rail``, ``track to standards``, ``fence to rail``, ``way past a fence``.
    """
    return _known(_sheet().clearances, name, "clearance")


def transition(name: str) -> Range:
    """What a change of gait inside a line takes. Raises KeyError.

    Canter strides: ``rebalance after a fence``, ``canter to walk``, ``canter to halt``,
    ``strike off and come to a fence``, ``canter strides for a line with a walk or halt``,
    ``canter strides for an easy walk in the middle``; between landing and a turn, ``flying
    change`` and ``simple change``. Steps: ``walk steps``, ``rein-back
    steps``, ``simple change walk steps``. Seconds: ``halt seconds``.
    """
    return _known(_sheet().transitions, name, "transition")


def _known(found: dict[str, T], name: str, what: str) -> T:
    if name not in found:
        raise KeyError(f'"{name}" is no {what}; {near(name, found)}')
    return found[name]


def _sheet() -> _Gaits:
    return load("gaits", _Gaits)
