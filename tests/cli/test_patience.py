"""What takes long says what it is at, on a terminal and nowhere else, and leaves no trace of it."""

from __future__ import annotations

import io
import time

import pytest

from diagram.cli import common
from diagram.cli.common import patience


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def terminal_of(monkeypatch: pytest.MonkeyPatch) -> Terminal:
    stream = Terminal()
    monkeypatch.setattr("sys.stderr", stream)
    monkeypatch.setattr(common, "PATIENCE_S", 0.01)
    return stream


def waited(stream: io.StringIO) -> None:
    """Until something is told, at most ten seconds."""
    end = time.monotonic() + 10
    while not stream.getvalue() and time.monotonic() < end:
        time.sleep(0.01)


def test_it_is_told_and_goes_again(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = terminal_of(monkeypatch)
    with patience("birch.yaml: drawing"):
        waited(terminal)
    assert terminal.getvalue() == (
        "birch.yaml: drawing; this takes a while, Ctrl-C stops it\r\x1b[K"
    )


def test_it_goes_where_work_fails_as_well(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = terminal_of(monkeypatch)

    def stopped() -> None:
        with patience("birch.yaml: drawing"):
            waited(terminal)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        stopped()
    assert terminal.getvalue().endswith("\r\x1b[K")


def test_what_is_quick_says_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = terminal_of(monkeypatch)
    monkeypatch.setattr(common, "PATIENCE_S", 600.0)
    with patience("birch.yaml: drawing"):
        pass
    assert terminal.getvalue() == ""


def test_no_terminal_no_word(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = io.StringIO()
    monkeypatch.setattr("sys.stderr", stream)
    monkeypatch.setattr(common, "PATIENCE_S", 0.0)
    with patience("birch.yaml: drawing"):
        time.sleep(0.05)
    assert stream.getvalue() == ""
