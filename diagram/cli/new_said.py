"""New exercises from a sentence, from a shape, and from another exercise."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NoReturn

import click

from diagram.cli.common import reading, refused


def write_said(
    file: Path, says: str | None, shape: str | None, *, title: str | None, purpose: str | None,
    arena: str | None, horses: str | None, level: str | None,
) -> None:  # fmt: skip
    """Write the exercise that a sentence or a shape says, and tell what each part became."""
    from diagram.writing.sentence import Head, SentenceError, exercise_text, read_sentence
    from diagram.writing.shapes import sentences_of

    try:
        ways = [says] if says is not None else sentences_of(shape or "")
        understood = [read_sentence(way) for way in ways]
    except SentenceError as problem:
        refused(f"nothing is written: {problem}")
    usual = (shape or file.stem.replace("-", " ")).strip()
    head = Head(
        title or usual[:1].upper() + usual[1:],
        purpose or "Say in one sentence what it is for.",
        level or "2'",
        arena or "40 x 80 m",
        horses or "horse",
    )
    number, fits = _that_fits([exercise_text(head, said) for said in understood], file)
    if shape:
        click.echo(f"{shape}: {ways[number]}")
        if not fits:
            click.echo(f"  No way of it fits into {head.arena}; this one comes nearest.")
        elif number:
            click.echo(f"  Larger ways of it do not fit into {head.arena}.")
    for text in understood[number].explained:
        click.echo(f"  {text}")
    _write(file, exercise_text(head, understood[number]))


def _that_fits(texts: list[str], file: Path) -> tuple[int, bool]:
    """The first of several ways with nothing that stops it, or the one with least; and whether
    there is one."""
    from diagram.diagnostics import RejectedError, Severity
    from diagram.pipeline import plan_text

    if len(texts) == 1:
        return 0, True
    stops: list[int] = []
    for text in texts:
        try:
            found = plan_text(text, str(file)).findings
        except RejectedError:
            stops.append(1000)
            continue
        stops.append(sum(finding.severity is Severity.STOP for finding in found))
        if not stops[-1]:
            break
    return stops.index(min(stops)), not min(stops)


def write_like(
    file: Path, like: Path, *, title: str | None, purpose: str | None, arena: str | None,
    horses: str | None, level: str | None,
) -> None:  # fmt: skip
    """Write another exercise under a new title, with what is said otherwise; comments stay."""
    from diagram.edits import Change, EditError, Put, edited
    from diagram.source import Mapping, plain, read

    with reading():
        document = read(like)
    root = document.root
    if not isinstance(root, Mapping):
        _nothing(f"{like} is no exercise")
    values = plain(root)
    wanted = {
        "title": title or f"Like: {values.get('title', like.stem)}", "purpose": purpose,
        "arena": arena or _arena_from(values.get("arena"), like, file),
        "horses": horses, "level": level,
    }  # fmt: skip
    changes: list[Change] = [Put((key,), value) for key, value in wanted.items() if value]
    try:
        text = edited(document.text, changes)
    except EditError as problem:
        _nothing(f"{like}: {problem}")
    _write(file, text)


def _arena_from(name: object, like: Path, file: Path) -> dict[str, Any] | None:
    """The whole arena where only the folder of the other exercise knows it by its name."""
    from diagram.exercise.kept_arenas import ARENAS_FILE
    from diagram.source import Mapping, plain, read

    if not isinstance(name, str) or file.parent.resolve() == like.parent.resolve():
        return None
    for folder in (like.parent, like.parent.parent):
        shared = folder / ARENAS_FILE
        root = read(shared).root if shared.is_file() else None
        if isinstance(root, Mapping) and root.get(name) is not None:
            block: dict[str, Any] = plain(root)[name]
            return block
    return None


def _nothing(why: str) -> NoReturn:
    refused(f"nothing is written: {why}")


def _write(file: Path, text: str) -> None:
    """Write a text that can be read and placed; what the checks find is told and no reason not
    to begin with it."""
    from diagram.diagnostics import RejectedError, Severity
    from diagram.pipeline import plan_text
    from diagram.writers.files import write_bytes

    try:
        made = plan_text(text, str(file))
    except RejectedError as problem:
        _nothing(f"this would not be read:\n\n{problem}")
    try:
        write_bytes(file, text.encode())
    except OSError as problem:
        _nothing(f"cannot write {file}: {problem.strerror or problem}")
    for finding in made.findings:
        if finding.severity is Severity.STOP:
            click.echo(f"stop: {finding.message}; {finding.hint}", err=True)
    click.echo(f"{file} is written. Next: tapeline check {file}")
