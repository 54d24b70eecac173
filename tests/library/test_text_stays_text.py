"""A title that looks like markup is text in every file that is made of it."""

from __future__ import annotations

import io
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import pytest
from library_trials import exercise, library
from pypdf import PdfReader

from diagram.library.building import Prints
from diagram.library.catalogue import catalogue
from diagram.library.collection import read_library
from diagram.library.publishing import publish
from diagram.pipeline import plans

EVIL = "<script>alert(1)</script>"
QUOTED = '"onload="alert(2)'
KEYS = ("skills", "conditions", "notes", "easier", "harder", "warm up", "leads to", "authors",
        "if it goes wrong")  # fmt: skip


class _Attributes(HTMLParser):
    """Names of all attributes of a page, as a browser would read it."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        del tag
        self.seen |= {name for name, _ in attrs}


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    said = f"'{EVIL} {QUOTED}'"
    more = [f"{key}: [{said}]" for key in KEYS if key != "conditions"]
    more += [f"scenario: {said}", f"licence: {said}"]
    text = exercise(said, purpose=said, more=more).replace("purpose: Straight.", f"purpose: {said}")
    text = text.replace("ground line: both sides", f"ground line: both sides, filler: {said}")
    text = text.replace("arena: 30 x 60 m", f"arena: {{name: {said}, size: 30 x 60 m}}")
    about = f"tapeline library: 1\ntitle: {said}\nabout: {said}\nauthors: {said}\nlicence: {said}\n"
    return library(tmp_path / "yard", a=text, library=about)


def test_in_svg(yard: Path) -> None:
    root = ElementTree.fromstring(Prints(plans(yard / "a.yaml"), "A4", "feet").of("drawing"))
    names = {element.tag.rpartition("}")[2] for element in root.iter()}
    assert "script" not in names
    assert not any("onload" in element.attrib for element in root.iter())
    assert EVIL in "".join(root.itertext())


@pytest.mark.parametrize("kind", ["card", "leaf"])
def test_in_pdf(yard: Path, kind: str) -> None:
    reader = PdfReader(io.BytesIO(Prints(plans(yard / "a.yaml"), "A4", "feet").of(kind)))
    text = "".join(page.extract_text().replace("\n", "") for page in reader.pages)
    assert EVIL in text
    catalog = reader.trailer["/Root"]
    assert "/OpenAction" not in catalog
    assert "/JavaScript" not in str(catalog)


def test_in_the_book(yard: Path) -> None:
    reader = PdfReader(io.BytesIO(catalogue(read_library(yard), "feet").pdf()))
    assert EVIL in "".join(page.extract_text() for page in reader.pages).replace("\n", "")


def test_in_pages(yard: Path, tmp_path: Path) -> None:
    publish(read_library(yard), tmp_path / "site", prints=False)
    for page in (tmp_path / "site").rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        assert EVIL not in text
        assert "&lt;script&gt;alert(1)" in text
        reader = _Attributes()
        reader.feed(text)
        assert "onload" not in reader.seen
    listed = (tmp_path / "site" / "list.js").read_text(encoding="utf-8")
    assert "<" not in listed
