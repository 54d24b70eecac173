"""The builder's leaf of small arenas with ten fences and more: names, and rows of few tapes."""

from __future__ import annotations

from functools import cache

import pytest
from samples import each

from diagram.pipeline import plan_text, setting_of
from diagram.scene import Group, Item, Scene, Stroke, Text
from diagram.stakeout.crew import crew_for
from diagram.writers.setting_sheet import sheet_scenes

NAMES = (
    "alder", "birch", "cedar", "dogwood", "elm", "fir", "gorse", "hazel", "ivy", "juniper", "kale",
    "larch", "maple", "nutmeg", "olive", "poplar",
)  # fmt: skip
Place = tuple[str, float, float, int]


def grid() -> list[Place]:
    """Twelve in three rows, each other one from the other side."""
    return [("vertical", 5 + n % 4 * 10, 4 + n // 4 * 6, n % 2 * 180) for n in range(12)]


def sides() -> list[Place]:
    """Sixteen along both long sides."""
    return [("vertical", 3 + n % 8 * 6.2, 2.4 if n < 8 else 22.6, 0) for n in range(16)]


def slants() -> list[Place]:
    """Fourteen, each turned otherwise."""
    return [
        (("vertical", "plank", "wall")[n % 3], 5 + n % 7 * 8, 5.5 + n // 7 * 8 + n % 2 * 1.5,
         n * 37 % 180) for n in range(14)
    ]  # fmt: skip


def lines() -> list[Place]:
    """Twelve, oxers among them, in two rows."""
    return [
        (("vertical", "oxer")[n % 2], 6 + n % 6 * 9.5 + n // 6 * 2, 5.5 + n // 6 * 8.5,
         (0, 0, 90)[n % 3]) for n in range(12)
    ]  # fmt: skip


def cluster() -> list[Place]:
    """Ten in the middle of the arena."""
    return [
        (("cavaletti", "vertical")[n % 2], 15 + n % 5 * 3.2, 7 + n // 5 * 5, n % 2 * 90)
        for n in range(10)
    ]  # fmt: skip


CROWDED = {
    "grid": ("20 x 40 m", grid()), "sides": ("25 x 50 m", sides()),
    "slants": ("20 x 60 m", slants()), "lines": ("20 x 60 m", lines()),
    "cluster": ("20 x 40 m", cluster()),
}  # fmt: skip


@cache
def pages(which: str) -> tuple[Scene, ...]:
    arena, places = CROWDED[which]
    fences = "".join(
        f"  {name}: {{kind: {kind}, at: [{x:g} m, {y:g} m], facing: {facing}\u00b0}}\n"
        for name, (kind, x, y, facing) in zip(NAMES, places, strict=False)
    )
    text = (
        "tapeline: 1\ntitle: Crowded\npurpose: P.\nlevel: 2'3\"\n"
        f"arena: {arena}\nhorses: medium pony\nfences:\n{fences}"
        "ride:\n  - start: canter\n  - jump: alder\n  - finish: straight on, walk\n"
    )
    setting = setting_of(plan_text(text, "crowded.yaml"), crew_for("feet"))
    return sheet_scenes(setting, paper="A4")


def below(item: Item) -> list[Item]:
    if not isinstance(item, Group):
        return [item]
    return [mark for child in item.children for mark in below(child)]


@pytest.mark.parametrize("which", each(2, ((which,) for which in CROWDED)))
def test_no_pieces_run_under_the_side_view_of_a_row(which: str) -> None:
    checked = 0
    for scene in pages(which):
        for group in scene.walk():
            if not isinstance(group, Group) or group.name != "rows":
                continue
            marks = [mark for child in group.children for mark in below(child)]
            words = [mark for mark in marks if isinstance(mark, Text) and "standards," in mark.text]
            strokes = [mark for mark in marks if isinstance(mark, Stroke)]
            for word in words:
                x, y = word.at
                for stroke in strokes:
                    for px, py in stroke.points:
                        checked += 1
                        inside = x + 0.3 < px < x + word.width - 0.3
                        assert not (inside and y - 0.6 * word.size < py < y - 0.2), word.text
    assert checked


@pytest.mark.parametrize("which", each(2, ((which,) for which in CROWDED)))
def test_every_fence_has_its_name_on_the_drawing(which: str) -> None:
    _, places = CROWDED[which]
    said = [
        mark.text for scene in pages(which) for item in scene.walk()
        for mark in below(item) if isinstance(mark, Text)
    ]  # fmt: skip
    for name in NAMES[: len(places)]:
        # In its row, and on the drawing.
        assert said.count(name) >= 2
