"""What would show what is still missing: exercises of a library searched by what they hold.

An exercise shows a requirement when one of its elements would be a try of it, built to the height
the pair rides now; for a whole round, when it has the fences. Where none does as it is filed, one
that does with a fence built higher or wider, or a line ridden in another count, is said with what
has to be asked. The exercises that a step file names are the trainer's own and come first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from copy import deepcopy
from itertools import product
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from diagram.planning import Plan
from diagram.records.elements import (
    Asks,
    ask_otherwise,
    element_values,
    numbers_of,
    watched_legs,
)
from diagram.records.readiness import Readiness, Shown
from diagram.records.step_file import Requirement
from diagram.records.tries import element_counts
from diagram.records.values import Element, ExerciseVersion
from diagram.units import length_text

HINT = 2
"""A requirement that an exercise is named for weighs so much more than one it merely holds."""
FEWEST_STRIDES = 5
"""Asked in a line to which one more may be added."""


class Offer(Struct, frozen=True):
    """An exercise of the library, as it is filed or with something asked otherwise.

    `lowest_mm` and `highest_mm` are how low and how high it may be built, where it says that;
    `fits` whether the arena asked takes it, None where none was asked. `asked` is what `observe`
    has to be told, empty for the exercise as filed; `base` is its title without that.
    """

    title: str
    base: str
    file: str
    arena: str
    values: tuple[dict[str, Any], ...]
    lowest_mm: int | None
    highest_mm: int | None
    fits: bool | None
    asked: str = ""

    @property
    def exercise(self) -> ExerciseVersion:
        """Its elements as the record would hold them."""
        elements = tuple(Element(element_id=0, exercise_id=0, **one) for one in self.values)
        return ExerciseVersion(0, self.title, "", "", elements)


class Suggestion(Struct, frozen=True):
    """An exercise, or what the step file asks of one, with what it would show.

    `known` is whether the library has it; `file` and `asked` are what to tell `observe`.
    """

    title: str
    base: str
    arena: str
    shows: tuple[Shown, ...]
    fits: bool | None
    known: bool
    file: str = ""
    asked: str = ""


class Suggested(Struct, frozen=True):
    """As few exercises as show what is missing, and what no exercise of the library shows."""

    exercises: tuple[Suggestion, ...]
    by_none: tuple[Shown, ...]


def offer_values(plan: Plan) -> dict[str, Any]:
    """What an offer is made of, as values that JSON can hold."""
    said, legs = plan.definition, watched_legs(plan)
    low, high = said.heights or (None, None)
    return {
        "title": ", ".join([said.title, *([plan.name] if plan.name else [])]),
        "arena": plan.arena.name or "its own arena",
        "lowest_mm": round(low * 1000) if low is not None else None,
        "highest_mm": round(high * 1000) if high is not None else None,
        "elements": [
            element_values(plan, leg, number)
            for leg, number in zip(legs, numbers_of(legs), strict=True)
        ],
    }


def offer_of(values: dict[str, Any], fits: bool | None, file: str = "") -> Offer:
    """An offer of such values, out of a file. Raises KeyError for those of another version."""
    return Offer(
        values["title"], values["title"], file, values["arena"],
        tuple(values["elements"]), values["lowest_mm"], values["highest_mm"], fits,
    )  # fmt: skip


def shows(requirement: Requirement, offer: Offer, built_mm: int, met: frozenset[str]) -> bool:
    """Whether a round of an exercise, most of it built to `built_mm`, would be a try.

    `met` are the fillers that the horse has met.
    """
    counts, elements = requirement.counts, offer.exercise.elements
    highest = max(counts.height_mm, counts.at_height[0] if counts.at_height else 0)
    if offer.highest_mm is not None and offer.highest_mm < highest:
        return False
    if offer.lowest_mm is not None and built_mm < offer.lowest_mm:
        return False
    if counts.whole_round:
        jumped = [e for e in elements if not e.tags.get("pole")]
        if len(jumped) < counts.fences or built_mm < counts.height_mm or not jumped:
            return False
        if counts.at_height is None:
            return True
        height, number = counts.at_height
        return sum(built_mm + e.above_mm >= height for e in jumped) >= number
    return any(
        element_counts(counts, e, offer.exercise, built_mm + e.above_mm)
        and (requirement.judged_by != "strides" or e.strides_asked is not None)
        and (requirement.judged_by != "lead" or e.lead_asked is not None)
        and not (counts.new_filler and e.tags.get("filler") in met)
        for e in elements
    )


def otherwise(requirement: Requirement, offer: Offer, built_mm: int) -> Iterator[Offer]:
    """The same exercise with one thing asked otherwise that the requirement is about: one fence
    at a greater height, a spread wider, or one of two ways over the same ground in one more."""
    counts, elements = requirement.counts, offer.exercise.elements
    jumped = [e for e in elements if not e.tags.get("pole")]
    # The distances inside a combination are built for its own spreads.
    alone = [e for e in jumped if e.shape != "combination"]
    height = counts.at_height[0] if counts.at_height else counts.height_mm
    if height > built_mm and jumped:
        last = (alone or jumped)[-1]
        yield _asked(offer, Asks(heights={last.called: height}), built_mm)
    if counts.spread_mm is not None:
        wide = built_mm if counts.spread_mm < 0 else counts.spread_mm
        for e in alone:
            if counts.jump in ("any", e.tags.get("kind")) and 0 < int(e.tags["spread mm"]) < wide:
                yield _asked(offer, Asks(spreads={e.called: wide}), built_mm)
                break
    if counts.other_counts:
        for e, back in product(alone, alone):
            if (
                e.place < back.place and e.between is not None and back.between is not None
                and e.shape == back.shape == (counts.way or e.shape)
                and set(e.between) == set(back.between)
                and e.strides_asked == back.strides_asked
                and (e.strides_asked or 0) >= FEWEST_STRIDES
            ):  # fmt: skip
                strides = {e.called: (e.strides_asked or 0) + 1}
                yield _asked(offer, Asks(strides=strides), built_mm)
                break


def _asked(offer: Offer, asks: Asks, built_mm: int) -> Offer:
    values = deepcopy(offer.values)
    titles = ask_otherwise(values, asks, built_mm)
    said = [f"{place}={strides}" for place, strides in asks.strides.items()]
    said += [f"{place}={length_text(mm / 1000, 'feet')}" for place, mm in asks.heights.items()]
    said += [f"{place}={length_text(mm / 1000, 'feet')} wide" for place, mm in asks.spreads.items()]
    title = ", ".join([offer.title, *titles])
    return replace(offer, title=title, values=values, asked=", ".join(said))


def suggested(found: Readiness, offers: Sequence[Offer]) -> Suggested:
    """Exercises for what is not shown yet: those that fit the arena, then the others; of each, as
    they are filed before those of which something is asked otherwise."""
    if found.step is None:
        return Suggested((), ())
    missing = [one for one in found.shown if one.state != "shown"]
    candidates = list(_candidates(missing, offers, found.step.from_mm, found.met))
    chosen: list[Suggestion] = []
    left = missing
    for fitting in (True, False):
        pool = [one for one in candidates if one.known and (one.fits is not False) is fitting]
        here: list[Suggestion] = []
        while left and (best := _best(pool, left)) is not None:
            own = tuple(one for one in best.shows if one in left)
            here.append(replace(best, shows=own))
            left = [one for one in left if one not in own]
        chosen += sorted(here, key=lambda one: bool(one.asked))
    for hint in candidates:
        # Named by the step and not in the library: said, for it may lie in another folder.
        own = tuple(one for one in hint.shows if one in left)
        if not hint.known and own:
            chosen.append(replace(hint, shows=own))
            left = [one for one in left if one not in own]
    return Suggested(tuple(chosen), tuple(left))


def _candidates(
    missing: Sequence[Shown], offers: Sequence[Offer], built_mm: int, met: frozenset[str]
) -> Iterable[Suggestion]:
    for offer in offers:
        filed = _suggestion(offer, missing, built_mm, met)
        yield filed
        # Asked otherwise only for what it would not show as it is filed.
        rest = [one for one in missing if one not in filed.shows]
        changed: dict[str, Offer] = {}
        for one in rest:
            for other in otherwise(one.requirement, offer, built_mm):
                changed.setdefault(other.asked, other)
        for other in changed.values():
            yield _suggestion(other, rest, built_mm, met)
    titles = {offer.title for offer in offers}
    hints: dict[str, list[Shown]] = {}
    for one in missing:
        for title in one.requirement.exercises:
            if title not in titles:
                hints.setdefault(title, []).append(one)
    for title, named in hints.items():
        # What follows the title of an exercise is asked of it in the trainer's own words.
        base = next((o for o in offers if title.startswith(f"{o.title},")), None)
        known = base is not None
        yield Suggestion(
            title, title, base.arena if base else "", tuple(named), base.fits if base else None,
            known, base.file if base else "",
        )  # fmt: skip


def _suggestion(
    offer: Offer, missing: Sequence[Shown], built_mm: int, met: frozenset[str]
) -> Suggestion:
    own = tuple(one for one in missing if shows(one.requirement, offer, built_mm, met))
    return Suggestion(
        offer.title, offer.base, offer.arena, own, offer.fits, True, offer.file, offer.asked
    )


def _best(pool: Sequence[Suggestion], left: Sequence[Shown]) -> Suggestion | None:
    """The one that shows most of what is left, a trainer's own hint counting more."""

    def worth(one: Suggestion) -> int:
        return sum(
            HINT if one.base in shown.requirement.exercises else 1
            for shown in one.shows
            if shown in left
        )

    best = max(pool, key=worth, default=None)
    return best if best is not None and worth(best) > 0 else None
