"""The drawing and the rows of the leaf, on every exercise that ships: one page for up to eight
fences, lengths of 14 points and more, no word on another, on a fence or outside the page.

Half a dozen exercises made up by a generator as well; `TAPELINE_MANY=500` makes five hundred.
"""

from __future__ import annotations

import math
import os
from collections.abc import Iterator

import pytest
from made_exercises import made_plan, made_plans
from made_once import leaves, set_out
from msgspec.structs import replace
from samples import SHIPPED, each

from diagram.drawing.leaf_page import SAFETY, leaf_pages
from diagram.drawing.leaf_page import TOP as LEAF_TOP
from diagram.drawing.side_view import side_view
from diagram.pipeline import setting_of
from diagram.scene import Fill, Group, Item, Scene, Stroke, Text, walk
from diagram.stakeout.crew import crew_for
from diagram.stakeout.leaf_words import words_for
from diagram.style import Pen
from diagram.units import Units, parse_length
from diagram.writers.setting_sheet import sheet_scenes

MADE = int(os.environ.get("TAPELINE_MANY", "4"))
POINT = 25.4 / 72
CALLED = 14 * POINT
"""What is called out while walking is read at arm's length: 14 points and more."""
CAPITALS = 0.66
"""Height of capitals and figures of the typeface as a share of its size (measured)."""
MOST = 8
"""Fences that one leaf holds."""
IN_EITHER = [
    *each(1, ((file.stem, "feet") for file in SHIPPED)),
    *each(2, ((file.stem, "metres") for file in SHIPPED)),
]
"""Leaves of every exercise that ships; `.ci/long` tries those in metres of all of them, too."""
Quad = tuple[tuple[float, float], ...]


def _group(scene: Scene, name: str) -> Group:
    return next(g for g in scene.walk() if isinstance(g, Group) and g.name == name)


def _texts(group: Group) -> Iterator[Text]:
    for item in group.children:
        if isinstance(item, Group):
            yield from _texts(item)
        elif isinstance(item, Text) and item.text.strip():
            yield item


def _ink(text: Text) -> Quad:
    """The corners of the figures and capitals, turned as the text is."""
    width = text.width
    start = {"start": 0.0, "middle": -width / 2, "end": -width}[text.anchor]
    c, s = math.cos(math.radians(text.angle)), -math.sin(math.radians(text.angle))
    (x, y), high = text.at, CAPITALS * text.size
    local = ((start, 0.0), (start + width, 0.0), (start + width, -high), (start, -high))
    return tuple((x + c * u - s * v, y + s * u + c * v) for u, v in local)


def _apart(one: Quad, other: Quad) -> bool:
    """Whether some edge of one of two convex corners-in-order parts them (separating axis)."""
    for shape in (one, other):
        for (ax, ay), (bx, by) in zip(shape, (*shape[1:], shape[0]), strict=True):
            nx, ny = by - ay, ax - bx
            first = [nx * x + ny * y for x, y in one]
            second = [nx * x + ny * y for x, y in other]
            if max(first) <= min(second) + 1e-6 or max(second) <= min(first) + 1e-6:
                return True
    return False


def _fences(scene: Scene) -> list[Quad]:
    """The poles on paper: the fills and strokes of each fence, as the box along its own poles."""
    out: list[Quad] = []
    for fence in _group(scene, "fences").children:
        assert isinstance(fence, Group)
        for item in walk(fence.children):
            if isinstance(item, Stroke) and len(item.points) == 2:
                (ax, ay), (bx, by) = item.points
                length = math.dist(*item.points) or 1.0
                nx, ny = (by - ay) / length * 0.2, -(bx - ax) / length * 0.2
                out.append(((ax + nx, ay + ny), (bx + nx, by + ny),
                            (bx - nx, by - ny), (ax - nx, ay - ny)))  # fmt: skip
    return out


