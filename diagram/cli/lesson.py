"""``tapeline lesson``: a lesson checked, printed, or put together from what it is for."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from diagram.cli.common import (
    CLEAN,
    STOPPED,
    paper_options,
    patience,
    reading,
    refused,
    show,
    writing,
)
from diagram.diagnostics import Severity

if TYPE_CHECKING:
    from diagram.lessons.lesson import Lesson
    from diagram.model.lesson_file import LessonWritten
    from diagram.source import Document
    from diagram.units import Units


@click.group("lesson")
def command() -> None:
    """A lesson for tonight: exercises in order, minutes, jumps, and what is moved between."""


def _judged(file: Path) -> Lesson:
    """The lesson with what speaks against it. Ends the program where it cannot be read."""
    from diagram.lessons.lesson import read_lesson
    from diagram.lessons.refusals import judged

    with reading(), patience(f"{file}: putting it together"):
        return judged(read_lesson(file))


def _tell(lesson: Lesson) -> int:
    show(lesson.problems, {lesson.document.name: lesson.document.text})
    stops = any(problem.severity is Severity.STOP for problem in lesson.problems)
    return STOPPED if stops else CLEAN


@command.command("check")
@click.argument("file", type=click.Path(path_type=Path))
def check(file: Path) -> None:
    """Say whether a lesson can be taught as it is written, and what it asks of the horses."""
    from diagram.lessons.ground import ground
    from diagram.lessons.sheet import clock

    lesson = _judged(file)
    code, work = _tell(lesson), ground(lesson, "feet")
    for line in lesson.lines:
        what = "warm-up" if line.written.warm_up else "cool-down"
        if line.exercise is not None:
            what = lesson.plans[line.exercise].definition.title
        if line.moving:
            begin = clock(line.begin - line.moving)
            click.echo(f"{begin}     {line.moving:>3} min  on the ground: {work[line.step]}")
        jumps = f", {line.jumps} jumps" if line.jumps else ""
        click.echo(f"{clock(line.begin)}  {line.group}  {line.minutes:>3} min  {what}{jumps}")
    if lesson.order:
        taken = sum(line.moving for line in lesson.lines)
        more = f", {taken} of them for moving" if taken else ""
        click.echo(f"{lesson.minutes} minutes{more}; {lesson.order.moves.words()}")
    sys.exit(code)


@command.command("print")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--to", type=click.Path(path_type=Path, dir_okay=False), help="The PDF to write.")
@click.option("--force", is_flag=True, help="Write over a file that is there.")
@paper_options
def print_(file: Path, to: Path | None, force: bool, paper: str, units: str) -> None:
    """Print the running sheet, all cards and the setting-out sheets as one PDF.

    A lesson that teaches what it must not is refused and nothing is printed.
    """
    from diagram.lessons.printing import lesson_pdf
    from diagram.writers.files import write_bytes

    target = to or Path("output") / f"{file.stem}.lesson.pdf"
    if target.suffix.lower() != ".pdf" or target.is_symlink():
        refused(f"{target}: a lesson is printed as a PDF, and never through a link")
    if to and to.exists() and not force:
        refused(f"{to} is there already; --force writes over it")
    lesson = _judged(file)
    code = _tell(lesson)
    if code == STOPPED:
        click.echo(f"{file}: refused, nothing is printed", err=True)
        sys.exit(code)
    if not lesson.lines:
        refused(f"{file}: there is nothing under run; tapeline lesson plan {file}")
    try:
        with patience(f"{target}: drawing"):
            data = lesson_pdf(lesson, paper=paper, units=cast("Units", units))
        write_bytes(target, data)
    except OSError as problem:
        refused(f"cannot write {target}: {problem.strerror or problem}")
    except ValueError as problem:
        refused(f"{file}: {problem}")
    click.echo(target)


@command.command("plan")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--from", "folder", type=click.Path(path_type=Path, file_okay=False),
              help="Folder of exercises; that of the lesson if left out.")  # fmt: skip
@click.option("--to", type=click.Path(path_type=Path, dir_okay=False), required=True,
              help="The new lesson file.")  # fmt: skip
def plan(file: Path, folder: Path | None, to: Path) -> None:
    """Choose exercises for a lesson that says goals, groups and time, each with the reason.

    What is written stays the trainer's: the new file has the same words and a run.
    """
    from diagram.cli.library.shared import opened
    from diagram.lessons.choosing import NothingFitsError, choose, run_of
    from diagram.lessons.yard import yard_of
    from diagram.writers.files import write_bytes

    if to.exists() or to.is_symlink():
        refused(f"{to} is there already")
    document, written = _written(file)
    if written.run:
        refused(f"{file} has a run already: take it out to have one chosen")
    library = opened(folder or file.parent)
    with reading():
        arena, store = yard_of(written, document, library.folder)
    try:
        with patience(f"{file}: choosing"):
            chosen = choose(library, written, store, arena)
    except NothingFitsError as problem:
        click.echo(f"{file}: {problem}", err=True)
        sys.exit(STOPPED)
    text = document.text.rstrip("\n") + "\n" + _text({"run": run_of(chosen, written)})
    with writing(to):
        write_bytes(to, text.encode())
    for entry in chosen.entries:
        click.echo(f"{entry.title}: {chosen.why[entry.stem]}")
    for goal, why in chosen.untaught.items():
        click.echo(f"Nothing for {goal}: {why}")
    if left := chosen.left_over(written):
        click.echo(left)
    click.echo(f"{to} is written; {chosen.order.moves.words()}. Next: tapeline lesson print {to}")


def _written(file: Path) -> tuple[Document, LessonWritten]:
    from diagram.lessons.lesson import read_lesson_file

    with reading():
        return read_lesson_file(file)


def _text(values: dict[str, object]) -> str:
    from diagram.source import written

    return written(values)
