"""The store: what poles, standards and fillers the yard owns, and what an exercise lacks.

`store.yaml` stands beside the exercise or in the folder above, like `arenas.yaml`. Every key is
optional: of what is not listed there is nothing to say.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from diagram.exercise.fence import Fence
from diagram.source import Document, Node, read
from diagram.trade.reading import Reader
from diagram.units import UnitError, length_text, parse_length

STORE_FILE = "store.yaml"
COUNTS = ("standards", "gates", "walls", "cups", "safety cups", "ground lines")
BY_LENGTH = ("poles", "planks")
SAME_LENGTH_M = 0.1
"""Metres. Poles are called 12 ft and 3.5 or 3.6 m alike; longer or shorter is another pole."""
MOST = 10_000


@dataclass(frozen=True)
class Store:
    """Pieces owned. `counts` by name; `poles` and `planks` by length in metres."""

    name: str
    counts: dict[str, int] = field(default_factory=dict)
    poles: dict[float, int] | None = None
    planks: dict[float, int] | None = None
    fillers: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Need:
    """So many of one thing, for the fences named. `length_m` is 0 for what has no length."""

    what: str
    number: int
    users: tuple[str, ...]
    source: str
    length_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Shortage:
    """One thing of which there is not enough."""

    what: str
    wanted: int
    there: int
    users: tuple[str, ...]
    source: str

    @property
    def lacking(self) -> int:
        """How many more are wanted."""
        return self.wanted - self.there


def store_beside(document: Document) -> Store | None:
    """The store that belongs to a file; None where there is none. Raises RejectedError."""
    for folder in (Path(document.name).parent, Path(document.name).parent.parent):
        if (folder / STORE_FILE).is_file():
            return read_store(read(folder / STORE_FILE))
    return None


def read_store(document: Document) -> Store:
    """A store as written. Raises RejectedError with every mistake in it."""
    reader = Reader(document)
    found = reader.fields(document.root, "a store", (*BY_LENGTH, *COUNTS, "fillers"))
    counts = {name: _count(reader, found[name]) for name in COUNTS if name in found}
    poles, planks = (
        _by_length(reader, found[name], name) if name in found else None for name in BY_LENGTH
    )
    fillers = {}
    if "fillers" in found:
        entries = reader.entries(found["fillers"], "fillers")
        fillers = {key.text.lower(): _count(reader, node) for key, node in entries}
    reader.finish()
    return Store(document.name, counts, poles, planks, fillers)


def _by_length(reader: Reader, node: Node, what: str) -> dict[float, int]:
    found: dict[float, int] = {}
    for key, value in reader.entries(node, what):
        length = reader.measure(key, parse_length, 0.0)
        found[length] = found.get(length, 0) + _count(reader, value)
    return found


def _count(reader: Reader, node: Node) -> int:
    return reader.measure(node, _whole, 0)


def _whole(text: str) -> int:
    if not text.isdigit() or int(text) > MOST:
        raise UnitError(f"{text!r} is not a count", "write a whole number like 16")
    return int(text)


def needs_of(fences: Iterable[Fence]) -> tuple[Need, ...]:
    """What fences are built from, by the usual parts of their kinds, each thing once."""
    found: dict[tuple[str, float], list[tuple[int, str, str]]] = defaultdict(list)
    for fence in fences:
        for what, length, number, source in _parts(fence):
            if number:
                found[what, length].append((number, fence.name, source))
    return tuple(
        Need(
            what,
            sum(number for number, _, _ in uses),
            tuple(name for _, name, _ in uses),
            uses[0][2],
            length,
        )
        for (what, length), uses in found.items()
    )


def _parts(fence: Fence) -> Iterator[tuple[str, float, int, str]]:
    """Thing, length, number and source for one fence. Of its poles one is its ground line."""
    facts, width = fence.facts, fence.measures.width_m
    lines = {"front": 1, "both sides": 2, "none": 0}[fence.measures.ground_line]
    lies = fence.kind.ridden_over
    yield "poles", width, round(facts.poles.typical) - (not lies), facts.poles.source
    yield "ground lines", width, 0 if lies else lines, facts.poles.source
    yield "planks", width, facts.parts.planks, facts.parts.source
    yield "standards", 0.0, facts.parts.standards, facts.parts.source
    yield "cups", 0.0, facts.parts.cups, facts.parts.source
    yield "safety cups", 0.0, facts.parts.safety_cups, facts.parts.source
    yield "walls", 0.0, int(fence.kind.name == "wall"), facts.parts.source
    yield "gates", 0.0, int(fence.kind.name == "gate"), facts.parts.source
    if fence.measures.filler and not fence.kind.filler:
        yield fence.measures.filler.lower(), 0.0, 1, facts.parts.source


def missing_from(store: Store, needs: Iterable[Need]) -> Iterator[Shortage]:
    """Everything of which the store has too few.

    Ground lines are laid from the ground lines of the store first, and from its poles after.
    """
    every = list(needs)
    spare = store.counts.get("ground lines", 0)
    lengths = sorted({need.length_m for need in every if need.what in ("poles", "ground lines")})
    for length in lengths if store.poles is not None else ():
        poles = [n for n in every if n.what == "poles" and n.length_m == length]
        lines = [n for n in every if n.what == "ground lines" and n.length_m == length]
        laid = min(spare, sum(n.number for n in lines))
        spare -= laid
        yield from _of_length(store.poles, "poles", [*poles, *lines], length, laid)
    for need in every:
        if need.what == "planks" and store.planks is not None:
            yield from _of_length(store.planks, "planks", [need], need.length_m, 0)
        owned = store.fillers.get(need.what, store.counts.get(need.what))
        listed = need.what not in ("poles", "ground lines", "planks")
        if listed and owned is not None and need.number > owned:
            yield Shortage(need.what, need.number, owned, need.users, need.source)


def _of_length(
    owned: dict[float, int] | None, what: str, needs: list[Need], length: float, laid: int
) -> Iterator[Shortage]:
    wanted = sum(need.number for need in needs) - laid
    there = sum(n for m, n in (owned or {}).items() if abs(m - length) <= SAME_LENGTH_M)
    if wanted > there:
        users = tuple(dict.fromkeys(name for need in needs for name in need.users))
        name = f"{what} of {length_text(length, 'both')}"
        yield Shortage(name, wanted, there, users, needs[0].source)