def _overlaps(scene: Scene) -> Iterator[str]:
    plan_group = _group(scene, "plan")
    words = [(text.text, _ink(text)) for text in _texts(plan_group)]
    for n, (said, quad) in enumerate(words):
        for x, y in quad:
            if not (-0.5 < x < scene.width + 0.5 and -0.5 < y < scene.height + 0.5):
                yield f"{said!r} is off the page"
        yield from (f"{said!r} lies on {o!r}" for o, q in words[n + 1 :] if not _apart(quad, q))
    figures = [(text.text, _ink(text)) for text in _texts(_group(scene, "figures"))]
    for said, quad in figures:
        if any(not _apart(quad, fence) for fence in _fences(scene)):
            yield f"{said!r} lies on a fence"
    yield from _strays(scene)
    thin = [m for n in ("figures", "names") for m in _strokes(_group(scene, n))]
    for said, quad in words:
        yield from (f"{said!r} is struck through" for line in thin if _gap(quad, line.points) == 0)


def _strokes(group: Group) -> list[Stroke]:
    return [mark for mark in group.children if isinstance(mark, Stroke)]


def _strays(scene: Scene) -> Iterator[str]:
    """Figures that a tape or a line of the ride other than their own runs through, or that are as
    near to another. Which line is whose is told by its length on the paper."""
    texts = list(_texts(_group(scene, "figures")))
    figures = [(text.text, _ink(text)) for text in texts]
    lines = [mark.points for mark in _group(scene, "tapes").children if isinstance(mark, Stroke)]
    leaders = [m for m in _group(scene, "figures").children if isinstance(m, Stroke)]
    tried = [math.dist(*line) / _metres(said) for said, _ in figures for line in lines]
    found = [(_matched(figures, lines, scale), scale) for scale in sorted(set(tried))]
    if not found:
        return
    _, scale = max(found)
    for text, (said, quad) in zip(texts, figures, strict=True):
        own = [line for line in lines if _is_read(said, line, scale)]
        if not own:
            yield f"{said!r} is the length of no line"
            continue
        mine = min(own, key=lambda line: _gap(quad, line))
        others = [line for line in lines if line is not mine]
        if text.weight == "bold":
            # A length of the ride must be there, also where a tape lies along it.
            others = [line for line in others if not _on(line, mine)]
        least = min((_gap(quad, line) for line in others), default=math.inf)
        led = any(_gap(quad, leader.points) < 0.8 for leader in leaders)
        if least < 0.1:
            yield f"{said!r} is crossed by another line"
        elif least < _gap(quad, mine) + 0.3 and not led:
            yield f"{said!r} is as near to another line as to its own"


def _metres(said: str) -> float:
    return parse_length(said.replace("½", ".5").replace("¼", ".25"))


def _is_read(said: str, line: Quad, scale: float) -> bool:
    return abs(math.dist(*line) / scale - _metres(said)) < 0.055


def _matched(figures: list[tuple[str, Quad]], lines: list[Quad], scale: float) -> tuple[int, float]:
    """How many figures are the length of a line at a scale, and how near they are to it."""
    gaps = [[_gap(q, line) for line in lines if _is_read(said, line, scale)] for said, q in figures]
    return sum(bool(found) for found in gaps), -sum(min(found, default=0.0) for found in gaps)


def _gap(quad: Quad, line: Quad) -> float:
    """Millimetres from a word to a line, 0 where that runs through it."""
    (ax, ay), (bx, by) = line
    length = math.dist(*line) or 1.0
    nx, ny = (by - ay) / length * 0.1, (ax - bx) / length * 0.1
    ink = ((ax + nx, ay + ny), (bx + nx, by + ny), (bx - nx, by - ny), (ax - nx, ay - ny))
    if not _apart(quad, ink):
        return 0.0
    edges = list(zip(quad, (*quad[1:], quad[0]), strict=True))
    return min(
        *(_to(corner, line) for corner in quad), *(_to(tip, edge) for tip in line for edge in edges)
    )


def _to(at: tuple[float, float], line: Quad) -> float:
    (ax, ay), (bx, by) = line
    way = complex(bx - ax, by - ay)
    share = ((at[0] - ax) * way.real + (at[1] - ay) * way.imag) / (abs(way) ** 2 or 1.0)
    share = max(0.0, min(1.0, share))
    return math.dist(at, (ax + share * way.real, ay + share * way.imag))


