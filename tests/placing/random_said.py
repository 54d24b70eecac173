"""Random rides in random rings, short and long, with lines, bends and turns; nothing is picked."""

from __future__ import annotations

import random

from said import B30, FIELD_L, FIELD_POSTS, M20, M25, M30, M40, M45, M60, SMALL, Said

ARENAS = (M30, M20, M25, M40, M45, M60, B30, SMALL, FIELD_L, FIELD_POSTS)
HORSES = ("horse", "horse", "large pony", "medium pony", "small pony")
NAMES = ("ash", "birch", "cedar", "elm", "fir", "hazel")


def random_said(seed: int) -> Said:
    """Two to six fences, of which a third are oxers, joined by lines, bends and turns."""
    rng = random.Random(seed)
    arena, horses = rng.choice(ARENAS), rng.choice(HORSES)
    names = NAMES[: rng.randint(2, len(NAMES))]
    ride = names[0] + rng.choice(("", "", "*"))
    for name in names[1:]:
        way = rng.random()
        if way < 0.4:
            joined = f" -{rng.randint(3, 6)}- "
        elif way < 0.6:
            joined = f" ({rng.choice('LR')}{rng.randint(4, 7)}) "
        else:
            joined = f" {rng.choice('<>')} "
        ride += joined + name + rng.choice(("", "", "*"))
    return Said(f"random {seed}", arena, horses, ride)
