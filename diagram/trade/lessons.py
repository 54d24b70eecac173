"""How a lesson is shared out: minutes for a rider, riders in a group, warm-up, moves."""

from __future__ import annotations

from diagram.trade.sheet import Angle, Count, Length, Sheet, load


class LessonFacts(Sheet):
    """Minutes and riders; metres and radians of what stands behind a fence."""

    minutes_a_rider: Count
    riders_in_a_group: Count
    warm_up: Count
    minutes_back: Count
    minutes_to_explain: Count
    minutes_to_walk_in: Count
    minutes_for_a_fence_in: Count
    minutes_for_a_fence_out: Count
    minutes_for_a_pole_in: Count
    minutes_for_a_pole_out: Count
    minutes_for_a_rail: Count
    clear_behind_a_fence: Length
    end_on: Angle


def lesson_facts() -> LessonFacts:
    """The figures, read once."""
    return load("lessons", LessonFacts)
