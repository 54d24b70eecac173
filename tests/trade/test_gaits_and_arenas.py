"""Gaits, turns and clearances; arenas and their letters."""

from __future__ import annotations

import math

import pytest

from diagram.trade import arenas, gaits
from diagram.trade.horses import horses_from_size, sizes
from diagram.trade.stride_tables import load_table

WHOLE_M_PER_MIN = 0.5 / 60
"""Metres per second. For speeds printed in whole metres per minute."""


# published (web article) [S47]: table of typical speeds of a horse.
@pytest.mark.parametrize(
    ("name", "low", "high"), [("walk", 80, 120), ("trot", 210, 300), ("canter", 300, 420)]
)
def test_speeds(name: str, low: int, high: int) -> None:
    speed = gaits.gait(name).speed
    assert (speed.low * 60, speed.high * 60) == pytest.approx((low, high), abs=WHOLE_M_PER_MIN)
    assert speed.low <= speed.typical <= speed.high


def test_strides() -> None:
    # published (web article) [S49]: walk 1.4 to 1.8 m, printed in decimetres.
    walk = gaits.gait("walk").stride
    assert (walk.low, walk.high) == pytest.approx((1.4, 1.8), abs=0.05)
    # [S10], [S1]: 12 ft; converts exactly.
    assert gaits.gait("canter").stride.typical == pytest.approx(12 * 0.3048)
    assert gaits.gait("halt").speed.typical == 0


# derived: half of the canter circles of the dressage levels [S39], 20, 15 and 10 m; and a floor.
@pytest.mark.parametrize(
    ("experience", "circle"), [("green", 20.0), ("trained", 15.0), ("schooled", 10.0)]
)
def test_canter_turns(experience: str, circle: float) -> None:
    assert gaits.turn("canter").least(experience).value == pytest.approx(circle / 2)


@pytest.mark.parametrize("experience", ["green", "trained", "schooled"])
def test_slower_gaits_turn_tighter(experience: str) -> None:
    radii = [gaits.turn(gait).least(experience).value for gait in ("walk", "trot", "canter")]
    assert radii == sorted(radii)
    for gait in ("walk", "trot", "canter"):
        assert gaits.turn(gait).floor.value <= gaits.turn(gait).least(experience).value


def test_straight_strides() -> None:
    # published (web article) [S37]: two before and two after at least.
    found = gaits.straight_strides()
    assert (found.before.least.value, found.after.least.value) == (2, 2)
    assert found.before.least.source.startswith("published (web article) [S37]")
    assert (found.before.wanted.value, found.before.wanted.source) == (
        3, "common practice (no source)",
    )  # fmt: skip


def test_clearances_are_common_practice() -> None:
    for name in ("track to rail", "track to standards", "fence to rail", "way past a fence"):
        found = gaits.clearance(name)
        assert found.source == "common practice (no source)"
        assert 0 < found.low <= found.typical


def test_transitions() -> None:
    # published (rule) [R10]: walk 4-5 steps, halt 4-6 s; [S43]: simple change 3-5 steps.
    for name, low, high in [
        ("walk steps", 4, 5), ("halt seconds", 4, 6), ("simple change walk steps", 3, 5),
    ]:  # fmt: skip
        assert (gaits.transition(name).low, gaits.transition(name).high) == (low, high)


def test_names_that_are_not_known() -> None:
    with pytest.raises(KeyError, match="gallop"):
        gaits.gait("gallop")
    with pytest.raises(KeyError, match=r'did you mean .?"track to rail'):
        gaits.clearance("track to rails")


# Letters as the pages [S55], [S56] give them: x across from the left of A, y from A towards C.
SMALL = {
    "A": (10, 0), "C": (10, 40), "K": (0, 6), "F": (20, 6), "E": (0, 20), "B": (20, 20),
    "H": (0, 34), "M": (20, 34), "D": (10, 6), "X": (10, 20), "G": (10, 34),
}  # fmt: skip
STANDARD = {
    "A": (10, 0), "C": (10, 60), "K": (0, 6), "F": (20, 6), "V": (0, 18), "P": (20, 18),
    "E": (0, 30), "B": (20, 30), "S": (0, 42), "R": (20, 42), "H": (0, 54), "M": (20, 54),
    "D": (10, 6), "L": (10, 18), "X": (10, 30), "I": (10, 42), "G": (10, 54),
}  # fmt: skip


@pytest.mark.parametrize(("name", "published"), [("20 x 40 m", SMALL), ("20 x 60 m", STANDARD)])
def test_dressage_letters(name: str, published: dict[str, tuple[int, int]]) -> None:
    arena = arenas.find_arena(name)
    assert arena is not None
    # Our frame has x along the long side from A and the origin in the corner next to F.
    ours = {letter: (float(y), 20.0 - x) for letter, (x, y) in published.items()}
    assert dict(arena.letters) == ours
    assert arena.letter("F") == (6, 0)
    assert arena.letter("K") == (6, 20)
    assert arena.letter("A") == (0, 10)
    assert arena.gate is not None
    assert arena.gate.at == arena.letter("A")
    assert arena.gate.width_m == pytest.approx(2.0)  # [R14]: at least 2 m


def test_letters_run_clockwise_from_a() -> None:
    arena = arenas.find_arena("20 x 60 m")
    assert arena is not None
    turns = [
        math.atan2(arena.letter(at)[1] - 10, arena.letter(at)[0] - 30) % (2 * math.pi)
        for at in "AKVESHCMRBPF"
    ]
    from_a = [(math.pi - turn) % (2 * math.pi) for turn in turns]
    assert from_a == sorted(from_a)


# published (web article) [S53]: advice on the size of a jumping arena, whole feet.
@pytest.mark.parametrize(
    ("name", "length", "width"),
    [("70 x 200 ft", 200, 70), ("small ring", 120, 80), ("Jumper ring 100×200 ft", 200, 100)],
)
def test_rings_in_feet(name: str, length: int, width: int) -> None:
    arena = arenas.find_arena(name)
    assert arena is not None
    assert (arena.length_m, arena.width_m) == pytest.approx((length * 0.3048, width * 0.3048))


def test_every_arena_is_longer_than_wide() -> None:
    for name in arenas.arena_names():
        arena = arenas.find_arena(name)
        assert arena is not None
        assert arena.length_m > arena.width_m > 0
        for _, (x, y) in arena.letters:
            assert 0 <= x <= arena.length_m
            assert 0 <= y <= arena.width_m


def test_unknown_arena() -> None:
    assert arenas.find_arena("back paddock") is None


def test_sizes_of_horses() -> None:
    # published (handbook, 2nd-hand) [S1]: normal strides of the chart, exact in feet and inches.
    strides = {facts.size: facts.stride.value / 0.3048 for facts in sizes()}
    assert strides == pytest.approx(
        {"horse": 12.0, "large pony": 11.25, "medium pony": 10.5, "small pony": 10.0}
    )


def test_horses_take_the_stride_of_their_table() -> None:
    assert horses_from_size("horse").stride_m == pytest.approx(12 * 0.3048)
    assert horses_from_size("horse", load_table("metre rule")).stride_m == pytest.approx(3.50)
    assert horses_from_size("small pony", load_table("metre rule")).stride_m == pytest.approx(2.90)
