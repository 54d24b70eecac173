"""The site in a browser, from a disk: found, filtered, opened, printed, by keyboard, on a phone."""

from __future__ import annotations

import io
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from browser import AXE, CHROMIUM, Browser
from library_trials import STORES, exercise, library, many
from samples import EXERCISES, SAMPLES, YARD_FILES

from diagram.library.collection import read_library
from diagram.library.folding import fold
from diagram.library.publishing import publish
from diagram.library.search import WantedExercise, search

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine")
FOLDED = ["Élan", "Straße", "ΑΣΣ", "“x’y”", "İstanbul", "ﬁsh", "Å", "한국", "q̃"]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Four exercises that ship, in a folder with a name that an address has to spell out."""
    folder = tmp_path_factory.mktemp("a #1 50% ü b") / "site"
    yard = tmp_path_factory.mktemp("yard")
    for file in (*SAMPLES[-4:], *(EXERCISES / name for name in YARD_FILES)):
        if file.exists():
            shutil.copy(file, yard)
    publish(read_library(yard), folder, one_file=True)
    return folder


def test_a_page_in_one_file_needs_no_other(site: Path, browser: Browser, tmp_path: Path) -> None:
    page = next((site / "one-file").iterdir())
    # All in it: about 200 kB at most, and it still looks the same when it is alone.
    assert page.stat().st_size < 200_000
    alone = tmp_path / "alone.html"
    alone.write_bytes(page.read_bytes())
    browser.open(address(alone))
    loaded = "document.fonts.ready.then(f => [...f].filter(x => x.status == 'loaded').length)"
    assert browser.run(loaded) >= 2
    assert browser.run("getComputedStyle(document.querySelector('.care')).borderTopWidth") == "2px"
    assert browser.told == []
    assert {url.split(":")[0] for url in browser.asked} <= {"file", "data"}


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Twenty-four exercises whose figures are known, without prints."""
    base = tmp_path_factory.mktemp("small")
    publish(read_library(many(base / "yard", 24)), base / "site", prints=False)
    return base


@pytest.fixture
def browser() -> Iterator[Browser]:
    with Browser() as opened:
        opened.seen_as(1280)
        yield opened


def address(path: Path) -> str:
    return path.as_uri()


def shown(browser: Browser) -> list[str]:
    """Titles on the page in their order."""
    return list(browser.run(
        "[...document.querySelectorAll('.row')].filter(r => r.checkVisibility())"
        ".map(r => r.querySelector('a').textContent)"
    ))  # fmt: skip


def looked_for(browser: Browser, words: str) -> None:
    browser.run("document.getElementById('q').focus()")
    browser.press("Escape")
    browser.type(words)


def test_everything_loads_and_nothing_is_told(site: Path, browser: Browser) -> None:
    for page in [site / "index.html", *sorted((site / "exercises").iterdir())]:
        browser.open(address(page))
        assert browser.run("document.fonts.ready.then(f => [...f].every(x => x.status != 'error'))")
    assert browser.told == []
    assert {url.split(":")[0] for url in browser.asked} == {"file"}
    browser.open(address(site / "index.html"))
    lazy = "[...document.images].map(i => (i.loading = 'eager', i.decode().then(() => 1)))"
    assert browser.run(f"Promise.all({lazy}).then(a => a.length)") == len(shown(browser))


def test_search_is_that_of_the_command_line(small: Path, browser: Browser) -> None:
    entries = read_library(small / "yard").entries
    browser.open(address(small / "site" / "index.html"))
    for words in ("number 3", "calm straight", "exercise number 1", "POLES", "nowhere"):
        looked_for(browser, words)
        expected = [entry.title for entry in search(entries, WantedExercise(words=words))]
        assert shown(browser) == expected, words
    browser.press("Escape")
    assert shown(browser) == [entry.title for entry in entries]


def test_the_page_folds_as_the_program_does(small: Path, browser: Browser) -> None:
    # What a page does to what is typed, written out as in its script.
    script = (
        r"t => t.normalize('NFD').replace(/[\u0300-\u036f]/g, '').toLowerCase()"
        r".replace(/\u2019/g, \"'\")"
    ).replace('\\"', '"')
    assert r'replace(/[\u0300-\u036f]/g, "").toLowerCase()' in (
        small / "site" / "site.js"
    ).read_text(encoding="utf-8")
    browser.open(address(small / "site" / "index.html"))
    for text in FOLDED:
        assert browser.run(f"({script})({text!r})") == fold(text), text


