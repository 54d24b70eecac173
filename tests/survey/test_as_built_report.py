"""The report as it is printed: what it says, in which units, how it ends."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import pytest
from as_built_trials import SIGMA_M, TAPE_M, exercise, places, taped
from pypdf import PdfReader

from diagram.cli.as_built_report import report
from diagram.drawing.as_built import draw_as_built
from diagram.style import FENCE_POLE
from diagram.survey.as_built import Options, as_built
from diagram.survey.as_built_words import verdict, wrong_words
from diagram.survey.form import form_tapes
from diagram.survey.measured import Measured
from diagram.survey.remedy_words import move_words
from diagram.units import feet_inches
from diagram.writers.as_built import as_built_pdf

GRID = "grid-from-trot-on-the-centre-line"


def _file(tmp_path: Path, measured: Measured) -> Path:
    file = tmp_path / "tapes.csv"
    rows = [f"{t.first},{t.second},{feet_inches(t.metres)}" for t in measured.tapes]
    file.write_text("\n".join(["from,to,metres", *rows]) + "\n", encoding="utf-8")
    return file


@pytest.fixture
def short_grid(tmp_path: Path) -> Path:
    """The one-stride to grid b is 18 in short, and one tape was misread by a metre."""
    plan = exercise(GRID)
    return _file(tmp_path, taped(plan, {"grid b": (-0.45, 0.0, 4.0)}, blunders={4: 0.9144}))


def _report(file: Path, **options: object) -> int:
    usual: dict[str, object] = {"tape_error_m": SIGMA_M, "tape_length_m": TAPE_M}
    return report(exercise(GRID), file, **(usual | options))  # type: ignore[arg-type]


def test_what_a_crew_reads(short_grid: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert _report(short_grid) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert "Do not ride it yet. Move grid b: then every line rides as planned." in out
    assert "line 6: letter V to grid pole left" in out
    assert "One yard misread?" in out
    assert "turned 4° to the left" in out
    assert "between a long bounce and a short one: neither" in out
    assert "right foot 12 in forward" in out
    assert "grid a → grid b 18'" in out


def test_in_metres(short_grid: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _report(short_grid, units="metres")
    out = capsys.readouterr().out
    assert "5.49 m" in out
    assert "cm back" in out
    assert "cm long per stride" in out or "cm short per stride" in out
    # No feet left over but where a check says both; the other apostrophes belong to words.
    own = out.split("What the checks say")[0]
    assert not re.search(r"\d'|\d in\b", own)


def test_values_for_machines(short_grid: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert _report(short_grid, as_json=True) == 1
    values = json.loads(capsys.readouterr().out)
    assert values["wrong_tapes"][0]["line"] == 6
    assert values["wrong_tapes"][0]["too_long_m"] == pytest.approx(1.0, abs=0.15)
    fences = {fence["name"]: fence for fence in values["fences"]}
    assert fences["grid b"]["ahead_m"] == pytest.approx(-0.45, abs=0.06)
    assert fences["grid b"]["turned_deg"] == pytest.approx(4.0, abs=1.0)
    assert [move["name"] for move in values["moves"]["fences"]] == ["grid b"]
    assert values["moves"]["to_plan"]
    line = values["lines"][1]
    assert (line["from"], line["to"], line["rideable"]) == ("grid a", "grid b", False)
    feet = values["moves"]["fences"][0]["feet"]
    pose = exercise(GRID).fence("grid b").pose
    middle = [sum(at) / 2 for at in zip(*feet.values(), strict=True)]
    assert math.dist(middle, pose.point) < 1e-3


def test_the_page_says_the_same(short_grid: Path, tmp_path: Path) -> None:
    to = tmp_path / "out" / "built.pdf"
    assert _report(short_grid, to=to) == 1
    text = " ".join(page.extract_text() for page in PdfReader(to).pages)
    words = " ".join(text.split())
    assert "Do not ride it yet. Move grid b" in words
    assert "Move, before anybody rides" in words
    assert "between a long bounce and a short one: neither" in words
    assert "Ride in an approved helmet" in words
    assert "Baarda" in words


def test_same_tapes_same_bytes() -> None:
    plan = exercise(GRID)
    once, again = (as_built_pdf(as_built(plan, taped(plan), Options(TAPE_M))) for _ in range(2))
    assert once == again


def test_nothing_wrong_ends_clean(tmp_path: Path) -> None:
    assert _report(_file(tmp_path, taped(exercise(GRID), seed=None))) == 0


def test_a_wrong_file_is_shown_and_nothing_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "tapes.csv"
    file.write_text("from,to,metres\nletter A,grid q,9\n", encoding="utf-8")
    assert _report(file, to=tmp_path / "built.pdf") == 2
    assert "tapes.csv:2:10: error[tapes]" in capsys.readouterr().err
    assert not (tmp_path / "built.pdf").exists()


def test_what_cannot_be_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = _file(tmp_path, taped(exercise(GRID), seed=None))
    assert _report(file, to=file / "built.pdf") == 2
    assert "cannot write" in capsys.readouterr().err
    assert _report(file, to=tmp_path / "x.pdf", paper="A7") == 2


def test_tapes_that_contradict_each_other_come_first() -> None:
    """Without the ties one fence has four tapes: a metre too much, and no telling which."""
    plan = exercise("figure-of-eight-with-new-leads")
    pairs = [pair for pair in form_tapes(plan, TAPE_M, SIGMA_M) if "willow" in pair[1]][:3]
    pairs.append(("corner orchard end / hedge side", "willow left"))
    pairs = list(dict.fromkeys(pairs))
    found = as_built(plan, taped(plan, pairs=pairs, blunders={1: 0.6}), Options(TAPE_M))
    assert found.doubtful
    assert not found.all_well
    assert verdict(found)[0].startswith("Tape again before you move or ride anything")
    assert found.standing("willow").doubtful


def test_a_pole_that_is_not_the_plan_s() -> None:
    """A tape from standard to standard says something of the fence, not of where it stands."""
    plan = exercise(GRID)
    pairs = [*form_tapes(plan, TAPE_M, SIGMA_M), ("grid c left", "grid c right"),
             ("letter A", "letter C")]  # fmt: skip
    blunders = {len(pairs) - 2: 0.61, len(pairs) - 1: -0.5}
    found = as_built(plan, taped(plan, pairs=pairs, blunders=blunders, seed=None), Options(90.0))
    said = [wrong_words(wrong, "feet") for wrong in found.wrong]
    assert sorted(wrong.against for wrong in found.wrong) == ["arena", "fence"]
    assert any("the plan has that 2' shorter. Look at poles and spread" in words for words in said)
    assert any("20 in too short for the arena of the plan" in words for words in said)
    assert not any(fence.off for fence in found.fences)


def test_a_fence_that_only_turns_lead_to_is_not_passed_over() -> None:
    plan = exercise("forward-wait-and-a-double")
    found = as_built(plan, taped(plan, {"elm": (0.0, 3.0, 0.0)}), Options(TAPE_M))
    assert all(now.as_asked for now in found.lines)
    assert any(said.startswith("elm is far from its place") for said in verdict(found))


def test_feet_that_move_alike_are_told_together() -> None:
    plan = exercise("forward-wait-and-a-double")
    said = []
    for degrees in (0.0, 6.0):
        off = {"rowan": (-1.9, 0.1, degrees)}
        found = as_built(plan, taped(plan, off, seed=None), Options(TAPE_M))
        assert found.remedy is not None
        said.append(move_words(found.remedy.moves[0], found, "metres"))
    assert said[0] == "rowan: every foot 1.90 m forward and 10 cm to the right"
    # Rowan faces along x; what one foot has to do, seen square to the fence as it stands.
    before, after = places(plan, off)["rowan right front"], places(plan)["rowan right front"]
    dx, dy, turn = after[0] - before[0], after[1] - before[1], math.radians(6)
    ahead, left = (
        dx * math.cos(turn) + dy * math.sin(turn),
        dy * math.cos(turn) - dx * math.sin(turn),
    )
    assert (
        f"right front foot {ahead:.2f} m forward and {-left * 100:.0f} cm to the right" in said[1]
    )


def test_an_exercise_of_turns_only() -> None:
    plan = exercise("figure-of-eight-with-new-leads")
    found = as_built(plan, taped(plan, seed=None), Options(TAPE_M))
    assert verdict(found) == ["This exercise has no line to be measured, only turns."]
    assert found.all_well


def test_the_drawing_shows_where_a_fence_should_be() -> None:
    """Poles dashed at the planned place, as far from those drawn as the fence is off."""
    plan = exercise(GRID)
    found = as_built(plan, taped(plan, {"grid c": (1.0, 0.0, 0.0)}, seed=None), Options(TAPE_M))
    drawn = draw_as_built(plan, found.built, ["grid c"], 190.0, 150.0, "feet")
    (planned,) = (group for group in drawn.scene.items if group.name == "planned")
    (ghost,) = planned.children
    (fences,) = (group for group in drawn.scene.items if group.name == "fences")
    (stands,) = (group for group in fences.children if group.name == "fence-grid-c")
    outline = max(ghost.children, key=lambda mark: len(mark.points))
    middle = sum(x for x, _ in outline.points) / len(outline.points)
    poles = [mark for mark in stands.children if mark.pen == FENCE_POLE]
    assert poles[0].points[0][0] - middle == pytest.approx(1000 / drawn.frame.denominator, abs=0.02)
