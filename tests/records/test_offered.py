"""What would show it: searched by what exercises hold, and whether they fit the arena asked."""

from __future__ import annotations

import pytest
from filling import ON, ROOT
from msgspec.structs import replace

from diagram.cli.observe import _asks
from diagram.library.kinds import kind_of
from diagram.pipeline import plans as plans_of
from diagram.planning import Plan
from diagram.records.file import RecordFile
from diagram.records.offered import (
    Offer,
    offer_of,
    offer_values,
    otherwise,
    shows,
    suggested,
)
from diagram.records.pages import NOWHERE, AtHand, readiness_page
from diagram.records.readiness import Readiness, readiness
from diagram.records.sheets import new_sheet
from diagram.records.step_file import SHIPPED, Counts, read_step, read_steps
from diagram.records.tries import tries_of
from diagram.records.values import Day, History, Horse, Pair, PrintedSheet, Round, Seen

STEP = read_step(SHIPPED / "from-2ft9-to-3ft.yaml")
BY_KEY = {one.key: one for one in STEP.requirements}
NO_HINTS = replace(STEP, requirements=tuple(replace(r, exercises=()) for r in STEP.requirements))
BUILT = STEP.from_mm
OTHER = Horse(9, "Other", "horse", None, ON, None, "")


@pytest.fixture(scope="module")
def offers(plans: dict[str, Plan]) -> dict[str, Offer]:
    return {name: offer_of(offer_values(plan), None) for name, plan in plans.items()}


@pytest.fixture(scope="module")
def all_plans() -> dict[str, Plan]:
    files = sorted((ROOT / "exercises").glob("*.yaml"))
    each = [(file.name, plans_of(file)) for file in files if kind_of(file) == "exercise"]
    # Of an exercise of several rides, the first.
    return {name: found[0] for name, found in each}


@pytest.fixture(scope="module")
def library(all_plans: dict[str, Plan]) -> list[Offer]:
    return [offer_of(offer_values(plan), None, name) for name, plan in all_plans.items()]


def _all_as_asked(sheet: PrintedSheet, height_mm: int) -> Round:
    exercise = sheet.exercises[0]
    seen = tuple(
        Seen(e, "as asked", None, e.strides_asked, e.strides_out_asked, None, e.lead_asked,
             height_mm + e.above_mm)
        for e in exercise.elements
    )  # fmt: skip
    return Round(1, Day(1, ON, "", "", "", None, ""), sheet.pairs[0], exercise, 1, height_mm, True,
                 "", seen)  # fmt: skip


def never_seen(history: History, step: object = STEP) -> Readiness:
    empty = History("", "", history.people, history.horses, history.pairs, (), (), ())
    pair = next(pair for pair in history.pairs if pair.name == "Ida and Bramble")
    return readiness(empty, pair, step, ON, None)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("key", "names"),
    [
        ("bend", {"serpentine-of-bends", "every-fence-twice"}),
        ("canter", {"every-fence-twice"}),
        ("course", {"every-fence-twice"}),
        ("mixed", set()),
    ],
)
def test_an_exercise_shows_what_its_elements_hold(
    offers: dict[str, Offer], key: str, names: set[str]
) -> None:
    held = {n for n, offer in offers.items() if shows(BY_KEY[key], offer, BUILT, frozenset())}
    assert names <= held
    if not names:
        assert held == set()
    # A grid has neither a bend nor a course.
    assert "grid-from-trot-on-the-centre-line" not in held


def test_every_requirement_is_shown_by_an_exercise_its_step_names(library: list[Offer]) -> None:
    """Of the library that ships: as it is filed, or with what the search says is to be asked."""
    by_title = {offer.title: offer for offer in library}
    for step in read_steps(SHIPPED):
        for one in step.requirements:
            named = [by_title[title] for title in one.exercises] or library
            ways = [[o, *otherwise(one, o, step.from_mm)] for o in named]
            shown = [any(shows(one, o, step.from_mm, frozenset()) for o in way) for way in ways]
            assert all(shown) if one.exercises else any(shown), (step.title, one.key)


