"""Arenas with their letters and gates.

Metres; origin in one corner, x along the long side, y to its left. A dressage arena has its
origin in the corner next to F, at the A end.
"""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import Field

from diagram.trade.figures import Figure
from diagram.trade.sheet import Length, Listed, Metres, Number, Sheet, load

Place = tuple[Metres, Metres]


class GateFacts(Sheet):
    """The gate: the middle of it and its width in metres."""

    at: Place
    width_m: Metres = Field(alias="width")
    source: str
    note: str = ""


class _Letters(Sheet):
    source: str
    places: dict[str, Place]


class ArenaFacts(Sheet):
    """One arena. `gate` is None where no source says where it is."""

    name: str
    also_called: tuple[str, ...]
    length_m: Metres = Field(alias="length")
    width_m: Metres = Field(alias="width")
    source: str
    note: str = ""
    gate: GateFacts | None = None
    lettered: _Letters | None = None

    @property
    def letters(self) -> tuple[tuple[str, Place], ...]:
        """Where its letters stand."""
        return tuple(self.lettered.places.items()) if self.lettered else ()

    def letter(self, letter: str) -> Place:
        """Where a letter stands. Raises KeyError where the arena has no such letter."""
        return dict(self.letters)[letter]


class CompetitionArea(Sheet):
    """The smallest area of a competition arena: square metres, and metres of its short side."""

    square_metres: Number
    short_side_m: Metres = Field(alias="short side")
    source: str
    note: str = ""


class _UsualGate(Sheet):
    width: Metres
    source: str
    note: str = ""


class _Arenas(Sheet):
    arenas: Annotated[tuple[ArenaFacts, ...], Listed]
    usual_gate: _UsualGate
    quarter_line: Length
    competition_areas: dict[str, CompetitionArea]


def arena_names() -> tuple[str, ...]:
    """The arenas by name, in the order of the data file."""
    return tuple(arena.name for arena in _sheet().arenas)


def find_arena(name: str) -> ArenaFacts | None:
    """The arena of that name or of another name it goes by, else None."""
    wanted = _plain(name)
    for arena in _sheet().arenas:
        if wanted in map(_plain, (arena.name, *arena.also_called)):
            return arena
    return None


def usual_gate_width() -> Figure:
    """Metres of a gate where nothing is said."""
    usual = _sheet().usual_gate
    return Figure(usual.width, usual.source, usual.note)


def _plain(name: str) -> str:
    return re.sub(r"\s*[x×]\s*", " x ", " ".join(name.lower().split()))


def _sheet() -> _Arenas:
    return load("arenas", _Arenas)
