"""What is written opens where it will be opened: qpdf on every PDF, a browser on every drawing."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest
from test_elsewhere import BROWSER

from diagram.pipeline import drawing_bytes, drawing_of, drawn_bytes, plan, setting_bytes, setting_of
from diagram.planning import Plan
from diagram.stakeout.crew import crew_for
from diagram.writers.card import card_bytes

ROOT = Path(__file__).parents[2]
NAMES = ("circle-of-four", "straight-out-and-home-on-an-angle")


@pytest.fixture(scope="module", params=NAMES)
def made(request: pytest.FixtureRequest) -> Plan:
    return plan(ROOT / "exercises" / f"{request.param}.yaml")


@pytest.mark.skipif(shutil.which("qpdf") is None, reason="needs qpdf")
def test_qpdf_has_nothing_against_any_pdf(made: Plan, tmp_path: Path) -> None:
    """0 is no error and no warning (qpdf manual, exit status)."""
    wall = drawing_of(made, view="wall", scale=100)
    pages = {
        "card": card_bytes(made),
        "drawing": drawing_bytes(made, "pdf"),
        "wall": drawn_bytes(wall, "pdf", view="wall"),
        "leaf": setting_bytes(setting_of(made, crew_for("feet")), "pdf", form=True),
    }
    for name, data in pages.items():
        file = tmp_path / f"{name}.pdf"
        file.write_bytes(data)
        done = subprocess.run(
            ["qpdf", "--check", file], capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, (name, done.stdout, done.stderr)
    (tmp_path / "cut.pdf").write_bytes(pages["card"][:-200])
    cut = subprocess.run(
        ["qpdf", "--check", tmp_path / "cut.pdf"], capture_output=True, check=False
    )
    assert cut.returncode != 0


@pytest.mark.skipif(BROWSER is None, reason="no Chromium on this machine")
@pytest.mark.parametrize("view", ["sheet", "phases", "phone", "colouring"])
def test_a_browser_opens_every_drawing(made: Plan, view: str, tmp_path: Path) -> None:
    """Its own reading of the file has every word of ours; a file it cannot read shows an error."""
    drawn = drawing_of(made, view=view)  # type: ignore[arg-type]
    file = tmp_path / "drawing.svg"
    file.write_bytes(drawn_bytes(drawn, "svg"))
    done = subprocess.run(
        [str(BROWSER), "--headless", "--no-sandbox", "--disable-gpu", "--dump-dom", file.as_uri()],
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    if done.returncode:
        pytest.skip(f"Chromium cannot run here: {done.stderr[-200:]}")
    assert "<parsererror" not in done.stdout
    for fence in made.fences:
        assert fence.name in done.stdout
