"""What is added to a table's figure or taken off it, as the data file has it."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Any

from msgspec import Struct
from pydantic import Field, PlainValidator

from diagram.trade.sheet import Length, Sheet, load
from diagram.trade.words import Size
from diagram.units import parse_length


class Shift(Struct, frozen=True):
    """Metres that a distance grows by (less than nothing: shrinks), with the source."""

    amount_m: float
    source: str
    note: str = ""


def _signed(block: Any) -> Shift:
    """``longer`` or ``shorter`` as one amount with its sign."""
    sign, said = (1, "longer") if "longer" in block else (-1, "shorter")
    return Shift(sign * parse_length(block[said]), block["source"], block.get("note", ""))


Shifted = Annotated[Shift, PlainValidator(_signed)]
"""A shift written as ``longer`` or ``shorter``, with ``source`` and perhaps ``note``."""


class Effect(Struct, frozen=True):
    """A condition of the ground or the place. `longer` says which way it works."""

    word: str
    field: str
    longer: bool


class LowFences(Sheet):
    """Metres of landing or take-off at a fence, for horses of a stride of `stride`."""

    stride: Length
    pole: Length
    very_small: Length
    full: Length
    very_small_up_to: dict[Size, Length]
    full_from: dict[Size, Length]


class TripleBar(Sheet):
    """What a triple bar adds to the distance before it and to the one after."""

    before: Shifted
    after: Shifted


class ConditionRules(Sheet):
    """What conditions there are, which way each works, and how far one moves a distance."""

    source: str
    shorter: dict[str, str]
    longer: dict[str, str]
    step_on_one_and_two_strides: Length
    step_on_a_line: Length
    together_at_most_on_one_and_two_strides: Length
    together_at_most_on_a_line: Length

    @cached_property
    def effects(self) -> tuple[Effect, ...]:
        """All of them, the shortening ones first."""
        ways = ((self.shorter, False), (self.longer, True))
        return tuple(Effect(word, key, long) for words, long in ways for key, word in words.items())


class BigFences(Sheet):
    """Metres: heights from which lines grow with their fences, and over how much more they do."""

    longer_from: dict[Size, Length] = Field(alias="from")
    within: Length


class Bounces(Sheet):
    """Metres of a bounce over very small fences and over fences of full height."""

    very_small: Length
    full: Length


class SetWithin(Sheet):
    """Metres within which a fence should be set."""

    one_and_two_strides: Length
    line: Length


class Adjustments(Sheet):
    """All that may be added to a distance, and how far it may stray."""

    kinds: dict[str, Shifted]
    kinds_on_a_line: Shifted
    triple_bar: TripleBar
    low_fences: LowFences
    raised_trot_poles: Shifted
    trotted_in: Shifted
    trotted_in_over_low_fences: Shifted
    bounces: Bounces
    big_fences: BigFences
    conditions: ConditionRules
    rides_as: Length
    set_within: SetWithin


def adjustments() -> Adjustments:
    """The figures, read once."""
    return load("adjustments", Adjustments)
