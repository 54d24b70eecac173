"""Each outcome by its name, and the same places for the same file."""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace
from samples import SAMPLES
from sensible_layouts import setting_of

import diagram.solver.starts as beginning
from diagram.changing import proven_changes
from diagram.diagnostics import RejectedError
from diagram.pipeline import plan_text
from diagram.placing.arrange import Layout, arrange
from diagram.placing.posing import pose_problem
from diagram.solver.solve import roomier, solve

HEAD = "tapeline: 1\ntitle: T\npurpose: P\nlevel: 3'\nhorses: 12' stride\n"
LINE = """\
arena: {arena}
fences:
  ash: {{kind: vertical{ash}}}
  birch: {{kind: vertical{birch}}}
ride:
  - jump: ash
  - line: {strides} strides
  - jump: birch
"""
LOOP = """\
arena: 80 x 50 m
fences:
  ash: {kind: vertical, ground line: both sides}
  birch: {kind: vertical}
  cedar: {kind: vertical}
ride:
  - jump: ash
  - line: 4 strides
  - jump: birch
  - turn: left
  - jump: cedar
  - bend: left, 6 strides
  - jump: ash from behind
"""


def _line(arena: str = "60 x 30 m", ash: str = "", birch: str = "", strides: int = 4) -> str:
    return HEAD + LINE.format(arena=arena, ash=ash, birch=birch, strides=strides)


def _arranged(text: str) -> Layout:
    return arrange(setting_of(text))


def test_all_pinned() -> None:
    text = _line(ash=", at: [20 m, 15 m], facing: 0°", birch=", placed: 4 strides beyond ash")
    assert _arranged(text).outcome == "placed as pinned"


def test_placed_with_no_room_to_choose() -> None:
    layout = _arranged(_line(ash=", at: [20 m, 15 m], facing: 0°"))
    assert (layout.outcome, layout.freedom) == ("placed", 0)
    assert layout.residuals
    assert max(residual.off_m for residual in layout.residuals) < 0.01
    assert max(residual.off_rad for residual in layout.residuals) < math.radians(0.5)


@pytest.mark.parametrize(
    ("ash", "freedom"),
    [
        ("", 3),  # a line of two may be shifted either way and turned
        (", at: [30 m, 15 m]", 1),  # turned about ash
        (", facing: 0°", 2),  # shifted
        (", on: centre line", 1),  # along the line
    ],
)
def test_placed_with_room_to_choose(ash: str, freedom: int) -> None:
    layout = _arranged(_line(ash=ash))
    assert (layout.outcome, layout.freedom) == ("placed, with room to choose", freedom)


def test_does_not_fit_says_by_how_much_and_what_would() -> None:
    # Seven strides are 8 x 12 ft = 29.26 m: birch stands at 52.76 m, and half a stride, three
    # strides and a metre from the rail beyond it make 66.56 m, of 60 m.
    text = _line(ash=", at: [23.5 m, 15 m], facing: 0°", strides=7)
    layout = _arranged(text)
    assert layout.outcome == "does not fit this arena"
    assert layout.shortages[0].short_m == pytest.approx(6.56, abs=0.01)
    assert list(layout.shortages) == sorted(layout.shortages, key=lambda s: -s.short_m)
    assert max(residual.off_m for residual in layout.residuals) < 0.01


@pytest.mark.long
def test_every_change_that_is_named_does_fit() -> None:
    """The text that a change makes, planned once more from nothing."""
    text = _line(ash=", at: [23.5 m, 15 m], facing: 0°", strides=7)
    assert _arranged(text).outcome == "does not fit this arena"
    found = proven_changes(plan_text(text, "line.yaml"), enough=1)
    assert found
    for change in found:
        assert change.text != text
        assert _arranged(change.text).outcome.startswith("placed"), change.words


