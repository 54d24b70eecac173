"""What is asked of a table: who jumps which two fences, how they come in, on what ground."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Literal

from msgspec import Struct, field
from msgspec.structs import astuple, replace

from diagram.diagnostics import near
from diagram.trade.horses import Horses
from diagram.trade.settings import USUAL
from diagram.trade.stride_tables import StrideTable
from diagram.trade.words import (
    GAITS,
    GROUPS,
    LONGEST_STRIDE,
    POLES,
    SHORTEST_STRIDE,
    SIZES,
    WIDE,
    Gait,
    GateWay,
    Group,
    Slope,
)


class FenceFacts(Struct, frozen=True):
    """What a distance needs to know of a fence: its group, height and spread in metres."""

    group: Group
    height_m: float = 0.0
    spread_m: float = 0.0

    @property
    def is_pole(self) -> bool:
        """A pole on the ground or a little above it."""
        return self.group in POLES

    @property
    def width_word(self) -> str:
        """``vertical`` or ``spread``, which is all that most tables tell apart."""
        return "spread" if self.group in WIDE else "vertical"


class Conditions(Struct, frozen=True):
    """What makes a line ride longer or shorter than on level ground and good footing.

    The first word of each is the one that changes nothing.
    """

    slope: Slope = "level"
    going: Literal["ordinary going", "deep going", "good going"] = "ordinary going"
    gate: GateWay = "across the gate"
    arena: Literal["ordinary arena", "small arena", "large arena"] = "ordinary arena"
    approach: Literal["ordinary approach", "short approach"] = "ordinary approach"
    weather: Literal["fair weather", "bad weather"] = "fair weather"

    def words(self) -> tuple[str, ...]:
        """All six words, in this order."""
        return astuple(self)


def condition_words() -> tuple[tuple[str, str], ...]:
    """Every word that changes a distance, with the field of `Conditions` it belongs to."""
    from diagram.trade.adjustments import adjustments

    return tuple((effect.word, effect.field) for effect in adjustments().conditions.effects)


def conditions_from_words(words: Iterable[str]) -> Conditions:
    """The conditions that `words` name, such as ``uphill`` and ``deep going``.

    Raises ValueError for a word that is not known and for two that exclude each other.
    """
    known = dict(condition_words())
    chosen: dict[str, Any] = {}
    for word in words:
        if word not in known:
            raise ValueError(f'"{word}" is no condition; {near(word, known)}')
        field = known[word]
        if chosen.get(field) == word:
            raise ValueError(f'"{word}" is said twice')
        if field in chosen:
            raise ValueError(f'"{chosen[field]}" and "{word}" exclude each other')
        chosen[field] = word
    return replace(Conditions(), **chosen)


class Question(Struct, frozen=True):
    """Everything about a gap between two fences but the number of strides.

    `judged_by` are the choices made where bodies differ.
    """

    table: StrideTable
    horses: Horses
    first: FenceFacts
    second: FenceFacts
    gait_in: Gait
    gap: int | None
    conditions: Conditions
    judged_by: Mapping[str, str] = field(default_factory=lambda: USUAL)

    def __hash__(self) -> int:
        # The choices are equal or not in any order; a mapping has no hash.
        ends = self.first, self.second, self.gait_in, self.gap
        return hash((self.table, self.horses, *ends, self.conditions))

    @property
    def has_pole(self) -> bool:
        """A pole stands at one end or at both."""
        return self.first.is_pole or self.second.is_pole

    @property
    def only_poles(self) -> bool:
        """From one pole to another."""
        return self.first.is_pole and self.second.is_pole

    @property
    def height_m(self) -> float:
        """Metres: the middle between the heights of the two fences."""
        return (self.first.height_m + self.second.height_m) / 2


def ask(
    table: StrideTable,
    horses: Horses,
    first: FenceFacts,
    second: FenceFacts,
    gait_in: str,
    gap: int | None,
    conditions: Conditions,
    judged_by: Mapping[str, str] = USUAL,
) -> Question:
    """A sound question. Raises ValueError for one that cannot be meant."""
    if horses.size not in SIZES:
        raise ValueError(f'"{horses.size}" is no size; {near(horses.size, SIZES)}')
    if not SHORTEST_STRIDE <= horses.stride_m <= LONGEST_STRIDE:
        raise ValueError(f"no horse has a canter stride of {horses.stride_m} m")
    for fence in (first, second):
        if fence.group not in GROUPS:
            raise ValueError(f'"{fence.group}" is no group of fences; {near(fence.group, GROUPS)}')
        if fence.height_m < 0:
            raise ValueError(f"a fence cannot be {fence.height_m} m high")
    if gap is not None and gap < 1:
        raise ValueError(f"gaps of a grid are counted from 1, not from {gap}")
    for gait in GAITS:
        if gait == gait_in and gait != "halt":
            return Question(table, horses, first, second, gait, gap, conditions, judged_by)
    raise ValueError(f'no fence is ridden at from "{gait_in}"; {near(gait_in, GAITS[1:])}')
