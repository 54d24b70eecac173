"""What stands under the lines of a running sheet: what to have ready, the moves, the jumps."""

from __future__ import annotations

from diagram.drawing.pad import Pad, broken
from diagram.lessons.ground import AS_IT_STANDS, ground, most_at_once, otherwise, standing_first
from diagram.lessons.lesson import Lesson
from diagram.plain import counted, plural
from diagram.trade.lessons import lesson_facts
from diagram.units import Units

EDGE = 10.0
RIDER = 5.9
MOVES_AT, JUMPS_AT = 66.0, 128.0
"""Millimetres from the left margin to the second and the third column."""


def reckoned() -> str:
    """How the minutes of moves are reckoned."""
    facts = lesson_facts()
    return (
        f"Reckoned: {facts.minutes_to_walk_in.value:g} min to walk in, "
        f"{facts.minutes_for_a_fence_in.value:g} a fence in, "
        f"{facts.minutes_for_a_fence_out.value:g} a fence out, "
        f"{facts.minutes_for_a_pole_in.value:g} and {facts.minutes_for_a_pole_out.value:g} a pole, "
        f"{facts.minutes_for_a_rail.value:g} a rail."
    )


class Blocks:
    """Three columns; the riders that a page does not hold are `left` for the next one."""

    def __init__(self, lesson: Lesson, leaf: int, units: Units, right: float) -> None:
        self.lesson, self.leaf, self.units, self.right = lesson, leaf, units, right
        self.left = [
            (name, place)
            for name, group in lesson.written.groups.items()
            for place in range(1, group.riders + 1)
        ]
        self._first = True
        trial = Pad(210.0, 1000.0)
        self.height = max(
            self._ready(trial, EDGE, 0.0), self._moves(trial, EDGE, 0.0),
            4.6 + RIDER * len(self.left) + 2.0,
        )  # fmt: skip

    def draw(self, pad: Pad, top: float, bottom: float) -> None:
        """The blocks, or what is left of them, from `top` on and not over `bottom`."""
        if self._first:
            self._ready(pad, EDGE, top)
            self._moves(pad, EDGE + MOVES_AT, top)
        columns = (JUMPS_AT,) if self._first else (0.0, MOVES_AT, JUMPS_AT)
        for at in columns:
            if self.left:
                self._jumps(pad, EDGE + at, top, bottom)
        self._first = False

    def _ready(self, pad: Pad, x: float, y: float) -> float:
        begin = self.lesson.written.time[0]
        pad.text(x, y, f"Have ready before {begin // 60:02}:{begin % 60:02}", 12, "bold")
        count, total = most_at_once(self.lesson)
        first = standing_first(self.lesson)
        more = f", {count} at most" if count > first else ""
        words = [f"{counted(first, 'fence')}{more}, leaf on page {self.leaf}"]
        words += total.words(self.units)
        words += self.lesson.written.have_ready
        y += 6
        for text in words:
            pad.box(x, y - 2.9, 3.2, 3.2, 0.3)
            for line in broken(text, 50, 10):
                pad.text(x + 5, y, line, 10)
                y += 4.2
            y += 0.9
        return y

    def _moves(self, pad: Pad, x: float, y: float) -> float:
        order = self.lesson.order
        pad.text(x, y, "Moves", 12, "bold")
        y += 6
        if order is not None:
            moves = order.moves
            walks = sum(text != AS_IT_STANDS for text in ground(self.lesson, self.units).values())
            for number, what in (
                (moves.fences, "fence carried"), (walks, "time someone walks in"),
                (moves.rails, "rail up, down or out"), (moves.cups, "pair of cups changed"),
            ):  # fmt: skip
                noun, _, rest = what.partition(" ")
                pad.text(x + 5, y, str(number), 11, "bold", "end")
                pad.text(x + 8, y, f"{noun if number == 1 else plural(noun)} {rest}", 10)
                y += 4.6
            taken = sum(line.moving for line in self.lesson.lines)
            if taken:
                pad.text(x + 5, y, str(taken), 11, "bold", "end")
                pad.text(x + 8, y, f"{'minute' if taken == 1 else 'minutes'} for it, by two", 10)
                y = pad.paragraph(x, y + 4.6, 54, reckoned(), 8.5) + 3.6
            y = pad.paragraph(x, y + 1, 54, otherwise(self.lesson), 8.5) + 6
        if self.lesson.written.if_short:
            pad.text(x, y, "If time runs short", 12, "bold")
            y += 5
            for group, text in self.lesson.written.if_short.items():
                y = pad.paragraph(x, y, 54, f"{group}: {text}", 10) + 4.6
            pad.text(x, y, "Never the warm-up, never the walk.", 8.5)
            y += 4
        return y

    def _jumps(self, pad: Pad, x: float, y: float, bottom: float) -> None:
        pad.text(x, y, "Jumps, each horse", 12, "bold")
        y += 4.6
        pad.text(x, y, "name, in pencil", 8.5)
        for label, at in (("planned", 40.0), ("most", 50.0), ("done", 61.5)):
            pad.text(x + at, y, label, 8.5, "regular", "end")
        while self.left and y + RIDER < bottom - 2:
            name, place = self.left.pop(0)
            group = self.lesson.written.groups[name]
            pad.rule((x, y + 1.4), (x + 62, y + 1.4), 0.2)
            y += RIDER
            pad.text(x, y, f"{name}{place}", 11, "semibold")
            if place in group.young:
                pad.text(x + 8, y, "young horse", 8.5)
            planned = self.lesson.jumps_of(name, place)
            pad.text(x + 40, y, str(planned), 11, "bold", "end")
            pad.text(x + 50, y, str(group.jumps or ""), 10, "regular", "end")
            pad.box(x + 54, y - 3.8, 7.5, 4.6, 0.25)