def test_filters_join_by_and_boxes_by_or(small: Path, browser: Browser) -> None:
    entries = read_library(small / "yard").entries
    browser.open(address(small / "site" / "index.html"))
    browser.run("document.querySelectorAll('[name=teaches]')[0].click()")
    browser.run("document.querySelectorAll('[name=teaches]')[5].click()")
    browser.run(
        "document.getElementById('minutes').value = '35';"
        "document.getElementById('minutes').dispatchEvent(new Event('change', {bubbles: true}))"
    )
    wanted = WantedExercise(teaches=("straightness", "grids"), minutes=35)
    assert shown(browser) == [entry.title for entry in search(entries, wanted)]
    count = browser.run("document.getElementById('count').textContent")
    assert count == f"{len(shown(browser))} of 24 exercises"
    chips = browser.run("[...document.querySelectorAll('#chips button')].map(b => b.textContent)")
    assert chips == ["teaches straightness or grids ×", "minutes at most 35 ×", "Show all"]
    browser.run("document.querySelectorAll('#chips button')[2].click()")
    assert len(shown(browser)) == 24


def test_my_ring_and_my_store(small: Path, browser: Browser) -> None:
    entries = read_library(small / "yard").entries
    browser.open(address(small / "site" / "index.html"))
    browser.run("document.getElementById('fits').click()")
    assert len(shown(browser)) == 24
    assert browser.run("document.getElementById('ring-hint').textContent")
    setting = "for (const [id, value] of [['long','26'],['wide','10'],['unit','1']])"
    browser.run(
        setting + "{document.getElementById(id).value = value;"
        "document.getElementById(id).dispatchEvent(new Event('input', {bubbles: true}))}"
    )
    expected = [entry.title for entry in search(entries, WantedExercise(ring=(26.0, 10.0)))]
    assert len(expected) < 24
    assert shown(browser) == expected


def test_the_stores_of_the_library_by_name(tmp_path: Path, browser: Browser) -> None:
    yard = many(library(tmp_path / "yard", library=STORES), 3)
    read = read_library(yard)
    publish(read, tmp_path / "site", prints=False)
    browser.open(address(tmp_path / "site" / "index.html"))
    names = "[...document.querySelectorAll('#store option')].map(o => o.textContent)"
    assert browser.run(names) == ["any", "Hilltop", "Low <b>Barn</b>"]
    for number, store in enumerate(read.stores):
        browser.run(
            f"document.getElementById('store').value = '{number}';"
            "document.getElementById('store').dispatchEvent(new Event('change', {bubbles: true}))"
        )
        found = search(read.entries, WantedExercise(store=store))
        assert shown(browser) == [entry.title for entry in found], store.name
    browser.until("location.hash.includes('store=1')")
    assert browser.told == []


def test_a_site_of_no_stores_asks_for_none(small: Path, browser: Browser) -> None:
    browser.open(address(small / "site" / "index.html"))
    browser.run("document.getElementById('filters').open = true")
    assert not browser.run("document.getElementById('store').checkVisibility()")


def test_nothing_found_says_what_would_help(small: Path, browser: Browser) -> None:
    browser.open(address(small / "site" / "index.html") + "#q=angles%20number&height=0")
    assert shown(browser) == []
    offered = browser.run("[...document.querySelectorAll('#none button')].map(b => b.textContent)")
    assert offered == ["without poles only: 2"]
    browser.run("document.querySelector('#none button').click()")
    assert len(shown(browser)) == 2


def test_back_brings_the_list_as_it_was(small: Path, browser: Browser) -> None:
    browser.open(address(small / "site" / "index.html"))
    looked_for(browser, "number 3")
    before = shown(browser)
    browser.until("location.hash.includes('q=number')")
    browser.leave("document.querySelector('.row:not([hidden]) a').click()")
    browser.until("location.pathname.includes('exercises/')")
    browser.leave("history.back()")
    browser.until("document.getElementById('q')?.value == 'number 3'")
    assert shown(browser) == before


