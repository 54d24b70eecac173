"""The shipped exercises as text: the plan in figures and the drawing mark by mark.

To accept changes, and see them:  TAPELINE_ACCEPT=1 python -m pytest tests/golden; git diff
A drawing that has changed is shown before and after in output/goldens/<name>.html, whether or
not it is accepted.
Each golden begins with a sentence that says what it must show.
"""

import difflib
import json
import os
from pathlib import Path

import pytest
from samples import SAMPLES
from scene_dump import dump
from scene_text import before_and_after

from diagram.pipeline import drawing_of, plan, setting_of
from diagram.stakeout.crew import crew_for
from diagram.writers.json import plan_values
from diagram.writers.setting_sheet import sheet_scenes

ROOT = Path(__file__).parents[2]
EXPECTED = Path(__file__).parent / "expected"
REPORT = ROOT / "output" / "goldens"
"""Where a page for each drawing that has changed shows it before and after."""
ACCEPT = os.environ.get("TAPELINE_ACCEPT") == "1"

INTENT = {
    "circle-of-four": (
        "Four fences on the middles of a square with round corners, sides along those of the field."
    ),
    "clover-of-five": (
        "One fence in the middle jumped five times, four leaves that mirror each other round it."
    ),
    "every-fence-twice": (
        "A line and a bend, each ridden both ways: eight jumps over four fences in two colours."
    ),
    "fan-of-three-angles": (
        "Three straight lines of five through the middle of one fence, 20 degrees apart."
    ),
    "figure-of-eight-with-new-leads": (
        "Two loops of one size either side of the fences, each fence numbered twice."
    ),
    "grid-from-trot-on-the-centre-line": (
        "A pole and four fences on the centre line at 9', 18', 21' and 23', trot before the first."
    ),
    "serpentine-of-bends": (
        "Four fences and three bends of 45 degrees, left, right and left, none of them shared."
    ),
    "straight-out-and-home-on-an-angle": (
        "A straight line of five, then the first fence again at an angle from the other side."
    ),
    "forward-wait-and-a-double": (
        "A straight line of four, a bend of six into a double of one stride, two colours."
    ),
    "two-lines-one-fence": (
        "Two straight lines of four and five strides that cross in the middle of one fence, "
        "25 degrees apart."
    ),
}


def _compare(name: str, text: str) -> None:
    file = EXPECTED / name
    old = file.read_text(encoding="utf-8") if file.exists() else ""
    if name.endswith(".scene") and text != old:
        before_and_after(REPORT, name, old, text)
    if ACCEPT:
        file.write_text(text, encoding="utf-8")
        old = text
    change = difflib.unified_diff(
        old.splitlines(), text.splitlines(), str(file), "now", lineterm="", n=1
    )
    assert text == old, "\n".join(list(change)[:60])


def test_every_exercise_has_an_intent() -> None:
    assert {p.stem for p in SAMPLES} == set(INTENT)


def test_nothing_is_accepted_in_the_gate() -> None:
    assert not (ACCEPT and os.environ.get("CI"))


@pytest.mark.parametrize("file", SAMPLES, ids=lambda p: p.stem)
def test_plan(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Places and lengths to the millimetre."""
    monkeypatch.chdir(ROOT)
    whole = plan_values(plan(file.relative_to(ROOT)))
    for leg in whole["legs"]:
        # Hundreds of lines; the drawing has them as ticks, and tests of the ride add them up.
        del leg["spots"], leg["points_m"]
    values = _rounded(whole)
    _compare(f"{file.stem}.json", json.dumps(values, indent=1, ensure_ascii=False) + "\n")


def _rounded(value: object) -> object:
    """Three decimals: a millimetre, and far above what processors disagree on."""
    if isinstance(value, float):
        return round(value, 3) + 0.0
    if isinstance(value, dict):
        return {key: _rounded(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_rounded(inner) for inner in value]
    return value


@pytest.mark.parametrize("file", SAMPLES, ids=lambda p: p.stem)
def test_drawing(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every mark in paper millimetres."""
    monkeypatch.chdir(ROOT)
    drawn = drawing_of(plan(file.relative_to(ROOT)))
    _compare(f"{file.stem}.scene", f"{INTENT[file.stem]}\n\n{dump(drawn.scene)}")


LEAVES = ("every-fence-twice", "clover-of-five", "grid-from-trot-on-the-centre-line")
"""A bend and two lines, five fences off one, a combination on one tape."""


@pytest.mark.parametrize("stem", LEAVES)
def test_leaves(stem: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both leaves, every word and every mark, as a crew gets them."""
    monkeypatch.chdir(ROOT)
    setting = setting_of(plan(Path("exercises") / f"{stem}.yaml"), crew_for("feet"))
    for kind, scene in zip(("leaf", "check"), sheet_scenes(setting), strict=True):
        _compare(f"{stem}.{kind}.scene", f"The builder's leaf and its check.\n\n{dump(scene)}")
