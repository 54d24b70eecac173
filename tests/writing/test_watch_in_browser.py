"""``draw --watch`` as a person has it: the command, its page in a browser, and a file saved."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from browser import AXE, CHROMIUM, Browser

from diagram.writing.sentence import Head, exercise_text, read_sentence

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine")
HEAD = Head("<i>Line</i>", "To be seen.", "2'", "40 x 80 m", "horse")
TEXT = exercise_text(HEAD, read_sentence("vertical, 5 strides, oxer"))
SAID = "document.getElementById('said').textContent"
IMAGE = "document.getElementById('drawing')"


@pytest.fixture
def watched(tmp_path: Path) -> Iterator[tuple[Path, str, subprocess.Popen[str]]]:
    file = tmp_path / "line.yaml"
    file.write_text(TEXT, encoding="utf-8")
    call = [sys.executable, "-m", "diagram.cli", "draw", str(file), "--watch"]
    # Tests that run in the background may have Ctrl-C ignored; the command must hear it.
    process = subprocess.Popen(
        call, stdout=subprocess.PIPE, text=True, env=os.environ | {"PYTHONUNBUFFERED": "1"},
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )  # fmt: skip
    assert process.stdout is not None
    yield file, process.stdout.readline().strip(), process
    process.kill()
    process.wait()
    process.stdout.close()


def test_a_save_is_seen_in_the_browser(
    watched: tuple[Path, str, subprocess.Popen[str]],
) -> None:
    file, address, process = watched
    assert address.startswith("http://127.0.0.1:")
    with Browser() as browser:
        browser.seen_as(360)
        browser.open(address)
        browser.until(f"{IMAGE}.complete && {IMAGE}.naturalWidth > 100")
        assert browser.run("document.querySelector('h1').textContent") == "<i>Line</i>"
        first = browser.run(f"{IMAGE}.src")
        file.write_text(TEXT.replace("5 strides", "4 strides"), encoding="utf-8")
        browser.until("document.querySelectorAll('#changes li').length > 0")
        changes = browser.run("document.getElementById('changes').textContent")
        assert "in place of" in changes
        browser.until(f"{IMAGE}.complete && {IMAGE}.naturalWidth > 100")
        assert browser.run(f"{IMAGE}.src") != first
        # A file that cannot be read leaves the last drawing, pale, and says what is wrong.
        file.write_text(TEXT.replace("jump: birch", "jump: brich"), encoding="utf-8")
        browser.until(f"{SAID}.includes('birch')")
        assert browser.run(f"{IMAGE}.className") == "old"
        assert browser.run("document.documentElement.scrollWidth") <= 360
        file.write_text(TEXT.replace("title: ", "title: New "), encoding="utf-8")
        browser.until("document.title.startsWith('New')")
        if AXE.is_file():
            assert browser.accessibility() == []
        assert browser.told == []
        assert {url.split("/")[2] for url in browser.asked} == {address.split("/")[2]}
        process.send_signal(signal.SIGINT)
        browser.until(f"{SAID} == 'The program has ended.'")
        assert process.wait(30) == 0
