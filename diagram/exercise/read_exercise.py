"""From a definition to an exercise, or to every error in it at once."""

from __future__ import annotations

from diagram.diagnostics import Diagnostic, RejectedError
from diagram.exercise.arena import Arena, resolve_arena
from diagram.exercise.course import read_course
from diagram.exercise.exercise import Exercise
from diagram.exercise.inventory import store_beside
from diagram.exercise.legs import resolve_legs
from diagram.exercise.settle import settle_fences
from diagram.exercise.terms import Terms, read_terms
from diagram.exercise.where import misplaced
from diagram.model.definition import Definition
from diagram.model.linked import misnamed
from diagram.source import Document


def read_exercise(document: Document, definition: Definition) -> tuple[Exercise, list[Diagnostic]]:
    """The exercise, and what is wrong in it that does not keep it from being read on.

    Raises RejectedError with every error where arena, terms, ride or a fence cannot be read.
    """
    terms, arena, problems = _terms_and_arena(definition, document)
    course, misread = read_course(definition, document)
    fences, wrong = settle_fences(definition, document)
    problems += misread + wrong + misnamed(definition, document)
    if arena is not None:
        problems += misplaced(definition, arena, document)
    if terms is None or arena is None or misread or wrong:
        raise RejectedError(problems, {document.name: document.text})
    legs = resolve_legs(course, fences, terms)
    store = store_beside(document)
    return Exercise(definition, document, arena, fences, course, terms, legs, store), problems


def _terms_and_arena(
    definition: Definition, document: Document
) -> tuple[Terms | None, Arena | None, list[Diagnostic]]:
    problems: list[Diagnostic] = []
    terms, arena = None, None
    try:
        terms = read_terms(definition, document)
    except RejectedError as failure:
        _own_only(failure, document)
        problems += failure.diagnostics
    try:
        arena = resolve_arena(definition.arena, document)
    except RejectedError as failure:
        _own_only(failure, document)
        problems += failure.diagnostics
    return terms, arena, problems


def _own_only(failure: RejectedError, document: Document) -> None:
    """Let errors of another file (an own table, arenas.yaml) through as they are."""
    if document.name not in failure.sources:
        raise failure
