"""What a pair has shown of a step, and what not: one frozen value that page and text read.

All tries of the look-back count, not the last so many: looked at after every try, "8 of the last
10" comes true at some time for a pair that does it 5 times in 10 in 59 of 100 records of 60
tries. The page never says that a pair may go up; the trainer does.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import pairwise
from typing import Literal

from msgspec import Struct

from diagram.records.apart import Fit, fit
from diagram.records.contrasts import Contrast, contrasts, linked, misses
from diagram.records.rates import Rate, interval, rate, widening
from diagram.records.step_file import By, Requirement, Step
from diagram.records.tries import Try, concerns, element_counts, trials_of, tries_of
from diagram.records.values import Element, ExerciseVersion, History, Pair, Round

State = Literal["shown", "not yet", "never tried"]
Why = Literal[
    "", "narrowly", "seen too seldom", "just short", "not often enough", "too few days",
    "too long ago",
    "begun anew",
]  # fmt: skip

BREAK = 12 * 7
"""Days without a round after which a new look-back begins: a child grows, a horse was off."""


class Month(Struct, frozen=True):
    """`x` of `n` as asked in a month, counted in months since year 0."""

    number: int
    x: int
    n: int


class Shown(Struct, frozen=True):
    """One requirement and how it stands. `days` are those with a try as asked.

    `others` are the tries with another partner, by name: as asked, and in all. `since` is set
    where the look-back was cut short by a break or by `since:`.
    """

    requirement: Requirement
    state: State
    why: Why
    rate: Rate
    last: date | None
    others: tuple[tuple[str, int, int], ...]
    months: tuple[Month, ...]
    since: date | None = None

    @property
    def only_with_others(self) -> bool:
        """Whether there are tries, and none of this horse with this rider."""
        return bool(self.others) and sum(n for _, _, n in self.others) == self.rate.n


class Readiness(Struct, frozen=True):
    """One page: a pair, a step, a day. `met` are the fillers that the horse has met."""

    pair: Pair
    step: Step | None
    on: date
    yard: str
    note: str
    rounds: tuple[Round, ...]
    shown: tuple[Shown, ...]
    contrasts: tuple[Contrast, ...]
    linked: bool
    misses: tuple[tuple[str, int], ...]
    fitted: Fit | None
    neighbours: tuple[Pair, ...]
    would_show: tuple[tuple[str, tuple[Shown, ...]], ...]
    met: frozenset[str] = frozenset()

    def by(self, who: By) -> tuple[Shown, ...]:
        """What the horse, the rider or both have shown."""
        return tuple(one for one in self.shown if one.requirement.by == who)

    def count(self, who: By) -> int:
        """How many of them are shown."""
        return sum(one.state == "shown" for one in self.by(who))


def fitted_to(history: History, on: date) -> Fit | None:
    """The model fitted to all of a record up to a day; once for all pages of that day."""
    return fit(trials_of([r for r in history.rounds if r.day.on <= on]))


def readiness(
    history: History, pair: Pair, step: Step | None, on: date, fitted: Fit | None
) -> Readiness:
    """How a pair stands on a day."""
    rounds = tuple(r for r in history.rounds if r.day.on <= on)
    own = tuple(r for r in rounds if r.pair.pair_id == pair.pair_id)
    day_sd = fitted.day_sd if fitted else 0.35
    shown: tuple[Shown, ...] = ()
    if step is not None:
        asked = step.requirements
        shown = tuple(standing(r, pair, rounds, on, day_sd, step.to_mm) for r in asked)
    same_rider, same_horse = linked(_seen_pairs(rounds), pair)
    return Readiness(
        pair, step, on, history.yard, history.note, own, shown, contrasts(fitted, rounds, pair),
        bool(same_rider or same_horse), tuple(misses(rounds, pair).items()), fitted,
        (*same_rider, *same_horse), would_show(shown, history), _fillers(rounds, pair),
    )  # fmt: skip


def _fillers(rounds: Sequence[Round], pair: Pair) -> frozenset[str]:
    """What the horse of a pair has met under any rider."""
    own = [one for one in rounds if one.pair.horse.horse_id == pair.horse.horse_id]
    every = {seen.element.tags.get("filler") for one in own for seen in one.seen}
    return frozenset(str(filler) for filler in every if filler)


def _seen_pairs(rounds: Sequence[Round]) -> list[Pair]:
    found = {one.pair.pair_id: one.pair for one in rounds if one.seen}
    return sorted(found.values(), key=lambda pair: (pair.person.name, pair.horse.name))


def standing(
    requirement: Requirement, pair: Pair, rounds: Sequence[Round], on: date, day_sd: float,
    to_mm: int,
) -> Shown:  # fmt: skip
    """How one requirement of a step to `to_mm` stands on a day."""
    ask = requirement.ask
    ever = tries_of(requirement, pair, rounds)
    begin, since = _begin(requirement, pair, rounds, on)
    inside = [one for one in ever if begin <= one.round.day.on <= on]
    asked = [one for one in inside if one.asked]
    days = {one.round.day.on for one in inside}
    found = rate(len(asked), len(inside), len(days), day_sd)
    good_days = {one.round.day.on for one in asked}
    found = Rate(found.x, found.n, len(good_days), found.low, found.high)
    last = max(good_days, default=max(days, default=None))
    if not ever:
        state, why = _pair_of("never tried", "")
    elif not inside:
        last = max(one.round.day.on for one in ever)
        anew = since is not None and last >= on - timedelta(days=ask.look_back)
        state, why = _pair_of("not yet", "begun anew" if anew else "too long ago")
    elif found.n < ask.tries:
        state, why = _pair_of("not yet", "seen too seldom")
    # In whole numbers: 8 of 10 is eight in ten on every machine.
    elif found.x * ask.of < ask.right * found.n:
        near = found.high >= ask.share
        state, why = _pair_of("not yet", "just short" if near else "not often enough")
    elif len(good_days) < ask.days:
        state, why = _pair_of("not yet", "too few days")
    elif max(good_days) < on - timedelta(days=ask.last_within):
        state, why = _pair_of("not yet", "too long ago")
    else:
        state, why = _pair_of("shown", "narrowly" if found.low < ask.share else "")
    # Where a single higher fence is the point, other heights would tell of something else.
    high = requirement.counts.at_height is not None or requirement.counts.height_mm >= to_mm
    months = _months(ever if high else tries_of(requirement, pair, rounds, any_height=True))
    cut = since if since is not None and since > on - timedelta(days=ask.look_back) else None
    return Shown(
        requirement, state, why, found, last, _others(requirement, pair, inside), months, cut
    )  # fmt: skip


def _pair_of(state: State, why: Why) -> tuple[State, Why]:
    return state, why


def _begin(
    requirement: Requirement, pair: Pair, rounds: Sequence[Round], on: date
) -> tuple[date, date | None]:
    """The first day that counts, and the day from which it is counted anew, if there is one."""
    begin = on - timedelta(days=requirement.ask.look_back)
    since = {
        "horse": pair.horse.since, "rider": pair.person.since,
        "pair": max(pair.horse.since, pair.person.since),
    }[requirement.by]  # fmt: skip
    if requirement.counts.another_horse:
        days = sorted({r.day.on for r in rounds
                       if r.pair.person.person_id == pair.person.person_id})  # fmt: skip
    else:
        days = sorted({r.day.on for r in rounds if concerns(requirement, pair, r)})
    anew = [since] if since > begin else []
    for before, after in pairwise(days):
        if (after - before).days >= BREAK and begin < after <= on:
            anew.append(after)
    return (max(begin, *anew), max(anew)) if anew else (begin, None)


def _others(
    requirement: Requirement, pair: Pair, tries: Sequence[Try]
) -> tuple[tuple[str, int, int], ...]:
    found: dict[str, list[int]] = {}
    for one in tries:
        if one.round.pair.pair_id == pair.pair_id or requirement.by == "pair":
            continue
        other = one.round.pair
        name = other.person.name if requirement.by == "horse" else other.horse.name
        counts = found.setdefault(name, [0, 0])
        counts[0] += one.asked
        counts[1] += 1
    return tuple((name, x, n) for name, (x, n) in sorted(found.items()))


def month_number(day: date) -> int:
    """Months since year 0."""
    return day.year * 12 + day.month - 1


def moment(day: date) -> float:
    """A day in months since year 0."""
    return month_number(day) + (day.day - 1) / 31


def _months(tries: Sequence[Try]) -> tuple[Month, ...]:
    found: dict[int, list[int]] = {}
    for one in tries:
        counts = found.setdefault(month_number(one.round.day.on), [0, 0])
        counts[0] += one.asked
        counts[1] += 1
    return tuple(Month(number, x, n) for number, (x, n) in sorted(found.items()))


def would_show(
    shown: Sequence[Shown], history: History
) -> tuple[tuple[str, tuple[Shown, ...]], ...]:
    """Exercises with what each of them would show: those the step names, then any ridden."""
    found: dict[str, list[Shown]] = {}
    for one in shown:
        if one.state == "shown":
            continue
        titles = one.requirement.exercises or tuple(
            exercise.title
            for exercise in history.exercises
            if not one.requirement.counts.whole_round
            and any(_could_count(one, element, exercise) for element in exercise.elements)
        )
        for title in dict.fromkeys(titles[:2]):
            found.setdefault(title, []).append(one)
    return tuple((title, tuple(ones)) for title, ones in found.items())


def _could_count(one: Shown, element: Element, exercise: ExerciseVersion) -> bool:
    """Whether an element would be a try if its fence were as high as is asked."""
    counts = one.requirement.counts
    return element_counts(counts, element, exercise, counts.height_mm)


def usual_height_mm(rounds: Sequence[Round], on: date) -> int | None:
    """The height most often ridden in the last twelve weeks of a pair; None without rounds."""
    if not rounds:
        return None
    last = max(one.day.on for one in rounds if one.day.on <= on)
    lately = [r.height_mm for r in rounds if last - timedelta(days=BREAK) <= r.day.on <= on]
    return max(sorted(set(lately)), key=lately.count)


def step_for(steps: Sequence[Step], rounds: Sequence[Round], on: date) -> Step | None:
    """The step that begins at, or nearest below, what a pair usually rides."""
    usual = usual_height_mm(rounds, on)
    below = [step for step in steps if usual is not None and step.from_mm <= usual]
    return max(below, key=lambda step: step.from_mm) if below else None


def missed_range(found: Rate, day_sd: float) -> tuple[float, float]:
    """The range of misses in 100, for what is asked nearly always."""
    wide = widening(found.x, found.n, max(found.days, 1), day_sd)
    low, high = interval(found.x / wide, found.n / wide)
    return 100 * (1 - high), 100 * (1 - low)
