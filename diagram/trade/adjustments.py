"""What is added to a table's figure or taken off it, as the data file has it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from diagram.source import Node
from diagram.trade.figures import Figure, data_file
from diagram.trade.reading import Reader
from diagram.trade.words import SIZES, Size
from diagram.units import parse_length


@dataclass(frozen=True, slots=True)
class Shift:
    """Metres that a distance grows by (less than nothing: shrinks), with the source."""

    amount_m: float
    source: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Effect:
    """A condition of the ground or the place. `longer` says which way it works."""

    word: str
    field: str
    longer: bool


@dataclass(frozen=True, slots=True)
class LowFences:
    """Metres of landing or take-off at a fence, for horses of a stride of `stride`."""

    stride: Figure
    pole: Figure
    very_small: Figure
    full: Figure
    very_small_up_to: tuple[tuple[Size, Figure], ...]
    full_from: tuple[tuple[Size, Figure], ...]


@dataclass(frozen=True, slots=True)
class Adjustments:
    """All that may be added to a distance, and how far it may stray."""

    kinds: tuple[tuple[str, Shift], ...]
    kinds_on_a_line: Shift
    before_triple_bar: Shift
    after_triple_bar: Shift
    low_fences: LowFences
    raised_trot_poles: Shift
    trotted_in: Shift
    conditions: tuple[Effect, ...]
    conditions_source: str
    step_short: Figure
    step_line: Figure
    rides_as: Figure
    set_within_short: Figure
    set_within_line: Figure


@lru_cache(maxsize=1)
def adjustments() -> Adjustments:
    """The file of adjustments."""
    document = data_file("adjustments")
    reader = Reader(document)
    names = (
        "kinds", "kinds on a line", "triple bar", "low fences", "raised trot poles", "trotted in",
        "conditions", "rides as", "set within",
    )  # fmt: skip
    top = reader.fields(document.root, "the file", names, names)
    kinds = tuple(
        (key.text, shift(reader, node)) for key, node in reader.entries(top["kinds"], "kinds")
    )
    triple = reader.fields(top["triple bar"], "triple bar", ("before", "after"))
    effects, effects_source, short, line = _conditions(reader, top["conditions"])
    within = reader.fields(top["set within"], "set within", ("one and two strides", "line"))
    found = Adjustments(
        kinds=kinds,
        kinds_on_a_line=shift(reader, top["kinds on a line"]),
        before_triple_bar=shift(reader, triple["before"]),
        after_triple_bar=shift(reader, triple["after"]),
        low_fences=_low_fences(reader, top["low fences"]),
        raised_trot_poles=shift(reader, top["raised trot poles"]),
        trotted_in=shift(reader, top["trotted in"]),
        conditions=effects,
        conditions_source=effects_source,
        step_short=short,
        step_line=line,
        rides_as=reader.figure(top["rides as"], "rides as"),
        set_within_short=reader.figure(within["one and two strides"], "set within"),
        set_within_line=reader.figure(within["line"], "set within"),
    )
    reader.finish()
    return found


def shift(reader: Reader, node: Node) -> Shift:
    """A shift written as ``longer`` or ``shorter``, with ``source`` and perhaps ``note``."""
    found = reader.fields(node, "a shift", ("shorter", "longer", "source", "note"), ("source",))
    source, note = reader.text(found.get("source")), reader.text(found.get("note"))
    if "longer" in found:
        return Shift(reader.measure(found["longer"], parse_length, 0.0), source, note)
    return Shift(-reader.measure(found["shorter"], parse_length, 0.0), source, note)


def _low_fences(reader: Reader, node: Node) -> LowFences:
    names = ("stride", "pole", "very small", "full", "very small up to", "full from")
    found = reader.fields(node, "low fences", names, names)
    return LowFences(
        stride=reader.figure(found["stride"], "the stride"),
        pole=reader.figure(found["pole"], "a pole"),
        very_small=reader.figure(found["very small"], "a very small fence"),
        full=reader.figure(found["full"], "a fence of full height"),
        very_small_up_to=_by_size(reader, found["very small up to"]),
        full_from=_by_size(reader, found["full from"]),
    )


def _by_size(reader: Reader, node: Node) -> tuple[tuple[Size, Figure], ...]:
    found = reader.fields(node, "sizes", SIZES, SIZES)
    return tuple((size, reader.figure(found[size], size)) for size in SIZES)


def _conditions(reader: Reader, node: Node) -> tuple[tuple[Effect, ...], str, Figure, Figure]:
    names = ("source", "shorter", "longer", "step on one and two strides", "step on a line")
    found = reader.fields(node, "conditions", names, names)
    effects = tuple(
        Effect(reader.text(word), key.text, way == "longer")
        for way in ("shorter", "longer")
        for key, word in reader.entries(found[way], way)
    )
    short = reader.figure(found["step on one and two strides"], "the step")
    line = reader.figure(found["step on a line"], "the step")
    return effects, reader.text(found["source"]), short, line
