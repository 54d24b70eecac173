"""What of a folder is opened, and what each file is."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from library_trials import exercise, library

from diagram.library.kinds import kind_of_text
from diagram.library.scanning import MARKERS, scan


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("tapeline: 1\ntitle: a\n", "exercise"),
        ("# a note\ntitle: a\nfences: {}\n", "exercise"),
        ("", "exercise"),
        ("{{{ no yaml", "exercise"),
        ("tapeline lesson: 1\ntitle: a\n", "lesson"),
        ("table: Our school\ndistances: {}\n", "table"),
        ("monday: grids\ntuesday: poles\n", "other"),
        ("\ufefftapeline: 1\r\ntitle: a\r\n", "exercise"),
    ],
)
def test_a_file_is_known_by_the_keys_at_its_left_edge(text: str, kind: str) -> None:
    assert kind_of_text(text.lstrip("\ufeff")) == kind


def test_links_pipes_and_hidden_files_are_not_opened(tmp_path: Path) -> None:
    folder = library(tmp_path / "yard", one=exercise(), two=exercise())
    outside = tmp_path / "outside.yaml"
    outside.write_text(exercise(), encoding="utf-8")
    (folder / "link.yaml").symlink_to(outside)
    (folder / "round").symlink_to(folder)
    (folder / "._one.yaml").write_bytes(b"\0\5\x16\7")
    (folder / ".hidden").mkdir()
    (folder / ".hidden" / "three.yaml").write_text(exercise(), encoding="utf-8")
    # Opening it would wait for ever.
    os.mkfifo(folder / "pipe.yaml")
    found = scan(folder)
    assert [path.name for path in found.exercises] == ["one.yaml", "two.yaml"]
    assert [skipped.path.name for skipped in found.skipped] == ["link.yaml", "pipe.yaml", "round"]
    assert "link" in found.skipped[0].why
    assert "pipe" in found.skipped[1].why


def test_tables_lessons_notes_and_shared_files_are_no_exercises(tmp_path: Path) -> None:
    folder = library(
        tmp_path, one=exercise(), our_school="table: Our school\n", arenas="ring: {}\n",
        tonight="tapeline lesson: 1\n", plan_of_the_week="monday: grids\n", store="standards: 2\n",
    )  # fmt: skip
    found = scan(folder)
    assert [path.stem for path in found.exercises] == ["one"]
    assert [path.stem for path in found.tables] == ["our_school"]
    assert [path.stem for path in found.lessons] == ["tonight"]
    assert [path.stem for path in found.others] == ["plan_of_the_week"]
    assert [path.stem for path in found.shared] == ["arenas", "store"]


def test_results_of_this_program_are_no_part_of_a_library(tmp_path: Path) -> None:
    folder = library(tmp_path, one=exercise())
    for n, marker in enumerate(MARKERS):
        library(folder / f"results{n}", one=exercise())
        (folder / f"results{n}" / marker).write_text("")
    assert len(scan(folder).exercises) == 1
