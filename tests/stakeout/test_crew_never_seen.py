"""What a crew needs that has never seen the exercise: pegs told apart over leaves, which way a
fence faces, ends of poles, marks of the ride, a field that is proven to its last corner."""

from __future__ import annotations

import io
import math
import re
from pathlib import Path

import numpy as np
import pytest
from made_once import leaves, planned, set_out
from pypdf import PdfReader
from samples import SHIPPED, each

from diagram.drawing.leaf_page import leaf_pages
from diagram.drawing.nearness import gaps
from diagram.drawing.setting_crowd import corners_of
from diagram.exercise.arena import Arena
from diagram.geometry.region import Region
from diagram.lessons.lesson import read_lesson
from diagram.lessons.printing import lesson_pdf
from diagram.pipeline import plan_text, setting_of
from diagram.scene import Box, Disc, Fill, Group, Stroke, Text, walk
from diagram.stakeout.crew import crew_for
from diagram.stakeout.diagonals import diagonals
from diagram.stakeout.leaf_marks import cones, marks_of_leaf, marks_of_ride
from diagram.stakeout.leaf_notes import rail
from diagram.stakeout.leaf_words import LeafWords, words_for
from diagram.stakeout.points import fixed_points
from diagram.stakeout.setting import SettingOut
from diagram.style import INK

SIZE = (277.0, 190.0)

THREE = """\
tapeline: 1
title: Three poles
purpose: One.
arena: 60 x 30 m
horses: horse
fences:
  first: {kind: ground pole, at: [28 m, 8 m], facing: 0°}
  second: {kind: ground pole, placed: 9' beyond first}
  third: {kind: ground pole, placed: 9' beyond second}
ride:
  - start: trot, left rein
  - jump: first
  - line: 9'
  - jump: second
  - line: 9'
  - jump: third
  - finish: walk
"""


def _setting(stem: str) -> SettingOut:
    return set_out(stem, "feet")


def _words(setting: SettingOut) -> LeafWords:
    return words_for(setting.plan, setting.leaf, setting.crew)


# --- Pegs ------------------------------------------------------------------------------------


def test_pegs_go_on_where_those_of_the_leaf_before_end() -> None:
    first = _setting("four-poles-down-the-middle")
    second = setting_of(planned("pony-grid"), crew_for("feet"), first.plan)
    last = max(peg.number for peg in first.leaf.pegs)
    numbers = [peg.number for peg in second.leaf.pegs]
    assert numbers == list(range(last + 1, last + 1 + len(numbers)))
    assert numbers
    used = {r.start for fence in second.leaf.fences for r in fence.readings}
    assert not used & {f"peg {n}" for n in range(1, last + 1)}
    texts = [t.text for t in leaf_pages(second, *SIZE)[0].walk() if isinstance(t, Text)]
    assert any("of a leaf before: none is used here" in text for text in texts)


def test_no_two_leaves_of_a_lesson_share_a_peg(tmp_path: Path) -> None:
    for file in SHIPPED[0].parent.glob("*.yaml"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    lesson = tmp_path / "lesson.yaml"
    lesson.write_text(
        "tapeline lesson: 1\ntitle: L\ntime: 18:00-20:00\nmay move: yes\nset up: as drawn\n"
        "groups:\n  A: {riders: 2, horses: pony, height: 2'}\nrun:\n  - group: A\n"
        "  - warm up: 12 min\n  - exercise: trot-poles-and-a-halt\n"
        "  - exercise: pony-grid\n  - cool down: 5 min\n",
        encoding="utf-8",
    )
    pages = PdfReader(io.BytesIO(lesson_pdf(read_lesson(lesson)))).pages
    set_there = [
        set(re.findall(r"(?:end|side) to peg (\d+)", text))
        for page in pages
        if "builder's leaf" in (text := page.extract_text())
    ]
    assert sum(bool(pegs) for pegs in set_there) >= 2
    every = [peg for pegs in set_there for peg in pegs]
    assert len(every) == len(set(every))


# --- Which way it faces ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("stem", "pressed"),
    [*each(1, ((file.stem, False) for file in SHIPPED)),
     *each(3, ((file.stem, True) for file in SHIPPED))],
)  # fmt: skip
def test_every_fence_with_a_front_says_where_the_horse_comes_from(stem: str, pressed: bool) -> None:
    """On A4, and where the rows are set as tight as they can be."""
    setting = _setting(stem)
    pages = leaf_pages(setting, 297.0, 130.0) if pressed else leaves(stem, "feet", "A4")[:-1]
    texts = [t.text for page in pages for t in page.walk() if isinstance(t, Text)]
    for fence in setting.fences:
        if fence.placed.fence.has_front:
            kind = fence.placed.fence.kind.name
            assert any(t.startswith(f"{kind}, ") and "from " in t for t in texts), fence.name


