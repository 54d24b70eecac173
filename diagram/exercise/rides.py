"""The rides of a file: the one under `ride:`, or several over the same fences under `rides:`."""

from __future__ import annotations

from msgspec import Struct

from diagram.diagnostics import Diagnostic, Severity
from diagram.model.definition import Definition, RideWritten
from diagram.source import Document
from diagram.trade.words import Gait

Path = tuple[str | int, ...]


class OwnRide(Struct, frozen=True):
    """One ride as if the file had no other.

    `definition` has its steps, horses, distances and level; `said` are the keys that it says
    itself, under `path`; `gait` is the one it begins in where its steps do not say.
    """

    name: str
    definition: Definition
    path: Path = ()
    said: frozenset[str] = frozenset()
    gait: Gait = "canter"

    @property
    def steps(self) -> Path:
        """Where its steps are written."""
        return (*self.path, "ride")

    def at(self, key: str) -> Path:
        """Where a key that a ride may say for itself is written for this one."""
        return (*self.path, key) if key in self.said else (key,)


def rides_of(definition: Definition) -> tuple[OwnRide, ...]:
    """Every ride of a definition, in the order written."""
    if not definition.rides:
        return (OwnRide("", definition),)
    return tuple(_own(n, ride, definition) for n, ride in enumerate(definition.rides))


def _own(number: int, ride: RideWritten, whole: Definition) -> OwnRide:
    said = {key for key in ("horses", "distances") if getattr(ride, key) is not None}
    change = {key: getattr(ride, key) for key in said}
    if ride.height is not None:
        change["level"] = ride.height
    own = whole.model_copy(update={**change, "ride": ride.ride, "rides": ()})
    gait = ride.gait or "canter"
    return OwnRide(ride.name, own, ("rides", number), frozenset(said), gait)


def standing(definition: Definition) -> Definition:
    """The definition by which fences get the measures that do not change between the rides.

    Those are the measures of the highest ride: a spread is not moved between two groups.
    """
    heights = [ride.height for ride in definition.rides if ride.height is not None]
    if definition.level is not None:
        heights.append(definition.level)
    return definition.model_copy(update={"level": max(heights, default=None)})


def misnamed_rides(definition: Definition, document: Document) -> list[Diagnostic]:
    """Rides that are called the same, and none or two ways of saying what is ridden."""
    found = []
    names = [ride.name for ride in definition.rides]
    for number, name in enumerate(names):
        if name in names[:number]:
            span = document.span_at(("rides", number, "name"))
            text = f'another ride is called "{name}"'
            found.append(Diagnostic("ride", Severity.ERROR, text, span, "name it otherwise"))
    if definition.ride and definition.rides:
        span = document.span_at(("rides",), key=True)
        hint = "put the one under ride: into rides: as well, with a name"
        text = "a file has ride: or rides:, not both"
        found.append(Diagnostic("ride", Severity.ERROR, text, span, hint))
    return found
