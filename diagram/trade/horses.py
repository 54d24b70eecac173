"""Who is riding: size, stride and experience of the horses or ponies."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from msgspec import Struct
from pydantic import Field

from diagram.trade.figures import Figure
from diagram.trade.sheet import Length, Lengths, Listed, Sheet, load
from diagram.trade.words import Experience, Size

if TYPE_CHECKING:
    from diagram.trade.stride_tables import StrideTable


class Horses(Struct, frozen=True):
    """The horses of a lesson. `stride_m` is one canter stride in metres.

    `shows_at_m` is the height in metres that they jump at shows; None where nobody said.
    """

    size: Size
    stride_m: float
    experience: Experience = "trained"
    shows_at_m: float | None = None


class SizeFacts(Sheet):
    """What a size is given by default: canter stride and height at the withers, in metres."""

    size: Size = Field(alias="name")
    stride: Length
    withers: Lengths | None = None


class _Sizes(Sheet):
    sizes: Annotated[tuple[SizeFacts, ...], Listed]


def sizes() -> tuple[SizeFacts, ...]:
    """All sizes, largest first."""
    return load("horses", _Sizes).sizes


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
