"""With what a ring crew measures, how finely, and what one person carries at a time."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from diagram.trade.figures import Figure, data_file
from diagram.trade.reading import Measure, Reader, number
from diagram.units import parse_angle, parse_length


@dataclass(frozen=True, slots=True)
class CrewFacts:
    """Tapes, rounding and loads.

    `tape_error` is one standard deviation of one reading and `tape_length` that of the usual
    tape, in metres. `rounding` is in metres by the units printed. `least_crossing` and
    `most_crossing` are radians between two tapes. `loads` are pieces to walks of one person.
    """

    tape_error: Figure
    tape_length: Figure
    rounding: dict[str, Figure]
    least_crossing: Figure
    most_crossing: Figure
    loads: dict[str, Figure]


@lru_cache(maxsize=1)
def crew_facts() -> CrewFacts:
    """The figures, read once."""
    document = data_file("setting-out")
    reader = Reader(document)
    parts = ("tape", "rounding", "crossing", "loads")
    top = reader.fields(document.root, "the file", parts, parts)

    def figures(part: str, read: Measure = parse_length) -> dict[str, Figure]:
        entries = reader.entries(top.get(part), part)
        return {key.text: reader.figure(node, key.text, read) for key, node in entries}

    tape, crossing = figures("tape"), figures("crossing", parse_angle)
    found = CrewFacts(
        tape_error=tape["error"],
        tape_length=tape["length"],
        rounding=figures("rounding"),
        least_crossing=crossing["least"],
        most_crossing=crossing["most"],
        loads=figures("loads", number),
    )
    reader.finish()
    return found
