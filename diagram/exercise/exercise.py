"""An exercise, read and settled: all that decides where fences stand and how they are ridden."""

from __future__ import annotations

from dataclasses import dataclass

from diagram.exercise.arena import Arena
from diagram.exercise.course import Course
from diagram.exercise.fence import Fence
from diagram.exercise.terms import Terms
from diagram.model.definition import Definition
from diagram.source import Document


@dataclass(frozen=True, slots=True)
class Exercise:
    """The definition and its file, the arena, single fences by name, the ride, and the terms."""

    definition: Definition
    document: Document
    arena: Arena
    fences: dict[str, Fence]
    course: Course
    terms: Terms
