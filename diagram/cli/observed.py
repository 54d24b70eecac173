"""What is observed tonight: exercise files and lesson files turned into sheets to print."""

from __future__ import annotations

import itertools
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click
from msgspec import Struct

from diagram.cli.common import REJECTED, show
from diagram.diagnostics import RejectedError
from diagram.library.kinds import kind_of

if TYPE_CHECKING:
    from diagram.lessons.lesson import Lesson
    from diagram.planning import Plan
    from diagram.records.elements import Asks


class RiddenTonight(Struct, frozen=True):
    """One exercise as it is ridden tonight; `height_mm` is what most of its fences are built to."""

    plan: Plan
    height_mm: int
    asks: Asks


class Evening(Struct, frozen=True):
    """Everything asked for: a sheet for each run of exercises of one height, and the riders of
    the lesson's group where there is one."""

    sheets: tuple[tuple[RiddenTonight, ...], ...]
    riders: int | None


def evening_of(
    files: Sequence[Path], *, ride: str | None, group: str | None, height_mm: int | None,
    named: bool,
) -> Evening:  # fmt: skip
    """The exercises of all files in order, those of a lesson as it runs.

    Mistakes in the files are shown and end the program. `named` says that pairs are printed: in
    a lesson of several groups it has to be said whose they are.
    """
    found: list[RiddenTonight] = []
    riders = 0
    wrong = False
    for file in files:
        try:
            if kind_of(file) == "lesson":
                ridden, own = _of_lesson(file, ride, group, named)
                found += ridden
                riders += own
            else:
                found += _of_exercise(file, ride)
        except RejectedError as problem:
            show(problem.diagnostics, problem.sources)
            wrong = True
    if wrong:
        sys.exit(REJECTED)
    if not found:
        what = f"ride is called {ride!r}" if ride else "exercise is ridden"
        raise click.UsageError(f"no {what} in these files")
    if group is not None and not riders:
        raise click.UsageError("--group is for a lesson file")
    if height_mm is None and not riders:
        # Without a lesson nobody said several heights: the first file's holds for the evening.
        height_mm = found[0].height_mm
    if height_mm is not None:
        found = [RiddenTonight(one.plan, height_mm, one.asks) for one in found]
    runs = itertools.groupby(found, key=lambda one: one.height_mm)
    return Evening(tuple(tuple(run) for _, run in runs), riders or None)


def _of_exercise(file: Path, ride: str | None) -> list[RiddenTonight]:
    from diagram.pipeline import plans
    from diagram.records.elements import Asks

    return [
        RiddenTonight(plan, _built_to(plan), Asks())
        for plan in plans(file)
        if ride is None or plan.name == ride
    ]


def _built_to(plan: Plan) -> int:
    """The level an exercise says, or its highest fence, in millimetres."""
    tallest = max((f.fence.measures.height_m for f in plan.fences), default=0.0)
    return round((plan.definition.level or tallest) * 1000)


def _of_lesson(
    file: Path, ride: str | None, group: str | None, named: bool
) -> tuple[list[RiddenTonight], int]:
    """The exercises of a lesson as they are ridden, each once as it is built; and its riders."""
    from diagram.lessons.lesson import read_lesson
    from diagram.lessons.refusals import judged, refused
    from diagram.records.elements import Asks

    lesson = judged(read_lesson(file))
    if stopping := refused(lesson):
        raise RejectedError(stopping, {lesson.document.name: lesson.document.text})
    groups = _groups(lesson, group, named)
    found: dict[tuple[object, ...], RiddenTonight] = {}
    for line in lesson.lines:
        if line.exercise is None or line.group not in groups:
            continue
        plan = lesson.plans[line.exercise]
        if ride is not None and plan.name != ride:
            continue
        said = line.written
        built = round(line.height_m * 1000) if line.height_m else _built_to(plan)
        asks = Asks(poles=frozenset(said.as_poles), left_out=frozenset(said.leave_out))
        key = (line.exercise, built, asks.poles, asks.left_out)
        found.setdefault(key, RiddenTonight(plan, built, asks))
    return list(found.values()), sum(lesson.written.groups[one].riders for one in groups)


def _groups(lesson: Lesson, group: str | None, named: bool) -> tuple[str, ...]:
    known = tuple(lesson.written.groups)
    if group is not None and group not in known:
        raise click.UsageError(f"no group {group!r} in this lesson; groups: {', '.join(known)}")
    if group is None and named and len(known) > 1:
        groups = ", ".join(known)
        raise click.UsageError(f"say with --group whose pairs these are; groups: {groups}")
    return known if group is None else (group,)
