"""Drawings of the sixty trial exercises side by side with those of another state of the program.

Run as ``python benchmarks/drawings.py output/now`` from the root: one PNG for each exercise of
``tests/placing/said.py``, and contact sheets of nine. Given the folder that another state of the
program wrote as well (``--before output/then``), each sheet has four of them, before and after.
"""

from __future__ import annotations

import argparse
import io
import os
import sys
from pathlib import Path

os.environ["OPENBLAS_NUM_THREADS"] = "1"
os.environ["TAPELINE_CACHE"] = "off"

from PIL import Image, ImageDraw

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "tests/placing")]

from said import SIXTY, Said  # noqa: E402

from diagram.pipeline import drawing_bytes, plan_text  # noqa: E402

DPI, ACROSS, DOWN, GAP = 60, 3, 3, 6


def drawn(said: Said) -> Image.Image:
    """The drawing of an exercise, with its outcome and what is worse than a note written above."""
    plan = plan_text(said.text)
    picture = Image.open(io.BytesIO(drawing_bytes(plan, "png", dpi=DPI))).convert("RGB")
    worse = sorted({f.rule for f in plan.findings if str(f.severity) != "note"})
    words = f"{said.name}: {plan.layout.outcome}. {', '.join(worse)}"
    ImageDraw.Draw(picture).text((4, 2), words, fill="red" if worse else "black")
    return picture


def sheet(pictures: list[Image.Image], across: int) -> Image.Image:
    """Pictures in rows, so many across."""
    width, height = (max(p.size[k] for p in pictures) + GAP for k in (0, 1))
    rows = -(-len(pictures) // across)
    out = Image.new("RGB", (across * width, rows * height), "white")
    for n, picture in enumerate(pictures):
        out.paste(picture, (n % across * width, n // across * height))
    return out


def main() -> None:
    """Read the arguments and write the pictures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--before", type=Path, help="a folder written by another state")
    said = parser.parse_args()
    said.folder.mkdir(parents=True, exist_ok=True)
    pictures: list[Image.Image] = []
    for number, exercise in enumerate(SIXTY, 1):
        name = f"{number:02}.png"
        now = drawn(exercise)
        now.save(said.folder / name)
        if said.before is not None and (said.before / name).exists():
            pictures.append(Image.open(said.before / name).convert("RGB"))
        pictures.append(now)
    across = 2 if said.before is not None else ACROSS
    each = across * (DOWN + 1 if said.before is not None else DOWN)
    for first in range(0, len(pictures), each):
        part = sheet(pictures[first : first + each], across)
        part.save(said.folder / f"sheet-{first // each + 1:02}.png")


if __name__ == "__main__":
    main()
