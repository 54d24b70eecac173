"""``tapeline set-out`` as it is called: what it writes, what it refuses, how it ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from diagram.cli import main

EXERCISES = Path(__file__).parents[2] / "exercises"
BENDS = EXERCISES / "forward-wait-and-a-double.yaml"
EIGHT = EXERCISES / "figure-of-eight-with-new-leads.yaml"
ANGLE = EXERCISES / "straight-out-and-home-on-an-angle.yaml"


def run(*args: object) -> Result:
    return CliRunner().invoke(main, ["set-out", *(str(arg) for arg in args)])


@pytest.mark.parametrize(("kind", "begin"), [("pdf", b"%PDF"), ("csv", b"record,"), ("json", b"{")])
def test_the_ending_says_what_is_written(tmp_path: Path, kind: str, begin: bytes) -> None:
    target = tmp_path / f"sheet.{kind}"
    found = run(EIGHT, "--to", target)
    assert found.exit_code == 0, found.output
    assert target.read_bytes().startswith(begin)
    assert str(target) in found.output


def test_a_folder_gets_a_sheet_for_each(tmp_path: Path) -> None:
    assert run(EIGHT, ANGLE, "--to", tmp_path).exit_code == 0
    assert sorted(p.name for p in tmp_path.glob("*.pdf")) == [
        f"{EIGHT.stem}.set-out.pdf", f"{ANGLE.stem}.set-out.pdf",
    ]  # fmt: skip


def test_by_default_it_goes_to_output(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(EIGHT).exit_code == 0
    assert (tmp_path / "output" / f"{EIGHT.stem}.set-out.pdf").is_file()


def test_the_form_comes_with_a_template(tmp_path: Path) -> None:
    assert run(EIGHT, "--to", tmp_path, "--form").exit_code == 0
    template = (tmp_path / f"{EIGHT.stem}-measured.csv").read_text(encoding="utf-8")
    assert template.startswith("from,to,metres\n")
    assert template.count("\n") > 8


def _json(tmp_path: Path, *args: object) -> dict:  # type: ignore[type-arg]
    target = tmp_path / "sheet.json"
    found = run(*args, "--to", target)
    assert found.exit_code == 0, found.output
    values: dict = json.loads(target.read_text(encoding="utf-8"))  # type: ignore[type-arg]
    return values


def test_every_option_of_the_crew_does_something(tmp_path: Path) -> None:
    plain = _json(tmp_path, BENDS)
    assert plain["crew"]["rounding_m"] == 0.0254
    coarse = _json(tmp_path, BENDS, "--units", "metres", "--round", "10 cm")
    for fence in coarse["fences"]:
        for foot in fence["feet"]:
            for value in foot["tapes"]["read_m"]:
                assert round(value, 4) == round(round(value, 1), 4)
    careless = _json(tmp_path, BENDS, "--tape-error", "4 cm")
    first, second = (
        values["fences"][0]["feet"][0]["tapes"]["off_by_m"] for values in (plain, careless)
    )
    assert second == pytest.approx(2 * first, abs=2e-4)
    assert plain["from_the"] == "gate"
    assert _json(tmp_path, BENDS, "--store", "old post")["from_the"] == "old post"
    long = _json(tmp_path, BENDS, "--tape-length", "50 m")
    errors = [
        sum(foot["off_by_m"] for fence in values["fences"] for foot in fence["feet"])
        for values in (long, plain)
    ]
    assert errors[0] < errors[1]


def test_paper_and_track_change_the_sheet(tmp_path: Path) -> None:
    written = []
    for n, more in enumerate(((), ("--paper", "A3"), ("--track",), ("--units", "both"))):
        target = tmp_path / f"{n}.pdf"
        assert run(EIGHT, *more, "--to", target).exit_code == 0
        written.append(target.read_bytes())
    assert len(set(written)) == 4


def test_after_another_exercise(tmp_path: Path) -> None:
    values = _json(tmp_path, ANGLE, "--after", EIGHT)
    assert values["after"] == str(EIGHT)
    assert {job["what"] for job in values["jobs"]} == {"move", "fetch"}
    assert {job["old"] for job in values["jobs"] if job["old"]} == {"willow", "sallow"}


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("--round", "5 cm"), "say 1 in"),
        (("--round", "5"), "no unit"),
        (("--tape-error", "2 m"), "half a metre"),
        (("--tape-length", "1 m"), "between 3 m and 200 m"),
        (("--store", "the barn"), 'nothing in this arena is called "the barn"'),
        (("--after", BENDS), "same arena"),
        (("--after", "none.yaml"), "none.yaml"),
    ],
)
def test_what_cannot_be_is_refused(tmp_path: Path, args: tuple[object, ...], said: str) -> None:
    found = run(EIGHT, *args, "--to", tmp_path / "sheet.pdf")
    assert found.exit_code == 2
    assert said in found.output
    assert "Traceback" not in found.output
    assert list(tmp_path.iterdir()) == []


def test_an_ending_nobody_writes(tmp_path: Path) -> None:
    assert run(EIGHT, "--to", tmp_path / "sheet.docx").exit_code == 2
    assert run(EIGHT, "--to", tmp_path / "sheet.pdf", "--as", "csv").exit_code == 2


def test_the_store_is_asked(tmp_path: Path) -> None:
    file = tmp_path / "eight.yaml"
    text = EIGHT.read_text(encoding="utf-8").replace(
        "arena: outdoor ring", "arena: {size: 60 x 30 m, sides: {top: brook side}}"
    )
    file.write_text(text, encoding="utf-8")
    store = tmp_path / "store.yaml"
    store.write_text("poles: {12': 4, 10': 3}\nstandards: 2\n", encoding="utf-8")
    found = run(file, "--to", tmp_path / "sheet.pdf")
    assert found.exit_code == 0
    assert "built with poles of another length" in found.output
    assert "standards: 4 wanted, 2 in the store" in found.output
    store.write_text("poles: many\n", encoding="utf-8")
    refused = run(file, "--to", tmp_path / "other.pdf")
    assert refused.exit_code == 2
    assert "store.yaml:1:" in refused.output
    assert not (tmp_path / "other.pdf").exists()
