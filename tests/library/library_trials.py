"""Small libraries to try things on."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from diagram.model.library_keys import GROUPS

EXERCISE = """\
tapeline: 1
title: {title}
purpose: {purpose}
level: {level}
teaches: [{teaches}]
{more}arena: 30 x 60 m
minutes: {minutes}
fences:
  birch: {{kind: vertical, at: [{x} m, 15 m], facing: 0°, ground line: both sides}}
ride:
  - start: canter, left lead
  - jump: birch
    purpose: Straight.
  - finish: straight on, walk
"""


TWO_RIDES = """\
tapeline: 1
title: Two rides
purpose: Both at once.
teaches: [poles]
level: 2'
arena: 40 x 80 m
fences:
  ash: {kind: ground pole, at: [30 m, 6 m], facing: 0°}
  birch: {kind: vertical, at: [30 m, 34 m], facing: 0°, ground line: both sides}
rides:
  - name: poles
    ride:
      - start: trot
      - jump: ash
        purpose: Straight over the pole.
      - finish: straight on, walk
  - name: the fence
    ride:
      - start: canter, left lead
      - jump: birch
        purpose: Straight over the fence.
      - finish: straight on, walk
"""


def exercise(
    title: str = "One fence",
    *,
    purpose: str = "To be found.",
    level: str = "2'6\"",
    teaches: str = "straightness",
    minutes: int = 40,
    more: Iterable[str] = (),
    x: float = 30.0,
) -> str:
    """The text of an exercise of one fence, which is planned in a moment."""
    lines = "".join(f"{line}\n" for line in more)
    return EXERCISE.format(
        title=title, purpose=purpose, level=level, teaches=teaches, minutes=minutes, more=lines, x=x
    )


STORES = """\
tapeline library: 1
title: Two yards of our own invention
stores:
  Hilltop: {standards: 8, poles: {12': 12}, cups: 20}
  "Low <b>Barn</b>": {standards: 1}
"""


def library(folder: Path, **files: str) -> Path:
    """A folder with these files; a dash in a name is written as two underscores."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        (folder / f"{name.replace('__', '-')}.yaml").write_text(text, encoding="utf-8")
    return folder


def many(folder: Path, count: int) -> Path:
    """So many different exercises."""
    folder.mkdir(parents=True, exist_ok=True)
    for n in range(count):
        text = exercise(
            f"Exercise number {n}",
            purpose=f"Straight in the canter of the day, and the {n % 17}th of them calm.",
            level=f"{1 + n % 3}'{(n * 5) % 12}\"", teaches=GROUPS[n % len(GROUPS)],
            minutes=25 + n % 6 * 5, x=20 + n % 200 / 10,
        )  # fmt: skip
        (folder / f"exercise-{n:04}.yaml").write_text(text, encoding="utf-8")
    return folder
