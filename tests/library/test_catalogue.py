"""The book: every exercise once, every page number right, everything within its place."""

from __future__ import annotations

import io
import re
import shutil
from pathlib import Path

import pytest
from library_trials import exercise, library, many
from pypdf import PdfReader
from samples import EXERCISES, SAMPLES, YARD_FILES

from diagram.library.catalogue import CELL, EDGE, HEIGHT, WIDTH, Book, catalogue
from diagram.library.catalogue_cells import LONGEST_M, SCALE, scale_for
from diagram.library.collection import Library, read_library
from diagram.scene import Text, walk


@pytest.fixture(scope="module")
def texts(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """The pages of a book of twenty-four as text."""
    folder = many(tmp_path_factory.mktemp("many"), 24)
    pages = PdfReader(io.BytesIO(catalogue(read_library(folder), "feet").pdf())).pages
    return [page.extract_text() for page in pages]


def test_page_numbers_of_the_index_are_true(texts: list[str]) -> None:
    index = "\n".join(text for text in texts if text.startswith("By what it teaches"))
    named = re.findall(r"(Exercise number \d+)\n\d+ min\n(\d+)", index)
    assert len(named) == 24
    for title, page in named:
        assert title in texts[int(page) - 1].splitlines(), title


def test_contents_name_the_first_page_of_each_group(texts: list[str]) -> None:
    found = re.findall(r"^([A-Z][a-z ]+)\n2\n(\d+)$", texts[0], re.MULTILINE)
    assert len(found) == 12
    for group, page in found:
        assert group in texts[int(page) - 1]


@pytest.fixture(scope="module")
def samples(tmp_path_factory: pytest.TempPathFactory) -> Library:
    """The samples with what their yard shares, planned once."""
    folder = tmp_path_factory.mktemp("samples")
    for file in (*SAMPLES, *(EXERCISES / name for name in YARD_FILES)):
        if file.exists():
            shutil.copy(file, folder)
    return read_library(folder)


@pytest.fixture(scope="module")
def book(samples: Library) -> Book:
    """Their book."""
    return catalogue(samples, "feet")


def test_nothing_reaches_out_of_its_page_or_cell(book: Book) -> None:
    for page in book.pages:
        for item in walk(page.items):
            if isinstance(item, Text):
                box = item.bbox()
                assert box.left >= EDGE - 0.5
                assert box.right <= WIDTH - EDGE + 0.5, item.text
                assert box.bottom <= HEIGHT - 4


def test_one_scale_for_the_whole_book() -> None:
    assert scale_for(40) == SCALE
    assert scale_for(LONGEST_M) == SCALE
    assert scale_for(100) == 1150
    assert 100 * 1000 / scale_for(100) <= LONGEST_M * 1000 / SCALE + 0.1
    assert CELL > 0


def test_a_bad_exercise_is_left_out_and_named(tmp_path: Path) -> None:
    folder = library(tmp_path, a=exercise("<b>Bold</b> & sons"), b="tapeline: 1\n")
    book = catalogue(read_library(folder), "feet")
    assert "<b>Bold</b> & sons" in PdfReader(io.BytesIO(book.pdf())).pages[2].extract_text()


def test_the_same_bytes_again(samples: Library, book: Book) -> None:
    assert catalogue(samples, "feet").pdf() == book.pdf()
