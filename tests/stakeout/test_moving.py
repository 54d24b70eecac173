"""From one set-up to the next: what stays, what moves, with tapes from what stands."""

from __future__ import annotations

import io
import math
from pathlib import Path

import pytest
import rebuilt
from pypdf import PdfReader

from diagram.pipeline import plan, setting_bytes, setting_of
from diagram.planning import Plan
from diagram.stakeout.crew import crew_for
from diagram.stakeout.setting import SettingOut

HEAD = """\
tapeline: 1
title: Before
level: 3'
purpose: One.
arena:
  size: 200 x 100 m
  gate: {side: left}
horses: 12' stride
fences:
"""
RIDE = "ride:\n  - start: canter\n  - jump: birch\n  - finish: straight on, walk\n"
BIRCH = "  birch: {kind: vertical, at: [100 m, 50 m], facing: 0°}\n"
OAK = "  oak: {kind: oxer, spread: 3', at: [120 m, 60 m], facing: 0°}\n"
ELM = "  elm: {kind: oxer, spread: 3', at: [120 m, 44 m], facing: 90°}\n"


def _plan(folder: Path, name: str, fences: str, head: str = HEAD) -> Plan:
    file = folder / f"{name}.yaml"
    file.write_text(head + fences + RIDE, encoding="utf-8")
    return plan(file)


def _moved(folder: Path, before: str, after: str, **said: float) -> SettingOut:
    crew = crew_for("metres", **said)  # type: ignore[arg-type]
    return setting_of(_plan(folder, "b", after), crew, _plan(folder, "a", before))


def test_what_stands_right_is_left_alone(tmp_path: Path) -> None:
    setting = _moved(tmp_path, BIRCH + OAK, BIRCH + ELM)
    assert setting.change is not None
    assert setting.change.stays == {"birch": "birch"}
    assert [fence.name for fence in setting.fences] == ["elm"]
    [job] = setting.jobs
    assert (job.what, job.fence, job.old, job.rest) == ("move", "elm", "oak", 0)


def test_tapes_come_from_what_stands(tmp_path: Path) -> None:
    """In the middle of a large field, the fence that stays is nearer than any corner."""
    setting = _moved(tmp_path, BIRCH + OAK, BIRCH + ELM, tape_length=30.0)
    used = {
        name
        for foot in setting.fences[0].feet
        for name in (foot.ways.tapes.first, foot.ways.tapes.second)
    }
    assert used & {"birch left", "birch right"}


def test_the_same_again_needs_no_work(tmp_path: Path) -> None:
    setting = _moved(tmp_path, BIRCH + OAK, BIRCH + OAK)
    assert setting.fences == ()
    assert setting.jobs == ()
    assert setting.leaf.fences == ()
    for kind in ("pdf", "csv", "json"):
        assert setting_bytes(setting, kind)


def test_alterations_at_a_fence_that_stays(tmp_path: Path) -> None:
    other = BIRCH.replace("facing: 0°", "facing: 180°, height: 3'6\", filler: boxes")
    setting = _moved(tmp_path, BIRCH, other)
    assert setting.change is not None
    [notes] = setting.change.altered.values()
    said = "; ".join(notes)
    assert "raise it to 1.07 m" in said
    assert "filler: boxes" in said
    assert "other side" in said


def test_a_fence_a_hand_away_is_moved(tmp_path: Path) -> None:
    setting = _moved(tmp_path, BIRCH, BIRCH.replace("100 m", "100.1 m"))
    assert [job.what for job in setting.jobs] == ["move"]
    near = _moved(tmp_path, BIRCH, BIRCH.replace("100 m", "100.04 m"))
    assert near.jobs == ()
    # Its feet stand where they stood: 4 cm from where the new exercise would have them.
    assert near.change is not None
    assert near.change.stays == {"birch": "birch"}


def test_what_is_too_much_is_cleared_and_what_lacks_is_fetched(tmp_path: Path) -> None:
    gone = _moved(tmp_path, BIRCH + OAK, BIRCH)
    assert [(job.what, job.old) for job in gone.jobs] == [("clear", "oak")]
    more = _moved(tmp_path, BIRCH, BIRCH + OAK)
    assert [(job.what, job.fence) for job in more.jobs] == [("fetch", "oak")]


def test_equipment_goes_where_it_saves_most(tmp_path: Path) -> None:
    """Two oxers and a vertical change places: each new fence takes the nearest that fits."""
    before = BIRCH + OAK + ELM
    after = (
        BIRCH
        + "  ash: {kind: oxer, spread: 3', at: [125 m, 62 m], facing: 0°}\n"
        + "  yew: {kind: oxer, spread: 3', at: [125 m, 40 m], facing: 90°}\n"
    )
    setting = _moved(tmp_path, before, after)
    assert {(job.fence, job.old) for job in setting.jobs} == {("ash", "oak"), ("yew", "elm")}


def test_another_arena_is_refused(tmp_path: Path) -> None:
    other = _plan(tmp_path, "c", BIRCH, HEAD.replace("200 x 100 m", "200 x 90 m"))
    with pytest.raises(ValueError, match="same arena"):
        setting_of(other, crew_for("metres"), _plan(tmp_path, "a", BIRCH))


def test_the_line_from_a_fence_that_stays_keeps_its_distance(tmp_path: Path) -> None:
    ride = RIDE.replace("  - finish", "  - line: 5 strides\n  - jump: hazel\n  - finish")
    line = BIRCH + "  hazel: {kind: oxer, placed: 5 strides beyond birch}\n"
    before = _plan(tmp_path, "a", BIRCH)
    file = tmp_path / "b.yaml"
    file.write_text(HEAD + line + ride, encoding="utf-8")
    setting = setting_of(plan(file), crew_for("metres"), before)
    [one] = setting.lines
    assert one.line.name == "birch → hazel"
    assert abs(one.most_m) < setting.crew.rounding
    feet = setting.places
    taped = math.dist(one.line.start.place(feet), one.line.end.place(feet))
    assert taped - one.line.straight_m == pytest.approx(one.as_set_m, abs=1e-9)


def test_the_feet_are_found_again_from_the_csv(tmp_path: Path) -> None:
    """With code of its own, from corners and from the feet that stand."""
    setting = _moved(tmp_path, BIRCH + OAK, BIRCH + ELM, tape_length=30.0)
    table = rebuilt.rows(setting_bytes(setting, "csv"))
    assert {row["name"] for row in rebuilt.of(table, "standing")} == {"birch left", "birch right"}
    found = rebuilt.by_tapes(table, "exact_")
    [elm] = [fence for fence in setting.plan.fences if fence.name == "elm"]
    assert len(found) == 4
    for at in found.values():
        assert min(math.dist(at, foot) for foot in elm.feet) < 0.01


def test_what_a_pole_does_not_have_comes_from_the_gate(tmp_path: Path) -> None:
    """A pole on the ground has one pole and no standards: nobody looks for them where it lay."""
    pole = "  rail: {kind: ground pole, at: [118 m, 58 m], facing: 0°}\n"
    setting = _moved(tmp_path, BIRCH + pole, BIRCH + OAK)
    text = PdfReader(io.BytesIO(setting_bytes(setting, "pdf"))).pages[0].extract_text()
    assert "old rail, the rest from the gate" in " ".join(text.split())
