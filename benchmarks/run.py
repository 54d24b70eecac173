"""Times of the main jobs, warm and cold, and their ratios in one run. Prints; never fails."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[1]
EXERCISE = ROOT / "exercises" / "forward-wait-and-a-double.yaml"
RUNS = 9


def median_ms(job: Callable[[], object], runs: int = RUNS) -> float:
    """Median of several runs in milliseconds, after one that is not counted."""
    job()
    times = []
    for _ in range(runs):
        begin = time.perf_counter()
        job()
        times.append((time.perf_counter() - begin) * 1000)
    return statistics.median(times)


def cold(*command: str) -> Callable[[], object]:
    """A whole process."""
    return lambda: subprocess.run(
        [sys.executable, "-m", "diagram.cli", *command], cwd=ROOT, capture_output=True, check=False
    )


def main() -> None:
    """Measure and print."""
    from diagram.drawing import draw_plan
    from diagram.pipeline import plan
    from diagram.writers import pdf, png, svg
    from diagram.writers.card import card_bytes

    made = plan(EXERCISE)
    scene = draw_plan(made, 277, 180).scene
    rows = {
        "python -c pass": median_ms(
            lambda: subprocess.run([sys.executable, "-c", "pass"], check=True)
        ),
        "check, cold": median_ms(cold("check", str(EXERCISE))),
        "card, cold": median_ms(cold("card", str(EXERCISE), "--to", "output/bench.pdf")),
        "plan, warm": median_ms(lambda: plan(EXERCISE)),
        "drawing, warm": median_ms(lambda: draw_plan(made, 277, 180)),
        "card of a plan, warm": median_ms(lambda: card_bytes(made)),
        "svg, warm": median_ms(lambda: svg.scene_bytes(scene)),
        "pdf, warm": median_ms(lambda: pdf.scene_bytes(scene)),
        "png, warm": median_ms(lambda: png.scene_bytes(scene), 3),
    }
    unit = rows["python -c pass"]
    for name, value in rows.items():
        print(f"{name:24} {value:8.1f} ms {value / unit:8.2f} x a bare interpreter")


if __name__ == "__main__":
    main()
