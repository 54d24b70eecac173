"""What would show what is still missing: exercises of a library searched by what they hold.

An exercise shows a requirement when one of its elements would be a try of it, built to the height
the pair rides now; for a whole round, when it has the fences. The exercises that a step file
names are the trainer's own and come first: one asked otherwise than it is filed ("..., six and
five") is known by the file alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from diagram.planning import Plan
from diagram.records.elements import element_values, watched_legs
from diagram.records.readiness import Readiness, Shown
from diagram.records.step_file import Requirement
from diagram.records.tries import element_counts
from diagram.records.values import Element, ExerciseVersion

HINT = 2
"""A requirement that an exercise is named for weighs so much more than one it merely holds."""


@dataclass(frozen=True)
class Offer:
    """An exercise of the library. `highest_mm` is how high it may be built, where it says that;
    `fits` whether the arena asked takes it, None where none was asked."""

    title: str
    arena: str
    exercise: ExerciseVersion
    highest_mm: int | None
    fits: bool | None


@dataclass(frozen=True)
class Suggestion:
    """An exercise, or what the step file asks of one, with what it would show.

    `known` is whether the library has it.
    """

    title: str
    arena: str
    shows: tuple[Shown, ...]
    fits: bool | None
    known: bool


@dataclass(frozen=True)
class Suggested:
    """As few exercises as show what is missing, and what no exercise of the library shows."""

    exercises: tuple[Suggestion, ...]
    by_none: tuple[Shown, ...]


def offer_values(plan: Plan) -> dict[str, Any]:
    """What an offer is made of, as values that JSON can hold."""
    said = plan.definition
    return {
        "title": ", ".join([said.title, *([plan.name] if plan.name else [])]),
        "arena": plan.arena.name or "its own arena",
        "highest_mm": round(said.heights[1] * 1000) if said.heights else None,
        "elements": [element_values(plan, leg) for leg in watched_legs(plan)],
    }


def offer_of(values: dict[str, Any], fits: bool | None) -> Offer:
    """An offer of such values. Raises KeyError or TypeError for those of another version."""
    elements = tuple(Element(element_id=0, exercise_id=0, **one) for one in values["elements"])
    exercise = ExerciseVersion(0, values["title"], "", "", elements)
    return Offer(values["title"], values["arena"], exercise, values["highest_mm"], fits)


def shows(requirement: Requirement, offer: Offer, built_mm: int, met: frozenset[str]) -> bool:
    """Whether a round of an exercise, most of it built to `built_mm`, would be a try.

    `met` are the fillers that the horse has met.
    """
    counts, elements = requirement.counts, offer.exercise.elements
    lowest = max(counts.height_mm, counts.at_height[0] if counts.at_height else 0)
    if offer.highest_mm is not None and offer.highest_mm < lowest:
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


def suggested(found: Readiness, offers: Sequence[Offer]) -> Suggested:
    """Exercises for what is not shown yet: those that fit the arena, then the others."""
    if found.step is None:
        return Suggested((), ())
    missing = [one for one in found.shown if one.state != "shown"]
    candidates = list(_candidates(missing, offers, found.step.from_mm, found.met))
    chosen: list[Suggestion] = []
    left = missing
    for fitting in (True, False):
        pool = [one for one in candidates if one.known and (one.fits is not False) is fitting]
        while left and (best := _best(pool, left)) is not None:
            own = tuple(one for one in best.shows if one in left)
            chosen.append(Suggestion(best.title, best.arena, own, best.fits, True))
            left = [one for one in left if one not in own]
    for hint in candidates:
        # Named by the step and not in the library: said, for it may lie in another folder.
        own = tuple(one for one in hint.shows if one in left)
        if not hint.known and own:
            chosen.append(Suggestion(hint.title, "", own, None, False))
            left = [one for one in left if one not in own]
    return Suggested(tuple(chosen), tuple(left))


def _candidates(
    missing: Sequence[Shown], offers: Sequence[Offer], built_mm: int, met: frozenset[str]
) -> Iterable[Suggestion]:
    hints: dict[str, list[Shown]] = {}
    for one in missing:
        for title in one.requirement.exercises:
            hints.setdefault(title, []).append(one)
    for offer in offers:
        named = hints.get(offer.title, [])
        own = tuple(
            one for one in missing
            if one in named or shows(one.requirement, offer, built_mm, met)
        )  # fmt: skip
        yield Suggestion(offer.title, offer.arena, own, offer.fits, True)
    titles = {offer.title for offer in offers}
    for title, named in hints.items():
        if title in titles:
            continue
        base = next((o for o in offers if title.startswith(f"{o.title},")), None)
        yield Suggestion(
            title, base.arena if base else "", tuple(named), base.fits if base else None,
            base is not None,
        )  # fmt: skip


def _best(pool: Sequence[Suggestion], left: Sequence[Shown]) -> Suggestion | None:
    """The one that shows most of what is left, a trainer's own hint counting more."""

    def worth(one: Suggestion) -> int:
        return sum(
            HINT if one.title in shown.requirement.exercises else 1
            for shown in one.shows
            if shown in left
        )

    best = max(pool, key=worth, default=None)
    return best if best is not None and worth(best) > 0 else None
