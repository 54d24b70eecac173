"""The clock of a whole ride: time allowed, and how many efforts it comes to."""

from __future__ import annotations

from msgspec import Struct

from diagram.trade import jumping
from diagram.trade.figures import Figure
from diagram.trade.schooling import schooling


class Clock(Struct, frozen=True):
    """Speed of the canter in m/s with its source, and the seconds that a course has at it.

    `track_m` is the course from the start line to the finish line. All three are None where a
    time allowed means nothing.
    """

    speed: float
    source: str
    track_m: float | None = None
    time_allowed: int | None = None
    time_limit: int | None = None


class Efforts(Struct, frozen=True):
    """Fences jumped: in a round, by each horse in the lesson, and by all of them.

    `rounds_said` is False where the usual number of rounds stands in; without riders nobody
    knows what the lesson comes to, and `per_lesson` is None.
    """

    per_round: int
    rounds: int
    rounds_said: bool
    riders: int | None

    @property
    def per_horse(self) -> int:
        """Efforts of one horse in the lesson."""
        return self.per_round * self.rounds

    @property
    def per_lesson(self) -> int | None:
        """Efforts of all horses together: what the crew sets and the ground bears."""
        return None if self.riders is None else self.per_horse * self.riders


SAID = "said in the file"


def speed_for(said: float | None, height_m: float) -> Figure:
    """The canter of an exercise: as said, or that of its height."""
    return Figure(said, SAID) if said else jumping.canter_speed(height_m)


def clock(track_m: float | None, speed: Figure) -> Clock:
    """The clock for a track measured to the metre (published rule [R6]); None where it is not
    ridden against a time."""
    if track_m is None:
        return Clock(speed.value, speed.source)
    allowed = jumping.time_allowed(round(track_m), speed.value)
    return Clock(speed.value, speed.source, track_m, allowed, jumping.time_limit(allowed))


def efforts(per_round: int, rounds: int | None, riders: int | None) -> Efforts:
    """What rounds and riders come to."""
    usual = round(schooling().rounds.value)
    return Efforts(per_round, rounds or usual, rounds is not None, riders)
