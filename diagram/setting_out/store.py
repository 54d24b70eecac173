"""What the yard owns: ``store.yaml`` beside the exercise or in the folder above it.

    poles: {12': 24, 10': 6}
    standards: 16
    planks: {12': 4}
    gates: 2
    walls: 1
    cups: 40
    safety cups: 8
    fillers: {flower boxes: 4}

What is not listed is not checked: a yard may list its poles only.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from diagram.source import Document, Node, read
from diagram.trade.reading import Reader
from diagram.units import UnitError, parse_length

STORE_FILE = "store.yaml"
KEYS = ("poles", "standards", "planks", "gates", "walls", "cups", "safety cups", "fillers")
MOST_PIECES = 10_000


@dataclass(frozen=True)
class Store:
    """Pieces by kind; poles and planks by their length in millimetres. None: not listed."""

    file: str
    poles: dict[int, int] | None = None
    planks: dict[int, int] | None = None
    fillers: dict[str, int] | None = None
    standards: int | None = None
    gates: int | None = None
    walls: int | None = None
    cups: int | None = None
    safety_cups: int | None = None


def find_store(document: Document) -> Store | None:
    """The store of the yard that a file lies in, if it keeps a list.

    Raises RejectedError when the list cannot be read.
    """
    for folder in (Path(document.name).parent, Path(document.name).parent.parent):
        file = folder / STORE_FILE
        if file.is_file():
            return read_store(read(file))
    return None


def read_store(document: Document) -> Store:
    """A store list. Raises RejectedError with all that is wrong in it."""
    reader = Reader(document)
    top = reader.fields(document.root, "a store", KEYS)

    def number(key: str) -> int | None:
        return reader.measure(top[key], _pieces, 0) if key in top else None

    def lengths(key: str) -> dict[int, int] | None:
        if key not in top:
            return None
        out: dict[int, int] = {}
        for name, node in reader.entries(top[key], key):
            length = round(reader.measure(name, parse_length, 0.0) * 1000)
            out[length] = out.get(length, 0) + reader.measure(node, _pieces, 0)
        return out

    fillers = _named(reader, top["fillers"]) if "fillers" in top else None
    found = Store(
        document.name, lengths("poles"), lengths("planks"), fillers, number("standards"),
        number("gates"), number("walls"), number("cups"), number("safety cups"),
    )  # fmt: skip
    reader.finish()
    return found


def _named(reader: Reader, node: Node) -> dict[str, int]:
    return {
        name.text: reader.measure(value, _pieces, 0)
        for name, value in reader.entries(node, "fillers")
    }


def _pieces(text: str) -> int:
    """A count of pieces. Raises UnitError."""
    if not text.isdecimal() or int(text) > MOST_PIECES:
        raise UnitError(f"{text!r} is not a number of pieces", "write it like 12")
    return int(text)
