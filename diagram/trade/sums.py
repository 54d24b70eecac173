"""How a distance is put together: the figure of a table, and what is added to it."""

from __future__ import annotations

from functools import lru_cache

from msgspec import Struct
from msgspec.structs import replace

from diagram.trade.adjustments import adjustments
from diagram.trade.lookup import LookedUp, Summand, called, find, moved
from diagram.trade.question import Question
from diagram.trade.settings import chosen
from diagram.trade.stride_tables import SAME, StrideTable, load_table
from diagram.trade.summands import (
    SHORT,
    condition_parts,
    height_share,
    high_fence_parts,
    in_proportion,
    kind_parts,
    low_fence_parts,
    raised_pole_parts,
)
from diagram.trade.words import count_word
from diagram.units import length_text

RULE = "derived: stride × (strides + 1), the rule of [S7] and [S10]"

LONGEST_GRID = 2
"""Strides. The grid from trot has no figure beyond; it is a line that is trotted into."""


class Sum(Struct, frozen=True):
    """What a table says, and all parts of the distance, its own among them."""

    found: LookedUp
    parts: tuple[Summand, ...]

    @property
    def total_m(self) -> float:
        """Metres."""
        return sum(part.amount_m for part in self.parts)


@lru_cache(maxsize=4096)
def add_up(strides: int, question: Question) -> Sum:
    """The figure of the table and everything that is added to it."""
    table = table_of_the_body(strides, question)
    if table is not None:
        question = _asked_of(table, question)
    found = _base(strides, question)
    parts = (*found.parts, *_for_the_fences(strides, question, found))
    if strides and not (question.only_poles and question.gait_in != "canter"):
        parts = (*parts, *condition_parts(strides, question))
    return Sum(found, parts)


def table_of_the_body(strides: int, question: Question) -> StrideTable | None:
    """The table chosen for one stride of a pony in canter, which bodies differ about."""
    choice = chosen("pony one stride", question.judged_by)
    pony = question.horses.size != "horse" and not question.has_pole
    return load_table(choice.table) if choice.table and pony and strides == 1 else None


def _asked_of(table: StrideTable, question: Question) -> Question:
    """The question put to another table: as far from its normal stride as from the own one's."""
    size = question.horses.size
    off = question.horses.stride_m - question.table.normal_stride(size).value
    horses = replace(question.horses, stride_m=table.normal_stride(size).value + off)
    return replace(question, table=table, horses=horses)


def _base(strides: int, question: Question) -> LookedUp:
    if question.has_pole:
        return _with_poles(strides, question)
    if question.gap is not None or question.gait_in != "canter":
        return _from_trot(strides, question)
    return _cantered(strides, question)


def _for_the_fences(strides: int, question: Question, found: LookedUp) -> tuple[Summand, ...]:
    """What the kinds and heights of both fences add to a figure that does not speak of them."""
    parts: list[Summand] = []
    if question.only_poles:
        parts += raised_pole_parts(strides, question)
    if strides and not found.complete:
        if not question.has_pole:
            parts += kind_parts(strides, question, only_triple_bars=found.by_kind)
        parts += low_fence_parts(question)
        if not question.has_pole:
            parts += high_fence_parts(strides, question, found)
    return tuple(parts)


def _cantered(strides: int, question: Question) -> LookedUp:
    """What the table has; beyond its last count its own step; a bounce by the height; the rule."""
    found = find(strides, question, question.table, "canter")
    if found:
        return found if strides else _bounce_by_height(found, question)
    if not strides:
        return _bounce(question)
    return _continued(strides, question) or _by_rule(strides, question)


def _bounce_by_height(found: LookedUp, question: Question) -> LookedUp:
    """A table's bounce over lower fences: down its range, or as much less as bounces are.

    A table with one figure for all heights keeps it, unless it says that low fences shorten.
    """
    lower, bounces = 1.0 - height_share(question), adjustments().bounces
    less, source = 0.0, bounces.very_small.source
    if found.by_height or lower <= 0.0:
        return found
    if found.low_m is not None:
        less, source = found.aim_m - found.low_m, found.range_source
    elif question.table.low_fences_shorten:
        share = question.horses.stride_m / adjustments().low_fences.stride.value
        less = (bounces.full.value - bounces.very_small.value) * share
    if less * lower <= SAME:
        return found
    text = f"over fences of {length_text(question.height_m, question.table.units)}"
    part = Summand(text, -less * lower, f"derived: lower in proportion to the height, by {source}")
    return replace(found, parts=(*found.parts, part))


def _bounce(question: Question) -> LookedUp:
    bounces = adjustments().bounces
    part = height_share(question)
    metres = bounces.very_small.value + (bounces.full.value - bounces.very_small.value) * part
    share = question.horses.stride_m / adjustments().low_fences.stride.value
    source = bounces.full.source if part == 1.0 else bounces.very_small.source
    if 0.0 < part < 1.0:
        source = f"derived: between low and full height, from {source}"
    measure = length_text(question.height_m, question.table.units)
    text = f"{called(0, question)} (over fences of {measure})"
    found = Summand(text, metres * share, in_proportion(share, source))
    return LookedUp((found,), None, None, "", by_kind=False, complete=True)


