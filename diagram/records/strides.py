"""Strides counted and seconds taken against the plan: what canter was ridden, and how evenly.

An average stride is the ground between the bases, less landing and take-off, divided by the
strides counted; a speed is the ground between the bases divided by the seconds.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from datetime import date

from msgspec import Struct

from diagram.records.rates import difference, slope, widening
from diagram.records.readiness import moment, month_number
from diagram.records.tries import ridden_back
from diagram.records.values import Element, ExerciseVersion, Round, Seen
from diagram.records.words import MONTHS

FEWEST = 5
"""Fewer tries than this on one side of a comparison: the counts and no more."""
DAY_SD = 0.35
"""The spread of days on the scale of log odds where no model was fitted."""
NUMBERS = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


class Counted(Struct, frozen=True):
    """A way that was counted often: out or home, strides asked, tries by moment and count."""

    head: str
    name: str
    asked: int
    tries: tuple[tuple[float, int], ...]
    seasons: tuple[tuple[int, int, int], ...]


def _season(day: date) -> int:
    return (month_number(day) - 6) // 12


def counted_lines(rounds: Sequence[Round]) -> tuple[Counted, ...]:
    """The count most often asked in lines that are ridden both ways, out and home apart.

    Where none is ridden both ways, the line most often counted; nothing where none is.
    """
    found: dict[tuple[int, str], list[tuple[Round, Seen]]] = {}
    for one in rounds:
        for seen in one.seen:
            element = seen.element
            if element.shape != "line" or seen.strides is None or element.strides_asked is None:
                continue
            found.setdefault((element.strides_asked, _way(element, one.exercise)), []).append(
                (one, seen)
            )
    if not found:
        return ()
    both = {asked: len(found[asked, "out"]) + len(found[asked, "home"])
            for asked, way in found if way == "out" and (asked, "home") in found}  # fmt: skip
    if both:
        asked = max(sorted(both), key=lambda count: both[count])
        ways = ["out", "home"]
    else:
        asked, way = max(sorted(found), key=lambda key: len(found[key]))
        ways = [way]
    head = f"Strides in the line of {NUMBERS[asked] if asked < len(NUMBERS) else asked}"
    return tuple(_counted(head, way, asked, found[asked, way]) for way in ways)


def _way(element: Element, exercise: ExerciseVersion) -> str:
    back = ridden_back(element, exercise)
    if back is None:
        return "one way"
    return "out" if element.place < back.place else "home"


def _counted(
    head: str, way: str, asked: int, tries: Sequence[tuple[Round, Seen]]
) -> Counted:  # fmt: skip
    points = tuple((moment(one.day.on), seen.strides or 0) for one, seen in tries)
    seasons: dict[int, list[int]] = {}
    for one, seen in tries:
        counts = seasons.setdefault(_season(one.day.on), [0, 0])
        counts[0] += seen.strides == asked
        counts[1] += 1
    found = tuple((season, x, n) for season, (x, n) in sorted(seasons.items()))
    return Counted(head, "" if way == "one way" else way, asked, points, found)


def seasons_words(lines: Sequence[Counted]) -> str:
    """``in five: out 39 of 40, then 36 of 38; home 30 of 31, then 27 of 29``."""
    parts = []
    for line in lines:
        counts = ", then ".join(f"{x} of {n}" for _, x, n in line.seasons[-2:])
        parts.append(f"{line.name} {counts}".strip())
    if not parts:
        return ""
    asked = lines[0].asked
    return f"in {NUMBERS[asked] if asked < len(NUMBERS) else asked}: {'; '.join(parts)}"


class ElementFigures(Struct, frozen=True):
    """One element in figures over all rounds of a pair.

    `right` of the counts are as asked, on `days` days. Metres, metres a second; `spread` is the
    standard deviation of the count over repeats. None where nothing was counted or timed.
    """

    exercise: str
    called: str
    name: str
    asked: int | None
    counted: int
    right: int
    days: int
    stride_m: float | None
    planned_m: float | None
    spread: float | None
    inside: float | None
    outside: float | None
    timed: int
    speed_m_s: float | None
    planned_m_s: float | None


def leg_figures(rounds: Sequence[Round]) -> tuple[ElementFigures, ...]:
    """Every element that was counted or timed, in the order of exercises and places."""
    seen: dict[int, list[Seen]] = {}
    where: dict[int, ExerciseVersion] = {}
    days: dict[int, set[date]] = {}
    for one in rounds:
        for mark in one.seen:
            seen.setdefault(mark.element.element_id, []).append(mark)
            where[mark.element.element_id] = one.exercise
            if mark.strides is not None:
                days.setdefault(mark.element.element_id, set()).add(one.day.on)
    keys = sorted(
        seen, key=lambda k: (where[k].title, where[k].exercise_id, seen[k][0].element.place)
    )
    found = [_leg(where[key], seen[key], len(days.get(key, ()))) for key in keys]
    return tuple(leg for leg in found if leg.counted or leg.timed)


def _leg(exercise: ExerciseVersion, marks: Sequence[Seen], days: int) -> ElementFigures:
    element = marks[0].element
    counts = [m.strides for m in marks if m.strides is not None]
    out = [m.strides_out for m in marks if m.strides_out is not None]
    times = [m.seconds for m in marks if m.seconds is not None]
    ground = (element.canter_mm or 0) / 1000
    free = ground - ((element.landing_mm or 0) + (element.take_off_mm or 0)) / 1000
    whole = element.strides_out_asked is None and element.shape != "transition"
    total = sum(counts)
    return ElementFigures(
        exercise=exercise.title,
        called=element.called,
        name=element.name,
        asked=element.strides_asked,
        counted=len(counts),
        right=sum(count in element.counts for count in counts),
        days=days,
        stride_m=len(counts) * free / total if whole and total else None,
        planned_m=free / element.strides_asked if whole and element.strides_asked else None,
        spread=_deviation(counts),
        inside=_mean(counts) if not whole else None,
        outside=_mean(out) if not whole else None,
        timed=len(times),
        speed_m_s=len(times) * ground / sum(times) if times and ground else None,
        planned_m_s=ground / element.seconds_asked if element.seconds_asked and ground else None,
    )


def _mean(values: Sequence[int]) -> float | None:
    return sum(values) / len(values) if values else None


def _deviation(values: Sequence[int]) -> float | None:
    """The standard deviation of a sample; None for fewer than two."""
    if len(values) < 2:
        return None
    mean = sum(values) / len(values)
    return math.sqrt(sum((v - mean) ** 2 for v in values) / (len(values) - 1))


class Comparison(Struct, frozen=True):
    """``39 of 40, then 36 of 38``: two shares, and the range of the second less the first.

    `names` are the two sides, `days` the days of each. `low` and `high` are None where either
    side has fewer than FEWEST tries.
    """

    names: tuple[str, str]
    first: tuple[int, int]
    second: tuple[int, int]
    days: tuple[int, int]
    low: float | None
    high: float | None

    @property
    def words(self) -> str:
        """The counts, and what may be said of the difference."""
        (x1, n1), (x2, n2) = self.first, self.second
        first, second = self.names
        return f"{first}, then {second}: {x1} of {n1}, then {x2} of {n2} ({self.difference})"

    @property
    def difference(self) -> str:
        """What may be said of the second side against the first."""
        if self.low is None or self.high is None:
            return "too few to compare"
        low, high = 10 * self.low, 10 * self.high
        if self.low > 0:
            return f"more often by {low:.1f} to {high:.1f} in 10"
        if self.high < 0:
            return f"less often by {-high:.1f} to {-low:.1f} in 10"
        return f"no difference that can be told: {low:+.1f} to {high:+.1f} in 10"


def comparisons(rounds: Sequence[Round], on: date) -> tuple[Comparison, ...]:
    """Left rein against right; last month against this; the same month a year ago against this."""
    now = month_number(on)
    last = max((month_number(one.day.on) for one in rounds if one.day.on <= on), default=now)

    def rein(hand: str) -> Callable[[Round, Seen], bool]:
        return lambda _, seen: seen.element.rein == hand

    def month(number: int) -> Callable[[Round, Seen], bool]:
        return lambda one, _: month_number(one.day.on) == number

    return (
        _compared(("left rein", "right rein"), rounds, rein("left"), rein("right")),
        _compared((month_text(last - 1), month_text(last)), rounds, month(last - 1), month(last)),
        _compared((month_text(last - 12), month_text(last)), rounds, month(last - 12), month(last)),
    )


def trend_words(rounds: Sequence[Round], on: date) -> str:
    """How the share as asked went by month over the year before `on`, with its range of 8 in 10
    (Student's t on the months about the line); nothing of fewer than three months with FEWEST
    tries each."""
    from scipy import stats

    now = month_number(on)
    tries: dict[int, list[bool]] = {}
    for one in rounds:
        if one.day.on <= on and month_number(one.day.on) > now - 12:
            asked = [mark.mark == "as asked" for mark in one.seen]
            tries.setdefault(month_number(one.day.on), []).extend(asked)
    months = sorted(month for month, own in tries.items() if len(own) >= FEWEST)
    if len(months) < 3:
        return ""
    own = [tries[month] for month in months]
    shares = [sum(one) / len(one) for one in own]
    steep, error = slope([float(month) for month in months], shares, [len(one) for one in own])
    off = float(stats.t.ppf(0.9, len(months) - 2)) * error
    low, high = 10 * (steep - off), 10 * (steep + off)
    return f"{len(months)} months of the last 12, by month: {_trend(low, high)}"


def _trend(low: float, high: float) -> str:
    if low > 0:
        return f"up by {low:.1f} to {high:.1f} in 10 a month"
    if high < 0:
        return f"down by {-high:.1f} to {-low:.1f} in 10 a month"
    return f"neither up nor down that can be told, {low:+.1f} to {high:+.1f} in 10 a month"


def month_text(number: int) -> str:
    """``Mar 2026``, of months since year 0."""
    return f"{MONTHS[number % 12]} {number // 12}"


def _compared(
    names: tuple[str, str],
    rounds: Sequence[Round],
    first: Callable[[Round, Seen], bool],
    second: Callable[[Round, Seen], bool],
) -> Comparison:
    sides, days = [], []
    for side in (first, second):
        own = [(one.day.on, s.mark == "as asked") for one in rounds for s in one.seen
               if side(one, s)]  # fmt: skip
        sides.append((sum(asked for _, asked in own), len(own)))
        days.append(len({day for day, _ in own}))
    (x1, n1), (x2, n2) = sides
    if min(n1, n2) < FEWEST:
        return Comparison(names, sides[0], sides[1], (days[0], days[1]), None, None)
    # Tries of one day hang together, here as everywhere.
    d1, d2 = widening(x1, n1, days[0], DAY_SD), widening(x2, n2, days[1], DAY_SD)
    low, high, _ = difference(x2 / d2, n2 / d2, x1 / d1, n1 / d1)
    return Comparison(names, sides[0], sides[1], (days[0], days[1]), low, high)
