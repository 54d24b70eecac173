"""What is done on the ground between the lines of a lesson, in words and in figures."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from diagram.exercise.equipment import Equipment, equipment_of, in_all
from diagram.lessons.lesson import Lesson, in_order, riding_of
from diagram.lessons.moves import MOST_IN_ALL_ORDERS, Order, SpotChange, order_of, standing
from diagram.lessons.spots import LIES
from diagram.library import said
from diagram.plain import counted
from diagram.units import Units

AS_IT_STANDS = "as it stands"
"""On the ground, where nothing is done before a line."""


def ground(lesson: Lesson, units: Units) -> dict[int, str]:
    """What a helper does before each line with an exercise, by its step in the file."""
    order = lesson.order
    if order is None:
        return {}
    out: dict[int, str] = {}
    for line, place, begins in in_order(lesson.lines):
        if riding_of(line) is not None:
            done = said_of(order.changes[place], units) if begins else ""
            out[line.step] = done or AS_IT_STANDS
    return out


def said_of(changes: Sequence[SpotChange], units: Units) -> str:
    """``out: birch; in: oak; 4 rails up to 2'6"; alder: an oxer``."""
    parts = []
    for what in ("out", "in"):
        names = [change.place for change in changes if change.what == what]
        if names:
            parts.append(f"{what}: {', '.join(names)}")
    moved = [change for change in changes if change.what in ("up", "down")]
    for (what, high), some in itertools.groupby(moved, key=lambda c: (c.what, c.height_mm)):
        rails = sum(change.rails for change in some)
        parts.append(f"{counted(rails, 'rail')} {what} to {said.height(high / 1000, units)}")
    parts += [f"{change.place}: {change.line}" for change in moved if change.line]
    for change in changes:
        if change.what == "rebuilt":
            parts.append(f"{change.place}: {_becomes(change, units)}")
    return "; ".join(parts)


def _becomes(change: SpotChange, units: Units) -> str:
    """``make it an oxer of 2'6", ground lines both sides``."""
    if change.kind == LIES.kind:
        return "rails down"
    if not change.kind:
        return change.line
    article = "an" if change.kind[:1] in "aeiou" else "a"
    high = f" of {said.height(change.height_mm / 1000, units)}" if change.height_mm else ""
    line = f", {change.line}" if change.line else ""
    return f"make it {article} {change.kind}{high}{line}"


def standing_first(lesson: Lesson) -> int:
    """How many fences stand at the beginning."""
    order = lesson.order
    return sum(standing(s, order.sequence)[0] for s in lesson.spots) if order else 0


def most_at_once(lesson: Lesson) -> tuple[int, Equipment]:
    """Fences and pieces when most stand: what is carried out may come in again elsewhere."""
    order = lesson.order
    if order is None:
        return 0, Equipment()
    found = []
    for place in range(len(order.sequence)):
        there = [s for s in lesson.spots if standing(s, order.sequence)[place]]
        pieces = in_all(
            equipment_of(lesson.built[n].fence(spot.names[n]).fence)
            for spot in there
            for n in [min(spot.builds, key=lambda k: (-spot.builds[k].rails, k))]
        )
        found.append((pieces.loads, len(there), -place, pieces))
    _, count, _, total = max(found, key=lambda one: one[:3])
    return count, total


def otherwise(lesson: Lesson) -> str:
    """What another order of the same exercises would cost, and building each apart."""
    order = lesson.order
    if order is None or len(lesson.plans) < 2:
        return ""
    own = order.moves
    parts = []
    others = _other_orders(lesson)
    if others:
        best, sequence = min(((o.moves.cost, s) for s, o in others.items()), key=lambda x: x)
        names = ", ".join(str(n + 1) for n in sequence)
        words = others[sequence].moves.words()
        if best < own.cost:
            parts.append(f"Less work in the order {names}: {words}.")
        elif best == own.cost:
            parts.append("No other order has less work.")
        else:
            parts.append(f"Any other order has more; the next best is {names}: {words}.")
    apart = sum(len(plan.fences) for plan in lesson.plans[1:])
    if apart > own.fences:
        parts.append(f"Built apart, one after another: {counted(apart, 'fence')} more to build.")
    return " ".join(parts)


def _other_orders(lesson: Lesson) -> dict[tuple[int, ...], Order]:
    """Every other order of the exercises, the same in each group; none where a group rides one
    twice or there are too many."""
    count = len(lesson.plans)
    groups = [
        [riding for line in some if (riding := riding_of(line))]
        for _, some in itertools.groupby(lesson.lines, key=lambda line: line.group)
    ]
    if count > MOST_IN_ALL_ORDERS or any(
        len({r.exercise for r in group}) < len(group) for group in groups
    ):
        return {}
    out = {}
    ridden = tuple(dict.fromkeys(r.exercise for group in groups for r in group))
    for sequence in itertools.permutations(range(count)):
        if sequence == ridden:
            continue
        rank = {n: place for place, n in enumerate(sequence)}
        every = [
            lesson.ridings.index(riding)
            for group in groups
            for riding in sorted(group, key=lambda r: rank[r.exercise])
        ]
        out[sequence] = order_of(lesson.spots, [n for n, _ in itertools.groupby(every)])
    return out
