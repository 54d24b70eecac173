"""The running sheet: the whole lesson on one page, to be held in one hand in the ring.

More lines or more riders than a page holds go on over a second one.
"""

from __future__ import annotations

import datetime

from diagram.drawing.pad import Pad, broken, cut
from diagram.lessons.blocks import Blocks
from diagram.lessons.ground import ground
from diagram.lessons.lesson import Lesson, SheetLine
from diagram.lessons.others import not_there_yet, standing_behind
from diagram.lessons.sharing import names_a_side
from diagram.library import said
from diagram.library.entry import heights_of
from diagram.library.riding import ride_texts
from diagram.library.small_plan import small_plan
from diagram.plain import counted
from diagram.scene import Scene, Text
from diagram.sections.page import PAPERS
from diagram.style import points, text_width
from diagram.trade.lessons import lesson_facts
from diagram.units import Units

EDGE = 10.0
FOOT = 11.0
"""Millimetres between the rule over the foot and the lower edge of the paper."""
GAP, DRAWN_HIGH, FEW_HIGH = 8.0, 37.0, 52.0
MOST_DRAWN = 4
RIDE_LINES = (12, 8, 5, 3)
"""Lines for a ride: the most of these with which all is on one page."""
ROW, LOW_ROW, GROUP_ROW, HEAD_ROW = 9.9, 8.4, 6.4, 5.2
COLUMNS = {"from": 10, "min": 30, "what": 37, "height": 97, "rounds": 121, "jumps": 141, "on": 150}
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def running_sheet(
    lesson: Lesson, pages: dict[int, int], leaf: int, whole: int, units: Units = "feet",
    paper: str = "A4",
) -> tuple[Scene, ...]:  # fmt: skip
    """The page, or two. `pages` are where the card of each exercise begins in the print, `leaf`
    where the setting-out sheets begin, `whole` how many pages there are."""
    return _Sheet(lesson, pages, leaf, whole, units, paper).scenes()


