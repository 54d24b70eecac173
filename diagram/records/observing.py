"""What stands on an observation sheet, worked out: columns, rows, and where to look."""

from __future__ import annotations

from datetime import date
from typing import Literal

from msgspec import Struct

from diagram.judging.pass_marks import clauses, on_the_sheet
from diagram.records.readiness import Shown, standing
from diagram.records.step_file import Step
from diagram.records.tries import element_counts
from diagram.records.values import Element, ExerciseVersion, History, Pair, PrintedSheet
from diagram.records.words import day_text, height_text
from diagram.units import Units

MARGIN = 10.0
"""Millimetres at the sides of the sheet."""


class FigureBox(Struct, frozen=True):
    """A box for a figure: ``of 5``, ``out 4``, ``s``, or the lead asked."""

    kind: Literal["strides", "seconds", "lead"]
    word: str
    text: str


class Column(Struct, frozen=True):
    """One element; `called` is its number on paper. `clauses` are its pass mark from its first
    clause to all of it, of which the longest that fits is printed; without a pass mark (not
    `passed`) what to watch.
    """

    number: int
    called: str
    phase: int
    name: str
    way: str
    clauses: tuple[str, ...]
    passed: bool
    figures: tuple[FigureBox, ...]
    changes: bool


class PairRow(Struct, frozen=True):
    """A pair, or a blank row; `look` are the elements with a black corner, each as the number of
    its exercise on the sheet and its own."""

    rider: str
    horse: str
    last: str
    look: frozenset[tuple[int, int]]


class SheetPart(Struct, frozen=True):
    """One exercise of the lesson; `number` is its place on the sheet, from 0."""

    number: int
    title: str
    columns: tuple[Column, ...]


class ObservationSheet(Struct, frozen=True):
    """Everything that is printed on a sheet; lengths in text, the margin in millimetres."""

    number: int
    height: str
    arena: str
    rounds: int
    parts: tuple[SheetPart, ...]
    rows: tuple[PairRow, ...]
    big: bool
    margin: float = MARGIN


def observation_sheet(
    sheet: PrintedSheet,
    history: History,
    on: date,
    *,
    step: Step | None = None,
    blank: int = 0,
    big: bool = False,
    units: Units = "feet",
) -> ObservationSheet:
    """The sheet as it will be printed. `blank` rows are for pairs not known yet."""
    rows = [
        PairRow(pair.person.name, pair.horse.name, _last(history, pair, on, units),
            _where_to_look(sheet, history, pair, on, step))
        for pair in sheet.pairs
    ]  # fmt: skip
    rows += [PairRow("", "", "", frozenset()) for _ in range(blank)]
    parts = tuple(
        SheetPart(n, exercise.title, tuple(_column(e, exercise, timed) for e in exercise.elements))
        for n, (exercise, timed) in enumerate(zip(sheet.exercises, sheet.timed, strict=True))
    )
    height = height_text(sheet.height_mm, units)
    return ObservationSheet(
        sheet.number, height, sheet.arena, sheet.rounds, parts, tuple(rows), big
    )


def _column(element: Element, exercise: ExerciseVersion, timed: frozenset[int]) -> Column:
    said = on_the_sheet(element.pass_mark, element.tags.get("on the sheet"))
    watch = clauses(str(element.tags.get("watch", "")))
    return Column(
        element.place, element.called, int(element.tags.get("phase", 0)), element.name,
        way_words(element), said or watch, bool(said), _figures(element, timed),
        _changes(element, exercise),
    )  # fmt: skip


def way_words(element: Element) -> str:
    """How one comes to a fence, short: ``5 strides``, ``5, bend left``, ``turn right``."""
    count = " or ".join(str(n) for n in sorted(element.counts, reverse=True))
    match element.shape:
        case "start":
            return ""
        case "combination":
            words = {"0": "bounce", "1": "one stride", "2": "two strides"}
            return words.get(count, f"{count} strides" if count else "then")
        case "transition":
            return f"{count} in, {element.strides_out_asked} out"
        case "line":
            return f"{count} strides" if count else "line"
        case shape:
            hand = f"{shape} {element.rein}" if element.rein else shape
            return f"{count}, {hand}" if count else hand


def _figures(element: Element, timed: frozenset[int]) -> tuple[FigureBox, ...]:
    found = []
    if element.strides_asked is not None:
        word = "in" if element.strides_out_asked is not None else "of"
        counts = "/".join(str(count) for count in sorted(element.counts, reverse=True))
        found.append(FigureBox("strides", word, counts))
    if element.strides_out_asked is not None:
        found.append(FigureBox("strides", "out", str(element.strides_out_asked)))
    if element.place in timed:
        found.append(FigureBox("seconds", "", "s"))
    if element.lead_asked is not None:
        found.append(FigureBox("lead", "", element.lead_asked[0].upper()))
    return tuple(found)


def _changes(element: Element, exercise: ExerciseVersion) -> bool:
    """Whether the lead asked is another than the one last asked or ridden on before."""
    before = None
    for other in exercise.elements:
        if other.place >= element.place:
            break
        before = other.lead_asked or before
    rein = element.rein or before
    return element.lead_asked is not None and rein is not None and rein != element.lead_asked


def _last(history: History, pair: Pair, on: date, units: Units) -> str:
    own = [r for r in history.rounds if r.pair.pair_id == pair.pair_id and r.day.on <= on]
    if not own:
        return "first time"
    last = own[-1]
    return f"{height_text(last.highest_mm, units)}, {day_text(last.day.on)}"


def _where_to_look(
    sheet: PrintedSheet, history: History, pair: Pair, on: date, step: Step | None
) -> frozenset[tuple[int, int]]:
    """Elements that would be tries of one open requirement: the one with the worst rate.

    Only one, over all exercises of the sheet: more corners and nobody looks.
    """
    if step is None:
        return frozenset()
    rounds = [r for r in history.rounds if r.day.on <= on]
    best: tuple[float, Shown, frozenset[tuple[int, int]]] | None = None
    for requirement in step.requirements:
        if requirement.counts.whole_round or requirement.counts.new_filler:
            continue
        shown = standing(requirement, pair, rounds, on, 0.35, step.to_mm)
        places = _places(sheet, shown)
        # Corners everywhere say no more than corners nowhere.
        everywhere = len(places) == sum(len(exercise.elements) for exercise in sheet.exercises)
        if shown.state == "shown" or not places or everywhere:
            continue
        rate = shown.rate.share if shown.rate.n else 1.0
        if best is None or rate < best[0]:
            best = (rate, shown, places)
    return best[2] if best else frozenset()


def _places(sheet: PrintedSheet, shown: Shown) -> frozenset[tuple[int, int]]:
    counts = shown.requirement.counts
    return frozenset(
        (n, element.place)
        for n, exercise in enumerate(sheet.exercises)
        for element in exercise.elements
        if element_counts(counts, element, exercise, sheet.height_mm + element.above_mm)
    )
