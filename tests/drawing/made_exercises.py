"""Exercises made up by a seeded generator: full of fences, crossings and words.

They need not be good exercises, only legal ones: whatever can be planned must be drawn well.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from functools import cache

from diagram.diagnostics import RejectedError
from diagram.pipeline import plan_text
from diagram.planning import Plan

ARENAS = ((60, 20), (60, 30), (40, 20), (80, 40), (75, 46), (50, 50), (90, 60))
KINDS = ("vertical", "oxer", "cross-rail", "wall", "ascending oxer", "ground pole", "triple bar",
         "plank", "gate", "cavaletti")  # fmt: skip
NAMES = ("birch", "hazel", "rowan", "elder", "oak", "elm", "linden", "sallow", "hornbeam")
LONG_NAMES = ("the old grey wall", "jarzębina przy bramie", "лесная ограда", "η μεγάλη πόρτα")
ONE_WAY = ("ascending oxer", "triple bar")


def made(seed: int) -> str:
    """The text of one exercise, always the same for the same seed."""
    dice = random.Random(seed)
    long, wide = dice.choice(ARENAS)
    names = list(NAMES)
    if dice.random() < 0.3:
        names[: len(LONG_NAMES)] = LONG_NAMES
    dice.shuffle(names)
    count = dice.randint(2, 8 if long * wide > 1500 else 5)
    lettered = "yes" if wide == 20 else "no"
    lines = [
        "tapeline: 1", f"title: Made {seed}", "purpose: Made up.", "level: 3'",
        f"arena: {{size: {long} x {wide} m, letters: {lettered}}}", "fences:",
    ]  # fmt: skip
    kinds: dict[str, str] = {}
    used = names[:count]
    straight: dict[str, str] = {}
    for n, name in enumerate(used):
        kind = dice.choice(KINDS)
        kinds[name] = kind
        if n and dice.random() < 0.35 and used[n - 1] not in straight.values():
            straight[name] = used[n - 1]
            where = f"placed: {dice.randint(1, 5)} strides beyond {used[n - 1]}"
        else:
            x, y = dice.uniform(6, long - 6), dice.uniform(5, wide - 5)
            where = f"at: [{x:.1f} m, {y:.1f} m], facing: {dice.randint(0, 359)}°"
        lines.append(f"  {name}: {{kind: {kind}, {where}}}")
    lines += ["ride:", f"  - start: {dice.choice(('canter, left lead', 'canter', 'trot'))}"]
    lines += _ride(dice, used, kinds, straight)
    return "\n".join(lines) + "\n"


def _ride(
    dice: random.Random, used: list[str], kinds: dict[str, str], straight: dict[str, str]
) -> Iterator[str]:
    order = list(used)
    if dice.random() < 0.6:
        again = dice.sample(used, min(len(used), dice.randint(1, 3)))
        order += [name for name in again if name != order[-1]]
    before = ""
    for n, name in enumerate(order):
        if n and before == straight.get(name) and n < len(used):
            yield f"  - line: {dice.randint(2, 5)} strides"
        elif n:
            if dice.random() < 0.2:
                yield f"  - phase: {dice.choice(('out', 'homeward', 'the last part'))}"
            if dice.random() < 0.15:
                yield f"  - circle: {dice.choice(('left', 'right'))}, 15 m"
            way = dice.choice(("turn", "turn", "turn", "bend", "rollback"))
            change = ", flying change" if way == "turn" and dice.random() < 0.2 else ""
            yield f"  - {way}: {dice.choice(('left', 'right'))}{change}"
        more = ""
        if n >= len(used) and kinds[name] not in ONE_WAY and dice.random() < 0.5:
            more += " from behind"
        if dice.random() < 0.2:
            more += f", land {dice.choice(('left', 'right'))}"
        yield f"  - jump: {name}{more}"
        before = name
    yield f"  - finish: {dice.choice(('circle left, walk', 'straight on, halt', 'trot'))}"


@cache
def made_plan(seed: int) -> Plan:
    """The plan of that text; raises RejectedError where it is no exercise."""
    return plan_text(made(seed), f"made-{seed}.yaml")


def made_plans(count: int, first: int = 0) -> Iterator[tuple[int, Plan]]:
    """So many plans with their seeds; texts that make no exercise are passed over."""
    seed, found = first, 0
    while found < count:
        try:
            plan = made_plan(seed)
        except RejectedError:
            pass
        else:
            found += 1
            yield seed, plan
        seed += 1
