"""``tapeline readiness``: what a pair, or everyone, has shown of a step."""

from __future__ import annotations

import re
import shlex
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click
from click.core import ParameterSource

from diagram.cli.common import record_paper_options, refused
from diagram.cli.recording import (
    DAY,
    opened,
    record_option,
    say_what_cannot_be_set,
    steps_at_hand,
    written,
)

if TYPE_CHECKING:
    from diagram.records.pages import AtHand
    from diagram.records.readiness import Readiness
    from diagram.records.step_file import Step
    from diagram.records.values import History, Pair
    from diagram.units import Units


@click.command("readiness")
@click.argument("rider", required=False)
@click.argument("horse", required=False)
@click.option("--step", "step_file", type=click.Path(path_type=Path), help="A step file or folder.")
@click.option("--on", type=DAY, help="As it stood on a day; else today.")
@click.option(
    "--for", "reader", type=click.Choice(["trainer", "parent"]), default="trainer",
    show_default=True, help="A page for a parent names no other rider and no other horse.",
)  # fmt: skip
@click.option(
    "--library", type=click.Path(path_type=Path), default=Path("exercises"), show_default=True,
    help="Folder of exercises, searched for what would show what is missing.",
)  # fmt: skip
@click.option("--arena", metavar="SIZE", help="Exercises that fit in this, like 60 x 30 m.")
@click.option("--text", is_flag=True, help="Say it here and write no file.")
@click.option("--to", type=click.Path(path_type=Path), help="A PDF.")
@record_option
@record_paper_options
def command(
    rider: str | None, horse: str | None, step_file: Path | None, on: date | None, reader: str,
    library: Path, arena: str | None, text: bool, to: Path | None, record_file: Path | None,
    paper: str, units: str,
) -> None:  # fmt: skip
    """Say what RIDER and HORSE have shown of the step they are at; without names, everyone.

    A trainer's second page has strides and speed against the plan, and what has changed.
    It never says that a pair may go up: it says what was seen, and the trainer decides.
    """
    from diagram.records.history import read_history

    if (rider is None) != (horse is None):
        raise click.UsageError("name a rider and a horse, or nobody for everyone")
    if rider is None and reader == "parent":
        raise click.UsageError("a page for a parent is about one pair: name it")
    day = on or date.today()
    with opened(record_file) as record:
        history, steps = read_history(record), steps_at_hand(step_file, library)
        if rider is None or horse is None:
            _everyone(history, steps, day, text, to, paper, cast("Units", units))
            return
        from diagram.records.people import find_pair

        pair = find_pair(history, rider, horse)
        say_what_cannot_be_set([pair.person.name, pair.horse.name])
        found = _pages(history, [pair], steps, day)[0]
        from diagram.records.pages import readiness_page

        page = readiness_page(
            found, units=cast("Units", units), reader="parent" if reader == "parent" else "trainer",
            library=_library(library, arena),
        )  # fmt: skip
        if text:
            click.echo(f"{page.title}\n{page.seen}\n\n{page.sentences[0]}\n{page.sentences[1]}")
            click.echo("\n" + "\n".join(page.apart))
            for title, words in page.would_show:
                click.echo(f"{title}: {words}")
            if page.to_print:
                click.echo("\nTheir sheets:")
            for file, asked in page.to_print:
                click.echo(_to_print(found, file, asked, record_file))
            return
        from diagram.drawing import figures as drawn_figures
        from diagram.drawing.readiness import page_of
        from diagram.records.figures import figures_page
        from diagram.sections.page import PAPERS
        from diagram.writers.record import pages_bytes

        target = to or Path("output") / f"{_stem(pair.name)}.pdf"
        scenes = [page_of(page, PAPERS[paper])]
        if reader == "trainer":
            figures = figures_page(found, cast("Units", units))
            scenes.append(drawn_figures.page_of(figures, PAPERS[paper]))
        written(target, pages_bytes(scenes), private=True)


def _pages(
    history: History, pairs: list[Pair], steps: tuple[Step, ...], on: date
) -> list[Readiness]:
    from diagram.records.readiness import fitted_to, readiness, step_for

    fitted = fitted_to(history, on)
    found = []
    for pair in pairs:
        own = [one for one in history.rounds if one.pair.pair_id == pair.pair_id]
        step = steps[0] if len(steps) == 1 else step_for(steps, own, on)
        found.append(readiness(history, pair, step, on, fitted))
    return found


def _everyone(
    history: History, steps: tuple[Step, ...], on: date, text: bool, to: Path | None, paper: str,
    units: Units,
) -> None:  # fmt: skip
    """One step a page: pairs that are at different steps stand on different pages."""
    from diagram.drawing import everyone
    from diagram.records.yard import yard_pages
    from diagram.sections.page import PAPERS
    from diagram.writers.record import pages_bytes

    seen = [p for p in history.pairs if any(r.pair.pair_id == p.pair_id for r in history.rounds)]
    found = _pages(history, seen, steps, on)
    with_step = [page for page in found if page.step is not None]
    if not with_step:
        why = "nobody was seen yet" if not seen else "no step file begins at their heights"
        refused(f"{why}: name a step with --step")
    if text:
        for page in with_step:
            from diagram.records.words import plain_words

            click.echo(f"{page.pair.name}: {plain_words(page, units)[0]}")
        return
    scenes = []
    short, long = PAPERS[paper]
    for step in sorted({p.step for p in with_step if p.step}, key=lambda s: (s.from_mm, s.title)):
        group = [page for page in with_step if page.step == step]
        scenes += [everyone.page_of(page, (long, short)) for page in yard_pages(group, units)]
    written(to or Path("output") / "everyone.pdf", pages_bytes(scenes), private=True)


def _library(folder: Path, arena: str | None) -> AtHand | None:
    """The exercises of a folder, and whether each fits the arena; None where there is none."""
    from diagram.cli.shelf import offers_in
    from diagram.model.fields import read_size
    from diagram.records.pages import AtHand
    from diagram.units import UnitError

    try:
        ring = read_size(arena) if arena else None
    except UnitError as problem:
        raise click.UsageError(f"--arena: {problem.message}; {problem.hint}") from None
    offers = offers_in(folder, ring)
    source = click.get_current_context().get_parameter_source("library")
    if offers is None and (arena or source is ParameterSource.COMMANDLINE):
        raise click.UsageError(f"--library: there are no exercises in {folder}")
    return AtHand(offers, arena or "") if offers is not None else None


def _to_print(found: Readiness, file: str, asked: str, record: Path | None) -> str:
    """The command that prints the sheet of an exercise for a pair, at the height it rides now."""
    from diagram.records.words import height_text

    options = [("--pair", f"{found.pair.person.name}, {found.pair.horse.name}")]
    if found.step is not None:
        options.append(("--height", height_text(found.step.from_mm, "feet")))
    if asked:
        options.append(("--ask", asked))
    if record is not None:
        options.append(("--record", str(record)))
    said = " ".join(f"{name} {_quoted(value)}" for name, value in options)
    return f"tapeline observe {_quoted(file)} {said}"


def _quoted(word: str) -> str:
    """A word for a shell; lengths have both kinds of quotation marks, and read best so."""
    if re.fullmatch(r"[\w./=-]+", word):
        return word
    if re.search(r"[$`\\!]", word):
        return shlex.quote(word)
    escaped = word.replace('"', '\\"')
    return f'"{escaped}"'


def _stem(name: str) -> str:
    """A file name of a pair's names."""
    return re.sub(r"[^\w]+", "-", name.casefold()).strip("-") or "pair"