def _continued(strides: int, question: Question) -> LookedUp | None:
    """Beyond the last line of a table: so many more of its own last step."""
    table = question.table
    for last in range(strides - 1, SHORT, -1):
        here = find(last, question, table, "canter")
        if here is None:
            continue
        before = find(last - 1, question, table, "canter") if last - 1 > SHORT else None
        step = here.aim_m - before.aim_m if before else question.horses.stride_m
        more = strides - last
        text = (
            f"{called(strides, question)} ({table.name}, {count_word(more)} more of its last step)"
        )
        source = f"derived: its last step once for each stride more, from {here.range_source}"
        part = Summand(text, here.aim_m + step * more, source)
        return replace(here, parts=(part,), low_m=None, high_m=None, range_source="")
    return None


def _with_poles(strides: int, question: Question) -> LookedUp:
    """From or to a pole: the own table, the table of poles, or the rule."""
    gait = question.gait_in
    for table in (question.table, load_table("poles")):
        found = find(strides, question, table, gait, complete=True)
        if found:
            return found
    if question.only_poles and gait != "canter":
        return _several_steps(strides, question)
    if gait == "canter":
        return _by_rule(strides, question)
    return _trotted_into(question, _by_rule(strides, question))


def _several_steps(strides: int, question: Question) -> LookedUp:
    """Poles in walk or trot that stand more than one step apart."""
    one = _with_poles(0, question)
    steps = strides + 1
    part = Summand(
        f"for {count_word(steps)} steps of {question.gait_in}",
        one.aim_m * steps,
        f"derived: {steps} times {one.range_source}",
    )
    low, high = (None if end is None else end * steps for end in (one.low_m, one.high_m))
    source = f"derived: {steps} times {one.range_source}"
    return LookedUp((part,), low, high, source, by_kind=True, complete=True)


def _from_trot(strides: int, question: Question) -> LookedUp:
    """Trotted into (or walked): the own table, the grid from trot, or the canter figure less."""
    found = find(strides, question, question.table, "trot", complete=True)
    if found:
        return found
    cantered = _cantered(strides, question)
    if strides <= LONGEST_GRID:
        grid = find(strides, question, load_table("grid from trot"), "trot", complete=True)
        if grid:
            return _at_most_cantered(strides, question, grid, cantered)
    if question.gap is not None and question.gap > 1:
        return cantered
    return _trotted_into(question, cantered)


def _at_most_cantered(
    strides: int, question: Question, grid: LookedUp, cantered: LookedUp
) -> LookedUp:
    """A figure of the grid from trot, for fences so low that it would be long in canter.

    The page names no heights. Out of trot a distance is 2 to 3 ft shorter than in canter [S11];
    a bounce, and what comes later in a grid, is at least no longer.
    """
    parts = (*cantered.parts, *_for_the_fences(strides, question, cantered))
    least = adjustments().trotted_in_over_low_fences
    out_of_trot = strides > 0 and question.gap in (None, 1)
    share = question.horses.stride_m / adjustments().low_fences.stride.value
    most = sum(part.amount_m for part in parts) + out_of_trot * least.amount_m * share
    over = grid.aim_m - most
    if over <= SAME:
        return grid
    text = f"for fences of {length_text(question.height_m, question.table.units)}"
    source = f"derived: no longer than in canter, by {least.source}"
    return replace(
        grid,
        parts=(*grid.parts, Summand(text, -over, source)),
        low_m=None if grid.low_m is None else grid.low_m - over,
        high_m=None if grid.high_m is None else grid.high_m - over,
        range_source=moved(grid.range_source),
    )


def _trotted_into(question: Question, cantered: LookedUp) -> LookedUp:
    found = adjustments()
    share = question.horses.stride_m / found.low_fences.stride.value
    full, small = found.trotted_in, found.trotted_in_over_low_fences
    part_way = height_share(question)
    less = (small.amount_m + (full.amount_m - small.amount_m) * part_way) * share
    source = in_proportion(share, full.source if part_way > 0.0 else small.source)
    part = Summand(f"in from {question.gait_in}", less, source)
    low, high = cantered.low_m, cantered.high_m
    return replace(
        cantered,
        parts=(*cantered.parts, part),
        low_m=None if low is None else low + less,
        high_m=None if high is None else high + less,
        range_source=moved(cantered.range_source),
    )


def _by_rule(strides: int, question: Question) -> LookedUp:
    """What no table has: the stride, once for each stride taken."""
    stride = question.horses.stride_m
    measure = length_text(stride, question.table.units)
    text = f"{called(strides, question)} ({measure} × {strides + 1})"
    part = Summand(text, stride * (strides + 1), RULE)
    return LookedUp((part,), None, None, "", by_kind=False, complete=False)
