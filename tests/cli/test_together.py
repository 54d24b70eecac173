"""Several rides or exercises into one file that was named: one PDF, all or nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from diagram.cli import main
from tests.checks.check_trials import written
from tests.exercise.test_rides import TEXT


def run(*words: object) -> tuple[int, str]:
    result = CliRunner().invoke(main, [str(word) for word in words])
    return result.exit_code, result.output


@pytest.fixture
def two_groups(tmp_path: Path) -> Path:
    file = tmp_path / "two.yaml"
    file.write_text(TEXT, encoding="utf-8")
    return file


def test_the_rides_of_a_file_are_one_pdf_and_each_page_says_whose_it_is(
    two_groups: Path, tmp_path: Path
) -> None:
    target = tmp_path / "tonight.pdf"
    code, _ = run("card", two_groups, "--to", target)
    assert code in (0, 1)
    pages = [page.extract_text() for page in PdfReader(target).pages]
    assert [("groups: beginners" in page, "groups: others" in page) for page in pages] == [
        (True, False), (True, False), (False, True), (False, True)
    ]  # fmt: skip


def test_exercises_are_one_pdf_in_the_order_given(tmp_path: Path) -> None:
    for name in ("one", "other"):
        text = written().replace("title: A trial", f"title: The {name}")
        (tmp_path / f"{name}.yaml").write_text(text, encoding="utf-8")
    target = tmp_path / "tonight.pdf"
    code, _ = run("card", tmp_path / "other.yaml", tmp_path / "one.yaml", "--to", target)
    assert code == 0
    assert [str(item.title) for item in PdfReader(target).outline] == ["The other", "The one"]


def test_one_that_cannot_be_read_leaves_nothing_written(two_groups: Path, tmp_path: Path) -> None:
    (tmp_path / "bad.yaml").write_text("tapeline: 1\n", encoding="utf-8")
    target = tmp_path / "tonight.pdf"
    target.write_bytes(b"as it was")
    code, said = run("card", two_groups, tmp_path / "bad.yaml", "--to", target)
    assert code == 2
    assert "not written" in said
    assert target.read_bytes() == b"as it was"


def test_pictures_have_no_pages_to_join(two_groups: Path, tmp_path: Path) -> None:
    code, said = run("draw", two_groups, "--to", tmp_path / "tonight.png")
    assert code == 2
    assert "name a folder" in said
    assert not (tmp_path / "tonight.png").exists()


def test_a_long_title_keeps_the_name_of_the_ride(two_groups: Path, tmp_path: Path) -> None:
    text = TEXT.replace("title: Two groups", "title: " + "Two groups at once " * 7)
    two_groups.write_text(text, encoding="utf-8")
    target = tmp_path / "tonight.pdf"
    run("card", two_groups, "--to", target)
    assert "…: others" in PdfReader(target).pages[2].extract_text().replace("\n", " ")
