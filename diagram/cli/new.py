"""``tapeline new``: ask a few questions and write a commented exercise to start from."""

from __future__ import annotations

import re
from pathlib import Path

import click

from diagram.cli.common import refused, writing

HEAD = """\
# An exercise for Tapeline. Lengths need a unit: 12', 12'6", 3.5 m, 350 cm, 4 steps.
# Check it:  tapeline check {file}
# Print it:  tapeline card {file}
tapeline: 1
title: {title}
level: {level}                 # height of the fences, where a fence says none
purpose: {purpose}
skills: [straightness]         # what it teaches
minutes: 40
arena: {arena}                 # a size, or the name of one in arenas.yaml
horses: {horses}               # or: large pony, or 12' stride, or a block with size and stride
distances: us chart            # which stride table; or a file of your own
"""

BODY = """
# Where (0, 0) is: one corner of the arena. x runs along the long side, y to its left.
# facing: is the way a fence is first jumped. 0° is along the long side.
fences:
  birch: {{kind: vertical, at: [{x1:g} m, {y1:g} m], facing: 0°, ground line: both sides}}
  hazel: {{kind: oxer, placed: {strides} strides beyond birch}}
  # more kinds: cross-rail, plank, wall, gate, ascending oxer, triple bar, ground pole,
  # cavaletti, placing pole, combination (with elements:)

# In the order ridden. Each step may have purpose:, watch: and passed when:.
ride:
  - start: canter, left lead
  - jump: birch
    purpose: Arrive in the canter you mean to leave in.
    watch: Eyes up and over the middle
  - line: {strides} strides
    purpose: The same canter all the way.
    passed when: {strides} strides three times running, straight for two strides after.
  - jump: hazel
    purpose: Land straight and balanced.
  # - bend: left, 6 strides
  # - turn: left               # by way of the corner; rollback: left is the tight one
  # - line: 10 strides, walk 5 steps in the middle
  # - phase: the way home      # from here on in another colour
  # - jump: birch from behind, land on the right lead
  - finish: straight on, walk

easier: Ground poles for fences.
harder: Raise hazel a hole; one stride less.
# warm up:, leads to:, notes: are texts too
"""


@click.command("new")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--says", metavar="SENTENCE",
              help="The exercise in words: plank, 3 strides, oxer, turn left, wall.")  # fmt: skip
@click.option("--shape", metavar="SHAPE",
              help="A shape: serpentine of three, circle of four, figure of eight.")  # fmt: skip
@click.option("--like", type=click.Path(path_type=Path, dir_okay=False), metavar="EXERCISE",
              help="Another exercise to begin from, its comments kept.")  # fmt: skip
@click.option("--title", help="Name of the exercise.")
@click.option("--purpose", help="Its purpose, in one sentence.")
@click.option("--arena", help="A size like 30 x 60 m.")
@click.option("--horses", help="horse, large pony, 12' stride.")
@click.option("--level", help="Height of the fences, like 2'6\".")
@click.option("--strides", type=click.IntRange(1, 8), help="Strides in the first line.")
@click.option("--force", is_flag=True, help="Write over a file that is there.")
def command(
    file: Path, says: str | None, shape: str | None, like: Path | None, title: str | None,
    purpose: str | None, arena: str | None, horses: str | None, level: str | None,
    strides: int | None, force: bool,
) -> None:  # fmt: skip
    """Write an exercise FILE to start from: asked for, said in a sentence, or like another."""
    if file.is_symlink() or (file.exists() and not force):
        refused(f"{file} is there already; --force writes over it, never a link")
    if sum(given is not None for given in (says, shape, like)) > 1:
        refused("say one of --says, --shape and --like")
    if says is not None or shape is not None:
        from diagram.cli.new_said import write_said

        write_said(file, says, shape, title=title, purpose=purpose, arena=arena, horses=horses,
                   level=level)  # fmt: skip
        return
    if like is not None:
        from diagram.cli.new_said import write_like

        write_like(file, like, title=title, purpose=purpose, arena=arena, horses=horses,
                   level=level)  # fmt: skip
        return
    _write_asked(
        file,
        _asked(title, "Title"),
        _asked(purpose, "What is it for (one sentence)"),
        _asked(arena, "Arena", "30 x 60 m"),
        _asked(horses, "Horses", "horse"),
        _asked(level, "Height of the fences", "2'6\""),
        strides if strides is not None else click.prompt(
            "Strides in the first line", default=5, type=click.IntRange(1, 8)
        ),
    )  # fmt: skip


def _asked(given: str | None, question: str, usual: str | None = None) -> str:
    if given is not None:
        return given
    answer: str = click.prompt(question, default=usual)
    return answer


def _write_asked(
    file: Path, title: str, purpose: str, arena: str, horses: str, level: str, strides: int
) -> None:
    from diagram.diagnostics import RejectedError, Severity
    from diagram.model.fields import read_size
    from diagram.pipeline import plan_text
    from diagram.units import UnitError
    from diagram.writers.files import write_bytes

    try:
        length, width = read_size(arena)
    except UnitError:
        length, width = 60.0, 30.0
    head = HEAD.format(
        file=file, title=_quoted(title), purpose=_quoted(purpose), arena=_quoted(arena),
        horses=_quoted(horses), level=_quoted(level),
    )  # fmt: skip
    body = BODY.format(x1=round(length / 3, 1), y1=round(width * 0.3, 1), strides=strides)
    try:
        found = plan_text(head + body, str(file))
    except RejectedError as problem:
        refused(f"nothing is written, for this would not be read:\n\n{problem}")
    if any(finding.severity is Severity.STOP for finding in found.findings):
        refused(f"{strides} strides do not fit into {arena}: take fewer")
    with writing(file):
        write_bytes(file, (head + body).encode())
    click.echo(f"{file} is written. Next: tapeline card {file}")


def _quoted(text: str) -> str:
    """A YAML scalar: plain where that is safe, quoted where it is not."""
    plain = re.fullmatch(r"[^\W\d_][\w ,.;!?()'′″/-]*[\w.!?)]", text)
    if plain or re.fullmatch(r"\d[\w'.\" ×-]*", text):
        return text
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
