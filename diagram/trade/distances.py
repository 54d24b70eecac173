"""The distance between two fences for so many strides, and as how many a distance rides.

Measured on the ground along the horse's track, from the landing side of the first fence to the
take-off side of the second; spreads are not part of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import count

from msgspec import Struct

from diagram.trade.adjustments import adjustments
from diagram.trade.bands import Band, bands
from diagram.trade.figures import Range
from diagram.trade.horses import Horses, horses_from_size
from diagram.trade.lookup import LookedUp, Summand, moved
from diagram.trade.question import Conditions, FenceFacts, Question, ask, conditions_from_words
from diagram.trade.settings import USUAL
from diagram.trade.stride_tables import StrideTable
from diagram.trade.sums import Sum, add_up, table_of_the_body
from diagram.trade.words import Units, call, count_word
from diagram.units import INCH, LONGEST, feet_inches, length_text

__all__ = [
    "Conditions",
    "Distance",
    "FenceFacts",
    "Horses",
    "RidesAs",
    "Summand",
    "conditions_from_words",
    "distance",
    "horses_from_size",
    "rides_as",
]  # fmt: skip

ORDINARY = Conditions()

TOUCH = 1e-9
"""Metres. The end of a range belongs to it, whatever the last digit."""


class Distance(Struct, frozen=True):
    """What to build for a number of strides (0: a bounce, or the next pole).

    Metres. `aim_m` is the sum of `parts`; from `low_m` to `high_m` it still rides as that number
    of strides, by `range_source`. `note` is what the table remarks about its figure, and `also`
    is what other sources say in place of the first part. `published` are the bands of all that
    is known to be set for it, by which it is judged.
    """

    strides: int
    aim_m: float
    low_m: float
    high_m: float
    parts: tuple[Summand, ...]
    range_source: str
    note: str = ""
    also: tuple[Range, ...] = ()
    published: tuple[Band, ...] = ()

    def misses_by(self, measured_m: float) -> float:
        """Metres that a distance is too long (negative: too short) for it by every source.

        Nothing where it lies within the own range or within a band that is published.
        """
        own = Band(self.low_m, self.high_m, self.range_source)
        return min((band.misses_by(measured_m) for band in (own, *self.published)), key=abs)

    def limit(self, longer: bool) -> tuple[float, str]:
        """Metres and source of the longest, or of the shortest, that is known to be set."""
        # What is published goes before what is reckoned, where both are alike.
        every = (*self.published, Band(self.low_m, self.high_m, self.range_source))
        if longer:
            widest = max(every, key=lambda band: round(band.high_m, 6))
            return widest.high_m, widest.source
        widest = min(every, key=lambda band: round(band.low_m, 6))
        return widest.low_m, widest.source


class RidesAs(Struct, frozen=True):
    """As how many strides a measured distance rides.

    `stride_m` is the stride in metres that the horse must take for it, `share_of_normal` that
    stride over its normal one. `words` say it as a trainer would. Where the distance rides as no
    count (`fits` is False), `strides` is the nearer one.
    """

    strides: int
    stride_m: float
    share_of_normal: float
    words: str
    fits: bool


def distance(
    strides: int,
    *,
    table: StrideTable,
    horses: Horses,
    first: FenceFacts,
    second: FenceFacts,
    gait_in: str = "canter",
    gap: int | None = None,
    conditions: Conditions = ORDINARY,
    judged_by: Mapping[str, str] = USUAL,
) -> Distance:
    """The distance that rides as `strides` from `first` to `second`.

    `gait_in` is the gait in which the horse comes to `first`. `gap` is the number, from 1, of
    the gap in a grid ridden from trot; None outside a grid. Where a pole stands at either end it
    is `gait_in` that counts, not `gap`. Between two poles in walk or trot `strides` are the
    steps that fall on bare ground. `judged_by` are the choices made where bodies differ.

    Raises ValueError for less than no strides and for a gait, size or group that is not known.
    """
    asked = ask(table, horses, first, second, gait_in, gap, conditions, judged_by)
    return _answer(strides, asked)


def _answer(strides: int, question: Question) -> Distance:
    if strides < 0:
        raise ValueError(f"there is no line of {strides} strides")
    before_m = add_up(strides - 1, question).total_m if strides else None
    after_m = add_up(strides + 1, question).total_m
    return _between(strides, before_m, add_up(strides, question), after_m, question)


def _between(
    strides: int, before_m: float | None, here: Sum, after_m: float, question: Question
) -> Distance:
    """A sum with its range, which ends half-way to the counts before and after.

    Half-way to the next count a horse may do either, so no range reaches further.
    """
    aim, found = here.total_m, here.found
    low, high, source = _stray(strides, found, aim)
    if before_m is not None:
        low = max(low, (before_m + aim) / 2)
    high = min(high, (aim + after_m) / 2)
    low, high = min(low, aim), max(high, aim)
    return Distance(
        strides, aim, low, high, here.parts, source, found.note, found.also,
        () if table_of_the_body(strides, question) else bands(strides, question),
    )  # fmt: skip


def _stray(strides: int, found: LookedUp, aim_m: float) -> tuple[float, float, str]:
    """The printed range, moved by what was added; or so much for each stride taken."""
    if found.low_m is not None and found.high_m is not None:
        added = aim_m - found.aim_m
        source = moved(found.range_source) if abs(added) > TOUCH else found.range_source
        return found.low_m + added, found.high_m + added, source
    each = adjustments().rides_as
    width = each.value * (strides + 1)
    source = f"{each.source}: {feet_inches(each.value)} for each stride taken"
    return aim_m - width, aim_m + width, source


def rides_as(
    measured_m: float,
    *,
    table: StrideTable,
    horses: Horses,
    first: FenceFacts,
    second: FenceFacts,
    gait_in: str = "canter",
    gap: int | None = None,
    conditions: Conditions = ORDINARY,
    judged_by: Mapping[str, str] = USUAL,
    units: Units = "feet",
) -> RidesAs:
    """As how many strides `measured_m` metres ride. `units` are those of the words.

    Raises ValueError for a length that is not above 0 and below 1,000 m, and as `distance` does.
    """
    if not 0 < measured_m <= LONGEST:
        raise ValueError(f"no line is {measured_m} m long")
    question = ask(table, horses, first, second, gait_in, gap, conditions, judged_by)
    counts = _around(measured_m, question)
    fitting = [found for found in counts if not found.misses_by(measured_m)]
    nearer = min(fitting or counts, key=lambda found: abs(found.aim_m - measured_m))
    if fitting:
        words = _fitting_words(measured_m, nearer, question, units)
        return _ride(measured_m, nearer, question, words)
    if measured_m < counts[0].aim_m and not counts[0].strides:
        return _ride(measured_m, nearer, question, f"too short for {_noun(question)}", fits=False)
    if question.has_pole and nearer.strides == 0:
        # From pole to pole nobody counts strides: it fits the step or it does not.
        off = length_text(abs(measured_m - nearer.aim_m), units)
        way = "long" if measured_m > nearer.aim_m else "short"
        words = f"{off} too {way} for {_noun(question)}"
        return _ride(measured_m, nearer, question, words, fits=False)
    longer = next(found for found in counts if found.aim_m >= measured_m)
    words = f"between a long {call(longer.strides - 1)} and a short {call(longer.strides)}: neither"
    if question.only_poles and question.gait_in != "canter":
        steps = f"{count_word(longer.strides)} and {count_word(longer.strides + 1)} steps"
        words = f"between {steps} of {question.gait_in}: neither"
    return _ride(measured_m, nearer, question, words, fits=False)


SIDES = 2
"""Counts looked at on each side of a distance: no band reaches further."""
ABOUT = 2 * SIDES + 1


def _around(measured_m: float, question: Question) -> list[Distance]:
    """The counts about a distance, shortest first, the last of them longer than it."""
    # Far from none a few counts below are enough, unless the strides of the table are very long.
    first = max(int(measured_m / question.horses.stride_m) - 3 * SIDES, 0)
    found = _upwards(first, measured_m, question)
    if first and len(found) < ABOUT:
        found = _upwards(0, measured_m, question)
    return found[-ABOUT:]


def _upwards(first: int, measured_m: float, question: Question) -> list[Distance]:
    """The counts from `first` to SIDES beyond a distance."""
    found: list[Distance] = []
    before_m = add_up(first - 1, question).total_m if first else None
    this = add_up(first, question)
    beyond = 0
    for strides in count(first):
        following = add_up(strides + 1, question)
        here = _between(strides, before_m, this, following.total_m, question)
        found.append(here)
        beyond += here.aim_m >= measured_m
        if beyond > SIDES:
            break
        before_m, this = here.aim_m, following
    return found


def _ride(
    measured_m: float, found: Distance, question: Question, words: str, fits: bool = True
) -> RidesAs:
    taken = found.strides + 1
    in_steps = question.only_poles and question.gait_in != "canter"
    normal = found.aim_m / taken if in_steps else question.horses.stride_m
    stride = normal + (measured_m - found.aim_m) / taken
    return RidesAs(found.strides, stride, stride / normal, words, fits)


def _fitting_words(measured_m: float, found: Distance, question: Question, units: Units) -> str:
    each = (measured_m - found.aim_m) / (found.strides + 1)
    unit, name = (INCH, "in") if units == "feet" else (0.01, "cm")
    off = round(each / unit)
    way = "long" if off > 0 else "short"
    if not found.strides:
        noun = _noun(question)
        return f"{noun}, {abs(off)} {name} {way}" if off else f"{noun} as normal"
    if not off:
        strides = "stride" if found.strides == 1 else "strides"
        return f"{count_word(found.strides)} {strides} as normal"
    manner = "forward" if off > 0 else "quiet"
    return f"a {manner} {call(found.strides)}, {abs(off)} {name} {way} per stride"


def _noun(question: Question) -> str:
    """What no strides at all are called."""
    if question.only_poles:
        return "the next pole"
    if question.has_pole:
        return "a pole next to the fence"
    return "a bounce"
