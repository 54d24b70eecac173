"""What other exercises of a lesson have standing, or not yet: behind a fence, and at a warm-up."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

from msgspec import Struct

from diagram.exercise.fence import PlacedFence
from diagram.geometry.pose import Point, Pose
from diagram.lessons.common import others_at
from diagram.lessons.lesson import Lesson, SheetLine, in_order, riding_of
from diagram.lessons.moves import standing
from diagram.planning import Plan
from diagram.trade.lessons import lesson_facts
from diagram.units import Units, length_text

ASIDE_M = 0.5
"""Metres beside the poles of a fence that a horse still lands on."""


class Behind(Struct, frozen=True):
    """A fence of another exercise straight ahead of who lands over `fence` of the line at `step`:
    `metres` behind it, its pole `end_on` or across."""

    step: int
    exercise: int
    fence: str
    other: str
    pole: bool
    metres: float
    end_on: bool
    at: Point

    def words(self, units: Units = "feet") -> str:
        """``old pole lies 23' behind birch, end-on``."""
        verb = "lies" if self.pole else "stands"
        far = length_text(self.metres, units)
        return f"{self.other} {verb} {far} behind {self.fence}{', end-on' * self.end_on}"


def standing_behind(lesson: Lesson) -> tuple[Behind, ...]:
    """All that stands for other exercises straight ahead of a landing, each once a line. What is in
    the way of a track has been carried out; this is met by who does not turn away in time."""
    if lesson.order is None:
        return ()
    found: dict[tuple[int, str, str], Behind] = {}
    for line, place in _places(lesson):
        if line.exercise is None:
            continue
        plan = lesson.built[lesson.order.sequence[place]]
        for other in others_at(lesson, place):
            for one in _behind(plan, other, line):
                key = (line.exercise, one.fence, one.other)
                if key not in found or one.metres < found[key].metres:
                    found[key] = one
    return tuple(found.values())


def _behind(plan: Plan, other: PlacedFence, line: SheetLine) -> Iterator[Behind]:
    facts = lesson_facts()
    for crossing in plan.crossings:
        fence = crossing.fence.fence
        if fence.kind.ridden_over:
            continue
        lands = crossing.pose.ahead(fence.depth_m / 2)
        half = fence.measures.width_m / 2 + ASIDE_M
        near = min(
            (at for at in _along(other, lands) if at.x > 0 and abs(at.y) <= half),
            key=lambda at: at.x, default=None,
        )  # fmt: skip
        if near is None or near.x > facts.clear_behind_a_fence.value:
            continue
        turn = abs(math.remainder(other.pose.heading + math.pi / 2 - lands.heading, math.pi))
        yield Behind(
            line.step, line.exercise or 0, crossing.jump.fence, other.name,
            other.fence.kind.ridden_over, near.x, turn <= facts.end_on.value, other.pose.point,
        )  # fmt: skip


STEPS = 8
"""Places looked at on each half of a pole."""


def _along(other: PlacedFence, seen_from: Pose) -> list[Pose]:
    """Places along the poles of a fence as seen by who lands."""
    places = other.along_poles(STEPS)
    return [Pose(*at, 0.0).seen_from(seen_from) for at in places]


def not_there_yet(lesson: Lesson) -> dict[int, tuple[str, ...]]:
    """For each warm-up line, by its step: fences that the warm-ups of the exercises after it speak
    of, and that do not stand then."""
    out: dict[int, tuple[str, ...]] = {}
    order = lesson.order
    if order is None:
        return out
    lines = list(_places(lesson))
    for n, (line, place) in enumerate(lines):
        if not line.written.warm_up:
            continue
        names: dict[str, None] = {}
        for later, _ in lines[n + 1 :]:
            if later.group != line.group:
                break
            riding = riding_of(later)
            if riding is None or later.exercise is None:
                continue
            number = lesson.ridings.index(riding)
            said = " ".join(lesson.plans[later.exercise].definition.warm_up)
            for spot in lesson.spots:
                name = spot.names.get(number, "")
                spoken = name and re.search(rf"\b{re.escape(name)}\b", said, re.IGNORECASE)
                if spoken and not standing(spot, order.sequence)[place]:
                    names[spot.name] = None
        if names:
            out[line.step] = tuple(names)
    return out


def _places(lesson: Lesson) -> Iterator[tuple[SheetLine, int]]:
    """Each line with the place of the order that stands while it is ridden."""
    return ((line, max(place, 0)) for line, place, _ in in_order(lesson.lines))
