"""``tapeline library search``: exercises by words and by what they need."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import click

from diagram.cli.common import reading, refused
from diagram.cli.library.shared import lines, opened, tell_of_failures, units_option
from diagram.model.library_keys import GROUPS, SUITS

if TYPE_CHECKING:
    from diagram.exercise.inventory import Store
    from diagram.library.collection import Library
    from diagram.units import Units


def _read(reader: str) -> Any:
    """A callback that reads a length or a size, with the message of the readers."""

    def read(ctx: click.Context, param: click.Parameter, value: str | None) -> Any:
        from diagram.model.fields import read_size
        from diagram.units import UnitError, parse_length

        if value is None:
            return None
        try:
            if reader == "size":
                return read_size(value)
            return 0.0 if value == "poles" else parse_length(value)
        except UnitError as problem:
            raise click.BadParameter(f"{problem.message}; {problem.hint}", ctx, param) from None

    return read


@click.command("search")
@click.argument("words", nargs=-1)
@click.option("--in", "folder", type=click.Path(path_type=Path, file_okay=False), default=".",
              show_default=True, help="Folder of the library.")  # fmt: skip
@click.option("--teaches", type=click.Choice(GROUPS, case_sensitive=False), multiple=True,
              metavar="GROUP", help="One of the groups; several: any of them.")  # fmt: skip
@click.option("--height", callback=_read("length"), metavar="HEIGHT",
              help="Fences no higher than this, or poles.")  # fmt: skip
@click.option("--fences", type=click.IntRange(0), help="At most so many fences.")
@click.option("--poles", type=click.IntRange(0), help="At most so many poles.")
@click.option("--minutes", type=click.IntRange(1), help="At most so many minutes.")
@click.option("--riders", type=click.IntRange(1), help="For so many riders.")
@click.option("--suits", type=click.Choice(SUITS), help="For these horses or riders.")
@click.option("--two-groups", is_flag=True, help="For two groups at once.")
@click.option("--arena", help="Drawn for the arena of this name.")
@click.option("--ring", callback=_read("size"), metavar="SIZE", help="Fits a ring like 60 x 30 m.")
@click.option("--store", metavar="STORE",
              help="Only what this store has: its name in the library, or a file.")  # fmt: skip
@units_option
def command(
    words: tuple[str, ...], folder: Path, store: str | None, teaches: tuple[str, ...],
    units: str, **asked: Any,
) -> None:  # fmt: skip
    """Find exercises whose title, purpose, skills or fences have all WORDS in them.

    With words the best come first; without, they come in groups, each from low to high.
    Exit code 1 where nothing is found.
    """
    from diagram.library.said import group_title
    from diagram.library.search import WantedExercise, search
    from diagram.plain import counted

    library = opened(folder)
    tell_of_failures(library)
    wanted = WantedExercise(
        words=" ".join(words), teaches=teaches, store=_store(store, library), **asked
    )
    _known_arena(asked["arena"], {entry.arena for entry in library.entries})
    found = search(library.entries, wanted)
    if not found:
        click.echo("No exercise answers all of this.", err=True)
        sys.exit(1)
    if words:
        click.echo("\n".join(lines(found, cast("Units", units))))
    else:
        for group in library.groups:
            if own := [entry for entry in found if entry.main == group]:
                click.echo(group_title(group))
                click.echo("\n".join(lines(own, cast("Units", units))) + "\n")
    click.echo(f"{counted(len(found), 'exercise')} of {len(library.entries)}")


def _known_arena(name: str | None, known: set[str]) -> None:
    """End with what there is where no exercise is drawn for an arena of this name."""
    from diagram.diagnostics import near
    from diagram.library.folding import fold

    if name is not None and fold(name) not in {fold(other) for other in known}:
        refused(f'no exercise is drawn for "{name}"; {near(name, known)}')


def _store(said: str | None, library: Library) -> Store | None:
    """The store of the library with this name, or the one in a file."""
    from diagram.diagnostics import near
    from diagram.exercise.inventory import read_store
    from diagram.library.collection import store_named
    from diagram.source import read

    if said is None:
        return None
    if store := store_named(library.stores, said):
        return store
    if not Path(said).is_file():
        known = near(said, [store.name for store in library.stores]) or "say a store.yaml"
        refused(f'no store is called "{said}", and no file; {known}')
    with reading():
        return read_store(read(Path(said)))
