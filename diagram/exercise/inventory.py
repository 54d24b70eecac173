"""The store: what poles, standards and fillers the yard owns, and what an exercise lacks.

`store.yaml` stands beside the exercise or in the folder above, like `arenas.yaml`. Every key is
optional: of what is not listed there is nothing to say. A list that is there is whole: a length
of pole or a filler that it does not have, the yard does not own.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from msgspec import Struct, field

from diagram.diagnostics import near
from diagram.exercise.beside import beside
from diagram.exercise.equipment import Equipment, equipment_of, in_all, pole_text
from diagram.exercise.fence import Fence
from diagram.model.meant import in_digits
from diagram.model.yard_file import ONE_TOO_MANY, STARTS, read_yard_file
from diagram.source import Document, Mapping, Node, Scalar
from diagram.trade.reading import Reader
from diagram.units import UnitError, Units, parse_length

STORE_FILE = "store.yaml"
COUNTS = ("standards", "gates", "walls", "cups", "safety cups", "ground lines")
BY_LENGTH = ("poles", "planks")
SAME_LENGTH_MM = 100
"""Millimetres. Poles of 12 ft and of 3.6 m are called alike; longer or shorter is another pole."""
MOST = 10_000


class Store(Struct, frozen=True):
    """Pieces owned: `counts` by name, poles and planks by length in millimetres, fillers.

    None for a list that the file does not have.
    """

    name: str
    counts: dict[str, int] = field(default_factory=dict)
    poles: dict[int, int] | None = None
    planks: dict[int, int] | None = None
    fillers: dict[str, int] | None = None

    def owned(self, what: str, length_mm: int = 0) -> int | None:
        """How many of a thing there are; None where the store does not say."""
        if what in BY_LENGTH:
            pieces = self.poles if what == "poles" else self.planks
            return None if pieces is None else of_length(pieces, length_mm)
        if what in COUNTS:
            return self.counts.get(what)
        return None if self.fillers is None else self.fillers.get(what, 0)


class TooFew(Struct, frozen=True):
    """One thing of which there is not enough. `instead` says what to do, `users` are fences."""

    what: str
    length_mm: int
    wanted: int
    there: int
    users: tuple[str, ...]
    source: str
    instead: str

    @property
    def lacking(self) -> int:
        """How many more are wanted."""
        return self.wanted - self.there

    def called(self, units: Units = "both") -> str:
        """``poles of 12'``, ``standards``."""
        return f"{self.what} of {pole_text(self.length_mm, units)}" if self.length_mm else self.what

    def words(self, units: Units = "both") -> str:
        """``poles of 12': 7 wanted, 4 in the store``."""
        return f"{self.called(units)}: {self.wanted} wanted, {self.there} in the store"


def of_length(pieces: dict[int, int], length_mm: int) -> int:
    """Pieces that are called by a length."""
    return sum(n for mm, n in pieces.items() if abs(mm - length_mm) <= SAME_LENGTH_MM)


def store_beside(document: Document) -> Store | None:
    """The store that belongs to a file; None where there is none. Raises RejectedError."""
    file = beside(document, STORE_FILE)
    return read_store(read_yard_file(file)) if file else None


def read_store(document: Document) -> Store:
    """A store as written. Raises RejectedError with every mistake in it."""
    reader = Reader(document)
    found = _things(reader, document.root)
    counts = {name: _count(reader, found[name]) for name in COUNTS if name in found}
    poles, planks = (
        _by_length(reader, found[name], name) if name in found else None for name in BY_LENGTH
    )
    fillers = None
    if "fillers" in found:
        entries = reader.entries(
            found["fillers"], "fillers", "write how many of each: `fillers: {brush boxes: 4}`"
        )
        fillers = {key.text.lower(): _count(reader, node) for key, node in entries}
    reader.finish()
    return Store(document.name, counts, poles, planks, fillers)


def _by_length(reader: Reader, node: Node, what: str) -> dict[int, int]:
    found: dict[int, int] = {}
    for key, value in reader.entries(node, what, f"write how long they are: `{what}: {{12': 24}}`"):
        if isinstance(value, Scalar) and key.text.isdigit() and _is_length(value.text):
            hint = f"write {value.text}: {key.text}"
            reader.refuse("not-a-measure", "the length comes first", key.span, hint)
            continue
        length = round(reader.measure(key, parse_length, 0.0) * 1000)
        found[length] = found.get(length, 0) + _count(reader, value)
    return found


def _count(reader: Reader, node: Node) -> int:
    return reader.measure(node, _whole, 0)


