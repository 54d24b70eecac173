"""What the fences and the ground add to a table's figure, or take off it."""

from __future__ import annotations

from diagram.trade.adjustments import Shift, adjustments
from diagram.trade.lookup import LookedUp, Summand
from diagram.trade.question import FenceFacts, Question
from diagram.trade.settings import chosen
from diagram.trade.stride_tables import SAME
from diagram.trade.words import Size
from diagram.units import length_text

SHORT = 2
"""Strides. Up to here it is a combination, beyond it a line."""


def kind_parts(
    strides: int, question: Question, only_triple_bars: bool = False
) -> tuple[Summand, ...]:
    """For the kinds of both fences; `only_triple_bars` where the table tells the rest apart."""
    found = adjustments()
    if strides > SHORT:
        none = found.kinds_on_a_line
        return () if only_triple_bars else (Summand("for the kinds", none.amount_m, none.source),)
    parts = []
    if not only_triple_bars:
        pair = f"{question.first.width_word} to {question.second.width_word}"
        parts.append(_part(f"for {pair}", found.kinds[pair]))
    if question.first.group == "triple bar":
        parts.append(_part("after a triple bar", found.triple_bar.after))
    if question.second.group == "triple bar":
        parts.append(_part("before a triple bar", found.triple_bar.before))
    return tuple(parts)


def _part(text: str, shift: Shift) -> Summand:
    return Summand(text, shift.amount_m, shift.source)


def low_fence_parts(question: Question) -> tuple[Summand, ...]:
    """For landing and take-off at poles and, where the table says so, at low fences."""
    parts = []
    for word, fence in (("landing", question.first), ("take-off", question.second)):
        if fence.is_pole or question.table.low_fences_shorten:
            less, source = _saved(fence, question)
            if less > SAME:
                parts.append(Summand(f"{word} at {_describe(fence, question)}", -less, source))
    return tuple(parts)


def _describe(fence: FenceFacts, question: Question) -> str:
    if fence.is_pole:
        return "a pole"
    return f"a fence of {length_text(fence.height_m, question.table.units)}"


def _saved(fence: FenceFacts, question: Question) -> tuple[float, str]:
    """Metres that landing or take-off is shorter than at a fence of full height, and its source."""
    low = adjustments().low_fences
    room, source = room_at(fence, question.horses.size)
    share = question.horses.stride_m / low.stride.value
    return (low.full.value - room) * share, in_proportion(share, source)


def in_proportion(share: float, source: str) -> str:
    """The source of a figure for 12-ft strides that was taken `share` times for another."""
    if abs(share - 1) <= SAME:
        return source
    return f"derived: in proportion to the stride, from {source}"


def room_at(fence: FenceFacts, size: Size) -> tuple[float, str]:
    """Metres of landing or take-off at a pole or fence for a 12-ft stride, and its source."""
    low = adjustments().low_fences
    if fence.is_pole:
        return low.pole.value, low.pole.source
    start, full = low.very_small_up_to[size].value, low.full_from[size].value
    if fence.height_m <= start:
        return low.very_small.value, low.very_small.source
    if fence.height_m >= full:
        return low.full.value, low.full.source
    share = (fence.height_m - start) / (full - start)
    room = low.very_small.value + (low.full.value - low.very_small.value) * share
    return room, f"derived: between very small and full height, from {low.full.source}"


def raised_pole_parts(strides: int, question: Question) -> tuple[Summand, ...]:
    """For trot poles off the ground."""
    groups = (question.first.group, question.second.group)
    if question.gait_in != "trot" or "raised pole" not in groups:
        return ()
    less = adjustments().raised_trot_poles
    return (Summand("for raised poles", less.amount_m * (strides + 1), less.source),)


def high_fence_parts(strides: int, question: Question, found: LookedUp) -> tuple[Summand, ...]:
    """For fences above full height, where the table moves with the height and names none."""
    named = found.by_height or question.table.short_end_below_m is not None
    if named or not question.table.low_fences_shorten:
        return ()
    line = strides > SHORT
    if not line and question.horses.size == "horse":
        return ()
    setting = "line over big fences" if line else "pony combination over higher fences"
    choice = chosen(setting, question.judged_by).figure
    more = (_on_a_line if line else _in_a_combination)(choice.value, question, found)
    if more <= SAME:
        return ()
    text = f"for fences of {length_text(question.height_m, question.table.units)}"
    return (Summand(text, more, choice.source),)


def _on_a_line(most_m: float, question: Question, _: LookedUp) -> float:
    """Metres more on a line, growing from none to `most_m` for a 12-ft stride."""
    big = adjustments().big_fences
    start = big.longer_from[question.horses.size].value
    part = min(max((question.height_m - start) / big.within.value, 0.0), 1.0)
    return most_m * part * question.horses.stride_m / adjustments().low_fences.stride.value


def _in_a_combination(each: float, question: Question, found: LookedUp) -> float:
    """Metres more in a combination of ponies, within the range that is printed."""
    over = question.height_m - adjustments().low_fences.full_from[question.horses.size].value
    room = 0.0 if found.high_m is None else found.high_m - found.aim_m
    return min(each * max(over, 0.0), room)


def condition_parts(strides: int, question: Question) -> tuple[Summand, ...]:
    """One part for every condition that is not the ordinary one."""
    words = question.conditions.words()
    if not words:
        return ()
    found = adjustments().conditions
    step = found.step_on_one_and_two_strides if strides <= SHORT else found.step_on_a_line
    source = f"{step.source}; which way it works is {found.source}"
    parts = [
        Summand(effect.word, step.value if effect.longer else -step.value, source)
        for word in words
        for effect in found.effects
        if effect.word == word
    ]
    most = (
        found.together_at_most_on_one_and_two_strides
        if strides <= SHORT
        else found.together_at_most_on_a_line
    )
    total = sum(part.amount_m for part in parts)
    beyond = max(abs(total) - most.value, 0.0)
    if beyond > SAME:
        back = -beyond if total > 0 else beyond
        parts.append(Summand("for conditions that go together", back, most.source))
    return tuple(parts)


def height_share(question: Question) -> float:
    """From 0 over very small fences to 1 over fences of full height, by the middle of both."""
    low, size = adjustments().low_fences, question.horses.size
    start, full = low.very_small_up_to[size].value, low.full_from[size].value
    return min(max((question.height_m - start) / (full - start), 0.0), 1.0)
