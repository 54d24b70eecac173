"""How much a lesson may ask of a horse: efforts, steps in size, room ahead."""

from __future__ import annotations

from diagram.trade.figures import Figure
from diagram.trade.sheet import Count, Length, Sheet, load
from diagram.trade.words import Experience


class _Counts(Sheet):
    green: Count
    trained: Count
    schooled: Count

    def of(self, experience: Experience) -> Figure:
        """The figure for horses of some experience."""
        return {"green": self.green, "trained": self.trained, "schooled": self.schooled}[experience]


class _Lengths(Sheet):
    green: Length
    trained: Length
    schooled: Length

    def of(self, experience: Experience) -> Figure:
        """The figure for horses of some experience."""
        return {"green": self.green, "trained": self.trained, "schooled": self.schooled}[experience]


class Schooling(Sheet):
    """Counts, metres and canter strides; `closest_fences` is for a stride of 12 ft."""

    rounds: Count
    efforts: _Counts
    step_in_height: _Lengths
    step_in_spread: _Lengths
    strides_to_the_rail: _Counts
    closest_fences: Length
    turns_to_one_hand: Count
    pole_behind_a_fence: Length


def schooling() -> Schooling:
    """The figures, read once."""
    return load("schooling", Schooling)
