"""What would show it: searched by what exercises hold, and whether they fit the arena asked."""

from __future__ import annotations

from dataclasses import replace

import pytest
from filling import ON

from diagram.planning import Plan
from diagram.records.offered import Offer, offer_of, offer_values, shows, suggested
from diagram.records.pages import NOWHERE, Library, readiness_page
from diagram.records.readiness import Readiness, readiness
from diagram.records.step_file import SHIPPED, Counts, read_step, read_steps
from diagram.records.values import History

STEP = read_step(SHIPPED / "from-2ft9-to-3ft.yaml")
BY_KEY = {one.key: one for one in STEP.requirements}
NO_HINTS = replace(STEP, requirements=tuple(replace(r, exercises=()) for r in STEP.requirements))
BUILT = STEP.from_mm


@pytest.fixture(scope="module")
def offers(plans: dict[str, Plan]) -> dict[str, Offer]:
    return {name: offer_of(offer_values(plan), None) for name, plan in plans.items()}


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


def test_a_step_names_no_exercise_that_could_not_show_it(offers: dict[str, Offer]) -> None:
    by_title = {offer.title: offer for offer in offers.values()}
    looked = 0
    for step in read_steps(SHIPPED):
        for one in step.requirements:
            # What follows a comma is asked on top of the exercise as it is filed.
            for offer in (by_title[title] for title in one.exercises if title in by_title):
                assert shows(one, offer, step.from_mm, frozenset()), (one.key, offer.title)
                looked += 1
    assert looked > 10


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
    assert all(one.fits is False for one in chosen[1:])
    page = readiness_page(never_seen(invented, NO_HINTS), library=Library(small, "40 x 20 m"))
    assert "Does not fit 40 x 20 m as drawn" in page.would_show[1][1]
    assert "Does not" not in page.would_show[0][1]
    assert page.library == f"of {len(small)} exercises of the library, for 40 x 20 m"


def test_an_empty_library_shows_nothing(invented: History) -> None:
    page = readiness_page(never_seen(invented, NO_HINTS), library=Library([]))
    assert [title for title, _ in page.would_show] == [NOWHERE]
    named = readiness_page(never_seen(invented), library=Library([]))
    assert all("not in the library" in title or title == NOWHERE for title, _ in named.would_show)
