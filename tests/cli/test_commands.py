"""The commands as they are called: what they print, what they write, how they end."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from diagram.cli import COMMANDS, main
from diagram.library.record import RECORD_FILE

FOOT = 0.3048
CLEAN = """\
tapeline: 1
title: Five
purpose: One canter.
level: 3'
arena: 30 x 60 m
horses: 12' stride
fences:
  birch: {kind: vertical, at: [20 m, 8 m], facing: 0°, ground line: both sides}
  hazel: {kind: oxer, spread: 2'6", placed: 5 strides beyond birch}
ride:
  - start: canter, left lead
  - jump: birch
    purpose: Arrive.
  - line: 5 strides
  - jump: hazel
    purpose: Land straight.
  - finish: straight on, walk
"""
STOPS = CLEAN.replace("jump: birch", "jump: birch, angled left 50°")
WRONG = CLEAN.replace("kind: oxer", "kind: oxr")


def run(*args: object) -> Result:
    return CliRunner().invoke(main, [str(arg) for arg in args])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    inside = tmp_path / "exercises"
    inside.mkdir()
    (inside / "clean.yaml").write_text(CLEAN, encoding="utf-8")
    return inside


def _write(folder: Path, name: str, text: str) -> Path:
    file = folder / name
    file.write_text(text, encoding="utf-8")
    return file


def _everything(folder: Path) -> dict[str, bytes]:
    return {str(p): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def results(folder: Path) -> list[Path]:
    """What was written into a folder, but for the note of whose each file is."""
    return sorted(path for path in folder.glob("*") if path.name != RECORD_FILE)


@pytest.mark.parametrize(("text", "code"), [(CLEAN, 0), (STOPS, 1), (WRONG, 2)])
@pytest.mark.parametrize("command", ["check", "draw", "card", "measure"])
def test_exit_codes(folder: Path, command: str, text: str, code: int) -> None:
    file = _write(folder, "one.yaml", text)
    to = ("--to", folder / "out") if command in ("draw", "card") else ()
    assert run(command, file, *to).exit_code == code
    written = results(folder / "out") if to else []
    assert len(written) == (1 if to and code < 2 else 0)


@pytest.mark.parametrize("command", COMMANDS)
def test_wrong_use_ends_with_two(command: str) -> None:
    assert run(command, "--no-such-option").exit_code == 2


def test_a_missing_file_is_named(folder: Path) -> None:
    found = run("check", folder / "none.yaml")
    assert found.exit_code == 2
    assert "none.yaml" in found.stderr
    assert "Traceback" not in found.output


def test_the_worst_file_sets_the_exit_code(folder: Path) -> None:
    stops, wrong = _write(folder, "s.yaml", STOPS), _write(folder, "w.yaml", WRONG)
    assert run("check", folder / "clean.yaml", stops).exit_code == 1
    assert run("check", wrong, stops).exit_code == 2


def test_an_error_goes_to_stderr_with_a_near_miss(folder: Path) -> None:
    found = run("check", _write(folder, "w.yaml", WRONG))
    assert found.stdout == ""
    assert 'did you mean "oxer"' in found.stderr
    assert "w.yaml:9:" in found.stderr


def test_check_for_machines(folder: Path) -> None:
    _write(folder, "stops.yaml", STOPS)
    _write(folder, "wrong.yaml", WRONG)
    found = run("check", folder, "--json")
    assert found.exit_code == 2
    values = json.loads(found.stdout)
    assert [Path(v["file"]).name for v in values] == ["clean.yaml", "stops.yaml", "wrong.yaml"]
    assert [value["placed"] for value in values] == [True, True, False]
    assert values[0]["findings"] == []
    [stop] = [f for f in values[1]["findings"] if f["severity"] == "stop"]
    # "angle: {value: 45°, source: common practice (no source)}" for a vertical
    assert (stop["rule"], stop["figure"], stop["limit"]) == ("angle-too-steep", 50.0, 45.0)
    assert stop["line"] == 12


def test_a_folder_stands_for_its_exercises(folder: Path) -> None:
    _write(folder, "second.yaml", CLEAN)
    _write(folder, "arenas.yaml", "ring: {size: 60 x 30 m}\n")
    _write(folder, "notes.txt", "no exercise")
    found = run("draw", folder, "--to", folder / "out")
    assert found.exit_code == 0
    assert [p.name for p in results(folder / "out")] == ["clean.svg", "second.svg"]


def test_a_folder_without_exercises(tmp_path: Path) -> None:
    found = run("check", tmp_path)
    assert found.exit_code == 2
    assert "no exercises" in found.stderr


@pytest.mark.parametrize(
    ("command", "ending", "begins"),
    [("draw", "svg", b"<?xml"), ("draw", "pdf", b"%PDF-"), ("card", "pdf", b"%PDF-")],
)
def test_to_a_file(folder: Path, command: str, ending: str, begins: bytes) -> None:
    target = folder / "deep" / "down" / f"mine.{ending}"
    found = run(command, folder / "clean.yaml", "--to", target)
    assert found.exit_code == 0
    assert found.stdout.strip() == str(target)
    assert target.read_bytes().startswith(begins)
    assert [p.name for p in target.parent.iterdir()] == [target.name]


@pytest.mark.parametrize(("command", "ending"), [("draw", "svg"), ("card", "pdf")])
def test_to_a_folder(folder: Path, command: str, ending: str) -> None:
    assert run(command, folder / "clean.yaml", "--to", folder / "out").exit_code == 0
    assert [p.name for p in results(folder / "out")] == [f"clean.{ending}"]


def test_without_to_the_output_folder_is_used(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder)
    assert run("draw", "clean.yaml").exit_code == 0
    assert (folder / "output" / "clean.svg").is_file()


def test_an_ending_that_does_not_fit(folder: Path) -> None:
    before = _everything(folder)
    found = run("draw", folder / "clean.yaml", "--as", "svg", "--to", folder / "x.pdf")
    assert found.exit_code == 2
    assert _everything(folder) == before


@pytest.mark.parametrize("command", ["draw", "card"])
@pytest.mark.parametrize("below", ["", "out", "out/mine.pdf"])
def test_a_file_in_the_way_of_the_folder(folder: Path, command: str, below: str) -> None:
    _write(folder, "in the way", "kept")
    before = _everything(folder.parent)
    found = run(command, folder / "clean.yaml", "--to", folder / "in the way" / below)
    assert found.exit_code == 2
    assert "cannot write" in found.stderr
    assert "Traceback" not in found.output
    assert _everything(folder.parent) == before


def test_a_rejected_exercise_leaves_the_old_card(folder: Path) -> None:
    wrong, target = _write(folder, "w.yaml", WRONG), _write(folder, "old.pdf", "old")
    assert run("card", wrong, "--to", target).exit_code == 2
    assert target.read_text() == "old"


FENCE_KEYS = {"name", "kind", "x_m", "y_m", "heading_deg", "feet"}
LEG_KEYS = {
    "from", "to", "shape", "strides", "target_m", "track_m", "straight_m", "min_radius_m",
    "seconds", "lead",
}  # fmt: skip


def _measured(file: Path) -> dict[str, object]:
    found = run("measure", file, "--json")
    assert found.exit_code == 0
    return json.loads(found.stdout)


def test_measure_has_the_readings_of_the_leaf() -> None:
    """What the builder's leaf prints: every reading in metres, how it crosses, how well it comes
    out; no reading longer than a tape of 100 ft."""
    found = run(
        "measure", Path(__file__).parents[2] / "exercises" / "fan-of-three-angles.yaml", "--json"
    )
    leaf = json.loads(found.stdout)["leaf"]
    assert {fence["name"] for fence in leaf["fences"]} == {"hub", "birch", "alder", "cedar"}
    for fence in leaf["fences"]:
        assert 35 <= fence["crossing_deg"] <= 145
        assert 0 < fence["rounding_m"] < fence["within_m"] < 0.3
        assert fence["tapes"]
        for tape in fence["tapes"]:
            assert all(0 < metres <= 30.48 for metres in tape["read_m"])
    assert len(leaf["checks"]) == 4


def test_measure_for_machines(folder: Path) -> None:
    values = _measured(folder / "clean.yaml")
    assert {"fences", "legs", "totals", "findings"} <= set(values)
    assert all(set(fence) >= FENCE_KEYS for fence in values["fences"])
    assert all(set(leg) >= LEG_KEYS for leg in values["legs"])
    assert [(leg["from"], leg["to"], leg["shape"]) for leg in values["legs"]] == [
        ("start", "birch", "start"),
        ("birch", "hazel", "line"),
        ("hazel", "finish", "finish"),
    ]
    line = values["legs"][1]
    assert (line["strides"], line["min_radius_m"], line["lead"]) == (5, None, "left")
    # 72 ft at 325 m/min, up to 3'3": "Beginner Novice 300, Novice 320, Training 325 m/min [S51]"
    assert line["seconds"] == pytest.approx(72 * FOOT / (325 / 60), abs=0.006)


def test_a_pinned_fence_stands_where_the_file_says(folder: Path) -> None:
    text = CLEAN.replace("at: [20 m, 8 m], facing: 0°", "at: [70 ft, 30 ft], facing: 30°")
    [birch, _] = _measured(_write(folder, "p.yaml", text))["fences"]
    assert (birch["x_m"], birch["y_m"]) == (21.336, 9.144)
    assert birch["heading_deg"] == 30.0
    # Poles of 12 ft: half of them to either side of the middle, square to the track.
    # cos 30° = 0.866025, sin 30° = 0.5; 6 ft = 1.8288 m
    left, right = birch["feet"]
    assert left == pytest.approx([21.336 - 0.9144, 9.144 + 1.5838], abs=0.0001)
    assert right == pytest.approx([21.336 + 0.9144, 9.144 - 1.5838], abs=0.0001)


def test_a_fence_placed_five_strides_beyond(folder: Path) -> None:
    values = _measured(folder / "clean.yaml")
    birch, hazel = values["fences"]
    assert (birch["x_m"], birch["y_m"]) == (20.0, 8.0)
    # Six times 12 ft from base to base, "5: 72'" in the US chart; birch has no spread, and the
    # middle of hazel lies half of its 2'6" behind its front: 20 + 21.9456 + 0.381 m.
    assert values["legs"][1]["track_m"] == pytest.approx(21.9456, abs=0.0001)
    assert values["legs"][1]["target_m"] == pytest.approx(21.9456, abs=0.0001)
    assert hazel["x_m"] == pytest.approx(42.3266, abs=0.0001)
    assert (hazel["y_m"], hazel["heading_deg"]) == (8.0, 0.0)


def test_a_fence_first_jumped_from_behind_is_headed_that_way(folder: Path) -> None:
    text = CLEAN.replace("jump: birch", "jump: birch from behind")
    text = text.replace("line: 5 strides", "turn: left")
    found = json.loads(run("measure", _write(folder, "b.yaml", text), "--json").stdout)
    assert found["fences"][0]["heading_deg"] == 180.0


def test_measure_prints_places_and_distances(folder: Path) -> None:
    found = run("measure", folder / "clean.yaml").stdout
    assert "20.00 m" in found
    assert "42.33 m" in found
    assert "72'" in found


def test_schema_is_json() -> None:
    found = run("schema")
    assert found.exit_code == 0
    assert "fences" in json.loads(found.stdout)["properties"]


ANSWERS = (
    "--purpose", "Keep one canter.", "--arena", "30 x 60 m", "--horses", "horse",
    "--level", "2'6\"", "--strides", "5",
)  # fmt: skip


@pytest.mark.parametrize(
    "title",
    [
        'He said "ho": go # now', "it's: #1", "Grün & größer – Übung 🐴", "back\\slash", "- dash",
        "{brace}", "[list]", "null", "12'", "tail:", "@at", "&a", "*a", "!t", "%p", "'quoted'",
        "馬術: 障害", "a" * 500,
    ],
)  # fmt: skip
def test_new_writes_an_exercise_that_checks_clean(tmp_path: Path, title: str) -> None:
    file = tmp_path / "mine.yaml"
    assert run("new", file, "--title", title, *ANSWERS).exit_code == 0
    found = run("check", file, "--json")
    assert found.exit_code == 0
    findings = json.loads(found.stdout)[0]["findings"]
    # A title that no type at hand can set is worth a caution of its own.
    assert {f["severity"] for f in findings if f["rule"] != "cannot-be-set"} <= {"note"}
    assert json.loads(run("measure", file, "--json").stdout)["title"] == title


def test_new_does_not_write_over_a_file(tmp_path: Path) -> None:
    file = _write(tmp_path, "mine.yaml", "kept")
    found = run("new", file, "--title", "T", *ANSWERS)
    assert found.exit_code == 2
    assert "--force" in found.stderr
    assert file.read_text() == "kept"
    assert run("new", file, "--title", "T", *ANSWERS, "--force").exit_code == 0
    assert file.read_text(encoding="utf-8") != "kept"


def test_new_asks_for_what_is_not_given(tmp_path: Path) -> None:
    file = tmp_path / "asked.yaml"
    found = CliRunner().invoke(main, ["new", str(file)], input="Asked\nTo ask.\n\n\n\n\n")
    assert found.exit_code == 0
    assert run("check", file).exit_code == 0


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("chek", "check"), ("drwa", "draw"), ("measur", "measure"), ("car", "card")],
)
def test_a_mistyped_command_names_the_nearest(typed: str, meant: str) -> None:
    found = run(typed, "x.yaml")
    assert found.exit_code == 2
    assert f'"{meant}"' in found.stderr


def test_help_lists_every_command() -> None:
    found = run("--help")
    assert found.exit_code == 0
    assert all(command in found.stdout for command in COMMANDS)


def test_two_exercises_never_become_one_file(folder: Path) -> None:
    other = folder / "other"
    other.mkdir()
    (other / "clean.yaml").write_text((folder / "clean.yaml").read_text(), encoding="utf-8")
    done = run("draw", folder / "clean.yaml", other / "clean.yaml", "--to", folder / "out")
    assert done.exit_code == 2
    assert "is already that of" in done.stderr


def test_a_card_and_a_drawing_never_become_one_file(folder: Path) -> None:
    for command in (["card"], ["draw", "--as", "pdf"], ["draw", "--as", "pdf", "--view", "phone"]):
        run(*command, folder / "clean.yaml", "--to", folder / "out")
    names = [path.name for path in results(folder / "out")]
    assert names == ["clean.drawing.pdf", "clean.pdf", "clean.phone.pdf"]


def test_a_link_is_not_written_through(folder: Path) -> None:
    (folder / "out").mkdir()
    (folder / "mine").write_text("mine", encoding="utf-8")
    (folder / "out" / "clean.svg").symlink_to(folder / "mine")
    assert run("draw", folder / "clean.yaml", "--to", folder / "out").exit_code == 2
    assert (folder / "mine").read_text(encoding="utf-8") == "mine"
