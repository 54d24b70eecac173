"""The running sheet: the whole lesson on one page, to be held in one hand in the ring."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

from diagram.drawing.pad import Pad, broken
from diagram.exercise.equipment import Equipment, equipment_of, in_all
from diagram.lessons.lesson import Lesson, SheetLine
from diagram.lessons.moves import SpotChange, best_order, order_of, standing
from diagram.library.entry import heights_of
from diagram.library.riding import ride_texts
from diagram.library.small_plan import small_plan
from diagram.plain import counted
from diagram.scene import Scene, Text
from diagram.style import Weight, points, text_width
from diagram.units import Units, feet_inches

WIDTH, HEIGHT, EDGE = 210.0, 297.0, 10.0
RIGHT = WIDTH - EDGE
DRAWN, DRAWN_GAP, DRAWN_HIGH = 58.0, 8.0, 37.0
FOUR, FOUR_GAP = 44.0, 4.67
ROW, LOW_ROW, ROWS = 9.9, 8.4, 12
COLUMNS = {"from": 10, "min": 30, "what": 37, "height": 97, "rounds": 121, "jumps": 141, "on": 150}
LONG_SEQUENCE = 7
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def running_sheet(lesson: Lesson, pages: dict[int, int], leaf: int, whole: int) -> Scene:
    """The page. `pages` are where the card of each exercise begins in the print, `leaf` where
    the setting-out sheets begin, `whole` how many pages there are."""
    return _Sheet(lesson, pages, leaf, whole).page()


class _Sheet:
    def __init__(self, lesson: Lesson, pages: dict[int, int], leaf: int, whole: int) -> None:
        self.lesson, self.pages, self.leaf, self.whole = lesson, pages, leaf, whole
        self.pad = Pad(WIDTH, HEIGHT)
        self.units: Units = "feet"

    def page(self) -> Scene:
        self._head()
        y = self._table(self._drawings(25.0))
        self._blocks(y + 10)
        foot = f"Page 1 of {self.whole}."
        if self.pages:
            foot += f" {min(self.pages.values())} to {self.leaf - 1} cards, {self.leaf} to "
            foot += f"{self.whole} setting-out."
        self.pad.rule((EDGE, 286), (RIGHT, 286), 0.25)
        self.pad.text(EDGE, 291, foot, 8.5)
        note = "Not a substitute for the qualified person in the ring."
        self.pad.text(RIGHT, 291, note, 8.5, "regular", "end")
        return self.pad.scene(self.lesson.title, "Running sheet of a lesson")

    def _head(self) -> None:
        written = self.lesson.written
        begin, end = written.time
        when = f"{clock(begin)} to {clock(end)}"
        used = text_width(when, points(15), "bold")
        self.pad.text(RIGHT, 12.8, when, 15, "bold", "end")
        if written.date:
            day = datetime.date(*written.date)
            said = f"{DAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"
            self.pad.text(RIGHT - used - 3, 12.8, said, 12, "regular", "end")
            used += text_width(said, points(12)) + 3
        self.pad.text(EDGE, 12.8, cut(self.lesson.title, RIGHT - EDGE - used - 5, 20, "bold"), 20,
                      "bold")  # fmt: skip
        arena = self.lesson.plans[0].arena.name if self.lesson.plans else ""
        aim = ". ".join(text.rstrip(".") for text in (written.aim or "", arena) if text)
        for n, line in enumerate(broken(f"{aim}." if aim else "", RIGHT - EDGE, 10.5)[:2]):
            self.pad.text(EDGE, 18.8 + n * 4.3, line, 10.5)

    def _drawings(self, top: float) -> float:
        """A small plan of each exercise with its ride; returns where they end."""
        count = len(self.lesson.plans)
        wide, gap = (DRAWN, DRAWN_GAP) if count <= 3 else (FOUR, FOUR_GAP)
        y = top + 4.5
        lowest = y
        for n, plan in enumerate(self.lesson.plans[:4]):
            x = EDGE + n * (wide + gap)
            self.pad.bar(x, y - 3.9, 5.2, 5.2, "#000000")
            self.pad.items.append(_white(x + 2.6, y, str(n + 1)))
            page = f"page {self.pages[n]}" if n in self.pages else ""
            taken = text_width(page, points(8.5)) + 9
            self.pad.text(x + 7, y, cut(plan.definition.title, wide - taken, 11.5, "bold"), 11.5,
                          "bold")  # fmt: skip
            self.pad.text(x + wide, y, page, 8.5, "regular", "end")
            size = plan.arena.size
            scale = min(wide / size[0], DRAWN_HIGH / size[1])
            drawn = small_plan(plan, scale, self._unused(n))
            self.pad.items.append(drawn.at(x, y + 2.5))
            ride = " / ".join(text for _, _, text in ride_texts(plan)).replace("**", "")
            lines = broken(ride, wide, 9.5)
            if len(lines) > 3:
                lines = [*lines[:2], cut(lines[2] + "…", wide, 9.5)]
            below = y + 2.5 + drawn.height + 4.5
            for k, line in enumerate(lines):
                self.pad.text(x, below + k * 4.0, line, 9.5)
            lowest = max(lowest, below + len(lines) * 4.0)
        return lowest + 1

    def _unused(self, exercise: int) -> set[str]:
        """Fences of an exercise itself are all used; those of others are not drawn on it."""
        lines = [line for line in self.lesson.lines if line.exercise == exercise]
        left: set[str] = set()
        if lines:
            left = set(lines[0].written.leave_out)
        return left

    def _table(self, top: float) -> float:
        rows = len(self.lesson.lines) + len(self.lesson.written.groups)
        row = ROW if rows <= ROWS else LOW_ROW
        y = top + 1
        self.pad.rule((EDGE, y), (RIGHT, y), 0.5)
        for name, x in COLUMNS.items():
            word = "on the ground" if name == "on" else name
            end = name in ("min", "jumps")
            self.pad.text(x + (4 if end else 0), y + 3.8, word, 8.5, "regular",
                          "end" if end else "start")  # fmt: skip
        y += 5.2
        changes = self._ground()
        group = ""
        for line in self.lesson.lines:
            if line.group != group:
                group = line.group
                self._group(group, y)
                y += 6.4
            self.pad.rule((EDGE, y), (RIGHT, y), 0.25)
            self._row(line, y, changes.get(line.step, ""), row > LOW_ROW)
            y += row
        self.pad.rule((EDGE, y), (RIGHT, y), 0.5)
        return y

    def _group(self, name: str, y: float) -> None:
        group = self.lesson.written.groups[name]
        self.pad.rule((EDGE, y), (RIGHT, y), 0.5)
        own = sum(line.minutes for line in self.lesson.lines if line.group == name)
        parts = [counted(group.riders, "rider"), group.horses]
        if group.height:
            parts.append(f"up to {feet_inches(group.height)}")
        said = f"{', '.join(parts)}. {own / group.riders:.0f} minutes for each rider."
        if group.waits:
            said += f" Waits {group.waits}."
        self.pad.runs(EDGE, y + 4.6, [(f"Group {name}   ", 12, "bold"), (said, 10.5, "regular")])

    def _row(self, line: SheetLine, y: float, ground: str, second: bool) -> None:
        pad, base = self.pad, y + 4.6
        pad.text(COLUMNS["from"], base, clock(line.begin), 14, "bold")
        pad.text(COLUMNS["min"] + 4, base, str(line.minutes), 12, "bold", "end")
        room = COLUMNS["height"] - COLUMNS["what"] - 2
        pad.text(COLUMNS["what"], base, cut(self._what(line), room, 11, "semibold"), 11, "semibold")
        if second and (below := self._below(line)):
            pad.text(COLUMNS["what"], base + 3.9, cut(below, room, 8.5), 8.5)
        high = self._height(line)
        for n, text in enumerate(broken(high, 23, 10.5, "semibold")[:2]):
            pad.text(COLUMNS["height"], base + n * 4, text, 10.5, "semibold")
        if line.rounds:
            pad.text(COLUMNS["rounds"], base, str(line.rounds), 10.5)
        if line.jumps:
            pad.text(COLUMNS["jumps"] + 4, base, str(line.jumps), 12, "bold", "end")
        for n, text in enumerate(broken(ground, RIGHT - COLUMNS["on"], 9.5)[:2]):
            pad.text(COLUMNS["on"], base - 0.4 + n * 4, text, 9.5)

    def _what(self, line: SheetLine) -> str:
        if line.exercise is not None:
            return f"{line.exercise + 1}  {self.lesson.plans[line.exercise].definition.title}"
        return "warm-up" if line.written.warm_up else "cool-down"

    def _below(self, line: SheetLine) -> str:
        parts = [line.written.note or line.written.why or ""]
        if line.written.without:
            places = ", ".join(f"{line.group}{place}" for place in line.written.without)
            parts.append(f"without {places}")
        return "; ".join(part for part in parts if part)

    def _height(self, line: SheetLine) -> str:
        if line.exercise is None:
            return feet_inches(line.height_m) if line.height_m else ""
        high = line.height_m or heights_of(self.lesson.plans[line.exercise])[1]
        said = feet_inches(high) if high else "poles"
        if line.written.as_poles:
            said += f", {' and '.join(line.written.as_poles)} as poles"
        return said

    def _ground(self) -> dict[int, str]:
        """What is done on the ground before each line, by its step in the file."""
        order = self.lesson.order
        if order is None:
            return {}
        out: dict[int, str] = {}
        place = -1
        last: int | None = None
        before: float | None = None
        for line in self.lesson.lines:
            if line.exercise is None:
                continue
            parts = []
            if line.exercise != last:
                place += 1
                last = line.exercise
                parts += _said(order.changes[place])
            if before is not None and line.height_m and abs(line.height_m - before) > 0.006:
                way = "up" if line.height_m > before else "down"
                parts.append(f"rails {way} to {feet_inches(line.height_m)}")
            if line.written.as_poles:
                parts.append(f"{', '.join(line.written.as_poles)}: rails down")
            if line.written.leave_out:
                parts.append(f"{', '.join(line.written.leave_out)}: rails out")
            before = line.height_m
            out[line.step] = "; ".join(parts) or "nothing"
        return out

    def _blocks(self, top: float) -> None:
        y = top
        self._ready(EDGE, y)
        self._moves(EDGE + 66, y)
        self._jumps(EDGE + 128, y)

    def _ready(self, x: float, y: float) -> None:
        begin = clock(self.lesson.written.time[0])
        self.pad.text(x, y, f"Have ready before {begin}", 12, "bold")
        count, total = self._most_at_once()
        words = [f"{counted(count, 'fence')} at once, leaf on page {self.leaf}"]
        words += total.words(self.units)
        words += self.lesson.written.have_ready
        y += 6
        for text in words:
            lines = broken(text, 50, 10)
            if y + len(lines) * 4.2 > 284:
                break
            self.pad.box(x, y - 2.9, 3.2, 3.2, 0.3)
            for line in lines:
                self.pad.text(x + 5, y, line, 10)
                y += 4.2
            y += 0.9

    def _most_at_once(self) -> tuple[int, Equipment]:
        """Fences and pieces when most stand: what is carried out may come in again elsewhere."""
        order, plans = self.lesson.order, self.lesson.plans
        if order is None:
            return 0, Equipment()
        found = []
        for place in range(len(order.sequence)):
            there = [s for s in self.lesson.spots if standing(s, order.sequence)[place]]
            pieces = in_all(
                equipment_of(plans[n].fence(spot.names[n]).fence)
                for spot in there
                for n in [min(spot.builds, key=lambda k: (-spot.builds[k].rails, k))]
            )
            found.append((pieces.loads, len(there), -place, pieces))
        _, count, _, total = max(found, key=lambda one: one[:3])
        return count, total

    def _moves(self, x: float, y: float) -> None:
        order = self.lesson.order
        self.pad.text(x, y, "Moves", 12, "bold")
        y += 6
        if order is not None:
            moves = order.moves
            raised, walks = self._raised(), sum(t != "nothing" for t in self._ground().values())
            for number, what in (
                (moves.fences, "fences carried"), (walks, "times someone walks in"),
                (moves.rails + raised, "rails up, down or out"),
                (moves.cups + raised, "pairs of cups changed"),
            ):  # fmt: skip
                self.pad.text(x + 5, y, str(number), 11, "bold", "end")
                self.pad.text(x + 8, y, what, 10)
                y += 4.6
            y = self.pad.paragraph(x, y + 1, 54, self._otherwise(), 8.5) + 6
        if self.lesson.written.if_short:
            self.pad.text(x, y, "If time runs short", 12, "bold")
            y += 5
            for group, text in self.lesson.written.if_short.items():
                y = self.pad.paragraph(x, y, 54, f"{group}: {text}", 10) + 4.6
            self.pad.text(x, y, "Never the warm-up, never the walk.", 8.5)

    def _raised(self) -> int:
        """Rails that go up or down because the height of the lesson does: the back one of a
        spread with its front one."""
        rails, before = 0, None
        for line in self.lesson.lines:
            if line.exercise is None:
                continue
            if before is not None and line.height_m and abs(line.height_m - before) > 0.006:
                used = [s.builds[line.exercise] for s in self.lesson.spots
                        if line.exercise in s.builds]  # fmt: skip
                rails += sum(2 if build.spread else 1 for build in used)
            before = line.height_m
        return rails

    def _otherwise(self) -> str:
        """What another order of the same exercises would cost."""
        order = self.lesson.order
        assert order is not None
        count = len(self.lesson.plans)
        if sorted(order.sequence) != list(range(count)) or count < 2 or count > LONG_SEQUENCE:
            return ""
        best = best_order(self.lesson.spots, count)
        if best.moves.cost < order.moves.cost:
            names = ", ".join(str(n + 1) for n in best.sequence)
            return f"In the order {names}: {best.moves.words()}."
        worst = max(
            (order_of(self.lesson.spots, s) for s in [tuple(reversed(order.sequence))]),
            key=lambda o: o.moves.cost,
        )
        if worst.moves.cost == order.moves.cost:
            return "No other order has less work."
        return f"No other order has less; the other way round: {worst.moves.words()}."

    def _jumps(self, x: float, y: float) -> None:
        pad = self.pad
        pad.text(x, y, "Jumps, each horse", 12, "bold")
        y += 4.6
        pad.text(x, y, "name, in pencil", 8.5)
        for label, at in (("planned", 40.0), ("most", 50.0), ("done", 61.5)):
            pad.text(x + at, y, label, 8.5, "regular", "end")
        for name, group in self.lesson.written.groups.items():
            for place in range(1, group.riders + 1):
                pad.rule((x, y + 1.4), (RIGHT, y + 1.4), 0.2)
                y += 5.9
                if y > 283:
                    return
                pad.text(x, y, f"{name}{place}", 11, "semibold")
                if place in group.young:
                    pad.text(x + 8, y, "young horse", 8.5)
                planned = self.lesson.jumps_of(name, place)
                pad.text(x + 40, y, str(planned), 11, "bold", "end")
                pad.text(x + 50, y, str(group.jumps or ""), 10, "regular", "end")
                pad.box(x + 54, y - 3.8, 7.5, 4.6, 0.25)


def _said(changes: Sequence[SpotChange]) -> list[str]:
    """``out: birch, elm``, ``in: oak``, ``alder: 1 rail, cups``."""
    parts = []
    for what in ("out", "in"):
        names = [change.place for change in changes if change.what == what]
        if names:
            parts.append(f"{what}: {', '.join(names)}")
    for change in changes:
        if change.what == "rebuilt":
            cups = ", cups" if change.cups else ""
            rails = counted(change.rails, "rail")
            parts.append(f"{change.place}: {rails}{cups}")
    return parts


def _white(x: float, y: float, text: str) -> Text:
    """White on the black square of an exercise."""
    return Text((x, y - 0.1), text, points(10), "bold", "middle", colour="#ffffff")


def clock(minutes: int) -> str:
    """``18:05`` of minutes after midnight."""
    return f"{minutes // 60 % 24:02}:{minutes % 60:02}"


def cut(text: str, width: float, size: float, weight: Weight = "regular") -> str:
    """One line of at most `width` mm, with three dots for what is cut off."""
    if text_width(text, points(size), weight) <= width:
        return text
    while text and text_width(text + "…", points(size), weight) > width:
        text = text[:-1]
    return text.rstrip() + "…"
