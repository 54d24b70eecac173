"""How much a lesson may ask of a horse: efforts, steps in size, room ahead."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from diagram.source import Node
from diagram.trade.figures import Figure, data_file
from diagram.trade.reading import Measure, Reader, number
from diagram.trade.words import EXPERIENCES, Experience
from diagram.units import parse_length


@dataclass(frozen=True, slots=True)
class ByExperience:
    """A figure for green, trained and schooled horses."""

    figures: tuple[tuple[Experience, Figure], ...]

    def of(self, experience: Experience) -> Figure:
        """The figure for horses of some experience."""
        return dict(self.figures)[experience]


@dataclass(frozen=True, slots=True)
class Schooling:
    """Counts, metres and canter strides; `closest_fences` is for a stride of 12 ft."""

    rounds: Figure
    efforts: ByExperience
    step_in_height: ByExperience
    step_in_spread: ByExperience
    strides_to_the_rail: ByExperience
    closest_fences: Figure
    turns_to_one_hand: Figure
    pole_behind: Figure


@lru_cache(maxsize=1)
def schooling() -> Schooling:
    """The figures of the data file."""
    document = data_file("schooling")
    reader = Reader(document)
    names = (
        "rounds", "efforts", "step in height", "step in spread", "strides to the rail",
        "closest fences", "turns to one hand", "pole behind a fence",
    )  # fmt: skip
    top = reader.fields(document.root, "the file", names, names)
    found = Schooling(
        rounds=reader.figure(top["rounds"], "rounds", number),
        efforts=_by_experience(reader, top["efforts"], number),
        step_in_height=_by_experience(reader, top["step in height"]),
        step_in_spread=_by_experience(reader, top["step in spread"]),
        strides_to_the_rail=_by_experience(reader, top["strides to the rail"], number),
        closest_fences=reader.figure(top["closest fences"], "closest fences"),
        turns_to_one_hand=reader.figure(top["turns to one hand"], "turns", number),
        pole_behind=reader.figure(top["pole behind a fence"], "the pole"),
    )
    reader.finish()
    return found


def _by_experience(reader: Reader, node: Node, read: Measure = parse_length) -> ByExperience:
    found = reader.fields(node, "by experience", EXPERIENCES, EXPERIENCES)
    return ByExperience(tuple((e, reader.figure(found[e], e, read)) for e in EXPERIENCES))
