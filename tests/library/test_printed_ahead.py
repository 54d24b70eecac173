"""What is printed while a library is read: used once, and never in place of something newer."""

from __future__ import annotations

from pathlib import Path

import pytest
from library_trials import TWO_RIDES, exercise, library

from diagram.library import ahead, building
from diagram.library.ahead import WAITING, PrintAhead
from diagram.library.building import KINDS, Done, build
from diagram.library.collection import Library, read_library


def printing(out: Path) -> PrintAhead:
    return PrintAhead(out, tuple(KINDS), "A4", "feet")


def read(folder: Path, out: Path) -> Library:
    return read_library(folder, read_one=printing(out), at_once=1)


def built(folder_read: Library, out: Path) -> Done:
    return build(folder_read, out, at_once=1, waiting=printing(out).waiting)


def results(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    return library(tmp_path / "yard", a=exercise(), both=TWO_RIDES)


def nothing_printed(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    calls: list[object] = []
    monkeypatch.setattr(building, "write_work", calls.append)
    return calls


def test_a_first_build_plans_each_once(
    yard: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    build(read_library(yard), tmp_path / "plain", at_once=1)
    monkeypatch.setenv("TAPELINE_CACHE", str(tmp_path / "another"))
    calls = nothing_printed(monkeypatch)
    done = built(read(yard, tmp_path / "out"), tmp_path / "out")
    assert (len(done.written), done.failed, calls) == (7, (), [])
    assert results(tmp_path / "out") == results(tmp_path / "plain")
    assert list((tmp_path / "out" / WAITING).iterdir()) == []


def test_what_a_stopped_run_printed_is_used(
    yard: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read(yard, tmp_path / "out")
    calls = nothing_printed(monkeypatch)
    # The entries are kept by now: nothing is read, and nothing printed.
    assert len(built(read(yard, tmp_path / "out"), tmp_path / "out").written) == 7
    assert calls == []


def test_what_changed_meanwhile_is_printed_anew(yard: Path, tmp_path: Path) -> None:
    old = read(yard, tmp_path / "out")
    (yard / "a.yaml").write_text(exercise("Renamed"), encoding="utf-8")
    assert len(built(old, tmp_path / "out").written) == 7
    assert "Renamed" in (tmp_path / "out" / "a.drawing.svg").read_text("utf-8")


def test_what_stands_there_is_for_the_record_to_judge(yard: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "a.card.pdf").write_text("mine")
    done = built(read(yard, out), out)
    assert done.refused == (("a.card.pdf", "was not written by this command"),)
    assert (out / "a.card.pdf").read_text() == "mine"


def test_what_cannot_be_printed_is_told_by_the_build(
    yard: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> bytes:
        raise RuntimeError("no ink")

    monkeypatch.setattr(building.Prints, "of", broken)
    found = read(yard, tmp_path / "out")
    assert [entry.stem for entry in found.entries] == ["a", "both"]
    assert [why for _, why in built(found, tmp_path / "out").failed] == ["RuntimeError: no ink"] * 2


def test_a_run_that_is_killed_between_taking_and_noting_goes_on(
    yard: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What stands there without a checksum was begun by this command, and is its own."""

    def killed(*_: object) -> None:
        raise KeyboardInterrupt

    out = tmp_path / "out"
    found = read(yard, out)
    with monkeypatch.context() as now:
        now.setattr(building.Record, "finish", killed)
        with pytest.raises(KeyboardInterrupt):
            built(found, out)
    assert (out / "a.card.pdf").is_file()
    done = built(read(yard, out), out)
    assert (done.refused, len(done.written)) == ((), 7)


def test_a_link_in_place_of_the_folder_is_not_followed(yard: Path, tmp_path: Path) -> None:
    out, elsewhere = tmp_path / "out", tmp_path / "elsewhere"
    out.mkdir()
    elsewhere.mkdir()
    (out / WAITING).symlink_to(elsewhere)
    assert len(built(read(yard, out), out).written) == 7
    printing(out).forget()
    assert list(elsewhere.iterdir()) == []


def test_nothing_waits_after_the_command(yard: Path, tmp_path: Path) -> None:
    ahead_of = printing(tmp_path / "out")
    read_library(yard, read_one=ahead_of, at_once=1)
    assert len(list(ahead_of.waiting.iterdir())) == 7
    ahead_of.forget()
    assert not ahead_of.waiting.exists()
    assert ahead.WAITING.startswith(".")
