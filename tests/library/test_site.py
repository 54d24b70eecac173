"""The folder of a site: its files, their sizes, and when it may take the place of another."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from library_trials import TWO_RIDES, exercise, library, many

from diagram.library import publishing
from diagram.library.collection import read_library
from diagram.library.publishing import MARKER, NotOursError, publish


def everything(folder: Path) -> dict[str, bytes]:
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def test_the_same_bytes_again_and_no_work(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = library(tmp_path / "yard", a=exercise(), b=exercise("Ü, other"))
    assert publish(read_library(folder), tmp_path / "one").anew == 2
    first = everything(tmp_path / "one")
    monkeypatch.setattr(publishing, "work_for_site", None)
    assert publish(read_library(folder), tmp_path / "one").anew == 0
    assert everything(tmp_path / "one") == first
    monkeypatch.undo()
    publish(read_library(folder), tmp_path / "two")
    assert everything(tmp_path / "two") == first


def test_only_what_changed_is_worked_out(tmp_path: Path) -> None:
    folder = library(tmp_path / "yard", a=exercise(), b=exercise())
    publish(read_library(folder), tmp_path / "site", prints=False)
    library(folder, b=exercise("Changed"))
    assert publish(read_library(folder), tmp_path / "site", prints=False).anew == 1
    (tmp_path / "site" / "drawings" / "a.small.svg").write_text("spoilt")
    assert publish(read_library(folder), tmp_path / "site", prints=False).anew == 1
    assert "spoilt" not in (tmp_path / "site" / "drawings" / "a.small.svg").read_text()


def test_a_folder_of_others_is_left_alone(tmp_path: Path) -> None:
    folder = library(tmp_path / "yard", a=exercise())
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "letter.txt").write_text("dear")
    with pytest.raises(NotOursError):
        publish(read_library(folder), mine)
    (tmp_path / "link").symlink_to(mine)
    with pytest.raises(NotOursError):
        publish(read_library(folder), tmp_path / "link")
    assert everything(mine) == {"letter.txt": b"dear"}
    assert sorted(path.name for path in tmp_path.iterdir()) == ["link", "mine", "yard"]


def test_a_failure_leaves_the_old_site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = library(tmp_path / "yard", a=exercise())
    publish(read_library(folder), tmp_path / "site", prints=False)
    before = everything(tmp_path / "site")

    def fails(*_: object, **__: object) -> None:
        raise OSError(28, "no space left on device")

    monkeypatch.setattr(publishing, "site_pages", fails)
    with pytest.raises(OSError, match="no space"):
        publish(read_library(folder), tmp_path / "site", prints=False)
    assert everything(tmp_path / "site") == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["site", "yard"]


def test_one_bad_exercise_stops_no_site(tmp_path: Path) -> None:
    folder = library(tmp_path / "yard", a=exercise(), b="tapeline: 1\n")
    done = publish(read_library(folder), tmp_path / "site", prints=False)
    assert (done.exercises, len(done.failed)) == (1, 1)


def test_links_are_relative_and_lead_somewhere(tmp_path: Path) -> None:
    folder = library(
        tmp_path / "yard", a=exercise(more=["comes before: b"]), b=exercise("Grüße"),
        library="tapeline library: 1\nauthors: Two trainers\nlicence: CC BY 4.0\n",
    )  # fmt: skip
    publish(read_library(folder), tmp_path / "site")
    site = tmp_path / "site"
    for page in site.rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        head = text.index("<meta charset"), text.index("Content-Security-Policy")
        assert head[0] < head[1] < text.index("<link")
        for link in re.findall(r'(?:href|src)="([^"]+)"', text):
            file, _, place = link.partition("#")
            assert ":" not in link
            target = (page.parent / file).resolve() if file else page
            assert target.is_file(), link
            if place:
                assert f'id="{place}"' in target.read_text(encoding="utf-8")
    names = [path.relative_to(site).as_posix() for path in site.rglob("*")]
    assert all(re.fullmatch(r"[a-z0-9./-]+", name) for name in names)
    assert "Ride first" in (site / "exercises" / "b.html").read_text(encoding="utf-8")
    assert "Then" in (site / "exercises" / "a.html").read_text(encoding="utf-8")


def test_sizes(tmp_path: Path) -> None:
    count = 12
    folder = many(tmp_path / "yard", count)
    publish(read_library(folder), tmp_path / "site", prints=False)
    size = {name: len(data) for name, data in everything(tmp_path / "site").items()}
    # The shell of the page (search, filters) is there once: about 7 kB.
    assert size["index.html"] < 7_500 + 600 * count
    assert size["list.js"] < 500 + 350 * count
    assert max(size["site.js"], size["site.css"]) < 12_000
    assert max(size[name] for name in size if name.endswith(".small.svg")) < 3_000
    assert max(size[name] for name in size if name.startswith("exercises/")) < 80_000
    assert MARKER in size


def test_every_ride_of_an_exercise_is_on_its_page(tmp_path: Path) -> None:
    yard = read_library(library(tmp_path / "yard", both=TWO_RIDES, one=exercise()))
    both = yard.entry("both")
    # Listed by the ride with most jumps, and as large as both together.
    assert (both.jumps, both.stops) == (1, 0)
    assert both.fits[0][1] > 28
    publish(yard, tmp_path / "site")
    page = (tmp_path / "site" / "exercises" / "both.html").read_text(encoding="utf-8")
    assert page.count('class="plan wide"') == page.count('class="plan tall"') == 2
    for text in ("Ride: poles", "Ride: the fence", "Straight over the pole.", "over the fence."):
        assert text in page
    ids = re.findall(r' id="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    for name in re.findall(r'href="\.\./(drawings/[^"]+)"', page):
        assert (tmp_path / "site" / name).is_file()
    small = (tmp_path / "site" / "drawings" / "both.small.svg").read_text(encoding="utf-8")
    assert len(set(re.findall(r'stroke="(#[0-9A-Fa-f]{6})"', small))) == 2
    alone = (tmp_path / "site" / "exercises" / "one.html").read_text(encoding="utf-8")
    assert "Ride:" not in alone
    assert "<h2>The ride</h2>" in alone