def _on(one: Quad, other: Quad) -> bool:
    """Whether the shorter of two lines lies along the longer one: no figure parts them."""
    short, long = sorted((one, other), key=lambda line: math.dist(*line))
    return all(_to(tip, long) < 0.6 for tip in short)


@pytest.mark.parametrize(
    ("stem", "units", "paper"),
    [
        *each(1, ((file.stem, "feet", "A4") for file in SHIPPED)),
        *each(2, ((file.stem, "metres", "A4") for file in SHIPPED)),
        *each(4, ((file.stem, "feet", "Letter") for file in SHIPPED)),
        *each(4, ((file.stem, "metres", "Letter") for file in SHIPPED[1:])),
    ],
)
def test_one_page_and_nothing_over_anything(stem: str, units: Units, paper: str) -> None:
    found = [s for s in leaves(stem, units, paper) if s.title.startswith("Builder's leaf")]
    assert len(set_out(stem, units).leaf.fences) <= MOST
    assert len(found) == 1
    assert not list(_overlaps(found[0]))


@pytest.mark.parametrize(("stem", "units"), IN_EITHER)
def test_what_is_called_out_is_large(stem: str, units: Units) -> None:
    """Every reading in a row, every length on the drawing and in the checks."""
    setting = set_out(stem, units)
    leaf = leaves(stem, units, "A4")[0]
    words = words_for(setting.plan, setting.leaf, setting.crew)
    groups = [g for g in leaf.walk() if isinstance(g, Group) and g.name == "rows"]
    rows = [text for group in groups for text in _texts(group)]
    for text in _texts(_group(leaf, "figures")):
        assert text.size >= CALLED - 1e-9, text.text
    for fence in setting.leaf.fences:
        for reading in fence.readings:
            for metres in reading.read_m:
                figure = words.figure(metres)
                large = [t for t in rows if figure in t.text and t.size >= CALLED - 1e-9]
                assert large, f"{figure} of {fence.name}"


@pytest.mark.parametrize(("stem", "units"), IN_EITHER)
def test_no_tape_is_too_short(stem: str, units: Units) -> None:
    setting = set_out(stem, units)
    assert not setting.crew.joined(setting.leaf.longest_m)


@pytest.mark.parametrize("stem", [file.stem for file in SHIPPED])
def test_every_line_of_the_ride_has_its_length_on_the_drawing(stem: str) -> None:
    """A figure may go from the drawing only where a row has it; the length of a line never."""
    setting = set_out(stem, "feet")
    leaf = leaves(stem, "feet", "A4")[0]
    on_paper = [text.text for text in _texts(_group(leaf, "figures"))]
    lines = len([item for item in _group(leaf, "arrows").children if isinstance(item, Fill)])
    bold = [t for t in _texts(_group(leaf, "figures")) if t.weight == "bold"]
    combined = {f.fence.whole for f in setting.plan.fences if f.fence.whole}
    assert combined or len(bold) == lines
    assert len(on_paper) >= lines - len(setting.plan.fences) * bool(combined)


def test_black_is_explained_where_a_pole_is_black() -> None:
    for stem, spread in (("fan-of-three-angles", True), ("figure-of-eight-with-new-leads", False)):
        leaf = leaves(stem, "feet", "A4")[0]
        said = " ".join(text.text for text in _texts(_group(leaf, "foot")))
        assert (SAFETY in said) is spread


def test_made_up_exercises_overlap_nowhere() -> None:
    """Fences anywhere, eight at most: one page each, and no word over another."""
    wrong: list[str] = []
    for seed, made in made_plans(MADE):
        if len(made.fences) > MOST:
            continue
        for units, (width, height) in (("feet", (277.0, 190.0)), ("metres", (261.4, 197.9))):
            setting = setting_of(made, crew_for(units))  # type: ignore[arg-type]
            pages = leaf_pages(setting, width, height)
            wrong += [f"{seed} {units}: {said}" for said in _overlaps(pages[0])]
            if len(pages) != 1:
                wrong.append(f"{seed} {units}: {len(pages)} pages for {len(made.fences)} fences")
    assert not wrong, f"{len(wrong)}: {wrong[:40]}"