# --- Ends of poles ---------------------------------------------------------------------------


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_the_end_of_a_pole_is_never_called_like_an_end_of_the_arena(file: Path) -> None:
    setting = _setting(file.stem)
    words = _words(setting)
    for short in (False, True):
        for fence in setting.leaf.fences:
            for line in words.tapes(fence, short=short):
                for text in (line.text, line.named, line.pair):
                    assert not re.search(r"\b(near|far) one\b|\bthat (near|far)\b", text)
                    if not fence.placed.fence.parts.planes:
                        read_at = text.partition(" to ")[2].partition(", nearer")[0]
                        assert not re.search(r"(?<!pole )\bends?$", read_at), text


def test_a_far_end_makes_no_far_standard() -> None:
    """The standard towards the far end may be the nearer one."""
    made = plan_text(THREE.replace("facing: 0°", "facing: 90°").replace("28 m, 8", "28 m, 15"))
    setting = setting_of(made, crew_for("feet"))
    words = _words(setting)
    said = " ".join(line.text for f in setting.leaf.fences for line in words.tapes(f))
    assert "far-end pole end" in said
    assert not re.search(r"\bfar pole end", said)


# --- Marks -----------------------------------------------------------------------------------


def test_a_halt_is_measured_from_the_fence_before_it_and_cones_are_told() -> None:
    words = _words(_setting("over-the-fence-and-halt"))
    said = marks_of_ride(words)
    change = next(leg.ridden.in_and_out for leg in words.plan.legs if leg.ridden.in_and_out)
    assert change is not None
    assert f"halt: {words.figure(change.begin_m)} from the middle of burnet, towards mallow" in said
    assert re.match(r"start: .+ along the kiln end from the road side, .+ out; ", said)
    assert "; finish: " in said
    assert list(cones(words)) == [n for n in words.plan.definition.notes if "cones" in n]
    texts = [t.text for t in leaf_pages(_setting("over-the-fence-and-halt"), *SIZE)[0].walk()
             if isinstance(t, Text)]  # fmt: skip
    assert {"Cones", "Ride"} <= set(texts)


def test_a_letter_that_the_ride_is_told_by_has_its_place() -> None:
    stands = "arena: 60 x 30 m"
    lettered = "arena: {size: 60 x 20 m, letters: yes}"
    text = THREE.replace(stands, lettered).replace(
        "left rein", "left rein, circle left 15 m near A"
    )
    setting = setting_of(plan_text(text), crew_for("feet"))
    assert "letter A: " in marks_of_leaf(_words(setting))


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_marks_of_the_second_leaf_have_their_places_on_it(file: Path) -> None:
    from diagram.drawing.second_leaf import second_leaf

    setting = _setting(file.stem)
    words = _words(setting)
    texts = " ".join(t.text for page in second_leaf(setting, (), *SIZE) for t in page.walk()
                     if isinstance(t, Text))  # fmt: skip
    for fence in setting.fences:
        for foot in fence.feet:
            if not foot.tapes_reach:
                continue
            for name in (foot.ways.tapes.first, foot.ways.tapes.second):
                if name in setting.fixed and not name.startswith("corner "):
                    assert f"{words.mark(name)}: " in texts


# --- Whose a name is -------------------------------------------------------------------------


POLES = [file.stem for file in SHIPPED if "pole" in file.stem or "grid" in file.stem]


