"""Fitting: the same lesson elsewhere, for others, higher, or the other way about."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from click.testing import CliRunner

from diagram.cli import main
from diagram.diagnostics import RejectedError
from diagram.fitting import Wanted, fit
from diagram.pipeline import plan, plan_text

FREE = """\
tapeline: 1
title: Out and round
purpose: To be moved.
level: 3'
arena: 40 x 70 m
horses: 12' stride
fences:
  birch: {kind: vertical, ground line: both sides}
  hazel: {kind: oxer, spread: 2'6"}
  elm: {kind: vertical, height: 2'9"}
ride:
  - start: canter, left lead
  - jump: birch
    purpose: Look left before you land.
  - line: 4 strides
  - jump: hazel
  - bend: left 45°, 5 strides
  - jump: elm, land on the right lead
  - finish: straight on, walk
"""
PINNED = FREE.replace(
    "vertical, ground line: both sides}", "vertical, at: [16 m, 11 m], facing: 0°}"
).replace("kind: oxer,", "kind: oxer, placed: 4 strides beyond birch,")
FOOT = 0.3048


def test_other_horses_get_their_own_distances() -> None:
    """Four strides of 11 ft take four feet less than four of 12 ft, and a sixth for the fences
    (common practice: a stride's length for landing and take-off together)."""
    before = plan_text(PINNED)
    fitted = fit(before, Wanted(horses="11' stride"))
    line = next(leg for leg in fitted.after.legs if leg.shape == "line" and leg.second)
    was = next(leg for leg in before.legs if leg.shape == "line" and leg.second)
    assert line.asked is not None
    assert line.track_m == pytest.approx(line.asked.aim_m, abs=0.01)
    assert 4 * FOOT <= was.track_m - line.track_m <= 5.5 * FOOT


def test_what_need_not_move_stays() -> None:
    """Only the level changes, and the distances do not: every fence stays within a centimetre."""
    before = plan_text(PINNED)
    fitted = fit(before, Wanted(height="3'"))
    for old, new in zip(before.fences[:2], fitted.after.fences[:2], strict=True):
        assert old.pose.distance(new.pose.point) < 0.01, new.name


def test_fences_with_a_height_of_their_own_rise_with_the_level() -> None:
    fitted = fit(plan_text(FREE), Wanted(height="3'3\""))
    heights = {f.name: f.fence.measures.height_m for f in fitted.after.fences}
    assert heights["birch"] == pytest.approx(39 * 0.0254, abs=1e-6)
    assert heights["elm"] == pytest.approx(36 * 0.0254, abs=1e-6)


def test_mirrored_is_the_reflection() -> None:
    """y becomes width - y, headings change sign, left and right are exchanged in words."""
    before = plan_text(PINNED)
    fitted = fit(before, Wanted(mirrored=True))
    for old, new in zip(before.fences, fitted.after.fences, strict=True):
        assert new.pose.x == pytest.approx(old.pose.x, abs=0.01)
        assert new.pose.y == pytest.approx(40 - old.pose.y, abs=0.01)
        turned = math.remainder(new.pose.heading + old.pose.heading, 2 * math.pi)
        assert abs(turned) < math.radians(0.5)
    assert "bend: right 45°, 5 strides" in fitted.text
    assert "Look right before you land." in fitted.text
    for old_leg, new_leg in zip(before.legs, fitted.after.legs, strict=True):
        assert new_leg.track_m == pytest.approx(old_leg.track_m, abs=0.03)


def test_end_for_end_is_half_a_turn() -> None:
    before = plan_text(PINNED)
    fitted = fit(before, Wanted(end_for_end=True))
    for old, new in zip(before.fences, fitted.after.fences, strict=True):
        assert new.pose.x == pytest.approx(70 - old.pose.x, abs=0.01)
        assert new.pose.y == pytest.approx(40 - old.pose.y, abs=0.01)


def test_a_file_that_says_no_places_is_given_none(tmp_path: Path) -> None:
    source, target = tmp_path / "one.yaml", tmp_path / "two.yaml"
    source.write_text(FREE, encoding="utf-8")
    words = ["fit", str(source), "--arena", "80 x 45 m", "--to", str(target)]
    done = CliRunner().invoke(main, words)
    assert done.exit_code == 0, done.output
    assert "placed" in done.output
    assert target.read_text(encoding="utf-8") == FREE.replace("40 x 70 m", "80 x 45 m")
    again = plan(target)
    assert again.arena.size == (80, 45)
    for leg in again.legs:
        if leg.asked:
            assert leg.track_m == pytest.approx(leg.asked.aim_m, abs=0.01)


COMMENTED = PINNED.replace("level: 3'", "level: 3'  # of the evening class").replace(
    "  - line: 4", "  # count aloud\n  - line: 4"
)


def test_comments_order_and_wording_stay() -> None:
    """Line for line the same but for what was asked and the places that follow from it."""
    fitted = fit(plan_text(COMMENTED), Wanted(arena="45 x 75 m", height="2'9\""))
    old, new = COMMENTED.splitlines(), fitted.text.splitlines()
    assert len(old) == len(new)
    changed = [a for a, b in zip(old, new, strict=True) if a != b]
    starts = ["level:", "arena:", "  birch:", "  elm:"]
    assert all(any(line.startswith(start) for start in starts) for line in changed), changed
    assert "# of the evening class" in fitted.text
    assert "placed: 4 strides beyond birch" in fitted.text


def test_what_is_reported_is_what_the_new_file_says() -> None:
    fitted = fit(plan_text(PINNED), Wanted(arena="45 x 75 m"))
    again = plan_text(fitted.text)
    assert [f.pose for f in again.fences] == [f.pose for f in fitted.after.fences]
    assert again.layout == fitted.layout


def test_lines_by_a_rail_stay_by_their_rail() -> None:
    """Four metres in from the rail before, four metres in from it in a larger ring."""
    bend = "  - bend: left 45°, 5 strides\n  - jump: elm, land on the right lead\n"
    line = PINNED.replace(bend, "").replace("  elm: {kind: vertical, height: 2'9\"}\n", "")
    by_rail = line.replace("[16 m, 11 m]", "[16 m, 4 m]")
    fitted = fit(plan_text(by_rail), Wanted(arena="60 x 90 m"))
    assert fitted.after.fence("birch").pose.y == pytest.approx(4.0, abs=0.05)


def test_nothing_is_overwritten_unasked(tmp_path: Path) -> None:
    source, target = tmp_path / "one.yaml", tmp_path / "two.yaml"
    source.write_text(FREE, encoding="utf-8")
    target.write_text("mine", encoding="utf-8")
    words = ["fit", str(source), "--height", "3'", "--to", str(target)]
    done = CliRunner().invoke(main, words)
    assert done.exit_code == 2
    assert target.read_text(encoding="utf-8") == "mine"
    assert CliRunner().invoke(main, [*words, "--force"]).exit_code == 0
    assert target.read_text(encoding="utf-8") == FREE


def test_the_changes_as_json(tmp_path: Path) -> None:
    source = tmp_path / "one.yaml"
    source.write_text(PINNED, encoding="utf-8")
    done = CliRunner().invoke(main, ["fit", str(source), "--end-for-end", "--json"])
    assert done.exit_code == 0, done.output
    values = json.loads(done.stdout)
    birch = values["fences"][0]
    assert birch["to_m"] == pytest.approx([54, 29], abs=0.01)
    assert abs(birch["turned_deg"]) == pytest.approx(180, abs=0.5)


@pytest.mark.parametrize("said", ["at: X, facing: E", "facing: M", "on: diagonal H to F"])
def test_what_the_other_arena_has_no_name_for(said: str) -> None:
    """Letters are those of a school: in a plain field a fence faces the same way, by its angle."""
    school = FREE.replace("40 x 70 m", "20 x 60 m").replace("left 45°, 5", "left 45°, 4")
    before = plan_text(
        school.replace("{kind: vertical, ground", f"{{kind: vertical, {said}, ground")
    )
    after = fit(before, Wanted(arena="50 x 80 m")).after
    assert after.layout.outcome.startswith("placed")
    turned = after.fence("birch").pose.heading - before.fence("birch").pose.heading
    if said == "facing: M":
        assert math.remainder(turned, math.tau) == pytest.approx(0.0, abs=1e-4)


def test_an_arena_of_another_file(tmp_path: Path) -> None:
    (tmp_path / "rings.yaml").write_text("back ring: {size: 62 x 33 m}\n", encoding="utf-8")
    fitted = fit(plan_text(FREE), Wanted(arena=f"{tmp_path / 'rings.yaml'}:back ring"))
    assert fitted.after.arena.size == (62, 33)
    with pytest.raises(RejectedError, match="front ring"):
        fit(plan_text(FREE), Wanted(arena=f"{tmp_path / 'rings.yaml'}:front ring"))


def test_an_arena_that_is_too_small_says_so(tmp_path: Path) -> None:
    source = tmp_path / "one.yaml"
    source.write_text(FREE, encoding="utf-8")
    done = CliRunner().invoke(main, ["fit", str(source), "--arena", "22 x 20 m"])
    assert done.exit_code == 1, done.output
    assert "does not fit this arena" in done.output
    assert "does-not-fit" in done.stderr


def test_a_card_of_it(tmp_path: Path) -> None:
    source, target = tmp_path / "one.yaml", tmp_path / "two.pdf"
    source.write_text(FREE, encoding="utf-8")
    done = CliRunner().invoke(main, ["fit", str(source), "--mirrored", "--to", str(target)])
    assert done.exit_code == 0, done.output
    assert target.read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "say what to fit it to"),
        (("--height", "3"), "has no unit"),
        (("--arena", "nowhere"), 'no arena is called "nowhere"'),
        (("--horses", "camels"), "camels"),
        (("--mirrored", "--to", "x.doc"), ".yaml definition"),
    ],
)
def test_wrong_use(tmp_path: Path, words: tuple[str, ...], said: str) -> None:
    source = tmp_path / "one.yaml"
    source.write_text(FREE, encoding="utf-8")
    done = CliRunner().invoke(main, ["fit", str(source), *words])
    assert done.exit_code == 2, done.output
    assert said in done.output
    assert "Traceback" not in done.output


def test_changes_that_would_make_it_fit_are_told_when_asked(tmp_path: Path) -> None:
    source = tmp_path / "line.yaml"
    source.write_text(LINE_OF_SIX, encoding="utf-8")
    words = ["fit", str(source), "--arena", "44 x 24 m"]
    plain, asked = (CliRunner().invoke(main, [*words, *more]) for more in ([], ["--changes"]))
    assert "does-not-fit" in plain.stderr
    assert "5 strides from ash to birch" not in plain.stderr
    assert "5 strides from ash to birch" in asked.stderr


LINE_OF_SIX = """tapeline: 1
title: Trial
purpose: Trial.
level: 2'6"
arena: 60 x 30 m
horses: horse
fences: {ash: {kind: vertical}, birch: {kind: vertical}}
ride:
  - start: canter, left lead
  - jump: ash
    purpose: Said.
  - line: 6 strides
  - jump: birch
    purpose: Said.
  - finish: straight on, walk
"""
