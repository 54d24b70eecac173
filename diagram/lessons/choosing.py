"""Exercises chosen for a lesson: from what it is for, the time, the riders, the ring and the store.

Every set of up to three exercises in one arena is looked at, as drawn; the best of them once more
with their fences shared, and while fences are carried in every order. Better is, in this order:
more of the goals, less time in which nobody rides (by quarters of an hour), fewer fences carried,
more of the time used, less work with rails, and the order of the library. Each choice has its
reasons.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct, field
from msgspec.structs import replace

from diagram.lessons.candidates import Asked, untaught
from diagram.lessons.heights import HAIR_M
from diagram.lessons.lesson import minutes_for
from diagram.lessons.moves import Order, best_order, minutes_to_move, order_of
from diagram.lessons.sharing import shared
from diagram.lessons.spots import SharedSpot, spots_of
from diagram.library.collection import Library
from diagram.library.entry import Entry, heights_of
from diagram.model.lesson_file import GroupWritten, LessonWritten
from diagram.plain import counted
from diagram.planning import Plan
from diagram.trade.lessons import lesson_facts
from diagram.units import feet_inches

if TYPE_CHECKING:
    from diagram.exercise.arena import Arena
    from diagram.exercise.inventory import Store

MOST_TOGETHER = 3
MOST_LOOKED_AT = 14
LAID_ANEW = 6
"""Sets of exercises whose fences are shared before the best of them is taken."""
COOL_DOWN_MIN = 5
"""Minutes of walk at the end (common practice, no source)."""
USUAL_ROUNDS, MOST_ROUNDS = 3, 10
"""Rounds where an exercise says none, and the most that are looked at."""
BAND_MIN = 15
"""Minutes of a lesson that weigh more than a fence to carry (common practice, no source)."""


class Chosen(Struct, frozen=True):
    """Exercises in the order to ride them, with how often and why each; the work between, and the
    minutes in which nobody rides; `untaught` says of each goal not taught why, `drawn` how
    high in metres each exercise is in its file."""

    entries: tuple[Entry, ...]
    rounds: dict[str, dict[str, int]]
    why: dict[str, str]
    order: Order
    idle_min: int = 0
    untaught: dict[str, str] = field(default_factory=dict)
    drawn: dict[str, float] = field(default_factory=dict)

    @property
    def taught(self) -> set[str]:
        """The groups that they teach."""
        return {group for entry in self.entries for group in entry.teaches}

    def left_over(self, written: LessonWritten) -> str:
        """What to say of the lesson for its time to be used; nothing where little is left."""
        if self.idle_min < BAND_MIN:
            return ""
        ways = [] if written.may_move else ["write may move: yes, so that fences may be carried"]
        ways += ["name more goals", "add an exercise of your own to the run"]
        return f"{self.idle_min} minutes are left over: {', or '.join(ways)}"


class NothingFitsError(ValueError):
    """No exercise answers what the lesson asks; says what stood in the way."""


def choose(
    library: Library, written: LessonWritten, store: Store | None = None,
    arena: Arena | None = None,
) -> Chosen:  # fmt: skip
    """The exercises of a lesson, for one arena where it is said. Raises NothingFitsError."""
    from diagram.pipeline import plan

    if not written.goals:
        raise NothingFitsError("goals: says what the lesson is for")
    asked = Asked(written, arena, store)
    fitting = asked.may_be_ridden(library.entries)
    if not fitting:
        raise NothingFitsError(_why_none(asked, library))
    fitting = fitting[:MOST_LOOKED_AT]
    plans = {entry.stem: plan(library.paths[entry.stem]) for entry in fitting}
    ranked: list[tuple[tuple[float, ...], tuple[int, ...], Chosen]] = []
    for size in range(1, MOST_TOGETHER + 1):
        for combination in itertools.combinations(range(len(fitting)), size):
            entries = [fitting[n] for n in combination]
            if len({entry.arena for entry in entries}) > 1:
                continue
            tried = _tried(entries, [plans[e.stem] for e in entries], written, library)
            if tried is not None:
                chosen, used = tried
                ranked.append((_rank(chosen, used, combination, written), combination, chosen))
    ranked.sort(key=lambda one: one[0])
    best = [(rank, chosen) for rank, _, chosen in ranked if _may_be(chosen, written)][:1]
    if written.set_up == "one":
        # Only what can still be better than the best as drawn is laid out anew.
        ahead = [one for one in ranked if not best or (*one[0][:2], 0, *one[0][3:]) < best[0][0]][
            :LAID_ANEW
        ]
        for _, combination, as_drawn in ahead:
            together = shared([plans[entry.stem] for entry in as_drawn.entries])
            tried = _tried(as_drawn.entries, together, written, library, as_they_are=True)
            if tried is not None and _may_be(tried[0], written):
                best.append((_rank(*tried, combination, written), tried[0]))
        if best or ahead:
            first = min(best, key=lambda one: one[0])[1] if best else ahead[0][2]
            best += _in_other_orders(first, plans, written, library)
    if not best:
        raise NothingFitsError(
            "no exercise can be ridden once by every rider in the time"
            if not ranked else "fences would have to be carried: write may move: yes"
        )  # fmt: skip
    chosen = min(best, key=lambda one: one[0])[1]

    def carried(goal: str) -> bool:
        wanted = chosen.taught | {goal}
        return any(
            wanted & set(written.goals) <= one.taught and not _may_be(one, written)
            for _, _, one in ranked
        )

    why = untaught(asked, library.entries, chosen.taught, carried)
    return replace(chosen, untaught=why)


def _why_none(asked: Asked, library: Library) -> str:
    goals = set(asked.written.goals)
    teach = [entry for entry in library.entries if goals & set(entry.teaches)]
    if not teach:
        return "no exercise of the library teaches this"
    told = f"no exercise fits; of those that teach this {asked.whats_against(teach)}"
    other = asked.after_fitting(teach)
    return f"{told}; {other}" if other else told


def _in_other_orders(
    chosen: Chosen, plans: dict[str, Plan], written: LessonWritten, library: Library
) -> Iterator[tuple[tuple[float, ...], Chosen]]:
    """The exercises once more in each other order, fences shared: what stands first decides what
    the others can be laid out over."""
    place = {entry.stem: n for n, entry in enumerate(library.entries)}
    if not chosen.order.moves.fences:
        return
    for order in itertools.permutations(chosen.entries):
        together = shared([plans[entry.stem] for entry in order])
        tried = _tried(order, together, written, library, as_they_are=True)
        if tried is not None and _may_be(tried[0], written):
            yield _rank(*tried, [place[entry.stem] for entry in order], written), tried[0]


def _rank(
    chosen: Chosen, used: int, combination: Sequence[int], written: LessonWritten
) -> tuple[float, ...]:
    idle = max(0, free_minutes(written) - used) // BAND_MIN
    moves = chosen.order.moves
    goals = len(chosen.taught & set(written.goals))
    return (-goals, idle, moves.fences, -used, moves.cost, *combination)


def _may_be(chosen: Chosen, written: LessonWritten) -> bool:
    return written.may_move or not chosen.order.moves.fences


def _tried(
    entries: Sequence[Entry], plans: Sequence[Plan], written: LessonWritten, library: Library,
    *, as_they_are: bool = False,
) -> tuple[Chosen, int] | None:  # fmt: skip
    """These exercises as a lesson, and the minutes ridden; None if they cannot be one. In the
    order with least work, or as they are."""
    spots, behind = spots_of(plans)
    if behind:
        return None

    def allowed(sequence: Sequence[int]) -> bool:
        stems = [entries[n].stem for n in sequence]
        return not any(
            later in library.links.before[stem]
            for place, stem in enumerate(stems)
            for later in stems[place + 1 :]
        )

    try:
        every = range(len(entries))
        if as_they_are and not allowed(every):
            return None
        order = order_of(spots, every) if as_they_are else best_order(spots, len(entries), allowed)
    except ValueError:
        return None
    rounds: dict[str, dict[str, int]] = {}
    used = moved = 0
    # Each group rides them all: after the first what was carried is carried back.
    whole = order_of(spots, order.sequence * len(written.groups)).changes
    each = len(entries)
    for n, (name, share) in enumerate(_shares(written).items()):
        moving = sum(minutes_to_move(one) for one in whole[n * each : (n + 1) * each])
        fitted = _rounds(entries, plans, written.groups[name], share - moving)
        if fitted is None:
            return None
        rounds[name], minutes = fitted
        used, moved = used + minutes, moved + moving
    ordered = tuple(entries[n] for n in order.sequence)
    idle = max(0, free_minutes(written) - used - moved)
    why = _reasons(entries, order, spots, written)
    drawn = {e.stem: heights_of(plan)[1] for e, plan in zip(entries, plans, strict=True)}
    return Chosen(ordered, rounds, why, order, idle, drawn=drawn), used


def free_minutes(written: LessonWritten) -> int:
    """Minutes for exercises: the time less warm-up and walk of every group."""
    whole = written.time[1] - written.time[0]
    return whole - len(written.groups) * (round(lesson_facts().warm_up.value) + COOL_DOWN_MIN)


def _shares(written: LessonWritten) -> dict[str, int]:
    """Minutes of each group, by its riders."""
    whole = written.time[1] - written.time[0]
    riders = sum(group.riders for group in written.groups.values())
    return {name: whole * group.riders // riders for name, group in written.groups.items()}


def _rounds(
    entries: Sequence[Entry], plans: Sequence[Plan], group: GroupWritten, share: int
) -> tuple[dict[str, int], int] | None:
    """How often each exercise is ridden, and the minutes: of all ways to share out the time those
    with most of it ridden, of these the most even one, of these the one with more of the first.
    None where not each can be ridden once by every horse."""
    free = share - round(lesson_facts().warm_up.value) - COOL_DOWN_MIN
    tops = [min(max(entry.rounds or USUAL_ROUNDS, 1), MOST_ROUNDS) for entry in entries]
    minutes = [
        [minutes_for(plan, n + 1, group.riders) for n in range(top)]
        for plan, top in zip(plans, tops, strict=True)
    ]
    best: tuple[tuple[int, int, tuple[int, ...]], tuple[int, ...]] | None = None
    for counts in itertools.product(*(range(1, top + 1) for top in tops)):
        used = sum(own[n - 1] for own, n in zip(minutes, counts, strict=True))
        jumps = sum(entry.jumps * n for entry, n in zip(entries, counts, strict=True))
        if used > free or (group.jumps is not None and jumps > group.jumps):
            continue
        rank = -used, max(counts) - min(counts), tuple(-n for n in counts)
        if best is None or rank < best[0]:
            best = rank, counts
    if best is None:
        return None
    rounds = {entry.stem: n for entry, n in zip(entries, best[1], strict=True)}
    return rounds, -best[0][0]


def _listed(words: Sequence[str]) -> str:
    """``poles, grids and angles``."""
    *before, last = words
    return f"{', '.join(before)} and {last}" if before else last


def _reasons(
    entries: Sequence[Entry], order: Order, spots: Sequence[SharedSpot], written: LessonWritten
) -> dict[str, str]:
    why = {}
    for place, n in enumerate(order.sequence):
        entry = entries[n]
        taught = [group for group in entry.teaches if group in written.goals]
        parts = [f"teaches {_listed(taught)}"]
        before = set(order.sequence[:place])
        shared = sum(n in spot.builds and bool(before & set(spot.builds)) for spot in spots)
        if shared:
            parts.append(f"{counted(shared, 'fence')} of it already there")
        carried = sum(change.what in ("in", "out") for change in order.changes[place])
        if place:
            parts.append(f"{counted(carried, 'fence')} carried" if carried else "none carried")
        lowest = min((g.height for g in written.groups.values() if g.height), default=None)
        if lowest is not None:
            parts.append(f"can be ridden at {feet_inches(lowest)}")
        why[entry.stem] = "; ".join(parts)
    return why


def run_of(chosen: Chosen, written: LessonWritten) -> list[dict[str, object]]:
    """The `run` of the lesson file as plain values."""
    steps: list[dict[str, object]] = []
    for name, group in written.groups.items():
        steps.append({"group": name})
        steps.append({"warm up": f"{lesson_facts().warm_up.value:g} min"})
        for entry in chosen.entries:
            step: dict[str, object] = {"exercise": entry.stem}
            # As it is drawn, where that is no higher: what an exercise bears is no aim.
            if group.height is not None and chosen.drawn[entry.stem] > group.height + HAIR_M:
                step["height"] = feet_inches(group.height)
            step["rounds"] = chosen.rounds[name][entry.stem]
            step["why"] = chosen.why[entry.stem]
            steps.append(step)
        steps.append({"cool down": f"{COOL_DOWN_MIN} min"})
    return steps
