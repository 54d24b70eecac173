"""What a lesson is made of: against every set, order and share of the time that there is."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

import pytest
from lesson_trials import fence, text

from diagram.lessons import choosing
from diagram.lessons.choosing import choose
from diagram.lessons.moves import SpotChange, order_of
from diagram.lessons.spots import spots_of
from diagram.library.collection import Library, read_library
from diagram.model.lesson_file import LessonWritten
from diagram.model.reading import validate
from diagram.pipeline import plan
from diagram.planning import Plan
from diagram.source import read_text

LINE = "start: canter, left lead; jump: {0}; line: 5 strides; jump: {1}; finish: straight on, walk"
ONE = "start: canter, left lead; jump: {0}; finish: straight on, walk"
BACK = "  birch: {kind: vertical, placed: 5 strides beyond alder, ground line: both sides}\n"
WARM_UP, WALK, EXPLAINED = 10, 5, 2
"""Minutes: 10 to 15 before the first poles (a pony magazine, 2020), the others common practice."""


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Library:
    """Five exercises, some on each other's fences, one to be ridden before another."""
    folder = tmp_path_factory.mktemp("yard")
    two = fence("alder", 20, 20) + BACK
    files = {
        "line": (two, LINE.format("alder", "birch"), "straightness", 3, "1.2 min", ""),
        "again": (two, LINE.format("alder", "birch"), "angles", 2, "2.5 min",
                  "comes before: line\n"),
        "single": (fence("elm", 60, 12, "90°"), ONE.format("elm"), "angles", 4, "0.7 min", ""),
        "other": (fence("oak", 40, 30, "180°"), ONE.format("oak"), "transitions", 2, "3 min", ""),
        "wide": (fence("fir", 33, 20, "90°", "oxer"), ONE.format("fir"), "grids", 3,
                 "1.9 min", ""),
    }  # fmt: skip
    for name, (fences, ride, teaches, rounds, each, more) in files.items():
        more += f"teaches: [{teaches}]\nrounds: {rounds}\nminutes per round: {each}\n"
        made = text(name, fences, ride, more)
        (folder / f"{name}.yaml").write_text(made, encoding="utf-8")
    return read_library(folder)


def lesson(until: str, goals: str, jumps: int, more: str) -> LessonWritten:
    head = (
        f"tapeline lesson: 1\ntitle: Tonight\ntime: 18:00-{until}\nset up: as drawn\n{more}"
        f"goals: [{goals}]\ngroups:\n  A: {{riders: 3, jumps: {jumps}}}\n"
    )
    return validate(read_text(head), LessonWritten)


def _minutes_of(changes: Sequence[SpotChange]) -> int:
    """A walk, four minutes a fence in, two a fence out, half a one a rail (common practice)."""
    each = {"in": 4.0, "out": 2.0}
    work = sum(each.get(c.what, 0.0) + max(c.rails, c.cups) / 2 for c in changes)
    return math.ceil(1 + work) if changes else 0


def every_lesson(kept: Library, wanted: LessonWritten) -> Iterator[tuple[int, int, int, int]]:
    """Goals missed, idle quarters of an hour, fences carried, minutes left: of every lesson."""
    whole = wanted.time[1] - wanted.time[0]
    free = whole - WARM_UP - WALK
    group = wanted.groups["A"]
    able = [e for e in kept.entries if set(e.teaches) & set(wanted.goals)]
    plans = {e.stem: plan(kept.paths[e.stem]) for e in able}
    for size in (1, 2, 3):
        for order in itertools.permutations(able, size):
            stems = [entry.stem for entry in order]
            if "again" in stems and "line" in stems[: stems.index("again")]:
                continue
            spots, behind = spots_of([plans[stem] for stem in stems])
            order_made = order_of(spots, range(size))
            carried = order_made.moves.fences
            moving = sum(_minutes_of(changes) for changes in order_made.changes)
            if behind or (carried and not wanted.may_move):
                continue
            taught = {goal for entry in order for goal in entry.teaches}
            missed = len(set(wanted.goals) - taught)
            for counts in itertools.product(range(1, 5), repeat=size):
                each = list(zip(order, counts, strict=True))
                if any(n > (entry.rounds or 0) for entry, n in each):
                    continue
                used = sum(
                    EXPLAINED + math.ceil(entry.minutes_per_round * n * 3 - 1e-9)
                    for entry, n in each
                    if entry.minutes_per_round
                )
                if used + moving <= free and sum(e.jumps * n for e, n in each) <= (
                    group.jumps or 0
                ):
                    yield missed, (free - used) // 15, carried, free - used


@pytest.mark.parametrize("jumps", [4, 7, 20])
@pytest.mark.parametrize("until", ["18:30", "18:42", "19:00", "19:30"])
@pytest.mark.parametrize(
    ("goals", "more"),
    [
        ("straightness, angles", ""),
        ("straightness, grids", "may move: yes\n"),
        ("angles, transitions", ""),
        ("grids", ""),
    ],
)
def test_no_lesson_is_better(kept: Library, until: str, goals: str, jumps: int, more: str) -> None:
    wanted = lesson(until, goals, jumps, more)
    best = min(every_lesson(kept, wanted))
    chosen = choose(kept, wanted)
    rounds = chosen.rounds["A"]
    assert set(rounds) == {entry.stem for entry in chosen.entries}
    used = sum(
        EXPLAINED + math.ceil((entry.minutes_per_round or 0) * rounds[entry.stem] * 3 - 1e-9)
        for entry in chosen.entries
    )
    free = wanted.time[1] - wanted.time[0] - WARM_UP - WALK
    taught = {goal for entry in chosen.entries for goal in entry.teaches}
    missed = len(set(wanted.goals) - taught)
    moves = chosen.order.moves.fences
    moved = sum(_minutes_of(changes) for changes in chosen.order.changes)
    assert chosen.idle_min == free - used - moved >= 0
    assert (missed, (free - used) // 15, moves, free - used) == best
    assert sum(entry.jumps * rounds[entry.stem] for entry in chosen.entries) <= jumps


def test_in_other_orders_what_comes_before_stays_before(
    kept: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Other orders are looked at while fences are carried; none turns what the library says."""
    tried: list[list[str]] = []

    def noted(plans: Sequence[Plan]) -> tuple[Plan, ...]:
        tried.append([made.title for made in plans])
        return tuple(plans)

    monkeypatch.setattr(choosing, "shared", noted)
    wanted = lesson("19:30", "straightness, angles, grids", 60, "may move: yes\n")
    chosen = choose(kept, wanted.model_copy(update={"set_up": "one"}))
    assert chosen.order.moves.fences
    assert len({tuple(titles) for titles in tried if set(titles) == set(tried[-1])}) == 6
    stems = [entry.stem for entry in chosen.entries]
    assert "again" not in stems or "line" not in stems[: stems.index("again")]
