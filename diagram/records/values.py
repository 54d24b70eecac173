"""What a record holds, as frozen values: the people, what they rode, and what was seen."""

from __future__ import annotations

from datetime import date
from typing import Any, Literal

from msgspec import Struct

Mark = Literal["as asked", "with work", "not as asked", "not jumped"]
Whose = Literal["horse", "rider", "both", "unknown"]
Hand = Literal["left", "right"]
Shape = Literal[
    "start", "line", "bend", "turn", "circle", "combination", "transition", "finish"
]  # fmt: skip


class Person(Struct, frozen=True):
    """A rider, by the name the yard uses. Tries before `since` are not looked at."""

    person_id: int
    name: str
    birth_year: int | None
    since: date
    until: date | None
    note: str


class Horse(Struct, frozen=True):
    """A horse or pony. `stride_mm` is its own canter stride where that is known."""

    horse_id: int
    name: str
    size: str
    stride_mm: int | None
    since: date
    until: date | None
    note: str


class Pair(Struct, frozen=True):
    """A rider on a horse."""

    pair_id: int
    person: Person
    horse: Horse

    @property
    def name(self) -> str:
        """``Ida and Bramble``."""
        return f"{self.person.name} and {self.horse.name}"


class Element(Struct, frozen=True):
    """One fence of an exercise with the way to it, as it was when the sheet was printed.

    `canter_mm` is the ground between the bases, `landing_mm` and `take_off_mm` what the two
    fences take of it. `tags` say what the fence is: kind, filler, spread, height, between which
    fences the way lies, from which side it is jumped.
    """

    element_id: int
    exercise_id: int
    place: int
    name: str
    shape: Shape
    rein: Hand | None
    strides_asked: int | None
    strides_out_asked: int | None
    lead_asked: Hand | None
    canter_mm: int | None
    landing_mm: int | None
    take_off_mm: int | None
    seconds_asked: float | None
    pass_mark: str | None
    tags: dict[str, Any]

    @property
    def called(self) -> str:
        """The number that card and sheet print: ``3``, or ``4a`` for a part of a combination."""
        return str(self.tags.get("called", self.place))

    @property
    def between(self) -> tuple[str, str] | None:
        """The fences at both ends of the way."""
        start = self.tags.get("from")
        return (start, self.name) if start else None

    @property
    def counts(self) -> frozenset[int]:
        """The strides that are as asked: one count, or two where the exercise asks for either."""
        own = {self.strides_asked} if self.strides_asked is not None else set()
        return frozenset({*own, *self.tags.get("counts", ())})

    @property
    def above_mm(self) -> int:
        """How much this fence is higher than the rest of the exercise."""
        return int(self.tags.get("above mm", 0))


class ExerciseVersion(Struct, frozen=True):
    """One version of an exercise."""

    exercise_id: int
    title: str
    digest: str
    file: str
    elements: tuple[Element, ...]


class Day(Struct, frozen=True):
    """One lesson."""

    day_id: int
    on: date
    seen_by: str
    arena: str
    footing: str
    sheet: int | None
    note: str


class Seen(Struct, frozen=True):
    """What was seen at one element in one round. `height_mm` only where it is not the round's."""

    element: Element
    mark: Mark
    whose: Whose | None
    strides: int | None
    strides_out: int | None
    seconds: float | None
    lead: Hand | None
    height_mm: int


class Round(Struct, frozen=True):
    """One round of a pair over an exercise; elements that nobody watched are not in `seen`."""

    round_id: int
    day: Day
    pair: Pair
    exercise: ExerciseVersion
    number: int
    height_mm: int
    complete: bool
    note: str
    seen: tuple[Seen, ...]

    @property
    def highest_mm(self) -> int:
        """The highest fence of the round."""
        return max((one.height_mm for one in self.seen), default=self.height_mm)


class PrintedSheet(Struct, frozen=True):
    """A printed observation sheet: rows and columns as they stood on paper.

    `timed` are the places, by exercise, where seconds are asked.
    """

    number: int
    title: str
    arena: str
    height_mm: int
    rounds: int
    pairs: tuple[Pair, ...]
    exercises: tuple[ExerciseVersion, ...]
    timed: tuple[frozenset[int], ...]


class History(Struct, frozen=True):
    """A whole record at one moment."""

    yard: str
    note: str
    people: tuple[Person, ...]
    horses: tuple[Horse, ...]
    pairs: tuple[Pair, ...]
    exercises: tuple[ExerciseVersion, ...]
    days: tuple[Day, ...]
    rounds: tuple[Round, ...]