def test_what_is_asked_otherwise_makes_tries(
    record: RecordFile, library: list[Offer], all_plans: dict[str, Plan]
) -> None:
    """A sheet printed with what the search says holds elements or rounds that are tries."""
    looked = set()
    for step in read_steps(SHIPPED):
        for one in step.requirements:
            for offer in library:
                if shows(one, offer, step.from_mm, frozenset()):
                    continue
                for other in otherwise(one, offer, step.from_mm):
                    if not shows(one, other, step.from_mm, frozenset()):
                        continue
                    sheet = new_sheet(
                        record, [all_plans[offer.file]], [("Ida", "Bramble")],
                        height_mm=step.from_mm, asks=_asks((other.asked,)),
                    )  # fmt: skip
                    assert sheet.exercises[0].title == other.title
                    filled = _all_as_asked(sheet, step.from_mm)
                    again = replace(filled, pair=Pair(9, filled.pair.person, OTHER))
                    rides = [again if one.counts.another_horse else filled]
                    assert tries_of(one, filled.pair, rides), (one.key, other.title)
                    looked.add((step.title, one.key))
    assert len(looked) >= 10


def test_an_exercise_for_higher_fences_is_not_offered(library: list[Offer]) -> None:
    test = next(offer for offer in library if offer.lowest_mm == 991)
    low = read_steps(SHIPPED)[0]
    assert not any(shows(one, test, low.from_mm, frozenset()) for one in low.requirements)


def test_height_and_filler_are_looked_at(offers: dict[str, Offer]) -> None:
    bends = offers["serpentine-of-bends"]
    assert not shows(BY_KEY["bend"], replace(bends, highest_mm=760), BUILT, frozenset())
    assert shows(BY_KEY["bend"], replace(bends, highest_mm=838), BUILT, frozenset())
    fillers = {
        e.tags["filler"] for o in offers.values() for e in o.exercise.elements
        if "filler" in e.tags
    }  # fmt: skip
    new = replace(BY_KEY["filler"], counts=Counts(new_filler=True))
    some = next(o for o in offers.values() if shows(new, o, BUILT, frozenset()))
    assert not shows(new, some, BUILT, frozenset(fillers))


def test_what_is_missing_is_all_accounted_for(invented: History, offers: dict[str, Offer]) -> None:
    for step in (STEP, NO_HINTS):
        found = never_seen(invented, step)
        chosen = suggested(found, list(offers.values()))
        keys = [s.requirement.key for one in chosen.exercises for s in one.shows]
        keys += [one.requirement.key for one in chosen.by_none]
        assert sorted(keys) == sorted(one.key for one in step.requirements)


def test_those_that_fit_come_first(invented: History, offers: dict[str, Offer]) -> None:
    small = [
        replace(offer, fits=name == "serpentine-of-bends") for name, offer in offers.items()
    ]  # fmt: skip
    chosen = suggested(never_seen(invented, NO_HINTS), small).exercises
    assert chosen[0].title == "Serpentine of bends"
    fits = [one.fits for one in chosen]
    assert fits == sorted(fits, reverse=True)
    assert {one.base for one in chosen if one.fits} == {"Serpentine of bends"}
    page = readiness_page(never_seen(invented, NO_HINTS), library=AtHand(small, "40 x 20 m"))
    assert "Does not fit 40 x 20 m as drawn" in page.would_show[-1][1]
    assert "Does not" not in page.would_show[0][1]
    assert page.library == f"of {len(small)} exercises of the library, for 40 x 20 m"


def test_an_empty_library_shows_nothing(invented: History) -> None:
    page = readiness_page(never_seen(invented, NO_HINTS), library=AtHand([]))
    assert [title for title, _ in page.would_show] == [NOWHERE]
    named = readiness_page(never_seen(invented), library=AtHand([]))
    assert all("not in the library" in title or title == NOWHERE for title, _ in named.would_show)
