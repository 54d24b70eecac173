"""An invented record to try the pages on: two winters, four riders, three horses, five pairs.

Nobody in it exists. The seed was chosen because its pages show many kinds of answer: shown,
narrowly, just short, too seldom, never tried, told apart and not. What every pair can really do
is written here, so that a test can ask whether the model finds it again.
"""

from __future__ import annotations

import math
import random
from collections.abc import Mapping
from datetime import date, timedelta

from msgspec import Struct
from msgspec.structs import replace

from diagram.planning import Plan
from diagram.records.changes import Writer
from diagram.records.elements import Asks
from diagram.records.file import RecordFile
from diagram.records.people import add_horse, add_person
from diagram.records.sheets import Filled, TickBox, day_of, keep_round, new_sheet
from diagram.records.values import Element, PrintedSheet, Whose

YARD = "Thornbeck"
NOTE = "All people, horses and figures are invented."
SEED = 180
AT = "2026-03-31T18:00:00Z"
"""The moment that the list of changes gives: always the same, so that the file is too."""

RIDERS = {"Ida": (2012, 0.0), "Jonas": (2010, -0.35), "Marit": (2011, -0.1), "Tess": (2009, 0.85)}
"""Year of birth, and how well each rides, in log odds."""
HORSES = {"Bramble": 0.6, "Comet": -0.35, "Sorrel": 0.15}
KINDS = {"start": 2.0, "turn": 1.4, "line": 1.7, "bend": 1.0, "landing": 0.9, "combination": 1.6,
         "transition": 0.6, "circle": 1.2}  # fmt: skip
TIMED = frozenset({"2", "6"})
"""Ways of the exercise ridden most on which somebody holds a watch in the second winter: the line
out, and the same line home."""
PER_STEP, PER_WINTER, DAY_SD = -0.45, 0.5, 0.35
FOOT_MM = 304.8
SLOWER = 0.06
"""Of the time of a line, for each stride more."""


class Habit(Struct, frozen=True):
    """How often a pair rides, in which winters, and how high at the beginning and the end."""

    rider: str
    horse: str
    days: tuple[int, int]
    low: tuple[float, float]
    high: tuple[float, float]


HABITS = (
    Habit("Ida", "Bramble", (20, 20), (2.25, 2.5), (2.5, 2.75)),
    Habit("Ida", "Comet", (4, 7), (2.25, 2.25), (2.5, 2.5)),
    Habit("Jonas", "Comet", (13, 13), (2.0, 2.25), (2.5, 2.75)),
    Habit("Marit", "Sorrel", (17, 18), (2.25, 2.5), (2.5, 2.75)),
    Habit("Tess", "Bramble", (6, 8), (2.5, 2.5), (2.75, 2.75)),
)
WINTERS = ((date(2024, 10, 8), date(2025, 3, 29)), (date(2025, 10, 7), date(2026, 3, 28)))

PLAN_NAMES = (
    "every-fence-twice", "serpentine-of-bends", "two-lines-one-fence",
    "grid-from-trot-on-the-centre-line", "circle-of-four", "outside-diagonal-outside-diagonal",
)  # fmt: skip
"""Files of the library that the winters are ridden over, by name without ending."""
HIGHER = PLAN_NAMES[5]
"""The one that may be built to three foot."""


def invented_record(record: RecordFile, plans: Mapping[str, Plan], seed: int = SEED) -> None:
    """Fill an empty record. `plans` are those of PLAN_NAMES; the first is ridden most."""
    # Nothing is promised before the last round stands: one flush at the end is enough.
    record.connection.execute("PRAGMA synchronous = OFF")
    _Winters(record, plans, random.Random(seed)).fill()
    record.connection.execute("PRAGMA synchronous = EXTRA")
    with record.writing():
        record.connection.execute("UPDATE yard SET note = note")


