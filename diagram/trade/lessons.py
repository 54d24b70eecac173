"""How a lesson is shared out: minutes for a rider, riders in a group, warm-up."""

from __future__ import annotations

from diagram.trade.sheet import Count, Sheet, load


class LessonFacts(Sheet):
    """Minutes and riders."""

    minutes_a_rider: Count
    riders_in_a_group: Count
    warm_up: Count
    minutes_back: Count
    minutes_to_explain: Count


def lesson_facts() -> LessonFacts:
    """The figures, read once."""
    return load("lessons", LessonFacts)
