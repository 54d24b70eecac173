"""Which of what was seen is a try of a requirement, and whether it came out as asked.

Landings are judged by the lead, counts by the strides, rounds by their misses and the rest by
the mark, so that nothing is counted twice. What nobody saw counts neither way; nor does a miss that
was the rider's for the horse, or the horse's for the rider.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from diagram.records.apart import Trial
from diagram.records.step_file import Counts, Requirement
from diagram.records.values import Element, ExerciseVersion, Pair, Round, Seen


class Try(Struct, frozen=True):
    """One try, in its round."""

    round: Round
    asked: bool


def tries_of(
    requirement: Requirement, pair: Pair, rounds: Sequence[Round], *, any_height: bool = False
) -> tuple[Try, ...]:
    """All tries of a requirement by the horse, the rider or the pair, in the order of time.

    A horse's count under every rider, a rider's on every horse. `any_height` leaves out the
    heights asked. `rounds` are all of the record, since a filler is new only once.
    """
    counts = requirement.counts
    if any_height:
        counts = replace(counts, height_mm=0, at_height=None)
    own = [one for one in rounds if concerns(requirement, pair, one)]
    if counts.whole_round:
        return tuple(_whole_rounds(requirement, own))
    new = _first_meetings(rounds) if counts.new_filler else None
    found = []
    for one in own:
        for seen in one.seen:
            if new is not None and (one.round_id, seen.element.element_id) not in new:
                continue
            if element_counts(counts, seen.element, one.exercise, seen.height_mm):
                asked = _as_asked(requirement, seen)
                if asked is not None and (asked or not of_the_other(requirement, seen)):
                    found.append(Try(one, asked))
    return tuple(found)


def concerns(requirement: Requirement, pair: Pair, one: Round) -> bool:
    """Whether a round is one of those that the requirement is about."""
    same_horse = one.pair.horse.horse_id == pair.horse.horse_id
    same_rider = one.pair.person.person_id == pair.person.person_id
    if requirement.counts.another_horse:
        return same_rider and not same_horse
    return {"horse": same_horse, "rider": same_rider, "pair": same_horse and same_rider}[
        requirement.by
    ]


def element_counts(
    counts: Counts, element: Element, exercise: ExerciseVersion, height_mm: int
) -> bool:
    """Whether an element, with its fence at a height, is a try."""
    tags = element.tags
    spread = int(tags.get("spread mm", 0))
    return (
        not tags.get("pole")
        and counts.jump in ("any", tags.get("kind"))
        and height_mm >= counts.height_mm
        and (counts.spread_mm is None or spread >= (
            height_mm if counts.spread_mm < 0 else counts.spread_mm
        ))
        and counts.way in (None, element.shape)
        and counts.rein in (None, element.rein)
        and counts.strides in (None, element.strides_asked)
        and (not counts.lead_asked or element.lead_asked is not None)
        and (not counts.angled or bool(tags.get("angled")))
        and (not counts.both_ways or ridden_back(element, exercise) is not None)
        and (not counts.other_counts or _other_count(element, exercise))
        and (not counts.new_filler or "filler" in tags)
    )  # fmt: skip


def ridden_back(element: Element, exercise: ExerciseVersion) -> Element | None:
    """The way of an exercise between the same two fences in the other direction."""
    if element.between is None:
        return None
    return next(
        (e for e in exercise.elements
         if e.between == element.between[::-1] and e.shape == element.shape), None,
    )  # fmt: skip


def _other_count(element: Element, exercise: ExerciseVersion) -> bool:
    """Whether the same ground is asked in another count, or in two."""
    if len(element.counts) > 1:
        return True
    if element.between is None or element.strides_asked is None:
        return False
    same = [e for e in exercise.elements if e.between and set(e.between) == set(element.between)]
    return len({e.strides_asked for e in same if e.strides_asked is not None}) > 1


def _as_asked(requirement: Requirement, seen: Seen) -> bool | None:
    element = seen.element
    match requirement.judged_by:
        case "jumped":
            return seen.mark != "not jumped"
        case "strides":
            if seen.strides is None or element.strides_asked is None:
                return None
            inside = seen.strides in element.counts
            if element.strides_out_asked is not None and seen.strides_out is not None:
                return inside and seen.strides_out == element.strides_out_asked
            return inside
        case "lead":
            if seen.lead is None or element.lead_asked is None:
                return None
            return seen.lead == element.lead_asked
        case "seconds":
            if seen.seconds is None or element.seconds_asked is None:
                return None
            return abs(seen.seconds - element.seconds_asked) <= requirement.within_s
        case _:
            return seen.mark == "as asked"


def of_the_other(requirement: Requirement, seen: Seen) -> bool:
    """Whether a miss was marked as the rider's where the horse is asked, or the other way round."""
    return (requirement.by, seen.whose) in (("horse", "rider"), ("rider", "horse"))


def _whole_rounds(requirement: Requirement, rounds: Iterable[Round]) -> Iterator[Try]:
    """Rounds of enough fences, high enough; those of which too little was seen are left out."""
    counts = requirement.counts
    for one in rounds:
        jumped = [e for e in one.exercise.elements if not e.tags.get("pole")]
        if len(jumped) < counts.fences or one.height_mm < counts.height_mm:
            continue
        if counts.at_height is not None:
            height, number = counts.at_height
            high = [e for e in jumped if one.height_mm + e.above_mm >= height]
            if len(high) < number:
                continue
        other = sum(of_the_other(requirement, seen) for seen in one.seen)
        missed = sum(seen.mark != "as asked" for seen in one.seen) - other
        unseen = len(one.exercise.elements) - len(one.seen) + other
        if one.complete and unseen > counts.misses:
            # It could be told to be missed, and never to be as asked: so it is not judged at all.
            continue
        if other and not one.complete and missed <= counts.misses:
            # Whose it was that the round was not finished is the other's, or nobody's to say.
            continue
        if missed > counts.misses or not one.complete:
            yield Try(one, False)
        elif missed + unseen <= counts.misses:
            yield Try(one, True)


def _first_meetings(rounds: Sequence[Round]) -> set[tuple[int, int]]:
    """Round and element at which each horse met each filler for the first time."""
    met: set[tuple[int, str]] = set()
    found = set()
    for one in rounds:
        for seen in one.seen:
            filler = seen.element.tags.get("filler")
            key = (one.pair.horse.horse_id, str(filler))
            if filler and key not in met:
                met.add(key)
                found.add((one.round_id, seen.element.element_id))
    return found


def trials_of(rounds: Sequence[Round]) -> list[Trial]:
    """All tries of a record for the model: each way by its mark, each landing by its lead."""
    found = []
    for one in rounds:
        day = one.day.on.toordinal()
        horse, rider = one.pair.horse.name, one.pair.person.name
        for seen in one.seen:
            asked = seen.mark == "as asked"
            kind = seen.element.shape
            found.append(Trial(asked, kind, seen.height_mm, day, horse, rider))
            if seen.lead is not None and seen.element.lead_asked is not None:
                landed = seen.lead == seen.element.lead_asked
                found.append(Trial(landed, "landing", seen.height_mm, day, horse, rider))
    return found
