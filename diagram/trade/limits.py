"""The figures by which an exercise is judged: one place, one form, each with its source.

A check names its figures at the top of its file::

    WANTED = Limit("approach-too-short", "wanted")

and asks each for the horses, the gait or the kind it is about. So the list of what a check
judges by can be read off its file, and the table in the documents is made from it.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from msgspec import Struct

from diagram.trade.figures import Figure, data_file
from diagram.trade.sheet import number
from diagram.units import UnitError, parse_angle, parse_length, parse_speed

FILE = "limits"


class Limit(Struct, frozen=True):
    """A figure by the name of its check and its own; read when it is first asked for."""

    rule: str
    name: str

    def of(self, *words: str) -> Figure:
        """The figure for the sizes, experience, gait or kind named. Raises KeyError.

        Words that make no difference to it are passed over.
        """
        found = _read()[self.rule][self.name]
        while not isinstance(found, Figure):
            word = next((word for word in words if word in found), None)
            if word is None:
                raise KeyError(f"{self.rule}, {self.name}: one of {', '.join(found)} is wanted")
            found = found[word]
        return found

    @property
    def value(self) -> float:
        """The figure that is the same for all: metres, radians, m/s, or a count or share."""
        return self.of().value

    @property
    def source(self) -> str:
        """Where it comes from."""
        return self.of().source


def quantity(text: str) -> float:
    """A length, an angle, a speed or a plain number, by its unit. Raises UnitError."""
    for read in (number, parse_angle, parse_speed):
        try:
            return read(text)
        except UnitError:
            continue
    return parse_length(text)


@lru_cache(maxsize=1)
def _read() -> Mapping[str, Mapping[str, Any]]:
    plain = data_file(FILE).plain()
    return {
        rule: {name: _figures(block) for name, block in named.items()}
        for rule, named in plain.items()
    }


def _figures(block: Mapping[str, Any]) -> Any:
    if "value" in block:
        return Figure(quantity(block["value"]), block["source"], block.get("note", ""))
    return {word: _figures(below) for word, below in block.items()}
