"""The gaits, the turns they allow, the room and the straights they want."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TypeVar

from diagram.diagnostics import near
from diagram.source import Node
from diagram.trade.figures import Figure, Range, Room, data_file
from diagram.trade.reading import Reader, number
from diagram.trade.words import EXPERIENCES, GAITS, Experience, Gait
from diagram.units import parse_speed

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class GaitFacts:
    """Stride in metres and speed in metres per second. A halt has none of either."""

    name: Gait
    stride: Range
    speed: Range


@dataclass(frozen=True, slots=True)
class Turn:
    """Smallest radius of a turn in metres by experience; nobody rides under the floor."""

    green: Figure
    trained: Figure
    schooled: Figure
    floor: Figure

    def least(self, experience: Experience) -> Figure:
        """The smallest radius for horses of some experience."""
        return {"green": self.green, "trained": self.trained, "schooled": self.schooled}[experience]


@dataclass(frozen=True, slots=True)
class StraightStrides:
    """Straight strides before and after a fence next to a turn, and at each end of a bend."""

    before: Room
    after: Room
    in_bend: Figure


@dataclass(frozen=True, slots=True)
class _Facts:
    gaits: dict[str, GaitFacts]
    turns: dict[str, Turn]
    straight: StraightStrides
    clearances: dict[str, Range]
    transitions: dict[str, Range]


def gait(name: str) -> GaitFacts:
    """Stride and speed of a gait. Raises KeyError for a gait that is not known."""
    return _known(_facts().gaits, name, "gait")


def turn(gait: str) -> Turn:
    """Smallest turns in a gait; a halt turns as a walk. Raises KeyError."""
    return _known(_facts().turns, "walk" if gait == "halt" else gait, "gait")


def straight_strides() -> StraightStrides:
    """How many straight strides a fence wants before and after it."""
    return _facts().straight


def clearance(name: str) -> Range:
    """Free ground in metres; `low` is the least, `typical` what is wanted. Raises KeyError.

    Names: ``track to rail``, ``track to standards``, ``fence to rail``, ``way past a fence``.
    """
    return _known(_facts().clearances, name, "clearance")


def transition(name: str) -> Range:
    """What a change of gait inside a line takes. Raises KeyError.

    Canter strides: ``rebalance after a fence``, ``canter to walk``, ``canter to halt``,
    ``strike off and come to a fence``, ``canter strides for a line with a walk or halt``,
    ``canter strides for an easy walk in the middle``; between landing and a turn, ``flying
    change`` and ``simple change``. Steps: ``walk steps``, ``rein-back
    steps``, ``simple change walk steps``. Seconds: ``halt seconds``.
    """
    return _known(_facts().transitions, name, "transition")


def _known(found: dict[str, T], name: str, what: str) -> T:
    if name not in found:
        raise KeyError(f'"{name}" is no {what}; {near(name, found)}')
    return found[name]


@lru_cache(maxsize=1)
def _facts() -> _Facts:
    document = data_file("gaits")
    reader = Reader(document)
    names = ("gaits", "turns", "straight strides", "clearances", "transitions")
    top = reader.fields(document.root, "the file", names, names)
    found = _Facts(
        gaits=_gaits(reader, top["gaits"]),
        turns=_turns(reader, top["turns"]),
        straight=_straight(reader, top["straight strides"]),
        clearances={
            key.text: reader.range(node, key.text)
            for key, node in reader.entries(top["clearances"], "clearances")
        },
        transitions={
            key.text: reader.range(node, key.text, number)
            for key, node in reader.entries(top["transitions"], "transitions")
        },
    )
    reader.finish()
    return found


STANDING = Range(0.0, 0.0, 0.0, "derived", "a horse at halt stands")


def _gaits(reader: Reader, node: Node) -> dict[str, GaitFacts]:
    found = {}
    for key, value in reader.entries(node, "gaits"):
        name = reader.word(key, "gait", GAITS)
        fields = reader.fields(value, key.text, ("stride", "speed"))
        if name and fields:
            stride = reader.range(fields["stride"], "stride")
            speed = reader.range(fields["speed"], "speed", parse_speed)
            found[key.text] = GaitFacts(name, stride, speed)
        elif name:
            found[key.text] = GaitFacts(name, STANDING, STANDING)
    return found


def _turns(reader: Reader, node: Node) -> dict[str, Turn]:
    names = (*EXPERIENCES, "floor")
    return {
        key.text: Turn(
            *(
                reader.figure(reader.fields(value, key.text, names, names).get(name), name)
                for name in names
            )
        )
        for key, value in reader.entries(node, "turns")
    }


def _straight(reader: Reader, node: Node) -> StraightStrides:
    names = ("before", "after", "in a bending line")
    fields = reader.fields(node, "straight strides", names, names)
    before = reader.room(fields["before"], "straight strides before", number)
    after = reader.room(fields["after"], "straight strides after", number)
    bend = reader.figure(fields["in a bending line"], "straight strides in a bend", number)
    return StraightStrides(before, after, bend)
