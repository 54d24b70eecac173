"""Ways that are remembered are those that would be found, and only for what is the same."""

from __future__ import annotations

import numpy as np
import pytest

from diagram.geometry.region import Region
from diagram.path import natural_turn, open_ways
from diagram.path.room import Room
from diagram.pipeline import plan_text

FILE = """\
tapeline: 1
title: {title}
purpose: To be ridden again.
level: 2'6"
arena: {arena}
fences:
  birch: {{kind: vertical, at: [{x} m, 8 m], facing: 0°}}
  hazel: {{kind: vertical, at: [40 m, 22 m], facing: 180°}}
ride:
  - start: canter, left lead
  - jump: birch
  - turn: left
  - jump: hazel
  - finish: straight on, walk
"""


def ridden(title: str = "One", arena: str = "30 x 60 m", x: float = 20) -> list[object]:
    made = plan_text(FILE.format(title=title, arena=arena, x=x))
    return [leg.curve for leg in made.legs]


@pytest.fixture
def found(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What is looked for and not remembered, with nothing remembered."""
    looked: list[str] = []
    forget()
    for module, name in ((natural_turn, "_cheapest_turns"), (open_ways, "_cheapest")):
        own = getattr(module, name)

        def counted(*args: object, own: object = own, name: str = name) -> object:
            looked.append(name)
            return own(*args)  # type: ignore[operator]

        monkeypatch.setattr(module, name, counted)
    return looked


def forget() -> None:
    natural_turn._distinct_turns.cache_clear()
    open_ways.way_in.cache_clear()


def test_other_words_ride_the_same_ways(found: list[str]) -> None:
    first = ridden()
    assert sorted(set(found)) == ["_cheapest", "_cheapest_turns"]
    found.clear()
    assert ridden("Another title") == first
    assert found == []


@pytest.mark.parametrize("other", [{"arena": "30 x 61 m"}, {"x": 20.001}])
def test_another_place_or_arena_is_ridden_anew(found: list[str], other: dict[str, float]) -> None:
    first = ridden()
    found.clear()
    assert ridden(**other) != first  # type: ignore[arg-type]
    assert "_cheapest_turns" in found


def test_what_is_known_is_what_would_be_found(found: list[str]) -> None:
    known = [ridden(x=20 + n / 8) for n in range(4)]
    assert [ridden(x=20 + n / 8) for n in range(4)] == known
    forget()
    found.clear()
    assert [ridden(x=20 + n / 8) for n in (3, 1, 0, 2)] == [known[n] for n in (3, 1, 0, 2)]
    assert found.count("_cheapest_turns") == 4


def test_rooms_are_the_same_to_the_last_bit_or_not() -> None:
    region = Region(((0.0, 0.0), (9.0, 0.0), (9.0, 9.0)))
    a = np.array([[1.0, 2.0]])

    def room(x: float, thick: float = 0.1) -> Room:
        return Room(region, a, np.array([[x, 2.0]]), np.array([thick]))

    assert room(3.0) == room(3.0)
    others = {room(3.0), room(np.nextafter(3.0, 4.0)), room(3.0, 0.2), room(3.0).mirrored()}
    assert len(others | {room(3.0)}) == 4
    assert room(3.0) != region


def test_only_so_many_are_held() -> None:
    for remembered in (natural_turn._distinct_turns, open_ways.way_in):
        assert remembered.cache_parameters() == {"maxsize": 1024, "typed": False}