def _whole(text: str) -> int:
    if not re.fullmatch("[0-9]{1,6}", text) or int(text) > MOST:
        raise UnitError(f"{text!r} is not a count", _count_meant(text))
    return int(text)


def _count_meant(text: str) -> str:
    digits = re.search(r"\d{1,4}", in_digits(text))
    if digits is None:
        return "write a whole number like 16"
    number = int(digits[0]) * (2 if re.search(r"\bpairs?\b", text) else 1)
    return f"write {number}"


def _is_length(text: str) -> bool:
    try:
        return parse_length(text) > 0
    except UnitError:
        return False


_STANDARDS = "write standards: and how many single ones, two to a vertical"
_FILLERS = "write fillers: {brush boxes: 4}"
OTHERWISE = {
    **dict.fromkeys(("wings", "stands", "uprights", "jump stands", "pairs"), _STANDARDS),
    **dict.fromkeys(("rails", "bars"), "write poles: {12': 24}"),
    **dict.fromkeys(("pins", "cup", "flat cups"), "write cups:"),
    **dict.fromkeys(("breakaway cups", "release cups"), "write safety cups:"),
    **dict.fromkeys(("boxes", "brushes", "barrels", "flower boxes", "flowers", "brush"), _FILLERS),
    **dict.fromkeys(("jumps", "fences", "obstacles"),
                    "write what they are built of: standards: 16"),
}  # fmt: skip
"""Things of a store by other names, and what to write."""


def _things(reader: Reader, root: Node) -> dict[str, Node]:
    """What the store has, by name; what has none of its names is refused."""
    known = (*BY_LENGTH, *COUNTS, "fillers")
    found: dict[str, Node] = {}
    start = "write `{standards: 16}`" if isinstance(root, Scalar) else STARTS[STORE_FILE]
    for key, value in reader.entries(root, "a store", start):
        plain = " ".join(re.sub(r"[-_]", " ", key.text.lower()).split())
        if key.text in known:
            found[key.text] = value
            continue
        hint = f"write {plain}:" if plain in known else OTHERWISE.get(plain) or near(plain, known)
        if plain in ("store", "stores", "equipment") and isinstance(value, Mapping):
            hint = ONE_TOO_MANY
        reader.refuse("unknown-key", f'a store has no "{key.text}"', key.span, hint)
    return found


def missing_from(store: Store | None, fences: Iterable[Fence]) -> tuple[TooFew, ...]:
    """Everything of which the store has too few, worst first: no safety cups, no spread.

    Ground lines are laid from the ground lines of the store where poles would run short.
    """
    if store is None:
        return ()
    every = tuple(fences)
    each = {fence.name: equipment_of(fence) for fence in every}
    facts_of = {fence.name: fence.facts for fence in every}
    total = in_all(each.values())
    spare = store.counts.get("ground lines", 0)
    found = []
    for what, length, number in total.listed():
        there = store.owned(what, length)
        if there is None or number <= there:
            continue
        wanted = number
        if what == "poles":
            laid = min(spare, total.ground_lines.get(length, 0), number - there)
            spare, wanted = spare - laid, number - laid
        if wanted > there:
            users = tuple(name for name, own in each.items() if (what, length) in _uses(own))
            facts = facts_of[users[0]]
            source = facts.poles.source if what == "poles" else facts.parts.source
            instead = _instead(what, wanted - there, total, store)
            found.append(TooFew(what, length, wanted, there, users, source, instead))
    return tuple(found)


def _uses(own: Equipment) -> set[tuple[str, int]]:
    return {(what, length) for what, length, number in own.listed() if number}


_INSTEAD = {
    "safety cups": "nothing stands in: build those spreads as verticals",
    "standards": "leave a fence out; never prop up a pole",
    "poles": "ground lines and top poles first; leave the middle ones out",
    "planks": "a pole in ordinary cups: it is then a vertical",
    "gates": "a plank or two poles",
    "walls": "a vertical with a filler under it",
}


def _instead(what: str, lacking: int, total: Equipment, store: Store) -> str:
    if what == "cups":
        spare = store.owned("safety cups")
        enough = spare is not None and spare - total.safety_cups >= lacking
        return f"take {lacking} of the spare safety cups" if enough else "hang fewer poles"
    if what in _INSTEAD:
        return _INSTEAD[what]
    owned = (store.fillers or {}).items()
    others = [name for name, n in owned if n > total.fillers.get(name, 0)]
    return others[0] if others else "a pole on the ground under the fence"
