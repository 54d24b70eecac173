"""Building all of a library: only what changed, all the same, nothing of others."""

from __future__ import annotations

from pathlib import Path

import pytest
from dying import dies_at_three
from library_trials import TWO_RIDES, exercise, library

from diagram.library import building
from diagram.library.building import KINDS, build
from diagram.library.collection import read_library
from diagram.library.record import RECORD_FILE, Record
from diagram.library.working import Broken, run_all


def bytes_in(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def test_the_second_run_does_no_work(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = library(tmp_path / "yard", a=exercise(), b=exercise("Other", x=25))
    first = build(read_library(folder), tmp_path / "out")
    assert len(first.written) == 2 * len(KINDS)
    before = bytes_in(tmp_path / "out")
    calls: list[object] = []
    monkeypatch.setattr(building, "write_work", calls.append)
    second = build(read_library(folder), tmp_path / "out")
    assert (second.written, second.unchanged, calls) == ((), 6, [])
    assert bytes_in(tmp_path / "out") == before


def test_only_what_changed_is_built(tmp_path: Path) -> None:
    folder = library(tmp_path / "yard", a=exercise(), b=exercise())
    build(read_library(folder), tmp_path / "out", ["drawing"])
    (folder / "b.yaml").write_text(exercise("Renamed"), encoding="utf-8")
    assert build(read_library(folder), tmp_path / "out", ["drawing"]).written == ("b.drawing.svg",)
    (tmp_path / "out" / "a.drawing.svg").unlink()
    assert build(read_library(folder), tmp_path / "out", ["drawing"]).written == ("a.drawing.svg",)


def test_every_ride_is_drawn(tmp_path: Path) -> None:
    folder = library(tmp_path / "yard", a=exercise(), both=TWO_RIDES)
    out = tmp_path / "out"
    written = build(read_library(folder), out, ["drawing"]).written
    assert written == ("a.drawing.svg", "both.2.drawing.svg", "both.drawing.svg")
    first, second = ((out / name).read_text("utf-8") for name in (written[2], written[1]))
    assert "Two rides: poles" in first
    assert "Two rides: the fence" in second
    # While the file cannot be read its drawings are kept; with one ride less, one is left over.
    (folder / "both.yaml").write_text(TWO_RIDES.replace("canter", "cantr"), encoding="utf-8")
    assert build(read_library(folder), out, ["drawing"]).left_over == ()
    (folder / "both.yaml").write_text(exercise("One ride"), encoding="utf-8")
    assert build(read_library(folder), out, ["drawing"]).left_over == ("both.2.drawing.svg",)


def test_a_run_that_was_killed_goes_on(tmp_path: Path) -> None:
    folder = library(tmp_path / "yard", a=exercise(), b=exercise())
    build(read_library(folder), tmp_path / "out", ["drawing"])
    whole = bytes_in(tmp_path / "out")
    record = tmp_path / "out" / RECORD_FILE
    lines = record.read_text().splitlines(keepends=True)
    # Killed while b was begun: its line has no checksum, and the last line is cut off.
    begun = lines[1].replace(lines[1].split('"sha256": ')[1], "null}\n")
    record.write_text(lines[0] + begun + lines[1][:20])
    (tmp_path / "out" / "b.drawing.svg").write_bytes(b"half of it")
    done = build(read_library(folder), tmp_path / "out", ["drawing"])
    assert (done.written, done.refused) == (("b.drawing.svg",), ())
    assert bytes_in(tmp_path / "out") == whole


def test_what_is_not_ours_is_left_alone(tmp_path: Path) -> None:
    folder = library(tmp_path / "yard", a=exercise(), b=exercise(), c=exercise())
    out = tmp_path / "out"
    out.mkdir()
    (out / "a.drawing.svg").write_text("mine")
    secret = tmp_path / "secret"
    secret.write_text("mine too")
    (out / "b.drawing.svg").symlink_to(secret)
    done = build(read_library(folder), out, ["drawing"])
    assert [name for name, _ in done.refused] == ["a.drawing.svg", "b.drawing.svg"]
    assert done.written == ("c.drawing.svg",)
    (out / "c.drawing.svg").write_text("changed by hand")
    (folder / "c.yaml").write_text(exercise("Changed"), encoding="utf-8")
    again = build(read_library(folder), out, ["drawing"])
    assert ("c.drawing.svg", "was changed since it was written") in again.refused
    forced = build(read_library(folder), out, ["drawing"], force=True)
    assert forced.written == ("a.drawing.svg", "c.drawing.svg")
    assert secret.read_text() == "mine too"


def test_many_at_once_come_out_as_one_by_one(tmp_path: Path) -> None:
    files = {f"e{n}": exercise(f"Number {n}", x=20 + n) for n in range(6)}
    folder = library(tmp_path / "yard", **files)
    build(read_library(folder, at_once=1), tmp_path / "one", ["card"], at_once=1)
    build(read_library(folder), tmp_path / "two", ["card"], at_once=2)
    assert bytes_in(tmp_path / "one") == bytes_in(tmp_path / "two")


def test_a_process_that_dies_takes_no_other_job_with_it() -> None:
    results = dict(run_all(dies_at_three, list(range(5)), 2))
    assert isinstance(results.pop(3), Broken)
    assert results == {n: 2 * n for n in range(5) if n != 3}


def test_what_cannot_be_read_for_now_is_not_gone(tmp_path: Path) -> None:
    folder = library(tmp_path / "yard", a=exercise(), b=exercise("Other", x=25))
    build(read_library(folder), tmp_path / "out", ["drawing"])
    (folder / "b.yaml").write_text("tapeline: 1\ntitle: [", encoding="utf-8")
    done = build(read_library(folder), tmp_path / "out", ["drawing"])
    assert (len(done.failed), done.left_over) == (1, ())


def test_what_is_left_over_is_named(tmp_path: Path) -> None:
    folder = library(tmp_path / "yard", a=exercise(), b=exercise())
    build(read_library(folder), tmp_path / "out", ["drawing"])
    (folder / "b.yaml").unlink()
    assert build(read_library(folder), tmp_path / "out", ["drawing"]).left_over == (
        "b.drawing.svg",
    )


def test_the_record_is_the_same_in_any_order(tmp_path: Path) -> None:
    for folder, names in ((tmp_path / "a", "xyz"), (tmp_path / "b", "zxy")):
        with Record(folder) as record:
            for name in names:
                record.begin(name, "key")
                record.finish(name, "key", "sum")
    assert bytes_in(tmp_path / "a") == bytes_in(tmp_path / "b")
