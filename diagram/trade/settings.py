"""Where bodies differ: what may be chosen to go by, and what is usual."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from msgspec import Struct

from diagram.trade.figures import Figure, data_file
from diagram.trade.limits import quantity

USUAL: Mapping[str, str] = MappingProxyType({})
"""Nothing chosen: the first choice of every setting."""


class Choice(Struct, frozen=True):
    """One choice for a setting: a figure, or the name of the stride table taken for it.

    `table` is empty where the choice is a figure, and where it is the table of the file itself.
    """

    name: str
    figure: Figure
    table: str = ""

    @property
    def value(self) -> float:
        """Metres, a count or a share; 0 where a table is chosen."""
        return self.figure.value


def settings() -> Mapping[str, Mapping[str, Choice]]:
    """Every setting with its choices, the usual one first."""
    return _read()


def chosen(setting: str, said: Mapping[str, str]) -> Choice:
    """The choice that is said for a setting, or the usual one.

    A choice that is not known is refused where the file is read; the usual one stands for it.
    Raises KeyError for a setting that is not known.
    """
    choices = settings()[setting]
    usual = next(iter(choices))
    return choices.get(said.get(setting, usual), choices[usual])


@lru_cache(maxsize=1)
def _read() -> Mapping[str, Mapping[str, Choice]]:
    return {
        setting: {name: _choice(name, block) for name, block in choices.items()}
        for setting, choices in data_file("settings").plain().items()
    }


def _choice(name: str, block: Mapping[str, Any]) -> Choice:
    value = quantity(block["value"]) if "value" in block else 0.0
    figure = Figure(value, block["source"], block.get("note", ""))
    return Choice(name, figure, block.get("table", ""))
