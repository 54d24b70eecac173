"""From a definition to an exercise for each of its rides, or to every error in it at once."""

from __future__ import annotations

from collections.abc import Iterable

from diagram.diagnostics import Diagnostic, RejectedError
from diagram.exercise.arena import Arena, resolve_arena
from diagram.exercise.course import UNKNOWN_FENCE, Course, read_course
from diagram.exercise.exercise import Exercise
from diagram.exercise.fence import Fence
from diagram.exercise.inventory import store_beside
from diagram.exercise.legs import resolve_legs
from diagram.exercise.on_circles import as_arcs
from diagram.exercise.rides import OwnRide, misnamed_rides, rides_of, standing
from diagram.exercise.settle import settle_fences
from diagram.exercise.terms import Terms, read_terms
from diagram.exercise.where import misplaced
from diagram.model.definition import Definition
from diagram.model.linked import misnamed
from diagram.model.mending import sound
from diagram.model.reading import validate
from diagram.model.repairing import repaired
from diagram.source import Document


def read_exercises(
    document: Document, definition: Definition
) -> tuple[tuple[Exercise, ...], list[Diagnostic]]:
    """The exercise of every ride over the same fences, and what is wrong in the file.

    Where something is wrong their legs may be missing: they are good for finding more of it.
    Raises RejectedError with every error where not even the arena or the horses can be read.
    """
    problems = [*misnamed(definition, document), *misnamed_rides(definition, document)]
    arena = _arena(definition, document, problems)
    fences, wrong = settle_fences(standing(definition), document)
    problems += wrong
    rides = [_read(ride, document, fences, problems) for ride in rides_of(definition)]
    if arena is not None:
        for ride, _, _, _ in rides:
            problems += misplaced(ride.definition, ride.steps, arena, document)
    problems = list(dict.fromkeys(problems))
    if arena is None or any(terms is None for _, terms, _, _ in rides):
        raise RejectedError(problems, {document.name: document.text})
    store = store_beside(document)
    jumped = frozenset(jump.fence for _, _, course, _ in rides for jump in course.jumps)
    return tuple(
        Exercise(
            ride.definition, document, arena, own, course, terms,
            () if problems else resolve_legs(course, own, terms), store, ride.name,
            definition, jumped,
        )
        for ride, terms, course, own in rides
        if terms is not None
    ), problems  # fmt: skip


def document_of(text: str, name: str) -> Document:
    """The text of an exercise read. Raises RejectedError with what is no sound YAML in it and,
    where the rest can be read all the same, every other error.
    """
    return sound(text, name, _every_error)


def _every_error(document: Document) -> Iterable[Diagnostic]:
    try:
        return read_exercises(document, definition_of(document))[1]
    except RejectedError as failure:
        return failure.diagnostics


def definition_of(document: Document) -> Definition:
    """The definition of a file. Raises RejectedError with every error that can be found in it.

    Where some values are refused, the others are read all the same, so that nobody mends a file
    three times.
    """
    try:
        return validate(document, Definition)
    except RejectedError as failure:
        raise RejectedError([*failure.diagnostics, *_as_well(document, failure)], failure.sources) \
            from None  # fmt: skip


def _as_well(document: Document, failure: RejectedError) -> list[Diagnostic]:
    """What else is wrong in a file whose refused values are taken out."""
    rest = repaired(document)
    if rest is None:
        return []
    definition, whole_ride = rest
    try:
        _, problems = read_exercises(document, definition)
    except RejectedError as more:
        problems = list(more.diagnostics)
    told = [found.span for found in failure.diagnostics if found.span]
    rides = [document.key_at((key,)) for key in ("ride", "rides")]
    first = min((key.span.line for key in rides if key), default=0)
    return [
        found
        for found in problems
        if found.span is not None
        and found.span.file == document.name
        and not any(found.span.line == span.line for span in told)
        and (
            whole_ride
            or found.rule == UNKNOWN_FENCE
            or (found.span.line < first and found.rule != "ride")
        )
    ]


def _read(
    ride: OwnRide, document: Document, stands: dict[str, Fence], problems: list[Diagnostic]
) -> tuple[OwnRide, Terms | None, Course, dict[str, Fence]]:
    terms = None
    try:
        terms = read_terms(ride, document)
    except RejectedError as failure:
        problems += _own_only(failure, document)
    course, misread = read_course(ride.definition, document, ride.steps, ride.gait)
    course = as_arcs(course, ride.definition.arrange)
    own, wrong = settle_fences(ride.definition, document, stands)
    problems += [*misread, *wrong]
    return ride, terms, course, own


def _arena(definition: Definition, document: Document, problems: list[Diagnostic]) -> Arena | None:
    try:
        return resolve_arena(definition.arena, document)
    except RejectedError as failure:
        problems += _own_only(failure, document)
        return None


def _own_only(failure: RejectedError, document: Document) -> Iterable[Diagnostic]:
    """The errors of this file; those of another (an own table, arenas.yaml) are let through."""
    if document.name not in failure.sources:
        raise failure
    return failure.diagnostics
