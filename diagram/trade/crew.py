"""With what a ring crew measures, how finely, and what one person carries at a time."""

from __future__ import annotations

from diagram.trade.figures import Figure
from diagram.trade.sheet import Angle, Count, Length, Sheet, load


class TapeFigures(Sheet):
    """Metres: one standard deviation of one reading, and the length of the usual tape."""

    error: Length
    length: Length


class TapeAngle(Sheet):
    """Radians between two tapes."""

    least: Angle
    most: Angle


class CrewFacts(Sheet):
    """Tapes, rounding and loads.

    `rounding` is in metres by the units printed. `loads` are pieces to walks of one person.
    """

    tape: TapeFigures
    rounding: dict[str, Length]
    crossing: TapeAngle
    loads: dict[str, Count]

    @property
    def tape_error(self) -> Figure:
        """Metres: one standard deviation of one reading."""
        return self.tape.error

    @property
    def tape_length(self) -> Figure:
        """Metres of the usual tape."""
        return self.tape.length

    @property
    def least_crossing(self) -> Figure:
        """Radians between two tapes, at least."""
        return self.crossing.least

    @property
    def most_crossing(self) -> Figure:
        """Radians between two tapes, at most."""
        return self.crossing.most


def crew_facts() -> CrewFacts:
    """The figures, read once."""
    return load("setting-out", CrewFacts)