class _Winters:
    """Goes through both winters day by day and writes what was seen."""

    def __init__(
        self, record: RecordFile, plans: Mapping[str, Plan], chance: random.Random
    ) -> None:
        self.record, self.plans, self.chance = record, plans, chance
        # Of its own, so that a watch changes nothing else of what was seen.
        self.watch = random.Random(SEED)
        self.sheets: dict[tuple[str, int, str], PrintedSheet] = {}

    def fill(self) -> None:
        first = WINTERS[0][0]
        with self.record.writing():
            writer = Writer(self.record, "add", AT)
            writer.add("yard", yard_id=1, name=YARD, note=NOTE)
            for name, (born, _) in RIDERS.items():
                add_person(writer, name, first, birth_year=born)
            for name in HORSES:
                add_horse(writer, name, first)
        lessons = sorted(
            (day, n, winter)
            for n, habit in enumerate(HABITS)
            for winter in (0, 1)
            for day in self._days(habit, winter)
        )
        for day, n, winter in lessons:
            self._lesson(HABITS[n], day, winter)

    def _days(self, habit: Habit, winter: int) -> list[date]:
        begin, end = WINTERS[winter]
        count, length = habit.days[winter], (end - begin).days
        found: dict[date, None] = {}
        for n in range(count):
            shift = (n + self.chance.random()) * length / count
            found[begin + timedelta(days=round(shift))] = None
        return list(found)

    def _pick(self, day: date) -> tuple[str, str]:
        """An exercise, and what is asked otherwise in it."""
        spot = self.chance.random()
        late = day > date(2026, 2, 10)
        if spot < 0.5:
            more = self.chance.random()
            if late and more < 0.4:
                return HIGHER, "one higher"
            return PLAN_NAMES[0], "square" if more > 0.45 else ""
        if spot < 0.62:
            return PLAN_NAMES[0], "six and five"
        return PLAN_NAMES[1 + int((spot - 0.62) / 0.38 * 4 * 0.999)], ""

    def _lesson(self, habit: Habit, day: date, winter: int) -> None:
        begin, end = WINTERS[winter]
        share = (day - begin).days / (end - begin).days
        feet = habit.low[winter] + (habit.high[winter] - habit.low[winter]) * share
        feet = math.floor(feet * 4 + self.chance.random()) / 4
        height = round(min(feet, habit.high[winter]) * FOOT_MM)
        name, how = self._pick(day)
        timed = TIMED if winter and name == PLAN_NAMES[0] else frozenset()
        sheet = self._sheet(habit, name, height, how, timed)
        mood = self._normal() * DAY_SD
        with self.record.writing():
            writer = Writer(self.record, "add", AT)
            lesson = day_of(writer, day, seen_by="T.", arena=sheet.arena, sheet=sheet.number)
            for number in range(1, 3 + (self.chance.random() < 0.4)):
                filled = self._round(habit, sheet, number, day, mood)
                keep_round(writer, lesson, filled)

    def _sheet(
        self, habit: Habit, name: str, height: int, how: str, timed: frozenset[str]
    ) -> PrintedSheet:
        asks = {
            "": Asks(), "six and five": Asks(strides={"2": 6}),
            "one higher": Asks(heights={"8": round(3 * FOOT_MM)}),
            "square": Asks(spreads={"2": height, "5": height}),
        }[how]  # fmt: skip
        return new_sheet(
            self.record, [self.plans[name]], [(habit.rider, habit.horse)], height_mm=height,
            asks=asks if asks.places else None, timed=timed, at=AT,
        )  # fmt: skip

    def _round(
        self, habit: Habit, sheet: PrintedSheet, number: int, day: date, mood: float
    ) -> Filled:
        exercise, boxes = sheet.exercises[0], {}
        for element in exercise.elements:
            # Nobody sees everything: a fence now and then goes by unwatched.
            if self.chance.random() > 0.04:
                height = sheet.height_mm + element.above_mm
                box = self._box(habit, element, height, day, mood)
                timed = element.place in sheet.timed[0]
                boxes[element.place] = self._timed(element, box) if timed else box
        return Filled(sheet.pairs[0], exercise, number, sheet.height_mm, boxes)

    def _odds(self, habit: Habit, kind: str, height: int, day: date, mood: float) -> float:
        length = (WINTERS[1][1] - WINTERS[0][0]).days
        time = (day - WINTERS[0][0]).days / length - 0.5
        return (
            KINDS[kind] + PER_STEP * (height - 762) / 76.2 + 2 * PER_WINTER * time
            + HORSES[habit.horse] + RIDERS[habit.rider][1] + mood
        )  # fmt: skip

    def _comes_out(self, odds: float) -> bool:
        return self.chance.random() < 1 / (1 + math.exp(-odds))

    def _box(self, habit: Habit, element: Element, height: int, day: date, mood: float) -> TickBox:
        lead = element.lead_asked
        if lead and not self._comes_out(self._odds(habit, "landing", height, day, mood)):
            lead = "left" if lead == "right" else "right"
        asked = element.strides_asked
        if self._comes_out(self._odds(habit, element.shape, height, day, mood)):
            return TickBox("as asked", None, asked, element.strides_out_asked, None, lead)
        whose = self._whose(habit)
        spot = self.chance.random()
        if spot < 0.015 and habit.horse != "Bramble":
            return TickBox("not jumped", whose)
        if spot < 0.4:
            return TickBox("with work", whose, asked, element.strides_out_asked, None, lead)
        counted = asked
        if asked and self.chance.random() < 0.75:
            counted = asked + (1 if self.chance.random() < 0.6 else -1)
        return TickBox("not as asked", whose, counted, element.strides_out_asked, None, lead)

    def _timed(self, element: Element, box: TickBox) -> TickBox:
        """With the seconds taken: slower where a stride was put in."""
        if box.mark == "not jumped" or element.seconds_asked is None:
            return box
        more = (box.strides or 0) - (element.strides_asked or 0)
        seconds = element.seconds_asked * (1 + SLOWER * more) * self.watch.uniform(0.95, 1.08)
        return replace(box, seconds=round(seconds, 1))

    def _whose(self, habit: Habit) -> Whose:
        """Whose miss: the more often the less able of the two."""
        odds = HORSES[habit.horse] - RIDERS[habit.rider][1]
        spot = self.chance.random()
        if spot < 0.05:
            return "both" if spot < 0.03 else "unknown"
        return "rider" if self._comes_out(odds + 0.3) else "horse"

    def _normal(self) -> float:
        # Box and Muller: the same on every machine and in every version of Python.
        u, v = 1 - self.chance.random(), self.chance.random()
        return math.sqrt(-2 * math.log(u)) * math.cos(2 * math.pi * v)
