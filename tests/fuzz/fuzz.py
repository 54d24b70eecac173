"""Coverage-guided fuzzing of the reader, or of the whole chain from the text to the card.

With ``pip install atheris``, which is no part of what tests need:

    python tests/fuzz/fuzz.py reader -runs=1000000 -max_len=700 -timeout=10 -rss_limit_mb=300
    python tests/fuzz/fuzz.py chain -runs=100000 -max_len=700 -timeout=10 -rss_limit_mb=300
    python tests/fuzz/fuzz.py pinned -runs=100000 -max_len=700 -timeout=10 -rss_limit_mb=300

Short files go three times as fast as whole exercises, and hold all that one can hold. Both limits
count only on a machine that does nothing else. The gate does some of each. Nearly all the time of
the chain goes into searches for places; `pinned` goes the same way with files that say every
place, and lets all others go once they are read.

It begins from the nasty files and the exercises that ship. Whatever is not refused as
`RejectedError` or printed ends the run, and the input lies in a file ``crash-...``: it then goes to
``tests/nasty/files``. Anything that libFuzzer understands may follow the first word.
"""

from __future__ import annotations

import os
import random
import re
import sys
import tempfile
from collections import Counter
from itertools import product
from pathlib import Path

import atheris

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))
os.environ["TAPELINE_CACHE"] = "off"

with atheris.instrument_imports(include=["diagram"]):
    from diagram.checks import check
    from diagram.diagnostics import RejectedError
    from diagram.exercise.read_exercise import definition_of
    from diagram.pipeline import drawing_of
    from diagram.planning import make_plans, read_setting
    from diagram.source import read
    from diagram.writers.card import card_bytes
    from diagram.writers.svg import scene_bytes

TOLD_EVERY = 10_000
"""Files after which it is told how many of them were read, or printed, and not refused."""
WORD = re.compile(rb"[A-Za-z][a-z]+(?: [a-z]+)*:?|[-\d.]+(?:'\d+\"|'| m| ft)?")


def _reader(file: Path) -> None:
    document = read(file)
    read_setting(document, definition_of(document))


def _chain(file: Path) -> None:
    document = read(file)
    for plan in make_plans(document, definition_of(document)):
        checked = check(plan)
        assert card_bytes(checked).startswith(b"%PDF")
        assert scene_bytes(drawing_of(checked).scene).startswith(b"<?xml")


def _pinned(file: Path) -> None:
    document = read(file)
    fences = definition_of(document).fences.values()
    if all(fence.placed or (fence.at and fence.facing) for fence in fences):
        _chain(file)


def _places_said(folder: Path) -> list[Path]:
    """Small exercises with every place said."""
    out = []
    for n, (ways, fences) in enumerate(product(WAYS, FENCES)):
        text = PINNED.format(first=fences[0], second=fences[1], way=ways)
        out.append(folder / f"pinned-{n}.yaml")
        out[-1].write_text(text, encoding="utf-8")
    return out


PINNED = """\
tapeline: 1
title: Said
level: 2'6"
purpose: One canter.
arena: 30 x 60 m
fences:
  birch: {{kind: {first}, at: [18 m, 8 m], facing: 0°}}
  hazel: {{kind: {second}, at: [40 m, 22 m], facing: 180°}}
ride:
  - start: canter, left lead
  - jump: birch
  - {way}
  - jump: hazel
  - finish: circle left, walk
"""
FENCES = (
    ("vertical", "oxer"), ("liverpool", "wall"), ("cross-rail", "triple bar"),
    ("combination, elements: [{kind: oxer}, {kind: vertical, after: 1 stride}]", "plank"),
)  # fmt: skip
WAYS = ("turn: left", "bend: left, 6 strides", "turn: right, trot", "rollback: left",
        "turn: left\n  - jump: birch, angled 20° left\n  - turn: left")  # fmt: skip


def _seeds() -> list[Path]:
    nasty = sorted((ROOT / "tests" / "nasty" / "files").glob("*.yaml"))
    return [f for f in (*nasty, *sorted((ROOT / "exercises").glob("*-*.yaml")))
            if f.stat().st_size < 20_000]  # fmt: skip


def main() -> None:
    """Lay out seeds and words, and hand over to libFuzzer."""
    job = {"reader": _reader, "chain": _chain, "pinned": _pinned}[sys.argv[1]]
    memory = Path("/dev/shm")
    place = tempfile.mkdtemp(dir=memory if memory.is_dir() else None)
    seeds = _places_said(Path(place)) if job is _pinned else _seeds()
    words = sorted({word for seed in seeds for word in WORD.findall(seed.read_bytes())})

    if job is not _reader:
        # What is loaded at the first drawing counts for no input's time.
        _chain(ROOT / "exercises" / "circle-of-four.yaml")
    file = Path(place) / "fuzzed.yaml"

    counts = Counter[str]()

    def one(data: bytes) -> None:
        file.write_bytes(data)
        counts["tried"] += 1
        try:
            job(file)
            counts["not refused"] += 1
        except RejectedError as problem:
            str(problem)
        if counts["tried"] % TOLD_EVERY == 0:
            print(dict(counts), file=sys.stderr, flush=True)

    lines = sorted({line for seed in seeds for line in seed.read_bytes().splitlines(keepends=True)})

    def changed(data: bytes, most: int, seed: int) -> bytes:
        """Mostly a word or a line for another of any file, so that it stays YAML; else bytes."""
        dice = random.Random(seed)
        chance = dice.random()
        if chance < 0.6 and (places := list(WORD.finditer(data))):
            place = dice.choice(places)
            return (data[: place.start()] + dice.choice(words) + data[place.end() :])[:most]
        if chance < 0.9 and (old := data.splitlines(keepends=True)):
            first = dice.randrange(len(old))
            last = first + dice.choice((0, 1, 1, 2))
            new = [dice.choice((*old, dice.choice(lines))) for _ in range(dice.choice((0, 1, 1)))]
            return b"".join((*old[:first], *new, *old[last:]))[:most]
        return bytes(atheris.Mutate(data, most))

    with tempfile.TemporaryDirectory() as corpus:
        for seed in seeds:
            (Path(corpus) / seed.stem).write_bytes(seed.read_bytes())
        atheris.Setup([sys.argv[0], *sys.argv[2:], corpus], one, custom_mutator=changed)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
