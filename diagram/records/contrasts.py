"""What may be said of horse and rider apart, and what may not.

First the link, then the ratio, then the sign. Two horses can be told apart where one rider was
seen on both, two riders where they were seen on one horse. Without such a link the model still
narrows its range, by its prior alone; so nothing is said then, however sure it looks.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from diagram.records.apart import Fit, Mixture
from diagram.records.rates import difference
from diagram.records.values import Pair, Round

TOLD = 0.8
"""A sign is said when it is right in at least so many cases."""
NARROWED = 0.75
"""And only when this much or less is left of the prior's spread."""
NEARLY_SURE = 0.95


class Contrast(Struct, frozen=True):
    """Two horses under one rider (`what` is horse), or two riders on one horse.

    `sure` is the chance that `better` does better; 0 where they cannot be told apart.
    `marks_disagree` when the trainer's own H and R say the opposite.
    """

    what: Literal["horse", "rider"]
    shared: str
    better: str
    other: str
    sure: float
    ratio: float
    marks_disagree: bool = False

    @property
    def told(self) -> bool:
        """Whether it may be said which of the two does better."""
        return self.sure > 0


def linked(pairs: Sequence[Pair], pair: Pair) -> tuple[list[Pair], list[Pair]]:
    """Pairs that share the rider, and pairs that share the horse, in the order of names."""
    others = [p for p in pairs if p.pair_id != pair.pair_id]
    riders = [p for p in others if p.person.person_id == pair.person.person_id]
    horses = [p for p in others if p.horse.horse_id == pair.horse.horse_id]
    return riders, horses


def contrasts(fitted: Fit | None, rounds: Sequence[Round], pair: Pair) -> tuple[Contrast, ...]:
    """Every contrast that a shared partner allows for a pair; none where there is no link."""
    if fitted is None:
        return ()
    seen = {r.pair.pair_id: r.pair for r in rounds if r.seen}
    if pair.pair_id not in seen:
        return ()
    same_rider, same_horse = linked(list(seen.values()), pair)
    found = []
    for other in sorted(same_rider, key=lambda p: p.horse.name):
        one, two = pair.horse.name, other.horse.name
        mixture = fitted.of_horses(one, two)
        disagree = _disagree(rounds, pair, other, "horse", mixture.mean)
        found.append(_verdict("horse", pair.person.name, one, two, mixture, disagree))
    for other in sorted(same_horse, key=lambda p: p.person.name):
        one, two = pair.person.name, other.person.name
        mixture = fitted.of_riders(one, two)
        disagree = _disagree(rounds, pair, other, "rider", mixture.mean)
        found.append(_verdict("rider", pair.horse.name, one, two, mixture, disagree))
    return tuple(found)


def _verdict(
    what: Literal["horse", "rider"], shared: str, one: str, two: str, mixture: Mixture,
    disagree: bool,
) -> Contrast:  # fmt: skip
    above = mixture.above()
    better, other = (one, two) if above >= 0.5 else (two, one)
    sure = max(above, 1 - above)
    if mixture.ratio >= NARROWED or sure < TOLD:
        return Contrast(what, shared, one, two, 0.0, mixture.ratio)
    return Contrast(what, shared, better, other, sure, mixture.ratio, disagree)


def misses(rounds: Sequence[Round], pair: Pair) -> dict[str, int]:
    """Whose the misses of a pair were, by the trainer's own mark."""
    found = {"horse": 0, "rider": 0, "both": 0, "unknown": 0}
    for one in rounds:
        if one.pair.pair_id == pair.pair_id:
            for seen in one.seen:
                if seen.whose is not None:
                    found[seen.whose] += 1
    return found


def _disagree(
    rounds: Sequence[Round], pair: Pair, other: Pair, what: Literal["horse", "rider"], mean: float
) -> bool:
    """Whether the marks put more misses on the one whom the model finds better, as surely."""
    counts = []
    for one in (pair, other):
        tries = sum(len(r.seen) for r in rounds if r.pair.pair_id == one.pair_id)
        own = misses(rounds, one)
        counts.append((own[what] + own["both"], tries))
    if not all(tries for _, tries in counts):
        return False
    _, _, more = difference(*counts[0], *counts[1])
    return more >= TOLD if mean > 0 else more <= 1 - TOLD
