"""How far apart the parts of a combination may stand, as bodies rule it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from diagram.source import Node
from diagram.trade.figures import data_file
from diagram.trade.reading import Reader
from diagram.trade.words import Size
from diagram.units import parse_length_range

For = Literal["horse", "pony", "any"]
FOR: tuple[For, ...] = ("horse", "pony", "any")


@dataclass(frozen=True, slots=True)
class CombinationLimit:
    """What one body allows: distances in metres, each from shortest to longest."""

    body: str
    distances: tuple[tuple[float, float], ...]
    horses: For
    source: str
    note: str = ""

    def allows(self, distance_m: float) -> bool:
        """Whether a distance lies within one of the allowed ones, to the centimetre."""
        near = 0.005
        return any(low - near <= distance_m <= high + near for low, high in self.distances)


def combination_limits(size: Size) -> tuple[CombinationLimit, ...]:
    """The limits that hold for horses or ponies of a size."""
    kind: For = "horse" if size == "horse" else "pony"
    return tuple(limit for limit in _limits() if limit.horses in (kind, "any"))


@lru_cache(maxsize=1)
def _limits() -> tuple[CombinationLimit, ...]:
    document = data_file("combinations")
    reader = Reader(document)
    top = reader.fields(document.root, "the file", ("limits",), ("limits",))
    found = tuple(
        _limit(reader, key.text, node) for key, node in reader.entries(top["limits"], "limits")
    )
    reader.finish()
    return found


def _limit(reader: Reader, body: str, node: Node) -> CombinationLimit:
    names = ("distances", "horses", "source", "note")
    found = reader.fields(node, body, names, names[:3])
    distances = tuple(
        reader.measure(item, parse_length_range, (0.0, 0.0))
        for item in reader.items(found["distances"])
    )
    horses = reader.word(found["horses"], "kind of horse", FOR) or "any"
    source, note = reader.text(found["source"]), reader.text(found.get("note"))
    return CombinationLimit(body, distances, horses, source, note)
