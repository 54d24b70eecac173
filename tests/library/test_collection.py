"""A folder as a collection: order, links, names, shared files, and one bad file."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from library_trials import STORES, exercise, library
from msgspec import ValidationError, convert, to_builtins
from samples import YARD_FILES

from diagram.diagnostics import RejectedError
from diagram.library.collection import read_library
from diagram.library.entry import Entry
from diagram.library.fits import fits, rectangles
from diagram.library.folding import fold, stem_in_ascii
from diagram.library.links import circles
from diagram.library.search import WantedExercise, search
from diagram.pipeline import plan


def test_by_group_then_from_low_to_high_then_by_title(tmp_path: Path) -> None:
    folder = library(
        tmp_path, a=exercise("Z", teaches="grids"), b=exercise("Y", level="3'"),
        c=exercise("X", level="2'"), d=exercise("W", level="3'"), e=exercise("V", teaches=""),
    )  # fmt: skip
    read = read_library(folder)
    assert [entry.stem for entry in read.entries] == ["c", "d", "b", "a", "e"]
    assert read.groups == ("straightness", "grids", "")


def test_a_library_may_order_the_groups_itself(tmp_path: Path) -> None:
    folder = library(
        tmp_path, a=exercise(teaches="grids"), b=exercise(),
        library="tapeline library: 1\ngroups: [poles, grids]\n",
    )  # fmt: skip
    assert read_library(folder).groups == ("grids", "straightness")


def test_a_link_said_on_one_side_is_known_on_both(tmp_path: Path) -> None:
    folder = library(
        tmp_path, a=exercise(more=["comes before: b"]), b=exercise(),
        c=exercise(more=["comes after: [b]"]),
    )  # fmt: skip
    links = read_library(folder).links
    assert links.problems == ()
    assert links.before == {"a": (), "b": ("a",), "c": ("b",)}
    assert links.after == {"a": ("b",), "b": ("c",), "c": ()}


def test_links_to_nothing_and_in_a_circle_are_told(tmp_path: Path) -> None:
    folder = library(
        tmp_path, fan=exercise(more=["comes before: grid"]),
        grid=exercise(more=["comes before: eight"]), eight=exercise(more=["comes before: fan"]),
        box=exercise(more=["comes after: fam"]),
    )  # fmt: skip
    told = [(p.message, p.hint) for p in read_library(folder).problems]
    assert told == [
        ('comes after: no exercise of this library is in a file "fam"', 'did you mean "fan"?'),
        ("these come before each other: eight, then fan, then grid", "take one of the links out"),
    ]


@given(st.dictionaries(st.sampled_from("abcdefgh"), st.sets(st.sampled_from("abcdefgh"))))
def test_circles_are_the_names_that_reach_themselves(said: dict[str, set[str]]) -> None:
    follows = {name: said.get(name, set()) for name in "abcdefgh"}

    def reached(start: str) -> set[str]:
        seen: set[str] = set()
        new = set(follows[start])
        while new:
            seen |= new
            new = {far for near in new for far in follows[near]} - seen
        return seen

    in_circles = {name for circle in circles(follows) for name in circle}
    assert in_circles == {name for name in follows if name in reached(name)}


def test_files_of_one_name_are_refused(tmp_path: Path) -> None:
    folder = library(tmp_path, fan=exercise())
    library(folder / "more", Fan=exercise())
    (folder / "Fän.yaml").write_text(exercise(), encoding="utf-8")
    read = read_library(folder)
    assert [entry.stem for entry in read.entries] == ["Fän"]
    told = [(Path(p.span.file).name, p.message) for p in read.problems if p.span]
    same = "in letters and digits alone this file has the same name as"
    assert told == [(name, f"{same} {folder / 'Fän.yaml'}") for name in ("fan.yaml", "Fan.yaml")]


def test_one_bad_file_stops_none(tmp_path: Path) -> None:
    folder = library(tmp_path, a=exercise(), b="tapeline: 1\ntitle: [\n", c=exercise())
    read = read_library(folder)
    assert [entry.stem for entry in read.entries] == ["a", "c"]
    assert [bad.path.name for bad in read.failed] == ["b.yaml"]
    assert "b.yaml:" in read.failed[0].message


def test_horses_arenas_and_tables_are_found_in_the_folder_above(tmp_path: Path) -> None:
    library(
        tmp_path, horses="school ponies: {size: large pony, experience: green}\n",
        arenas="home: {size: 30 x 60 m}\n",
    )  # fmt: skip
    (tmp_path / "our-table.yaml").write_text("table: Ours\ndistances: {1: 7.2 m}\n")
    text = exercise(more=["horses: school ponies", "distances: our-table.yaml"])
    folder = library(tmp_path / "poles", a=text.replace("30 x 60 m", "home"))
    made = plan(folder / "a.yaml")
    assert (made.terms.horses.size, made.terms.horses.experience) == ("large pony", "green")
    assert made.terms.table.name == "Ours"
    assert made.arena.name == "home"


def test_a_library_names_its_stores(tmp_path: Path) -> None:
    folder = library(tmp_path, library=STORES, a=exercise())
    hilltop, barn = read_library(folder).stores
    assert (hilltop.name, hilltop.owned("standards"), hilltop.owned("gates")) == (
        "Hilltop",
        8,
        None,
    )
    # One fence wants two standards, as on the builder's sheet.
    found = [
        [entry.stem for entry in search(read_library(folder).entries, WantedExercise(store=store))]
        for store in (hilltop, barn)
    ]
    assert found == [["a"], []]
    (folder / "library.yaml").write_text(STORES.replace("cups: 20", "cup: 20"), encoding="utf-8")
    with pytest.raises(RejectedError, match='no "cup"') as refused:
        read_library(folder)
    assert refused.value.diagnostics[0].span is not None
    assert refused.value.diagnostics[0].span.line == 4
    (folder / "library.yaml").write_text(STORES.replace("{standards: 1}", "3"), encoding="utf-8")
    with pytest.raises(RejectedError, match="keys and values"):
        read_library(folder)


def test_what_is_kept_is_the_same_as_what_is_read(tmp_path: Path) -> None:
    folder = library(tmp_path, a=exercise(more=["suits: ponies"]), b=exercise("Other"))
    first = read_library(folder)
    assert read_library(folder).entries == first.entries
    (folder / "store.yaml").write_text("standards: 1\n")
    # A file that is shared changed, and with it what the checks find.
    assert [entry.cautions for entry in read_library(folder).entries] != [0, 0]


def test_an_entry_comes_back_from_json(tmp_path: Path) -> None:
    import json

    (entry,) = read_library(library(tmp_path, a=exercise())).entries
    assert convert(json.loads(json.dumps(to_builtins(entry))), Entry) == entry
    with pytest.raises(ValidationError):
        convert({**to_builtins(entry), "of another version": 1}, Entry)
    with pytest.raises(ValidationError):
        convert({"title": "old"}, Entry)


def entries(tmp_path: Path) -> tuple[Entry, ...]:
    folder = library(
        tmp_path, a=exercise("Élan and angle", teaches="angles, grids"),
        b=exercise("An angle more", minutes=25), c=exercise("Pole by pole", level="1'6\""),
        d=exercise("Last", purpose="Angle after angle.", more=["suits: ponies", "two groups: yes"]),
    )  # fmt: skip
    return read_library(folder).entries


@pytest.mark.parametrize(
    ("wanted", "stems"),
    [
        (WantedExercise(words="ANGLE"), "bad"),
        (WantedExercise(words="an"), "bad"),
        (WantedExercise(words="elan angle"), "a"),
        (WantedExercise(words="angle oxer"), ""),
        (WantedExercise(teaches=("grids", "poles")), "a"),
        (WantedExercise(height=0.457), "c"),
        (WantedExercise(minutes=30), "b"),
        (WantedExercise(suits="ponies"), "d"),
        (WantedExercise(two_groups=True), "d"),
        (WantedExercise(poles=2), ""),
        (WantedExercise(ring=(20.0, 60.0)), "cbda"),
        (WantedExercise(ring=(60.0, 20.0)), "cbda"),
        (WantedExercise(ring=(10.0, 20.0)), ""),
    ],
)
def test_search(wanted: WantedExercise, stems: str, tmp_path: Path) -> None:
    assert "".join(e.stem for e in search(entries(tmp_path), wanted)) == stems


SHIPPED = [
    path for path in sorted((Path(__file__).parents[2] / "exercises").glob("*.yaml"))
    if path.name not in YARD_FILES
]  # fmt: skip


@pytest.mark.parametrize(
    "path",
    [pytest.param(p, marks=[pytest.mark.long] * bool(n % 5)) for n, p in enumerate(SHIPPED)],
    ids=lambda path: path.stem,
)
def test_no_exercise_needs_more_than_its_own_arena(path: Path) -> None:
    made = plan(path)
    assert fits(rectangles(made), made.arena.size)


@given(st.text(max_size=30))
def test_folding_twice_is_folding_once(text: str) -> None:
    assert fold(fold(text)) == fold(text)
    assert stem_in_ascii(text).isascii()
    assert set(stem_in_ascii(text)) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