@pytest.mark.parametrize("stem", ["", *POLES])
def test_each_order_is_nearer_its_own_pole_than_any_other_or_led_to_it(stem: str) -> None:
    setting = _setting(stem) if stem else setting_of(plan_text(THREE), crew_for("feet"))
    page = leaf_pages(setting, *SIZE)[0]
    groups = {group.name: group for group in page.walk() if isinstance(group, Group)}
    bars = {}
    for fence in setting.plan.fences:
        marks = walk(groups[f"fence-{fence.name.replace(' ', '-')}"].children)
        lines = [item.points for item in marks if isinstance(item, Stroke)]
        bars[fence.name] = max((p for p in lines if len(p) == 2), key=lambda p: math.dist(*p))
    squares: list[Box] = []
    leads: dict[int, tuple[float, float]] = {}
    for item in groups["names"].children:
        if isinstance(item, Fill) and item.colour == INK:
            xs, ys = zip(*item.points, strict=True)
            squares.append(Box(min(xs), min(ys), max(xs), max(ys)))
        elif isinstance(item, Disc):
            leads[len(squares) - 1] = item.centre
    assert len(squares) >= len(setting.leaf.fences)
    for n, fence in enumerate(setting.leaf.fences):
        far = {name: _gap(squares[n], bar) for name, bar in bars.items()}
        dot = leads.get(n)
        if dot is not None:
            far = {name: _gap(Box(*dot, *dot).grown(0.01), bar) for name, bar in bars.items()}
            assert far[fence.name] < 1.0
        assert min(far, key=lambda name: far[name]) == fence.name


def _gap(box: Box, bar: tuple[tuple[float, float], ...]) -> float:
    return float(gaps([corners_of(box)], [(bar[0], bar[1])])[0, 0])


# --- The field -------------------------------------------------------------------------------

FIELDS = {
    "summer field": ((0, 0), (75, 0), (75, 46), (12, 46), (0, 36)),
    "hexagon": ((10, 0), (50, 0), (60, 25), (50, 50), (10, 50), (0, 25)),
    "L": ((0, 0), (60, 0), (60, 30), (30, 30), (30, 60), (0, 60)),
}


def _arena(corners: tuple[tuple[float, float], ...]) -> Arena:
    points = tuple((float(x), float(y)) for x, y in corners)
    sides = {
        f"side {n + 1}": (a, b)
        for n, (a, b) in enumerate(zip(points, points[1:] + points[:1], strict=True))
    }
    return Arena("", Region(points), sides)


@pytest.mark.parametrize("name", FIELDS)
@pytest.mark.parametrize("proven", [None, 0])
def test_sides_and_diagonals_hold_every_corner(name: str, proven: int | None) -> None:
    """The rigidity matrix of a plane framework of n joints has rank 2 n - 3 when nothing can give
    way (textbook: Maxwell 1864, Laman 1970; from memory). Without the diagonals it has not."""
    arena = _arena(FIELDS[name])
    corners = list(arena.region.corners)
    fixed = fixed_points(arena)
    at = corners[proven] if proven is not None else None
    across = [(fixed[d.start], fixed[d.end]) for d in diagonals(arena, at)]
    if proven is not None and len(across) < len(corners) - 3:
        across.append((corners[proven - 1], corners[proven + 1]))
    assert len(across) == len(corners) - 3
    sides = list(arena.sides.values())
    assert _rank(corners, [*sides, *across]) == 2 * len(corners) - 3
    assert _rank(corners, sides) < 2 * len(corners) - 3
    for a, b in diagonals_lines(arena, at):
        for share in np.linspace(0.02, 0.98, 49):
            place = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
            assert arena.region.depth(place) > -0.06


def diagonals_lines(arena: Arena, at):  # type: ignore[no-untyped-def]
    fixed = fixed_points(arena)
    return [(fixed[d.start], fixed[d.end]) for d in diagonals(arena, at)]


def _rank(corners, bars) -> int:  # type: ignore[no-untyped-def]
    rows = np.zeros((len(bars), 2 * len(corners)))
    for n, (a, b) in enumerate(bars):
        i, j = corners.index(a), corners.index(b)
        along = np.subtract(b, a)
        rows[n, 2 * i : 2 * i + 2], rows[n, 2 * j : 2 * j + 2] = -along, along
    return int(np.linalg.matrix_rank(rows, tol=1e-6))


def test_the_leaf_of_a_field_with_five_corners_has_the_diagonal() -> None:
    words = _words(_setting("two-lines-one-fence"))
    said = rail(words)
    [one] = re.findall(r"Corner to corner: (.+?) to (.+?) corner ([\d' +×\"]+)\.", said)
    assert one[2] == words.pieces(math.dist((75.0, 46.0), (0.0, 36.0)))
    assert "Corner to corner" not in rail(_words(_setting("pony-grid")))