def test_tight_is_where_a_check_warns_of_the_places() -> None:
    """A bend of five strides in 40 x 15 m stands, but with a rail close behind the start."""
    text = (
        "tapeline: 1\ntitle: Bend\npurpose: Trial.\nlevel: 2'6\"\n"
        "arena: {size: 40 x 15 m, gate: {side: left}}\n"
        "fences: {ash: {kind: vertical}, birch: {kind: vertical}}\n"
        "ride:\n  - start: canter, left lead\n  - jump: ash\n  - bend: left, 5 strides\n"
        "  - jump: birch\n  - finish: straight on, walk\n"
    )
    plan = plan_text(text, "bend.yaml")
    assert plan.layout.outcome == "placed, but tight"
    assert "start-off-the-wall" in {finding.rule for finding in plan.findings}
    found = proven_changes(plan, enough=1)
    assert found
    for change in found:
        again = plan_text(change.text, "bend.yaml")
        assert again.layout.outcome.startswith("placed, with room"), change.words


def test_too_tight_a_bend_does_not_fit_and_contradicts_nothing() -> None:
    """Four strides are 60 ft; a bend of 90° at 7.5 m takes 14.7 m beside 11 m of straights."""
    text = HEAD + (
        "arena: 60 x 40 m\nfences: {ash: {kind: vertical}, birch: {kind: vertical}}\n"
        "ride:\n  - jump: ash\n  - bend: left 90°, 4 strides\n  - jump: birch\n"
    )
    layout = _arranged(text)
    assert layout.outcome == "does not fit this arena"
    assert max(residual.off_m for residual in layout.residuals) < 0.01
    assert any("radius" in s.words or "straight" in s.words for s in layout.shortages)


def test_contradicts_itself_with_both_lines() -> None:
    text = _line(ash=", at: [10 m, 15 m], facing: 0°", birch=", at: [50 m, 15 m]")
    with pytest.raises(RejectedError) as caught:
        _arranged(text)
    [found] = caught.value.diagnostics
    assert found.rule == "contradicts-itself"
    lines = [text.splitlines()[n - 1] for n in dict(found.facts)["lines"]]
    assert any("at: [10 m" in line for line in lines)
    assert any("at: [50 m" in line for line in lines)
    assert any("line: 4 strides" in line for line in lines)


_IN_A_PROCESS = """\
import json, sys
sys.path.insert(0, sys.argv[1])
from sensible_layouts import setting_of
from diagram.placing.arrange import arrange
poses = arrange(setting_of(sys.stdin.read())).poses
print(json.dumps({name: [p.x, p.y, p.heading] for name, p in poses.items()}))
"""


def test_same_file_same_places_whatever_the_hash_seed() -> None:
    """To a micrometre; the same machine does the same sums in the same order."""
    found = []
    for seed in ("0", "1", "4711"):
        done = subprocess.run(
            [sys.executable, "-c", _IN_A_PROCESS, str(Path(__file__).parent)],
            input=_line(), capture_output=True, text=True, check=True,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(Path.cwd())},
        )  # fmt: skip
        found.append(json.loads(done.stdout))
    for other in found[1:]:
        for name, pose in found[0].items():
            assert other[name] == pytest.approx(pose, abs=1e-6)


SHIPPED = {file.stem: file.read_text(encoding="utf-8") for file in SAMPLES}
WRITTEN = {
    "loop": HEAD + LOOP, "line": _line(), "line from a line": _line(ash=", on: centre line"),
}  # fmt: skip


@pytest.mark.parametrize("name", [*WRITTEN, *SHIPPED])
def test_same_places_when_the_guesses_differ_by_rounding(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another machine rounds otherwise: guesses disturbed by 1e-9 give the places to 1 mm."""
    arenas = Path(__file__).parents[2] / "exercises" / f"{name}.yaml"
    problem, _ = pose_problem(setting_of({**WRITTEN, **SHIPPED}[name], str(arenas)))
    bodies = 3 * len(problem.bodies)
    random = np.random.default_rng(5)
    plain = beginning.starts

    def disturbed(*args: object, **more: object) -> np.ndarray:
        guesses = plain(*args, **more)  # type: ignore[arg-type]
        return guesses + random.uniform(-1e-9, 1e-9, guesses.shape)

    first = solve(problem)[0]
    roomiest = roomier(problem, first)
    monkeypatch.setattr(beginning, "starts", disturbed)
    second = solve(problem)[0]
    assert np.abs(first.unknowns - second.unknowns)[:bodies].max() < 1e-3
    aside = random.uniform(-1e-9, 1e-9, first.unknowns.shape)
    again = roomier(problem, replace(first, unknowns=first.unknowns + aside))
    assert np.abs(roomiest.unknowns - again.unknowns)[:bodies].max() < 1e-3
