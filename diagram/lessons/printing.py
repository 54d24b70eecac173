"""The print of a lesson: the running sheet, the cards in order, then one leaf of the set-up that
serves them all, and one of each move where fences are carried."""

from __future__ import annotations

from collections.abc import Generator, Iterator

from msgspec.structs import replace

from diagram.diagnostics import Diagnostic, Severity
from diagram.exercise.inventory import missing_from
from diagram.lessons.common import others_of, set_up_of, stages
from diagram.lessons.lesson import Lesson
from diagram.lessons.others import standing_behind
from diagram.lessons.sheet import running_sheet
from diagram.planning import Plan
from diagram.units import Units
from diagram.writers.joined import joined, numbered, page_count
from diagram.writers.record import pages_bytes


def lesson_pdf(lesson: Lesson, *, paper: str = "A4", units: Units = "feet") -> bytes:
    """The whole lesson as one PDF; the running sheet names the pages of the rest, and every page
    carries its number. Raises ValueError for fences that no sheet of this paper holds."""
    from diagram.writers.card import card_bytes

    cards = [card_bytes(plan, paper=paper, units=units) for plan in _as_ridden(lesson)]
    leaves = list(_leaves(lesson, paper, units))
    pages: dict[int, int] = {}
    sheets = page_count(pages_bytes(running_sheet(lesson, {}, 0, 0, units, paper)))
    at = sheets + 1
    for n, card in enumerate(cards):
        pages[n] = at
        at += page_count(card)
    whole = at - 1 + sum(page_count(leaf) for _, leaf in leaves)
    sheet = pages_bytes(running_sheet(lesson, pages, at, whole, units, paper))
    titles = [plan.definition.title for plan in lesson.plans]
    parts = [("Running sheet", sheet), *zip(titles, cards, strict=True), *leaves]
    return numbered(joined(parts, lesson.title), lesson.title, first=sheets + 1)


def _as_ridden(lesson: Lesson) -> list[Plan]:
    """Every exercise at the lowest height that the lesson rides it at, with the minutes that the
    running sheet gives it and all that stands there when it is ridden first."""
    out = []
    for n, ridden in enumerate(lesson.at_lowest):
        minutes = {line.minutes for line in lesson.lines if line.exercise == n}
        given = minutes.pop() if len(minutes) == 1 else None
        said = ridden.definition.model_copy(update={"minutes": given})
        own = replace(ridden.exercise, definition=said)
        found = tuple(_cautions(lesson, n))
        out.append(replace(ridden, exercise=own, standing=tuple(others_of(lesson, n)),
                           findings=(*ridden.findings, *found)))  # fmt: skip
    return out


def _cautions(lesson: Lesson, exercise: int) -> Iterator[Diagnostic]:
    """What stands behind its fences, for its own card."""
    for one in standing_behind(lesson):
        if one.exercise == exercise:
            facts = (("at_m", one.at),)
            message = f"{one.words()}, for another exercise"
            yield Diagnostic(
                "standing-behind-a-fence", Severity.CAUTION, message, None, "", (), facts
            )


def _leaves(lesson: Lesson, paper: str, units: Units) -> Iterator[tuple[str, bytes]]:
    """The setting-out sheets, each with its name: all that stands at the beginning, then each move
    from what stood before it. Where one sheet cannot hold the beginning, the fences of one
    exercise after another, each from those that stand. Pegs are numbered through all of them."""
    pegs = 0
    for place in stages(lesson):
        made = set_up_of(lesson, place)
        before = set_up_of(lesson, place - 1) if place else None
        title = "Setting out" if before is None else f"Moving before {_exercise(lesson, place) + 1}"
        try:
            pages, last = _leaf(lesson, made, before, paper, units, pegs)
            yield title, pages
        except ValueError:
            if before is None:
                last = yield from _one_by_one(lesson, paper, units)
            else:
                # Too much changes for one sheet: the fences of the exercise from the rail.
                own = set_up_of(lesson, place, (_exercise(lesson, place),))
                pages, last = _leaf(lesson, own, None, paper, units, pegs)
                yield title, pages
        pegs = last


def _exercise(lesson: Lesson, place: int) -> int:
    return lesson.ridings[lesson.order.sequence[place]].exercise if lesson.order else 0


def _one_by_one(
    lesson: Lesson, paper: str, units: Units
) -> Generator[tuple[str, bytes], None, int]:
    """The sheets of the beginning; the last peg's number is what is returned."""
    before: Plan | None = None
    pegs = 0
    built: list[int] = []
    for number in dict.fromkeys(riding.exercise for riding in lesson.ridings):
        made = set_up_of(lesson, 0, (*built, number))
        if before is None or len(made.fences) > len(before.fences):
            pages, pegs = _leaf(lesson, made, before, paper, units, pegs)
            yield f"Setting out for {number + 1}", pages
        before = made
        built.append(number)
    return pegs


def _leaf(
    lesson: Lesson, made: Plan, before: Plan | None, paper: str, units: Units, pegs: int
) -> tuple[bytes, int]:
    """The pages of one sheet, with its pegs numbered on from `pegs`, and the last of them."""
    from diagram.pipeline import setting_bytes, setting_of
    from diagram.stakeout.crew import crew_for

    setting = setting_of(made, crew_for(units), before, pegs)
    # Counted here and not planned again with other poles: the fences are of several files.
    short = missing_from(lesson.store, (placed.fence for placed in made.fences))
    setting = replace(setting, store=lesson.store, shortages=short)
    return setting_bytes(setting, "pdf", paper=paper), setting.pegs_so_far
