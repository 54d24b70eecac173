"""What the commands share: files to work on, options, how problems are shown, and progress."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

from diagram.diagnostics import (
    Diagnostic,
    RejectedError,
    Severity,
    Span,
    render,
    render_rich,
    shown,
)
from diagram.folder import is_file, is_folder
from diagram.library.kinds import kind_of

if TYPE_CHECKING:
    from diagram.planning import Plan

# Validation plugins of other packages are not wanted here, and looking for them takes longer
# than reading an exercise.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

# A short run makes few cycles; looking for them less often saves a tenth of a cold start.
gc.set_threshold(50_000, 20, 20)

CLEAN, STOPPED, REJECTED = 0, 1, 2
PATIENCE_S = 2.0
"""Seconds after which a command says what it is at."""
F = TypeVar("F", bound=Callable[..., Any])


def files_argument(function: F) -> F:
    """Files or folders of exercises."""
    return click.argument(
        "files", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="FILE..."
    )(function)


def _paper_and_units(units: list[str]) -> Callable[[F], F]:
    def options(function: F) -> F:
        function = click.option(
            "--paper",
            type=click.Choice(["A4", "Letter", "A3", "Tabloid"], case_sensitive=False),
            default="A4",
            show_default=True,
            help="Paper size.",
        )(function)
        return click.option(
            "--units",
            type=click.Choice(units),
            default="feet",
            show_default=True,
            help="Lengths on the drawing.",
        )(function)

    return options


paper_options = _paper_and_units(["feet", "metres", "both"])
"""``--paper`` and ``--units``."""
record_paper_options = _paper_and_units(["feet", "metres"])
"""The same where a column or a sentence has room for a height in one of them."""


def exercise_files(files: Iterable[Path]) -> list[Path]:
    """The files meant; a folder stands for the exercises in it, by name.

    Ends the program with a message when there are none.
    """
    out: list[Path] = []
    for file in files:
        if is_folder(file):
            found = [p for p in sorted(file.glob("*.y*ml")) if is_exercise(p)]
            if not found:
                refused(f"{file}: no exercises in this folder")
            out += found
        else:
            out.append(file)
    return out


def is_exercise(path: Path) -> bool:
    """Whether a file of a folder is meant: an exercise by its keys, not hidden, no link."""
    if path.name.startswith("."):
        return False
    if path.is_symlink() or not is_file(path):
        what = "a link" if path.is_symlink() else "no file"
        click.echo(f"{path}: passed over, it is {what}", err=True)
        return False
    return kind_of(path) == "exercise"


def _no_exercise(file: Path) -> RejectedError | None:
    """What a file is that was not read since it is known to be no exercise, and what to do."""
    if not is_file(file):
        return None
    kind = kind_of(file)
    if file.name == "library.yaml":
        what, hint = "what a library says of itself", "check it with: tapeline library check FOLDER"
    elif kind == "lesson":
        what, hint = "a lesson", "use: tapeline lesson"
    elif kind in ("shared", "table"):
        what = "shared by the exercises beside it"
        hint = "check an exercise that names what is in it"
    else:
        return None
    start, message = Span(str(file), 1, 1, 1, 2), f"this is {what}, not an exercise"
    return RejectedError([Diagnostic("no-exercise", Severity.ERROR, message, start, hint)], {})


def plans(files: Iterable[Path]) -> Iterator[tuple[Path, Plan | RejectedError]]:
    """Every file with the plan of each of its rides, or with why it has none."""
    from diagram import pipeline

    for file in exercise_files(files):
        try:
            with patience(f"{file}: working out places and ways"):
                made = pipeline.plans(file)
        except RejectedError as problem:
            yield file, _no_exercise(file) or problem
            continue
        for plan in made:
            yield file, plan


def show(diagnostics: Iterable[Diagnostic], sources: dict[str, str], err: bool = True) -> None:
    """Print diagnostics, in colour on a terminal."""
    stream = sys.stderr if err else sys.stdout
    some, more = shown(diagnostics)
    if not some:
        return
    if not stream.isatty() or os.environ.get("NO_COLOR"):
        click.echo("\n\n".join([render(some, sources), *([more] if more else [])]), err=err)
        return
    from rich.console import Console

    console = Console(file=stream, highlight=False, soft_wrap=True)
    for diagnostic in some:
        console.print(render_rich(diagnostic, sources))
        console.print()
    if more:
        console.print(more)


def refused(message: str) -> NoReturn:
    """End the program with a message."""
    click.echo(message, err=True)
    sys.exit(REJECTED)


@contextmanager
def reading() -> Iterator[None]:
    """What cannot be read inside ends the program with what is wrong in it."""
    try:
        yield
    except RejectedError as problem:
        show(problem.diagnostics, problem.sources)
        sys.exit(REJECTED)


@contextmanager
def writing(target: Path | str) -> Iterator[None]:
    """What cannot be written inside ends the program with why; `target` is named in it."""
    try:
        yield
    except OSError as problem:
        refused(f"cannot write {target}: {problem.strerror or problem}")


def worst(code: int, plan: Plan | RejectedError) -> int:
    """The exit code so far, or a worse one for this plan."""
    if isinstance(plan, RejectedError):
        return REJECTED
    stops = any(finding.severity is Severity.STOP for finding in plan.findings)
    return max(code, STOPPED) if stops else code


def write_each(
    files: tuple[Path, ...],
    to: Path | None,
    ending: str,
    write: Callable[[Plan, Path], None],
    what: str,
) -> None:
    """Write one file for every ride of every exercise and end with the exit code.

    `to` is a file for a single exercise, a PDF for the pages of several together, else a folder; by
    default ``output/``. In a folder nothing
    is written over but the same thing (`what`: card, drawing, leaf) of the same exercise, as it
    was written: a file that was named may be replaced, a name made up here may not.
    """
    from diagram.cli.owned import Owned
    from diagram.cli.together import is_one_file, write_together

    found = list(plans(files))
    code = CLEAN
    written: dict[str, Path] = {}
    if to is not None and is_one_file(to, ending, len(found)):
        for _, plan in found:
            code = worst(code, plan)
            _show_of(plan)
        try:
            with patience(f"{to}: drawing"):
                why = write_together(found, to, write)
        except OSError as problem:
            why = f"cannot write {to}: {problem.strerror or problem}"
        if why:
            refused(why)
        click.echo(to)
        sys.exit(code)
    for file, plan in found:
        code = worst(code, plan)
        if isinstance(plan, RejectedError):
            _show_of(plan)
            continue
        target = _target(file, to, ending, len(found), plan.name)
        owned = Owned.of(target, file, what, named=target == to)
        if why := _not_to_be_written(target, file, written) or owned.why_not():
            click.echo(f"{file}: not written, {why}", err=True)
            code = REJECTED
            continue
        try:
            with patience(f"{target}: drawing"):
                write(plan, target)
            owned.note()
        except OSError as problem:
            refused(f"cannot write {target}: {problem.strerror or problem}")
        except ValueError as problem:
            click.echo(f"{file}: {problem}", err=True)
            code = REJECTED
            continue
        _show_of(plan)
        click.echo(target)
    sys.exit(code)


def _show_of(plan: Plan | RejectedError) -> None:
    """What has to be known of a plan that is printed, or why there is none."""
    if isinstance(plan, RejectedError):
        show(plan.diagnostics, plan.sources)
        return
    serious = [f for f in plan.findings if f.severity in (Severity.STOP, Severity.CAUTION)]
    show(serious, {plan.document.name: plan.document.text})


def _not_to_be_written(target: Path, file: Path, written: dict[str, Path]) -> str:
    """Why `target` must not be written for `file`; `written` are the targets so far, and whose.

    Some file systems know no capitals, so that two names may be one file.
    """
    name = str(target).casefold()
    if name in written:
        return f"for {target} is already that of {written[name]}"
    if target.exists() and target.samefile(file):
        return f"for {target} is the exercise itself"
    if target.is_symlink() and target.resolve().is_file():
        return f"for {target} is a link to another file"
    written[name] = file
    return ""


def _target(file: Path, to: Path | None, ending: str, count: int, ride: str) -> Path:
    """Where to write; with several rides in a file the name of the ride is added."""
    if to is None:
        to = Path("output")
    elif count == 1 and to.suffix and not is_folder(to):
        return to
    added = f"-{ride.replace(' ', '-')}" if ride else ""
    return to / f"{file.stem}{added}.{ending}"


@contextmanager
def progress(what: str) -> Iterator[Callable[[int, int], None]]:
    """A bar on a terminal; silent where the output goes into a file or another program."""
    if not sys.stderr.isatty():
        yield lambda done, of: None  # noqa: ARG005
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn
    from rich.progress import TimeRemainingColumn as Remaining

    columns = (TextColumn(what), BarColumn(), MofNCompleteColumn(), Remaining())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what)
        yield lambda done, of: bar.update(task, completed=done, total=of)


@contextmanager
def patience(what: str) -> Iterator[None]:
    """What is being done, on a terminal, where that takes long; it goes when it is done."""
    if not sys.stderr.isatty():
        yield
        return
    from threading import Timer

    told: list[str] = []

    def tell() -> None:
        told.append(what)
        sys.stderr.write(f"{what}; this takes a while, Ctrl-C stops it")
        sys.stderr.flush()

    timer = Timer(PATIENCE_S, tell)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        timer.join()
        if told:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()