def test_by_keyboard_alone(small: Path, browser: Browser) -> None:
    browser.open(address(small / "site" / "index.html"))

    def focused() -> str:
        return str(browser.run("document.activeElement.id || document.activeElement.textContent"))

    browser.press("Tab")
    assert focused() == "To the list"
    browser.press("Tab")
    assert focused() == "q"
    browser.type("number 23")
    assert shown(browser) == ["Exercise number 23"]
    browser.press("Enter", "\r")
    assert focused() == "list"
    for _ in range(6):
        browser.press("Tab")
        if focused() == "Exercise number 23":
            break
    assert focused() == "Exercise number 23"
    browser.press("Enter", "\r")
    browser.until("document.title == 'Exercise number 23'")


@pytest.mark.parametrize("width", [320, 360])
@pytest.mark.parametrize("text", ["100%", "200%"])
def test_a_phone_scrolls_one_way_only(site: Path, browser: Browser, width: int, text: str) -> None:
    browser.seen_as(width)
    for page in [site / "index.html", *sorted((site / "exercises").iterdir())[:4]]:
        browser.open(address(page))
        browser.run(f"document.documentElement.style.fontSize = 'calc({text} * 17 / 16)'")
        browser.run("for (const d of document.querySelectorAll('details')) d.open = true")
        wide = browser.run("document.documentElement.scrollWidth")
        assert wide <= width or (text == "200%" and width == 320 and wide <= 340), page.name


@pytest.mark.parametrize(
    ("width", "dark"),
    [(1280, False), (320, True), *(pytest.param(*more, marks=pytest.mark.long)
                                   for more in ((1280, True), (320, False)))],
)  # fmt: skip
@pytest.mark.skipif(not AXE.is_file(), reason="TAPELINE_AXE names no axe.min.js")
def test_nothing_keeps_anyone_out(site: Path, browser: Browser, width: int, dark: bool) -> None:
    browser.seen_as(width, dark=dark)
    for page in [site / "index.html", *sorted((site / "exercises").iterdir())[:3]]:
        browser.open(address(page))
        assert browser.accessibility() == [], page.name
    browser.open(address(site / "index.html") + "#q=nothingatall&height=77")
    browser.run("document.getElementById('filters').open = true")
    assert browser.accessibility() == []


def test_prints_on_few_pages_in_black(site: Path, browser: Browser) -> None:
    from pypdf import PdfReader

    browser.seen_as(1280, dark=True)
    browser.open(address(site / "exercises" / "two-lines-one-fence.html"))
    pages = PdfReader(io.BytesIO(browser.printed())).pages
    assert len(pages) <= 3
    assert "alder to heart" in "".join(page.extract_text() for page in pages)
    browser.open(address(site / "index.html"))
    pages = PdfReader(io.BytesIO(browser.printed())).pages
    assert len(pages) <= 2
    assert "Search" not in "".join(page.extract_text() for page in pages)


def test_without_script_the_whole_list_is_there(site: Path, browser: Browser) -> None:
    browser.send("Emulation.setScriptExecutionDisabled", value=True)
    browser.open(address(site / "index.html"))
    browser.send("Emulation.setScriptExecutionDisabled", value=False)
    assert len(shown(browser)) == 4
    assert browser.run("document.getElementById('finder').checkVisibility()") is False
    assert "need JavaScript" in browser.run("document.body.innerText")


def test_text_of_a_file_is_never_markup(tmp_path: Path, browser: Browser) -> None:
    evil = "<script>alert(1)</script>\"onload='alert(2)'"
    quoted = "'" + evil.replace("'", "''") + "'"
    text = exercise(
        quoted, purpose=quoted,
        more=[f"{key}: [{quoted}]" for key in ("skills", "notes", "easier", "harder", "warm up",
              "leads to", "if it goes wrong", "authors")] + [f"scenario: {quoted}"],
    )  # fmt: skip
    folder = library(tmp_path / "yard", a=text)
    publish(read_library(folder), tmp_path / "site", prints=False)
    for page in ("index.html", "exercises/a.html"):
        browser.open(address(tmp_path / "site" / page))
        assert evil in browser.run("document.body.innerText.replaceAll('\\n', '')")
        assert browser.run("document.querySelectorAll('body script, [onload]').length") == 0
    assert browser.told == []


def test_drawings_on_a_page_share_no_name(site: Path, browser: Browser) -> None:
    for page in sorted((site / "exercises").iterdir())[:4]:
        browser.open(address(page))
        ids = browser.run("[...document.querySelectorAll('[id]')].map(e => e.id)")
        assert len(ids) == len(set(ids))
        assert browser.run("document.querySelectorAll('[style], svg style').length") == 0
