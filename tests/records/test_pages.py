"""The pages: nothing over anything, nothing too small, no word and no name out of place."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterable
from functools import cache
from itertools import combinations
from pathlib import Path

import pytest
from filling import ON, ROOT
from msgspec.structs import replace
from pypdf import PdfReader

from diagram.drawing import everyone, figures, observation
from diagram.drawing import readiness as readiness_drawing
from diagram.drawing.observed_columns import (
    NAMES as NAMES_WIDE,
)
from diagram.drawing.observed_columns import (
    ROOMY_NOTES,
    ROUND,
    column_width,
    shortened,
    widening,
)
from diagram.pipeline import plan
from diagram.planning import Plan
from diagram.records import words
from diagram.records.apart import Fit
from diagram.records.figures import figures_page
from diagram.records.file import RecordFile
from diagram.records.history import read_history
from diagram.records.observing import (
    Column,
    ObservationSheet,
    PairRow,
    SheetPart,
    observation_sheet,
)
from diagram.records.pages import ReadinessPage, readiness_page
from diagram.records.rates import Rate
from diagram.records.readiness import Readiness, readiness
from diagram.records.sheets import new_sheet
from diagram.records.step_file import SHIPPED, read_step
from diagram.records.strides import leg_figures
from diagram.records.tries import tries_of
from diagram.records.values import History, Pair
from diagram.records.yard import yard_pages
from diagram.scene import Fill, Group, Item, Scene, Text
from diagram.sections.page import PAPERS
from diagram.style import points
from diagram.writers.record import pages_bytes

STEP = read_step(SHIPPED / "from-2ft9-to-3ft.yaml")
SMALLEST = points(8.5)
EDGE = 8.0
NEVER = ("ready", "fit for", "passed", "failed", "weak", "talent", "per cent", "percent", "rank")


def texts(items: Iterable[Item]) -> list[Text]:
    found: list[Text] = []
    for item in items:
        if isinstance(item, Text):
            found.append(item)
        elif isinstance(item, Group):
            found += texts(item.children)
    return found


def check_page(scene: Scene) -> None:
    words = texts(scene.items)
    for one in words:
        assert one.size >= SMALLEST - 1e-9, one
        box = one.bbox()
        assert box.left >= EDGE, one
        assert box.right <= scene.width - EDGE + 0.01, one
        assert box.top >= 4, one
        assert box.bottom <= scene.height - 4, one
    # Advances and ink both count in a box, so that touching words of one line do overlap.
    boxes = [(one, one.bbox().grown(-0.12)) for one in words]
    for (one, box), (other, lies) in combinations(boxes, 2):
        assert not box.overlaps(lies), (one, other)


def pair_of(history: History, name: str) -> Pair:
    return next(pair for pair in history.pairs if pair.name == name)


NAMES = ("Ida and Bramble", "Ida and Comet", "Jonas and Comet", "Marit and Sorrel",
         "Tess and Bramble")  # fmt: skip


@pytest.fixture(scope="module")
def stands(invented: History, fitted: Fit) -> Callable[[str], Readiness]:
    """How a pair of the invented record stands, found once."""
    return cache(lambda name: readiness(invented, pair_of(invented, name), STEP, ON, fitted))


def page_for(found: Readiness, reader: str) -> ReadinessPage:
    return readiness_page(found, reader=reader)  # type: ignore[arg-type]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("reader", ["trainer", "parent"])
def test_the_page_of_a_pair(
    stands: Callable[[str], Readiness], name: str, reader: str, paper: str
) -> None:
    page = page_for(stands(name), reader)
    scene = readiness_drawing.page_of(page, PAPERS[paper])
    check_page(scene)
    words = " ".join(one.text for one in texts(scene.items)).lower()
    for word in NEVER:
        assert not re.search(rf"\b{word}\b", words), word
    assert "the trainer decides" in words


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", NAMES)
def test_the_second_page_of_a_pair(
    invented: History, stands: Callable[[str], Readiness], name: str, paper: str
) -> None:
    found = stands(name)
    page = figures_page(found)
    check_page(figures.page_of(page, PAPERS[paper]))
    printed = sum(len(group.rows) for group in page.legs)
    assert printed + page.left_out == len(leg_figures(found.rounds))
    for row in page.compared:
        for side in row.sides:
            # A range is drawn for five tries or more, and holds what was seen.
            tries = int(side.text.split(" of ")[1]) if " of " in side.text else 0
            assert (side.low is None) == (tries < 5)
            if side.low is not None and side.high is not None:
                assert side.low <= side.share <= side.high
    others = {p.name for p in invented.people} - {found.pair.person.name}
    words = " ".join(one.text for one in texts(figures.page_of(page, PAPERS[paper]).items))
    assert not any(other in words for other in others)


def test_the_second_page_of_somebody_never_seen(invented: History) -> None:
    nobody = History("", "", invented.people, invented.horses, invented.pairs, (), (), ())
    pair = pair_of(invented, "Tess and Bramble")
    page = figures_page(readiness(nobody, pair, STEP, ON, None))
    assert page.legs == ()
    check_page(figures.page_of(page, PAPERS["A4"]))


@pytest.mark.parametrize("name", NAMES)
def test_a_page_for_a_parent_names_no_other(
    invented: History, stands: Callable[[str], Readiness], name: str
) -> None:
    page = page_for(stands(name), "parent")
    words = " ".join(one.text for one in texts(readiness_drawing.page_of(page, PAPERS["A4"]).items))
    pair = pair_of(invented, name)
    others = {p.name for p in invented.people} | {h.name for h in invented.horses}
    for other in others - {pair.person.name, pair.horse.name}:
        assert other not in words


def test_what_only_others_showed_on_the_horse_is_said_so(
    invented: History, stands: Callable[[str], Readiness]
) -> None:
    """Comet jumped 3 feet, and a filler, under Ida; Jonas never did."""
    found = stands("Jonas and Comet")
    only = [one for one in found.by("horse") if one.only_with_others]
    for one in only:
        assert not any(
            try_.round.pair.pair_id == found.pair.pair_id
            for try_ in tries_of(one.requirement, found.pair, invented.rounds)
        )
    assert "single fences of 3 feet" in {one.requirement.noun for one in only}
    rows = {row.words: row for row in readiness_page(found).groups[0].rows}
    parents = {row.words: row for row in readiness_page(found, reader="parent").groups[0].rows}
    assert rows["one of 3' among lower ones"].others == "only under Ida"
    assert parents["one of 3' among lower ones"].others == "under others only"
    said = readiness_page(found).sentences[1]
    assert "Seen under other riders only, never Jonas: single fences of 3 feet" in said


def test_the_counts_in_the_sentences_are_those_of_the_rows(
    stands: Callable[[str], Readiness],
) -> None:
    page = page_for(stands("Ida and Bramble"), "trainer")
    ticked = [sum(row.state == "shown" for row in group.rows) for group in page.groups]
    assert f"Bramble has shown {ticked[0]} of 5, Ida {ticked[1]} of 5" in page.sentences[0]
    stops = next(row for row in page.groups[0].rows if row.words == "no stop, no run-out")
    if stops.state == "shown" and stops.of != f" of {stops.count}":
        assert f"went over {stops.count}{stops.of} fences" in page.sentences[1]


def test_without_a_step_heights_and_strides_are_left(invented: History, fitted: Fit) -> None:
    found = readiness(invented, pair_of(invented, "Ida and Bramble"), None, ON, fitted)
    page = readiness_page(found)
    assert page.groups == ()
    assert page.heights
    check_page(readiness_drawing.page_of(page, PAPERS["A4"]))


def test_somebody_never_seen(invented: History) -> None:
    pair = pair_of(invented, "Tess and Bramble")
    nobody = History("", "", invented.people, invented.horses, invented.pairs, (), (), ())
    page = readiness_page(readiness(nobody, pair, STEP, ON, None))
    assert {row.state for group in page.groups for row in group.rows} == {"never tried"}
    assert page.seen == "No round seen yet."
    check_page(readiness_drawing.page_of(page, PAPERS["A4"]))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_everyone(invented: History, fitted: Fit, paper: str) -> None:
    found = [readiness(invented, pair, STEP, ON, fitted) for pair in invented.pairs]
    pages = yard_pages(found)
    assert len(pages) == 1
    short, long = PAPERS[paper]
    scene = everyone.page_of(pages[0], (long, short))
    check_page(scene)
    assert "not a ranking" in pages[0].seen
    assert len(yard_pages([*found, *found])) == 2


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("rows", [1, 5, 8])
@pytest.mark.parametrize("name", ["every-fence-twice", "serpentine-of-bends", "circle-of-four"])
def test_the_observation_sheet(
    invented_file: Path, plans: dict[str, Plan], tmp_path: Path, rows: int, name: str, paper: str
) -> None:
    path = tmp_path / "copy.sqlite"
    path.write_bytes(invented_file.read_bytes())
    names = [("Ida", "Bramble"), ("Ida", "Comet"), ("Jonas", "Comet"), ("Marit", "Sorrel"),
             ("Tess", "Bramble"), ("Tess", "Comet"), ("Jonas", "Sorrel"),
             ("Marit", "Comet")]  # fmt: skip
    with RecordFile(path) as record:
        sheet = new_sheet(record, [plans[name]], names[:rows], height_mm=838)
        page = observation_sheet(sheet, read_history(record), ON, step=STEP)
    short, long = PAPERS[paper]
    scenes = observation.pages_of(page, (long, short))
    for scene in scenes:
        check_page(scene)
    if name == "every-fence-twice" and paper == "A4":
        assert len(scenes) == 1
        # One requirement of each pair has black corners: more, and nobody looks.
        assert all(0 < len(row.look) <= 3 for row in page.rows[:5])


def test_a_lesson_of_several_exercises_and_big_boxes(
    record: RecordFile, plans: dict[str, Plan]
) -> None:
    pairs = [("Ida", "Bramble"), ("Jonas", "Bramble"), ("Tess", "Comet"), ("Ida", "Comet"),
             ("Jonas", "Comet")]  # fmt: skip
    both = [plans["every-fence-twice"], plans["circle-of-four"]]
    sheet = new_sheet(record, both, pairs, height_mm=762)
    page = observation_sheet(sheet, read_history(record), ON, big=True)
    scenes = observation.pages_of(page, (297, 210))
    assert len(scenes) >= 4
    for scene in scenes:
        check_page(scene)


def test_black_corners_on_a_lesson_are_of_one_requirement(
    invented_file: Path, plans: dict[str, Plan], tmp_path: Path
) -> None:
    path = tmp_path / "copy.sqlite"
    path.write_bytes(invented_file.read_bytes())
    names = ("circle-of-four", "serpentine-of-bends", "every-fence-twice")
    with RecordFile(path) as record:
        several = [plans[name] for name in names]
        sheet = new_sheet(record, several, [("Ida", "Bramble")], height_mm=838)
        page = observation_sheet(sheet, read_history(record), ON, step=STEP)
    (row,) = page.rows
    assert row.look
    assert {n for n, _ in row.look} <= {0, 1, 2}
    for scene, part in zip(observation.pages_of(page, (297, 210)), page.parts, strict=True):
        check_page(scene)
        corners = [i for i in scene.items if isinstance(i, Fill) and len(i.points) == 3]
        keyed = any(n == part.number for n, _ in row.look)
        # One for each element, and one in the line of keys where the page has any.
        assert len(corners) == sum(n == part.number for n, _ in row.look) + keyed


def test_the_file_is_one_page_each_and_the_same_bytes(stands: Callable[[str], Readiness]) -> None:
    page = page_for(stands("Ida and Bramble"), "trainer")
    scene = readiness_drawing.page_of(page, PAPERS["A4"])
    data = pages_bytes([scene, scene])
    assert data == pages_bytes([scene, scene])
    pages = PdfReader(io.BytesIO(data)).pages
    assert len(pages) == 2
    assert "Ida and Bramble" in pages[0].extract_text()
    with pytest.raises(ValueError, match="no page"):
        pages_bytes([])


def test_a_combination_is_judged_at_its_last_part(record: RecordFile) -> None:
    """What its step says of both parts can be judged only once both are jumped."""
    double = plan(ROOT / "exercises" / "forward-wait-and-a-double.yaml")
    sheet = new_sheet(record, [double], [("Ida", "Bramble")], height_mm=762)
    marks = {e.called: e.pass_mark for e in sheet.exercises[0].elements}
    assert marks["4a"] == "Six even ones, and the double square in front of you at the fourth."
    assert marks["4b"] == "One stride, straight through the middle of both."


def test_few_pairs_leave_lines_to_write_on_and_many_none(
    record: RecordFile, plans: dict[str, Plan]
) -> None:
    sheet = new_sheet(record, [plans["circle-of-four"]], [("Ida", "Bramble")], height_mm=762)
    for blank, there in ((0, True), (7, False)):
        page = observation_sheet(sheet, read_history(record), ON, blank=blank)
        (scene,) = observation.pages_of(page, (297, 210))
        check_page(scene)
        words = {one.text for one in texts(scene.items)}
        assert ("for next time" in words) is there


def test_a_whole_pass_mark_goes_before_room_for_notes(
    record: RecordFile, plans: dict[str, Plan]
) -> None:
    sheet = new_sheet(record, [plans["circle-of-four"]], [("Ida", "Bramble")], height_mm=762)
    page = observation_sheet(sheet, read_history(record), ON)
    columns = page.parts[0].columns
    widths = widening(columns, 277.0)
    used = sum(w * column_width(c) for w, c in zip(widths, columns, strict=True))
    assert 277.0 - NAMES_WIDE - ROUND - used >= ROOMY_NOTES - 1e-9
    assert shortened(page, (297, 210)) == []


def test_no_corners_where_everything_would_have_one(
    invented_file: Path, plans: dict[str, Plan], tmp_path: Path
) -> None:
    """Of "no stop" every fence is a try: a corner in each column would tell nobody anything."""
    path = tmp_path / "copy.sqlite"
    path.write_bytes(invented_file.read_bytes())
    only = replace(STEP, requirements=tuple(r for r in STEP.requirements if r.key == "no stop"))
    hard = replace(only.requirements[0].ask, right=100, of=100, tries=9999)
    never = replace(only, requirements=(replace(only.requirements[0], ask=hard),))
    with RecordFile(path) as record:
        sheet = new_sheet(record, [plans["circle-of-four"]], [("Ida", "Bramble")], height_mm=838)
        page = observation_sheet(sheet, read_history(record), ON, step=never)
    assert page.rows[0].look == frozenset()


@pytest.mark.parametrize(("x", "said"), [(192, "192"), (190, "190 of 192")])
def test_what_was_missed_is_not_left_out_of_the_words(x: int, said: str) -> None:
    """Two stops are two stops to a parent as well."""
    assert words._share(Rate(x, 192, 4, 0.9, 1.0)) == said


def test_pass_marks_that_are_cut_are_whole_at_the_foot() -> None:
    """A column too narrow for its pass mark has a part of it; the foot of the sheet has it all."""
    mark = "the canter stays what it was at the first fence, counted aloud, over the middle, three"
    columns = tuple(
        Column(n, str(n), 0, f"fence {n}", "5 strides", (f"{mark} times", f"{mark} times running"),
               True, (), False)
        for n in range(1, 9)
    )  # fmt: skip
    rows = tuple(PairRow(f"R{n}", f"H{n}", "", frozenset()) for n in range(8))
    sheet = ObservationSheet(1, "3'", "Arena", 3, (SheetPart(0, "T", columns),), rows, False)
    for page in observation.pages_of(sheet, (297.0, 210.0)):
        check_page(page)
        said = " ".join(one.text for one in texts(page.items))
        called = [c for c in columns if f" {c.name} " in f" {said} "]
        assert called
        for column in called:
            assert f"{column.called} {column.name}: {mark} times running" in said


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_key_of_the_readiness_page_is_whole(
    stands: Callable[[str], Readiness], paper: str
) -> None:
    """In two lines where one is too short."""
    foot = (
        "steps-of-a-long-name.yaml: common practice. Bar: holds the true rate in 8 of 10 cases; "
        "white: seen, black: asked. Narrowly: part of it is below what is asked. Months: all "
        "heights."
    )
    page = page_for(stands("Ida and Bramble"), "trainer")
    scene = readiness_drawing.page_of(replace(page, foot=foot), PAPERS[paper])
    check_page(scene)
    assert foot in " ".join(one.text for one in texts(scene.items))
