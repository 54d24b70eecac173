"""An exercise, read and settled: all that decides where fences stand and how they are ridden."""

from __future__ import annotations

from msgspec import Struct

from diagram.exercise.arena import Arena
from diagram.exercise.course import Course
from diagram.exercise.fence import Fence
from diagram.exercise.inventory import Store
from diagram.exercise.legs import ResolvedLeg
from diagram.exercise.terms import Terms
from diagram.model.definition import Definition
from diagram.source import Document


class Exercise(Struct, frozen=True):
    """The definition and its file, the arena, single fences by name, the ride, and the terms.

    A file with several rides holds an exercise for each: `name` is that of the ride, `definition`
    the file as if it had no other and `whole` the file as it is, `jumped` are the fences that any
    of the rides jumps.
    `legs` are the links of the course resolved, in the same order; `store` is what the yard
    owns, None where it does not say.
    """

    definition: Definition
    document: Document
    arena: Arena
    fences: dict[str, Fence]
    course: Course
    terms: Terms
    legs: tuple[ResolvedLeg, ...]
    store: Store | None
    name: str
    whole: Definition
    jumped: frozenset[str]

    def leg(self, first: str, second: str) -> ResolvedLeg | None:
        """The first leg of the ride from one fence, jumped as it faces, to another; or None."""
        return next((leg for leg in self.legs if _joins(leg, first, second)), None)


def _joins(leg: ResolvedLeg, first: str, second: str) -> bool:
    one, other = leg.link.first, leg.link.second
    return bool(one and other and (one.fence, other.fence) == (first, second))