class _Sheet:
    def __init__(
        self, lesson: Lesson, pages: dict[int, int], leaf: int, whole: int, units: Units, paper: str
    ) -> None:
        self.lesson, self.pages, self.leaf, self.whole = lesson, pages, leaf, whole
        self.units = units
        self.width, self.height = PAPERS[paper]
        self.right, self.bottom = self.width - EDGE, self.height - FOOT
        self.ground = ground(lesson, units)
        self.absent = not_there_yet(lesson)
        self.behind = standing_behind(lesson)
        self.pads: list[Pad] = []

    def scenes(self) -> tuple[Scene, ...]:
        self._page()
        self._head()
        blocks = Blocks(self.lesson, self.leaf, self.units, self.right)
        below = self._rows_high(ROW) + 10 + blocks.height
        for most in RIDE_LINES:
            bare = len(self.pad.items)
            top = self._drawings(25.0, most)
            if top + below <= self.bottom or most == RIDE_LINES[-1]:
                break
            del self.pad.items[bare:]
        row = ROW if top + below <= self.bottom else LOW_ROW
        y = self._table(top, row)
        if y + 10 + min(blocks.height, self.bottom - 25) > self.bottom:
            y = self._page()
        blocks.draw(self.pad, y + 10, self.bottom)
        while blocks.left:
            blocks.draw(self.pad, self._page() + 10, self.bottom)
        count = len(self.pads)
        for number, pad in enumerate(self.pads, 1):
            self._foot(pad, number)
        title = self.lesson.title
        about = "Running sheet of a lesson"
        return tuple(
            pad.scene(title, about if count == 1 else f"{about}, page {n} of {count}")
            for n, pad in enumerate(self.pads, 1)
        )

    @property
    def pad(self) -> Pad:
        return self.pads[-1]

    def _page(self) -> float:
        """A new page; returns where it begins."""
        self.pads.append(Pad(self.width, self.height))
        if len(self.pads) > 1:
            self.pad.text(EDGE, 12.8, cut(self.lesson.title, 150, 14, "bold"), 14, "bold")
            self.pad.text(self.right, 12.8, "running sheet, continued", 10.5, "regular", "end")
        return 16.0

    def _foot(self, pad: Pad, number: int) -> None:
        foot = f"Page {number} of {self.whole}."
        if self.pages:
            foot += f" {min(self.pages.values())} to {self.leaf - 1} cards, {self.leaf} to "
            foot += f"{self.whole} setting-out."
        pad.rule((EDGE, self.bottom), (self.right, self.bottom), 0.25)
        pad.text(EDGE, self.bottom + 5, foot, 8.5)
        note = "Not a substitute for the qualified person in the ring."
        pad.text(self.right, self.bottom + 5, note, 8.5, "regular", "end")

    def _head(self) -> None:
        written = self.lesson.written
        begin, end = written.time
        when = f"{clock(begin)} to {clock(end)}"
        used = text_width(when, points(15), "bold")
        self.pad.text(self.right, 12.8, when, 15, "bold", "end")
        if written.date:
            day = datetime.date(*written.date)
            words = f"{DAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"
            self.pad.text(self.right - used - 3, 12.8, words, 12, "regular", "end")
            used += text_width(words, points(12)) + 3
        room = self.right - EDGE - used - 5
        self.pad.text(EDGE, 12.8, cut(self.lesson.title, room, 20, "bold"), 20, "bold")
        arena = self.lesson.plans[0].arena.name if self.lesson.plans else ""
        aim = ". ".join(text.rstrip(".") for text in (written.aim or "", arena) if text)
        for n, line in enumerate(broken(f"{aim}." if aim else "", self.right - EDGE, 10.5)[:2]):
            self.pad.text(EDGE, 18.8 + n * 4.3, line, 10.5)

    def _drawings(self, top: float, most: int) -> float:
        """A small plan of each exercise with its ride in so many lines; returns where they end."""
        shown = self.lesson.at_lowest[:MOST_DRAWN]
        columns = max(2, len(shown))
        gap = GAP if columns < MOST_DRAWN else GAP / 2
        wide = (self.right - EDGE - gap * (columns - 1)) / columns
        high = DRAWN_HIGH if columns > 2 else FEW_HIGH
        y = top + 4.5
        lowest = y
        for n, plan in enumerate(shown):
            x = EDGE + n * (wide + gap)
            self.pad.bar(x, y - 3.9, 5.2, 5.2, "#000000")
            self.pad.items.append(_white(x + 2.6, y, str(n + 1)))
            page = f"page {self.pages[n]}" if n in self.pages else ""
            room = wide - text_width(page, points(8.5)) - 9
            title = plan.definition.title
            size = next((s for s in (11.5, 10.5, 9.5)
                         if text_width(title, points(s), "bold") <= room), 9.5)  # fmt: skip
            self.pad.text(x + 7, y, cut(title, room, size, "bold"), size, "bold")
            self.pad.text(x + wide, y, page, 8.5, "regular", "end")
            arena = plan.arena.size
            scale = min(wide / arena[0], high / arena[1])
            drawn = small_plan(plan, scale, self._unused(n))
            self.pad.items.append(drawn.at(x, y + 2.5))
            ride = " / ".join(text for _, _, text in ride_texts(plan)).replace("**", "")
            lines = broken(ride, wide, 9.5)
            if len(lines) > most:
                lines = [*lines[: most - 1], cut(lines[most - 1] + "…", wide, 9.5)]
            lines += broken(self._called(n), wide, 9.5)
            below = y + 2.5 + drawn.height + 4.5
            for k, line in enumerate(lines):
                self.pad.text(x, below + k * 4.0, line, 9.5)
            lowest = max(lowest, below + len(lines) * 4.0)
        return lowest + 1

    def _called(self, exercise: int) -> str:
        """Where it is laid out otherwise than in its file, and fences that have another name in the
        set-up: ``Laid out over fences that stand; larch is alder``."""
        own = [n for n, riding in enumerate(self.lesson.ridings) if riding.exercise == exercise]
        pairs = {
            spot.names[n]: spot.name
            for spot in self.lesson.spots
            for n in own
            if n in spot.names and spot.names[n] != spot.name
        }
        parts = []
        if exercise in self.lesson.moved:
            named = names_a_side(self.lesson.plans[exercise])
            counts = ": where its words name a side or an end, the drawing counts" if named else ""
            parts = [f"laid out over fences that stand{counts}"]
        parts += [f"{name} is {other}" for name, other in pairs.items()]
        text = "; ".join(parts)
        return f"{text[:1].upper()}{text[1:]}." if text else ""

    def _unused(self, exercise: int) -> set[str]:
        """Fences of an exercise itself are all used; those of others are not drawn on it."""
        lines = [line for line in self.lesson.lines if line.exercise == exercise]
        return set(lines[0].written.leave_out) if lines else set()

    def _rows_high(self, row: float) -> float:
        groups = len({line.group for line in self.lesson.lines})
        return 1 + HEAD_ROW + len(self.lesson.lines) * row + groups * GROUP_ROW

    def _table(self, top: float, row: float) -> float:
        y = self._columns(top + 1)
        group = ""
        for line in self.lesson.lines:
            needed = row + (GROUP_ROW if line.group != group else 0.0)
            if y + needed > self.bottom:
                self.pad.rule((EDGE, y), (self.right, y), 0.5)
                y = self._columns(self._page())
                group = ""
            if line.group != group:
                group = line.group
                self._group(group, y)
                y += GROUP_ROW
            self.pad.rule((EDGE, y), (self.right, y), 0.25)
            self._row(line, y, row > LOW_ROW)
            y += row
        self.pad.rule((EDGE, y), (self.right, y), 0.5)
        return y

    def _columns(self, y: float) -> float:
        self.pad.rule((EDGE, y), (self.right, y), 0.5)
        for name, x in COLUMNS.items():
            word = "on the ground" if name == "on" else name
            end = name in ("min", "jumps")
            self.pad.text(x + (4 if end else 0), y + 3.8, word, 8.5, "regular",
                          "end" if end else "start")  # fmt: skip
        return y + HEAD_ROW

    def _group(self, name: str, y: float) -> None:
        group = self.lesson.written.groups[name]
        self.pad.rule((EDGE, y), (self.right, y), 0.5)
        own = sum(line.minutes for line in self.lesson.lines if line.group == name)
        parts = [counted(group.riders, "rider"), group.horses]
        if group.height:
            parts.append(f"up to {said.height(group.height, self.units)}")
        words = f"{', '.join(parts)}. {own / group.riders:.0f} minutes each"
        usual = lesson_facts().minutes_a_rider.value
        words += f"; {usual:g} is usual." if own / group.riders < usual else "."
        if group.waits:
            words += f" Waits {group.waits}."
        self.pad.runs(EDGE, y + 4.6, [(f"Group {name}   ", 12, "bold"), (words, 10.5, "regular")])

    def _row(self, line: SheetLine, y: float, second: bool) -> None:
        pad, base = self.pad, y + 4.6
        pad.text(COLUMNS["from"], base, clock(line.begin), 14, "bold")
        pad.text(COLUMNS["min"] + 4, base, str(line.minutes), 12, "bold", "end")
        room = COLUMNS["height"] - COLUMNS["what"] - 2
        pad.text(COLUMNS["what"], base, cut(self._what(line), room, 11, "semibold"), 11, "semibold")
        high = broken(self._height(line), 23, 10.5, "semibold")[:2]
        if second and (below := self._below(line)):
            # Under the figures there is room for it where the height takes one line.
            wide = (COLUMNS["on"] if len(high) < 2 else COLUMNS["height"]) - COLUMNS["what"] - 2
            pad.text(COLUMNS["what"], base + 3.9, cut(below, wide, 8.5), 8.5)
        for n, text in enumerate(high):
            pad.text(COLUMNS["height"], base + n * 4, text, 10.5, "semibold")
        if line.rounds:
            pad.text(COLUMNS["rounds"], base, str(line.rounds), 10.5)
        if line.jumps:
            pad.text(COLUMNS["jumps"] + 4, base, str(line.jumps), 12, "bold", "end")
        last = line == self.lesson.lines[-1]
        work = self.ground.get(line.step, "") or ("rails down, cups off" if last else "")
        if line.moving:
            work = f"{clock(line.begin - line.moving)}, {line.moving} min: {work}"
        if absent := self.absent.get(line.step):
            work = f"not there yet: {', '.join(absent)}"
        self._work(work, y, second)

    def _work(self, text: str, y: float, high: bool) -> None:
        """What is done on the ground: in two lines, in three smaller ones where it is more."""
        room = self.right - COLUMNS["on"]
        size, step, most = 9.5, 4.0, 2 if high else 1
        lines = broken(text, room, size)
        if len(lines) > most:
            size, step, most = 8.5, 3.15, most + 1
            lines = broken(text, room, size)
        if len(lines) > most:
            lines = [*lines[: most - 1], cut(" ".join(lines[most - 1 :]), room, size)]
        first = y + (3.2 if len(lines) * step > 6 and (not high or len(lines) > 2) else 4.2)
        for n, line in enumerate(lines):
            self.pad.text(COLUMNS["on"], first + n * step, line, size)

    def _what(self, line: SheetLine) -> str:
        if line.exercise is not None:
            title = f"{line.exercise + 1}  {self.lesson.plans[line.exercise].definition.title}"
            drawn = line.exercise < MOST_DRAWN or line.exercise not in self.pages
            return title if drawn else f"{title}, p. {self.pages[line.exercise]}"
        return "warm-up" if line.written.warm_up else "cool-down"

    def _below(self, line: SheetLine) -> str:
        parts = [line.written.note or line.written.why or ""]
        if line.written.without:
            places = ", ".join(f"{line.group}{place}" for place in line.written.without)
            parts.append(f"without {places}")
        parts += [one.words(self.units) for one in self.behind if one.step == line.step]
        return "; ".join(part for part in parts if part)

    def _height(self, line: SheetLine) -> str:
        if line.exercise is None:
            return said.height(line.height_m, self.units) if line.height_m else ""
        high = line.height_m or heights_of(self.lesson.plans[line.exercise])[1]
        words = said.height(high, self.units)
        if line.written.as_poles:
            words += f", {' and '.join(line.written.as_poles)} as poles"
        return words


def _white(x: float, y: float, text: str) -> Text:
    """White on the black square of an exercise."""
    return Text((x, y - 0.1), text, points(10), "bold", "middle", colour="#ffffff")


def clock(minutes: int) -> str:
    """``18:05`` of minutes after midnight."""
    return f"{minutes // 60 % 24:02}:{minutes % 60:02}"
