"""What an exercise gives a layout to work with, read and settled, before any place is known."""

from __future__ import annotations

from dataclasses import dataclass

from diagram.layout.arena import Arena
from diagram.layout.course import Course
from diagram.layout.fence import Fence
from diagram.layout.terms import Terms
from diagram.model.definition import Definition
from diagram.path.limits import Limits
from diagram.source import Document


@dataclass(frozen=True, slots=True)
class Given:
    """The definition and its file, the arena, single fences by name, the ride, and the terms."""

    definition: Definition
    document: Document
    arena: Arena
    fences: dict[str, Fence]
    course: Course
    terms: Terms
    limits: Limits
