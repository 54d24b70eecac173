"""Which exercises of a library may be ridden in a lesson, and what speaks against the others."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from msgspec import Struct

from diagram.lessons.heights import HAIR_M
from diagram.library.entry import Entry, arena_name
from diagram.library.fits import fits
from diagram.library.search import buildable
from diagram.model.lesson_file import LessonWritten
from diagram.plain import counted

if TYPE_CHECKING:
    from diagram.exercise.arena import Arena
    from diagram.exercise.inventory import Store


class Asked(Struct, frozen=True):
    """What the lesson says, the arena in which it is, and what there is to build with; None where
    any will do."""

    written: LessonWritten
    arena: Arena | None = None
    store: Store | None = None

    def may_be_ridden(self, entries: Iterable[Entry]) -> list[Entry]:
        """Those that every group may ride, with most of the goals first."""
        goals = set(self.written.goals)
        kept = [e for e in entries if set(e.teaches) & goals and not self.against(e)]
        return sorted(kept, key=lambda e: -len(set(e.teaches) & goals))

    def against(self, entry: Entry) -> str:
        """Why an exercise may not be ridden; empty where it may."""
        return next((reason for reason, true in AGAINST if true(entry, self)), "")

    def whats_against(self, entries: Iterable[Entry]) -> str:
        """How many of those each reason rules out, the most first: ``3 are too high``."""
        counts = Counter(reason for entry in entries if (reason := self.against(entry)))
        return ", ".join(f"{n} {reason}" for reason, n in counts.most_common())

    def after_fitting(self, entries: Iterable[Entry]) -> str:
        """What to do with exercises of another arena that go into this one; empty where none do."""
        arena = self.arena
        if arena is None:
            return ""
        anywhere = Asked(self.written, None, self.store)
        named = [e.stem for e in anywhere.may_be_ridden(entries)
                 if self.against(e) and fits(e.fits, arena.size)]  # fmt: skip
        if not named:
            return ""
        more = f", and {len(named) - MOST_NAMED} more" if len(named) > MOST_NAMED else ""
        return (
            f"{', '.join(named[:MOST_NAMED])}{more} would go into this arena: "
            "tapeline fit FILE --arena"
        )


MOST_NAMED = 3


def _elsewhere(entry: Entry, asked: Asked) -> bool:
    arena = asked.arena
    if arena is None:
        return False
    close = all(abs(a - b) < HAIR_M for a, b in zip(entry.arena_size, arena.size, strict=True))
    return entry.arena != arena_name(arena) or not close


def _too_high(entry: Entry, asked: Asked) -> bool:
    heights = [g.height for g in asked.written.groups.values() if g.height is not None]
    return any(entry.heights[0] > height + HAIR_M for height in heights)


def _other_horses(entry: Entry, asked: Asked) -> bool:
    groups = asked.written.groups.values()
    return any(("pony" in group.horses) != ("pony" in entry.horses) for group in groups)


def _fewer_riders(entry: Entry, asked: Asked) -> bool:
    groups = asked.written.groups.values()
    return entry.riders is not None and any(group.riders > entry.riders for group in groups)


def _no_ground(entry: Entry, asked: Asked) -> bool:
    waits = [group.waits or "" for group in asked.written.groups.values()]
    return not entry.two_groups and any("ring" in where.lower() for where in waits)


AGAINST: tuple[tuple[str, Callable[[Entry, Asked], bool]], ...] = (
    ("have findings that stop", lambda entry, _: bool(entry.stops)),
    ("are drawn for another arena", _elsewhere),
    ("are too high", _too_high),
    ("are drawn for other horses", _other_horses),
    ("are for fewer riders", _fewer_riders),
    ("leave no ground for those who wait in the ring", _no_ground),
    (
        "need more than the store has",
        lambda entry, asked: asked.store is not None and not buildable(entry, asked.store),
    ),
)


def untaught(
    asked: Asked, entries: Iterable[Entry], taught: set[str],
    carried: Callable[[str], bool],
) -> dict[str, str]:  # fmt: skip
    """Why each goal that is not `taught` is not; `carried` says whether fences would have to be
    for it."""
    why = {}
    for goal in asked.written.goals:
        own = [entry for entry in entries if goal in entry.teaches]
        if goal in taught:
            continue
        if not own:
            why[goal] = "no exercise of the library teaches it"
        elif all(asked.against(entry) for entry in own):
            other = asked.after_fitting(own)
            why[goal] = asked.whats_against(own) + (f"; {other}" if other else "")
        elif carried(goal):
            why[goal] = "fences would be carried for it: write may move: yes"
        else:
            why[goal] = f"{counted(len(own), 'exercise')} cannot be ridden beside these in the time"
    return why
