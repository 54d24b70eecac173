"""Where bodies differ: what may be chosen to judge by, and what is usual."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from diagram.trade.figures import Figure, data_file
from diagram.trade.limits import quantity


def settings() -> Mapping[str, Mapping[str, Figure]]:
    """Every setting with its choices, the usual one first."""
    return _read()


def chosen(setting: str, said: Mapping[str, str]) -> tuple[str, Figure]:
    """The choice that is said for a setting, or the usual one, with its figure.

    Raises KeyError for a setting or a choice that is not known.
    """
    choices = settings()[setting]
    name = said.get(setting, next(iter(choices)))
    return name, choices[name]


@lru_cache(maxsize=1)
def _read() -> Mapping[str, Mapping[str, Figure]]:
    return {
        setting: {
            name: Figure(quantity(block["value"]), block["source"], block.get("note", ""))
            for name, block in choices.items()
        }
        for setting, choices in data_file("settings").plain().items()
    }
