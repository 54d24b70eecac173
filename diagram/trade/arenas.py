"""Arenas with their letters and gates.

Metres; origin in one corner, x along the long side, y to its left. A dressage arena has its
origin in the corner next to F, at the A end.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from diagram.source import Node, Sequence
from diagram.trade.figures import Figure, data_file
from diagram.trade.reading import Reader, first_line, number
from diagram.units import parse_length

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class GateFacts:
    """The gate: the middle of it and its width in metres."""

    at: Place
    width_m: float
    source: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class ArenaFacts:
    """One arena. `gate` is None where no source says where it is."""

    name: str
    length_m: float
    width_m: float
    gate: GateFacts | None
    letters: tuple[tuple[str, Place], ...]
    letters_source: str
    also_called: tuple[str, ...]
    source: str
    note: str = ""

    def letter(self, letter: str) -> Place:
        """Where a letter stands. Raises KeyError where the arena has no such letter."""
        return dict(self.letters)[letter]


@dataclass(frozen=True, slots=True)
class CompetitionArea:
    """The smallest area of a competition arena: square metres, and metres of its short side."""

    square_metres: float
    short_side_m: float
    source: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class _Facts:
    arenas: tuple[ArenaFacts, ...]
    gate_width: Figure
    quarter_line: Figure
    competition: dict[str, CompetitionArea]


def arena_names() -> tuple[str, ...]:
    """The arenas by name, in the order of the data file."""
    return tuple(arena.name for arena in _facts().arenas)


def find_arena(name: str) -> ArenaFacts | None:
    """The arena of that name or of another name it goes by, else None."""
    wanted = _plain(name)
    for arena in _facts().arenas:
        if wanted in map(_plain, (arena.name, *arena.also_called)):
            return arena
    return None


def usual_gate_width() -> Figure:
    """Metres of a gate where nothing is said."""
    return _facts().gate_width


def quarter_line_from_side() -> Figure:
    """Metres from the long side of a 20 m arena to its quarter line: a quarter of the width."""
    return _facts().quarter_line


def competition_area(where: str) -> CompetitionArea:
    """The smallest competition area ``indoor`` or ``outdoor``. Raises KeyError."""
    return _facts().competition[where]


def _plain(name: str) -> str:
    return re.sub(r"\s*[x×]\s*", " x ", " ".join(name.lower().split()))


@lru_cache(maxsize=1)
def _facts() -> _Facts:
    document = data_file("arenas")
    reader = Reader(document)
    names = ("arenas", "usual gate", "quarter line", "competition areas")
    top = reader.fields(document.root, "the file", names, names)
    usual = reader.fields(top["usual gate"], "usual gate", ("width", "source", "note"))
    width = reader.measure(usual["width"], parse_length, 0.0)
    found = _Facts(
        arenas=tuple(
            _arena(reader, key.text, node) for key, node in reader.entries(top["arenas"], "arenas")
        ),
        gate_width=Figure(width, reader.text(usual["source"]), reader.text(usual.get("note"))),
        quarter_line=reader.figure(top["quarter line"], "quarter line"),
        competition={
            key.text: _competition(reader, node)
            for key, node in reader.entries(top["competition areas"], "competition areas")
        },
    )
    reader.finish()
    return found


def _arena(reader: Reader, name: str, node: Node) -> ArenaFacts:
    known = ("also called", "length", "width", "source", "note", "gate", "letters")
    found = reader.fields(node, name, known, ("length", "width", "source"))
    letters = found.get("letters")
    lettered = reader.fields(letters, "letters", ("source", "places")) if letters else {}
    places = reader.entries(lettered["places"], "letters") if lettered else ()
    return ArenaFacts(
        name=name,
        length_m=reader.measure(found["length"], parse_length, 0.0),
        width_m=reader.measure(found["width"], parse_length, 0.0),
        gate=_gate(reader, found["gate"]) if "gate" in found else None,
        letters=tuple((key.text, _place(reader, place)) for key, place in places),
        letters_source=reader.text(lettered.get("source")),
        also_called=tuple(reader.text(item) for item in reader.items(found["also called"])),
        source=reader.text(found["source"]),
        note=reader.text(found.get("note")),
    )


def _gate(reader: Reader, node: Node) -> GateFacts:
    found = reader.fields(node, "gate", ("at", "width", "source", "note"), ("at", "width"))
    width = reader.measure(found["width"], parse_length, 0.0)
    source, note = reader.text(found.get("source")), reader.text(found.get("note"))
    return GateFacts(_place(reader, found["at"]), width, source, note)


def _place(reader: Reader, node: Node) -> Place:
    if isinstance(node, Sequence) and len(node.items) == 2:
        x, y = (reader.measure(item, parse_length, 0.0) for item in node.items)
        return x, y
    reader.refuse("not-a-place", "a place is written [x, y]", first_line(node.span))
    return 0.0, 0.0


def _competition(reader: Reader, node: Node) -> CompetitionArea:
    names = ("square metres", "short side", "source", "note")
    found = reader.fields(node, "competition area", names, names[:3])
    return CompetitionArea(
        square_metres=reader.measure(found["square metres"], number, 0.0),
        short_side_m=reader.measure(found["short side"], parse_length, 0.0),
        source=reader.text(found["source"]),
        note=reader.text(found.get("note")),
    )
