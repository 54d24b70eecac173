"""Who is riding: size, stride and experience of the horses or ponies."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from diagram.trade.figures import Figure, Range, data_file
from diagram.trade.reading import Reader
from diagram.trade.words import SIZES, Experience, Size

if TYPE_CHECKING:
    from diagram.trade.stride_tables import StrideTable


@dataclass(frozen=True, slots=True)
class Horses:
    """The horses of a lesson. `stride_m` is one canter stride in metres."""

    size: Size
    stride_m: float
    experience: Experience = "trained"


@dataclass(frozen=True, slots=True)
class SizeFacts:
    """What a size is given by default: canter stride and height at the withers, in metres."""

    size: Size
    stride: Figure
    withers: Range | None


@lru_cache(maxsize=1)
def sizes() -> tuple[SizeFacts, ...]:
    """All sizes, largest first."""
    document = data_file("horses")
    reader = Reader(document)
    top = reader.fields(document.root, "the file", ("sizes",), ("sizes",))
    found = []
    for key, node in reader.entries(top.get("sizes"), "sizes"):
        size = reader.word(key, "size", SIZES) or "horse"
        fields = reader.fields(node, key.text, ("stride", "withers"), ("stride",))
        stride = reader.figure(fields.get("stride"), "the stride")
        withers = reader.range(fields["withers"], "the withers") if "withers" in fields else None
        found.append(SizeFacts(size, stride, withers))
    reader.finish()
    return tuple(found)


def usual_stride(size: Size) -> Figure:
    """The canter stride in metres of a size, when nothing else is said."""
    return next(facts.stride for facts in sizes() if facts.size == size)


def horses_from_size(
    size: Size, table: StrideTable | None = None, experience: Experience = "trained"
) -> Horses:
    """Horses of which only the size is known.

    Their stride is the normal one of `table`, so that the table's own figures come out, or the
    usual one of the size.
    """
    stride = table.normal_stride(size) if table else usual_stride(size)
    return Horses(size, stride.value, experience)