@pytest.mark.parametrize(
    ("seed", "units"), each(2, ((48, "feet"), (78, "metres"), (304, "metres")))
)
def test_eight_fences_of_many_tapes_are_one_page(seed: int, units: Units) -> None:
    """Every length is there; a line that no row reads is still checked."""
    setting = setting_of(made_plan(seed), crew_for(units))
    pages = leaf_pages(setting, 277.0, 190.0)
    assert len(pages) == 1
    words = words_for(setting.plan, setting.leaf, setting.crew)
    said = " ".join(mark.text for mark in pages[0].walk() if isinstance(mark, Text))
    lengths = [m for fence in setting.leaf.fences for tape in fence.readings for m in tape.read_m]
    lengths += [check.read_m for check in setting.leaf.checks]
    assert [words.figure(m) for m in lengths if words.figure(m) not in said] == []


@pytest.mark.parametrize("seed", [36, 105])
def test_a_fence_outside_the_arena_is_on_the_page(seed: int) -> None:
    """It must not be ridden, and is seen where it stands."""
    made = made_plan(seed)
    leaf = sheet_scenes(setting_of(made, crew_for("feet")))[0]
    assert not list(_overlaps(leaf))
    fences = _group(leaf, "fences")
    assert len(fences.children) == len(made.fences)
    for x, y in (point for quad in _fences(leaf) for point in quad):
        assert 0.0 <= x <= leaf.width
        assert LEAF_TOP - 1.0 <= y <= leaf.height


def test_a_side_view_keeps_off_the_figures_of_its_row() -> None:
    """A triple bar in a low row: three heights beside it would push it over them."""
    made = made_plan(105)
    bar = next(fence for fence in made.fences if len(fence.fence.parts.planes) == 3)
    marks = list(side_view(bar, False, 117.0, 12.0, (26.0, 12.0), "feet"))
    assert min(mark.bbox().left for mark in marks) > 117.0 - 26.0 - 4.0


def test_the_test_can_fail() -> None:
    """Two words in one place do overlap; a turned one beside another does not."""
    one, same = Text((10, 10), "29'5\"", 4.0), Text((12, 10), "9'5\"", 4.0)
    assert not _apart(_ink(one), _ink(same))
    turned = Text((9.5, 10), "29'5\"", 4.0, angle=90.0)
    assert _apart(_ink(one), _ink(turned))
    items: tuple[Item, ...] = (
        Group(
            "plan",
            (one, same, *(Group(name, ()) for name in ("figures", "fences", "tapes", "names"))),
        ),
    )
    assert list(_overlaps(Scene(100, 100, items, "t", "d", "en")))


def test_a_figure_that_strays_is_seen() -> None:
    """One on its own line is well; the same beside another of another length, or struck through."""
    pen = Pen("#000000", 0.35)
    own, other = Stroke(((10, 20), (70, 20)), pen), Stroke(((10, 40), (60, 40)), pen)
    ten = Text((40, 21), "10.00 m", 5.0, anchor="middle")

    def said(at: tuple[float, float], more: tuple[Stroke, ...] = ()) -> list[str]:
        figures = (ten, Text(at, "8.33 m", 5.0, anchor="middle"))
        groups = (Group("figures", figures), Group("tapes", (own, other, *more)))
        return list(_strays(Scene(100, 100, (Group("plan", groups),), "t", "d", "en")))

    assert said((40, 39)) == []
    assert said((40, 26)) == ["'8.33 m' is as near to another line as to its own"]
    across = Stroke(((40, 25), (40, 60)), pen)
    assert said((40, 39), (across,)) == ["'8.33 m' is crossed by another line"]


def test_many_checks_go_on_a_leaf_of_their_own() -> None:
    """Where no drawing fits above them; nothing is lost, and nothing raises."""
    setting = set_out("test-at-3ft6", "feet")
    leaf = replace(setting.leaf, checks=setting.leaf.checks * 5)
    pages = leaf_pages(replace(setting, leaf=leaf), 277.0, 190.0)
    assert len(pages) == 2
    said = [mark.text for mark in pages[1].walk() if isinstance(mark, Text)]
    assert sum("off:" in text for text in said) == len(leaf.checks)
