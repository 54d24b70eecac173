"""New exercises from a sentence, from a shape, and from another exercise."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import NoReturn

import click

from diagram.cli.common import REJECTED, show


def write_said(
    file: Path, says: str | None, shape: str | None, *, title: str | None, purpose: str | None,
    arena: str | None, horses: str | None, level: str | None,
) -> None:  # fmt: skip
    """Write the exercise that a sentence or a shape says, and tell what each part became."""
    from diagram.writing.sentence import Head, SentenceError, exercise_text, read_sentence
    from diagram.writing.shapes import sentence_of

    try:
        sentence = says if says is not None else sentence_of(shape or "")
        said = read_sentence(sentence)
    except SentenceError as problem:
        click.echo(f"nothing is written: {problem}", err=True)
        sys.exit(REJECTED)
    usual = (shape or file.stem.replace("-", " ")).strip()
    head = Head(
        title or usual[:1].upper() + usual[1:],
        purpose or "Say in one sentence what it is for.",
        level or "2'",
        arena or "40 x 80 m",
        horses or "horse",
    )
    if shape:
        click.echo(f"{shape}: {sentence}")
    for text in said.explained:
        click.echo(f"  {text}")
    _write(file, exercise_text(head, said))


def write_like(
    file: Path, like: Path, *, title: str | None, purpose: str | None, arena: str | None,
    horses: str | None, level: str | None,
) -> None:  # fmt: skip
    """Write another exercise under a new title, with what is said otherwise; comments stay."""
    from diagram.diagnostics import RejectedError
    from diagram.edits import Change, EditError, Put, edited
    from diagram.source import Mapping, read

    try:
        document = read(like)
    except RejectedError as problem:
        show(problem.diagnostics, problem.sources)
        sys.exit(REJECTED)
    wanted = {
        "title": title or f"Like {like.stem}", "purpose": purpose, "arena": arena,
        "horses": horses, "level": level,
    }  # fmt: skip
    changes: list[Change] = [Put((key,), value) for key, value in wanted.items() if value]
    root = document.root
    if not isinstance(root, Mapping):
        _nothing(f"{like} is no exercise")
    try:
        text = edited(document.text, changes)
    except EditError as problem:
        _nothing(f"{like}: {problem}")
    _write(file, text)


def _nothing(why: str) -> NoReturn:
    click.echo(f"nothing is written: {why}", err=True)
    sys.exit(REJECTED)


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
