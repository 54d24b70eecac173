"""How a distance is put together: the figure of a table, and what is added to it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from diagram.trade.adjustments import adjustments
from diagram.trade.lookup import Found, Part, called, find, moved
from diagram.trade.question import Question
from diagram.trade.stride_tables import load_table
from diagram.trade.summands import (
    SHORT,
    condition_parts,
    height_share,
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


@dataclass(frozen=True, slots=True)
class Sum:
    """What a table says, and all parts of the distance, its own among them."""

    found: Found
    parts: tuple[Part, ...]

    @property
    def total_m(self) -> float:
        """Metres."""
        return sum(part.amount_m for part in self.parts)


def add_up(strides: int, question: Question) -> Sum:
    """The figure of the table and everything that is added to it."""
    found = _base(strides, question)
    parts = list(found.parts)
    if question.only_poles:
        parts += raised_pole_parts(strides, question)
    if strides and not found.complete:
        if not question.has_pole:
            parts += kind_parts(strides, question, only_triple_bars=found.by_kind)
        parts += low_fence_parts(question)
    if strides and not (question.only_poles and question.gait_in != "canter"):
        parts += condition_parts(strides, question)
    return Sum(found, tuple(parts))


def _base(strides: int, question: Question) -> Found:
    if question.has_pole:
        return _with_poles(strides, question)
    if question.gap is not None or question.gait_in != "canter":
        return _from_trot(strides, question)
    return _cantered(strides, question)


def _cantered(strides: int, question: Question) -> Found:
    """What the table has; beyond its last count its own step; a bounce by the height; the rule."""
    found = find(strides, question, question.table, "canter")
    if found:
        return found
    if not strides:
        return _bounce(question)
    return _continued(strides, question) or _by_rule(strides, question)


def _bounce(question: Question) -> Found:
    bounces = adjustments().bounces
    part = height_share(question)
    metres = bounces.very_small.value + (bounces.full.value - bounces.very_small.value) * part
    share = question.horses.stride_m / adjustments().low_fences.stride.value
    source = bounces.full.source if part == 1.0 else bounces.very_small.source
    if 0.0 < part < 1.0:
        source = f"derived: between low and full height, from {source}"
    measure = length_text(question.height_m, question.table.units)
    text = f"{called(0, question)} (over fences of {measure})"
    found = Part(text, metres * share, in_proportion(share, source))
    return Found((found,), None, None, "", by_kind=False, complete=True)


def _continued(strides: int, question: Question) -> Found | None:
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
        part = Part(text, here.aim_m + step * more, source)
        return replace(here, parts=(part,), low_m=None, high_m=None, range_source="")
    return None


def _with_poles(strides: int, question: Question) -> Found:
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


def _several_steps(strides: int, question: Question) -> Found:
    """Poles in walk or trot that stand more than one step apart."""
    one = _with_poles(0, question)
    steps = strides + 1
    part = Part(
        f"for {count_word(steps)} steps of {question.gait_in}",
        one.aim_m * steps,
        f"derived: {steps} times {one.range_source}",
    )
    return Found((part,), None, None, "", by_kind=True, complete=True)


def _from_trot(strides: int, question: Question) -> Found:
    """Trotted into (or walked): the own table, the grid from trot, or the canter figure less."""
    found = find(strides, question, question.table, "trot", complete=True)
    if not found and strides <= LONGEST_GRID:
        found = find(strides, question, load_table("grid from trot"), "trot", complete=True)
    if found:
        return found
    cantered = _cantered(strides, question)
    if question.gap is not None and question.gap > 1:
        return cantered
    return _trotted_into(question, cantered)


def _trotted_into(question: Question, cantered: Found) -> Found:
    found = adjustments()
    share = question.horses.stride_m / found.low_fences.stride.value
    full, small = found.trotted_in, found.trotted_in_over_low_fences
    part_way = height_share(question)
    less = (small.amount_m + (full.amount_m - small.amount_m) * part_way) * share
    source = in_proportion(share, full.source if part_way > 0.0 else small.source)
    part = Part(f"in from {question.gait_in}", less, source)
    low, high = cantered.low_m, cantered.high_m
    return replace(
        cantered,
        parts=(*cantered.parts, part),
        low_m=None if low is None else low + less,
        high_m=None if high is None else high + less,
        range_source=moved(cantered.range_source),
    )


def _by_rule(strides: int, question: Question) -> Found:
    """What no table has: the stride, once for each stride taken."""
    stride = question.horses.stride_m
    measure = length_text(stride, question.table.units)
    text = f"{called(strides, question)} ({measure} × {strides + 1})"
    part = Part(text, stride * (strides + 1), RULE)
    return Found((part,), None, None, "", by_kind=False, complete=False)
