"""``tapeline library`` as it is called: what it prints and with which code it ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from library_trials import STORES, exercise, library

from diagram.cli import main


def run(*args: object) -> Result:
    return CliRunner().invoke(main, ["library", *map(str, args)])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return library(
        tmp_path / "yard", a=exercise("Angle one", teaches="angles"),
        b=exercise("Angle two", level="2'", more=["comes after: a"]),
    )  # fmt: skip


def test_list(folder: Path) -> None:
    done = run("list", folder)
    assert done.exit_code == 0
    heads = [line for line in done.stdout.splitlines() if line and not line.startswith(" ")]
    assert heads == ["Straightness", "Angles", "2 exercises"]
    assert [entry["stem"] for entry in json.loads(run("list", folder, "--json").stdout)] == [
        "b",
        "a",
    ]


def test_search(folder: Path) -> None:
    assert "1 exercise of 2" in run("search", "angle", "--in", folder, "--height", "2'").stdout
    assert run("search", "oxer wall", "--in", folder).exit_code == 1
    done = run("search", "--in", folder, "--height", "2")
    assert done.exit_code == 2
    assert "unit" in done.stderr


def test_a_search_without_words_comes_in_groups_from_low_to_high(folder: Path) -> None:
    library(folder, c=exercise("Higher", level="3'"), d=exercise("Low", level="1'"))
    listed = run("search", "--in", folder, "--minutes", 40).stdout.splitlines()
    names = [line.split()[0] for line in listed if line]
    assert names == ["Straightness", "d", "b", "c", "Angles", "a", "4"]
    done = run("search", "--in", folder, "--arena", "nowhere")
    assert done.exit_code == 2
    assert 'no exercise is drawn for "nowhere"; known here: 30 x 60 m' in done.stderr


def test_search_in_a_store_by_name_or_file(tmp_path: Path) -> None:
    folder = library(tmp_path, library=STORES, a=exercise())
    (tmp_path / "few.yaml").write_text("poles: {12': 1}\n", encoding="utf-8")
    for store, code in (("hilltop", 0), ("Low <b>Barn</b>", 1), (str(tmp_path / "few.yaml"), 1)):
        call = ["library", "search", "--in", str(folder), "--store", store]
        assert CliRunner().invoke(main, call).exit_code == code, store
    wrong = CliRunner().invoke(
        main, ["library", "search", "--in", str(folder), "--store", "Hiltop"]
    )
    assert wrong.exit_code == 2
    assert 'did you mean "Hilltop"' in wrong.output


def test_show(folder: Path) -> None:
    assert run("show", "two", "--in", folder).stdout.startswith("Angle two")
    assert "a, b" in run("show", "angle", "--in", folder).stderr
    assert "ride first: Angle one" in run("show", "b", "--in", folder).stdout
    assert "then:       Angle two" in run("show", "a", "--in", folder).stdout
    assert run("show", "c", "--in", folder).exit_code == 2


def test_check_ends_with_the_worst(folder: Path) -> None:
    assert run("check", folder).exit_code == 0
    library(folder, c=exercise(x=58))
    assert run("check", folder).exit_code == 1
    library(folder, d=exercise(more=["comes after: nowhere"]))
    done = run("check", folder)
    assert done.exit_code == 2
    assert 'in a file "nowhere"' in done.stderr


def test_build_says_what_it_did(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert "6 files written, 0 unchanged" in run("build", folder, "--to", out).stdout
    assert "0 files written, 6 unchanged" in run("build", folder, "--to", out).stdout
    assert len(list(out.glob("*.pdf"))) == 4


def test_an_empty_folder(tmp_path: Path) -> None:
    assert run("list", tmp_path).exit_code == 2
    assert run("list", tmp_path / "nowhere").exit_code == 2
