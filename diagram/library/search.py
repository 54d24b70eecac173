"""Exercises found by words and by what they need: what the command line and a page ask for."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from msgspec import Struct

from diagram.exercise.inventory import Store
from diagram.library.entry import Entry
from diagram.library.fits import Rectangle, fits
from diagram.library.folding import fold


class WantedExercise(Struct, frozen=True):
    """What an exercise must be. None and empty ask nothing; lengths in metres.

    `ring` is the ground there is, long and wide, `arena` the name of an arena it is drawn for.
    """

    words: str = ""
    teaches: tuple[str, ...] = ()
    height: float | None = None
    fences: int | None = None
    poles: int | None = None
    minutes: int | None = None
    riders: int | None = None
    suits: str | None = None
    two_groups: bool = False
    arena: str | None = None
    ring: Rectangle | None = None
    store: Store | None = None


def search(entries: Iterable[Entry], wanted: WantedExercise) -> tuple[Entry, ...]:
    """Those that answer all that is wanted. With words the best come first: a title that begins
    with the first word, then all words in the title, then the rest, each in the order given."""
    words = fold(wanted.words).split()
    kept = [e for e in entries if all(test(e) for test in _tests(wanted, words))]
    return tuple(sorted(kept, key=lambda entry: _rank(entry, words))) if words else tuple(kept)


def _rank(entry: Entry, words: list[str]) -> int:
    title = fold(entry.title)
    if title.startswith(words[0]):
        return 0
    return 1 if all(word in title for word in words) else 2


def _tests(wanted: WantedExercise, words: list[str]) -> list[Callable[[Entry], bool]]:
    """One test for each thing wanted. What an exercise does not say it does not answer."""
    tests: list[Callable[[Entry], bool]] = []
    if words:
        tests.append(lambda e: all(word in e.words for word in words))
    if wanted.teaches:
        tests.append(lambda e: bool(set(e.teaches) & set(wanted.teaches)))
    if (height := wanted.height) is not None:
        tests.append(lambda e: e.heights[0] <= height + HAIR_M)
    if (fences := wanted.fences) is not None:
        tests.append(lambda e: e.fences <= fences)
    if (poles := wanted.poles) is not None:
        tests.append(lambda e: e.pieces.poles <= poles)
    if (minutes := wanted.minutes) is not None:
        tests.append(lambda e: e.minutes is not None and e.minutes <= minutes)
    if (riders := wanted.riders) is not None:
        tests.append(lambda e: e.riders is None or e.riders >= riders)
    if wanted.suits:
        tests.append(lambda e: wanted.suits in e.suits)
    if wanted.two_groups:
        tests.append(lambda e: e.two_groups)
    if (arena := wanted.arena) is not None:
        tests.append(lambda e: fold(e.arena) == fold(arena))
    if (ring := wanted.ring) is not None:
        tests.append(lambda e: fits(e.fits, ring))
    if (store := wanted.store) is not None:
        tests.append(lambda e: buildable(e, store))
    return tests


HAIR_M = 0.005
"""Metres: half a centimetre, so that 2'6" and 0.76 m are one height."""


def buildable(entry: Entry, store: Store) -> bool:
    """Whether a store has what the exercise carries out. What it does not list it is not asked.

    Ground lines are laid from the ground lines of the store where poles would run short, as
    `diagram.exercise.inventory` has it.
    """
    lines = dict(entry.pieces.lines)
    spare = store.counts.get("ground lines", 0)
    for what, length, number in entry.pieces.listed:
        there = store.owned(what, length)
        if there is None or number <= there:
            continue
        laid = min(spare, lines.get(length, 0), number - there) if what == "poles" else 0
        spare -= laid
        if number - laid > there:
            return False
    return True
