"""Fences in common: against going through every turn and shift, and what is set out for them."""

from __future__ import annotations

import cmath
import itertools
import math
from pathlib import Path

import pytest
from lesson_trials import fence, text

from diagram.lessons.common import set_up_of, stages
from diagram.lessons.lesson import Lesson, read_lesson
from diagram.lessons.refusals import judged
from diagram.lessons.sharing import shared, ways
from diagram.lessons.spots import FACING_RAD, SPOT_M, spots_of
from diagram.pipeline import plan
from diagram.planning import Plan
from diagram.stakeout.lines import taped_lines

RIDE = "start: canter, left lead; jump: {0}; line: {2}; jump: {1}; finish: straight on, walk"
HEAD = "tapeline lesson: 1\ntitle: Tonight\ntime: 18:00-19:00\ngroups:\n  A: {riders: 3}\n"


def line(folder: Path, name: str, at: tuple[float, float], facing: str, strides: int = 5,
         kind: str = "vertical") -> Plan:  # fmt: skip
    """A line of two fences in the large ring."""
    one, other = f"{name}one", f"{name}two"
    fences = fence(one, *at, facing) + (
        f"  {other}: {{kind: {kind}, placed: {strides} strides beyond {one}}}\n"
    )
    count = f"{strides} strides"
    file = folder / f"{name}.yaml"
    file.write_text(text(name, fences, RIDE.format(one, other, count)), encoding="utf-8")
    return plan(file)


def in_common(there: Plan, guest: Plan) -> int:
    """Most fences that fall on others of all turns and shifts that bring one fence onto one,
    reckoned with complex numbers."""

    def places(made: Plan) -> list[tuple[complex, complex, bool]]:
        return [
            (complex(*f.pose.point), cmath.rect(1, f.pose.heading), f.fence.depth_m > 0)
            for f in made.fences
        ]

    best = 0
    for (p, d, deep), (q, e, wide) in itertools.product(places(guest), places(there)):
        for way in (1,) if deep or wide else (1, -1):
            turn = way * e / d
            moved = [((at - p) * turn + q, f * turn, s) for at, f, s in places(guest)]
            if any(not (1 <= at.real <= 79 and 1 <= at.imag <= 39) for at, _, _ in moved):
                continue
            taken: set[int] = set()
            for at, f, s in moved:
                for n, (o, g, t) in enumerate(places(there)):
                    off = abs(cmath.phase(f / g))
                    off = off if s or t else min(off, math.pi - off)
                    if n not in taken and abs(at - o) <= SPOT_M and off <= FACING_RAD:
                        taken.add(n)
                        break
            best = max(best, len(taken))
    return best


@pytest.mark.parametrize(
    ("strides", "kind"),
    [(5, "vertical"), (4, "vertical"), (5, "oxer"), (3, "oxer"), (6, "vertical")],
)
def test_the_first_way_has_most_in_common(strides: int, kind: str, tmp_path: Path) -> None:
    there = line(tmp_path, "there", (20, 12), "0°")
    guest = line(tmp_path, "guest", (25, 28), "35°", strides, kind)
    found = ways([there], guest)
    assert max((len(way.pairs) for way in found), default=0) == in_common(there, guest)


def test_one_set_up_serves_two_lines(tmp_path: Path) -> None:
    there = line(tmp_path, "there", (20, 12), "0°")
    guest = line(tmp_path, "guest", (25, 28), "35°")
    first, second = shared([there, guest])
    assert first is there
    spots, _ = spots_of([first, second])
    assert [sorted(spot.builds) for spot in spots] == [[0, 1], [0, 1]]
    # It is the same exercise: five strides, as long as before, and nothing more is found.
    was = next(leg for leg in guest.legs if leg.shape == "line")
    now = next(leg for leg in second.legs if leg.shape == "line")
    assert now.track_m == pytest.approx(was.track_m, abs=SPOT_M)
    assert len(second.findings) <= len(guest.findings)
    assert shared([there]) == (there,)


def test_a_spread_keeps_its_front(tmp_path: Path) -> None:
    there = line(tmp_path, "there", (20, 12), "0°", kind="oxer")
    guest = line(tmp_path, "guest", (25, 28), "180°", kind="oxer")
    _, second = shared([there, guest])
    assert spots_of([there, second])[1] == ()


def lesson(folder: Path, more: str, run: str) -> Lesson:
    (folder / "tonight.yaml").write_text(HEAD + more + run, encoding="utf-8")
    return judged(read_lesson(folder / "tonight.yaml"))


RUN = "run:\n  - group: A\n  - exercise: there\n  - exercise: guest\n"


def test_what_stands_is_set_out_once(tmp_path: Path) -> None:
    there = line(tmp_path, "there", (20, 12), "0°")
    bend = fence("guestone", 25, 28, "180°") + "  guesttwo: {kind: vertical}\n"
    ride = RIDE.format("guestone", "guesttwo", "").replace("line: ", "bend: left 90°, 6 strides")
    (tmp_path / "guest.yaml").write_text(text("guest", bend, ride), encoding="utf-8")
    found = lesson(tmp_path, "", RUN)
    assert found.moved == {1}
    made = set_up_of(found, 0)
    names = [placed.name for placed in made.fences]
    assert len(set(names)) == len(names) == len(found.spots) == 3
    # The lines of both exercises are taped, each between fences of the set-up.
    lengths = {tape.name: tape.strides for tape in taped_lines(made)}
    assert sorted(lengths.values()) == [5, 6]
    for placed in made.fences:
        spot = next(spot for spot in found.spots if spot.name == placed.name)
        assert math.dist(placed.pose.point, spot.pose.point) < 1e-9
    five = next(leg for leg in there.legs if leg.shape == "line")
    [tape] = [tape for tape in taped_lines(made) if tape.strides == 5]
    assert tape.track_m == pytest.approx(five.track_m, abs=1e-6)
    # The common fence is jumped as each exercise jumps it.
    for n, own in enumerate(found.plans):
        for crossing in own.crossings:
            spot = next(s for s in found.spots if s.names.get(n) == crossing.jump.fence)
            over = [c for c in made.crossings if c.jump.fence == spot.name]
            turns = [math.cos(c.pose.heading - crossing.pose.heading) for c in over]
            assert max(turns) > 0.99


def test_fences_of_one_name_are_told_apart(tmp_path: Path) -> None:
    there = line(tmp_path, "there", (20, 12), "0°")
    again = (tmp_path / "there.yaml").read_text(encoding="utf-8")
    (tmp_path / "guest.yaml").write_text(again.replace("12 m]", "28 m]"), encoding="utf-8")
    found = lesson(tmp_path, "set up: as drawn\nmay move: yes\n", RUN)
    names = [spot.name for spot in found.spots]
    assert names == [f.name for f in there.fences] + [f"{f.name} of 2" for f in there.fences]
    assert stages(found) == (0,)


def test_fences_are_as_high_as_the_lesson_says(tmp_path: Path) -> None:
    line(tmp_path, "there", (20, 12), "0°")
    line(tmp_path, "guest", (25, 28), "35°", strides=4)
    run = RUN.replace("there\n", "there\n    height: 1'6\"\n")
    made = set_up_of(lesson(tmp_path, "may move: yes\n", run), 0)
    high = {f.name: round(f.fence.measures.height_m, 3) for f in made.fences}
    assert high["thereone"] == pytest.approx(0.457, abs=0.001)
    # What only the second one jumps is built for it: two feet.
    assert max(high.values()) == pytest.approx(0.61, abs=0.001)
