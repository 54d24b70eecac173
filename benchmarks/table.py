"""Each budget, the figure, and its ratio to the floor and to other ways to the same pages.

Run as ``python benchmarks/table.py`` from the root; ``--write`` puts the table into
``benchmarks/table.md`` with the machine it was taken on, beside it how the ratios moved since.
Times are of the processor (user and system, children with them), so that what else runs counts
for less; one thread each. Nothing here fails: a ratio that got worse by more than a third is
marked. The other ways (typst, WeasyPrint, matplotlib) are left out where they are not installed;
they are given the finished pages and only have to set them.
"""

from __future__ import annotations

import argparse
import io
import itertools
import math
import os
import platform
import re
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

os.environ["OPENBLAS_NUM_THREADS"] = "1"
ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

import diagram  # noqa: E402
from diagram.pipeline import plan_text  # noqa: E402
from diagram.scene import Scene  # noqa: E402
from diagram.writers import pdf, svg  # noqa: E402
from diagram.writers.card import card_bytes, card_sides  # noqa: E402

TABLE = Path(__file__).with_name("table.md")
WORSE = 4 / 3

PINNED = """\
tapeline: 1
title: Pinned
level: 2'6"
purpose: Everything has its place.
arena: 50 x 80 m
fences:
  birch: {kind: vertical, at: [20 m, 8 m], facing: 0°, ground line: both sides}
  hazel: {kind: oxer, placed: 5 strides beyond birch}
  elm: {kind: vertical, at: [60 m, 42 m], facing: 180°}
  rowan: {kind: oxer, placed: 5 strides beyond elm}
ride:
  - start: canter, left lead
  - jump: birch
    purpose: Set the canter.
  - line: 5 strides
  - jump: hazel
    purpose: Straight, then look left.
  - turn: left
  - jump: elm
    purpose: The same again.
  - line: 5 strides
  - jump: rowan
    passed when: Five and five.
  - finish: straight on, walk
"""


def median_ms(job: Callable[[], object], runs: int = 7) -> float:
    """Median of several runs in milliseconds of the processor, after one that is not counted."""
    job()
    times = []
    for _ in range(runs):
        begin = _spent_s()
        job()
        times.append((_spent_s() - begin) * 1000)
    return statistics.median(times)


def _spent_s() -> float:
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.process_time() + children.ru_utime + children.ru_stime


def cold(folder: Path, *words: str) -> Callable[[], object]:
    """A whole process, with a memory of layouts of its own; compiled, as what is installed is."""
    env = {**os.environ, "TAPELINE_CACHE": str(folder / "kept"), "PYTHONPATH": str(ROOT)}
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    command = [sys.executable, "-m", "diagram.cli", *words]
    return lambda: subprocess.run(command, cwd=folder, env=env, capture_output=True, check=False)


def floor(sides: tuple[Scene, ...]) -> Callable[[], object]:
    """reportlab emitting the final marks of the pages, with no thinking."""

    def job() -> bytes:
        out = io.BytesIO()
        canvas = pdf.open_canvas(out, (sides[0].width, sides[0].height), "floor")
        for side in sides:
            pdf.draw_scene(canvas, side, 0.0, side.height)
            canvas.showPage()
        canvas.save()
        return out.getvalue()

    return job


def others(sides: tuple[Scene, ...], folder: Path) -> Iterator[tuple[str, Callable[[], object]]]:
    """Other ways to the same finished pages."""
    pages = [svg.scene_bytes(side).decode() for side in sides]
    for number, page in enumerate(pages):
        (folder / f"{number}.svg").write_text(page, encoding="utf-8")
    width, height = sides[0].width, sides[0].height
    try:
        import typst

        source = folder / "pages.typ"
        lines = [f"#set page(width: {width}mm, height: {height}mm, margin: 0mm)"]
        lines += [f'#image("{number}.svg", width: 100%)' for number in range(len(pages))]
        source.write_text("\n".join(lines), encoding="utf-8")
        yield "typst", lambda: typst.compile(str(source))
    except ImportError:
        pass
    try:
        import weasyprint

        html = f"<style>@page {{size: {width}mm {height}mm; margin: 0}}</style>" + "".join(pages)
        yield "WeasyPrint", lambda: weasyprint.HTML(string=html).write_pdf()
    except (ImportError, OSError):
        pass
    try:
        import matplotlib

        matplotlib.use("Agg")
        yield "matplotlib", lambda: _plotted(sides)
    except ImportError:
        pass


def _plotted(sides: tuple[Scene, ...]) -> None:
    from matplotlib.backends.backend_pdf import PdfPages
    from matplotlib.figure import Figure

    from diagram.scene import Disc, Fill, Stroke, Text

    with PdfPages(io.BytesIO()) as book:
        for side in sides:
            figure = Figure(figsize=(side.width / 25.4, side.height / 25.4))
            axes = figure.add_axes((0, 0, 1, 1))
            axes.set(xlim=(0, side.width), ylim=(side.height, 0))
            for item in _flat(side.items):
                match item:
                    case Stroke(points=points) | Fill(points=points):
                        axes.plot(*zip(*points, strict=True), linewidth=1)
                    case Disc(centre=centre, radius=radius):
                        axes.plot(*centre, "o", markersize=radius * 5)
                    case Text(at=at, text=text, size=size):
                        axes.text(*at, text.replace("$", ""), fontsize=size)
            book.savefig(figure)


def _flat(items: tuple[object, ...]) -> Iterator[object]:
    for item in items:
        if hasattr(item, "children"):
            yield from _flat(item.children)
        else:
            yield item


def measured(folder: Path) -> Iterator[tuple[str, float, float | None, float]]:
    """Rows: what, milliseconds, budget in milliseconds, ratio to its yardstick of this run."""
    pinned = folder / "pinned.yaml"
    pinned.write_text(PINNED, encoding="utf-8")
    made = diagram.plan(pinned)
    sides = card_sides(made)
    bare = median_ms(lambda: subprocess.run([sys.executable, "-c", "pass"], check=True))
    least = median_ms(floor(sides))
    yield "a bare interpreter (yardstick of cold runs)", bare, None, 1.0
    yield "the floor: reportlab, final marks (yardstick of pages)", least, None, 1.0
    for words, name, budget in (
        (("check", "pinned.yaml"), "cold check, pinned", 400.0),
        (("card", "pinned.yaml", "--to", "x.pdf"), "cold card, solved before", 800.0),
    ):
        taken = median_ms(cold(folder, *words))
        yield name, taken, budget, taken / bare
    taken = median_ms(lambda: diagram.plan(pinned))
    yield "warm plan, pinned, its ways ridden before", taken, 30.0, taken / least
    taken = median_ms(lambda: plan_text(shifted(PINNED)))
    yield "warm plan, pinned, in another arena each time", taken, None, taken / least
    taken = median_ms(lambda: card_bytes(made))
    yield "warm card of a plan, both sides", taken, 50.0, taken / least
    for name, job in others(sides, folder):
        taken = median_ms(job, 5)
        yield f"the same pages by {name}", taken, None, taken / least
    for count, budget in ((2, None), (8, 250.0), (12, 600.0), (20, 1000.0)):
        os.environ["TAPELINE_CACHE"] = "off"
        text = course(count)
        taken = median_ms(lambda text=text: plan_text(shifted(text)), 3)
        yield f"warm plan, {count} free fences", taken, budget, taken / least
    small = course(3).replace("40 x 80 m", "20 x 40 m")
    taken = median_ms(lambda: plan_text(shifted(small)), 3)
    yield "does not fit: two fences, a turn and a third in 20 x 40 m", taken, 500.0, taken / least
    cards = {}
    for count in (5, 10, 20, 40):
        file = folder / f"pinned-{count}.yaml"
        file.write_text(grid_of(count), encoding="utf-8")
        many = diagram.plan(file)
        taken = cards[count] = median_ms(lambda many=many: card_bytes(many), 3)
        yield f"warm card, {count} pinned fences", taken, 10_000.0, taken / least
    power = statistics.linear_regression(
        [math.log(count) for count in cards], [math.log(taken) for taken in cards.values()]
    ).slope
    yield "the power of the number of fences that a card grows with", 0.0, None, power


_SHIFTS = itertools.count(1)


def shifted(text: str) -> str:
    """The same exercise in an arena a hair wider each time: no way of it was ridden before."""
    return re.sub(r"(arena: [\d.]+ x [\d]+)", rf"\1.{next(_SHIFTS):06}", text)


def course(count: int) -> str:
    """Lines of two free fences with turns between them."""
    names = [f"f{n}" for n in range(count)]
    fences = "".join(f"  {name}: {{kind: vertical}}\n" for name in names)
    steps = "  - start: canter, left lead\n"
    for place, name in enumerate(names):
        steps += f"  - jump: {name}\n"
        if place < count - 1:
            steps += "  - line: 5 strides\n" if place % 2 == 0 else "  - turn: left\n"
    arena = "40 x 80 m" if count <= 8 else "70 x 120 m"
    head = f"tapeline: 1\ntitle: Course\nlevel: 2'6\"\npurpose: One canter.\narena: {arena}\n"
    return f"{head}fences:\n{fences}ride:\n{steps}  - finish: straight on, walk\n"


def grid_of(count: int) -> str:
    """Fences in rows, ridden up and down."""
    fences, steps = "", "  - start: canter, left lead\n"
    for n in range(count):
        row, place = divmod(n, 5)
        x = 40 + 24 * (place if row % 2 == 0 else 4 - place)
        facing = "0°" if row % 2 == 0 else "180°"
        where = f"at: [{x} m, {20 + 20 * row} m], facing: {facing}"
        fences += f"  f{n}: {{kind: vertical, {where}}}\n"
        steps += f"  - jump: f{n}\n"
        if n < count - 1:
            steps += "  - line: 5 strides\n" if place < 4 else "  - turn: left\n"
    head = "tapeline: 1\ntitle: Rows\nlevel: 2'6\"\npurpose: One canter.\narena: 180 x 200 m\n"
    return f"{head}fences:\n{fences}ride:\n{steps}  - finish: straight on, walk\n"


def written_before() -> dict[str, float]:
    """Ratios of the committed table by what they are of."""
    if not TABLE.exists():
        return {}
    rows = re.findall(r"^\| (.+?) \| .+? \| .+? \| ([\d.]+) \|", TABLE.read_text("utf-8"), re.M)
    return {name: float(ratio) for name, ratio in rows}


def main() -> None:
    """Measure, print and, where asked, write."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--write", action="store_true")
    write = ask.parse_args().write
    before = written_before()
    lines = ["| what | ms | budget | ratio | before | |", "| --- | --- | --- | --- | --- | --- |"]
    with tempfile.TemporaryDirectory() as folder:
        for name, taken, budget, ratio in measured(Path(folder)):
            old = before.get(name)
            mark = "WORSE" if old and ratio > WORSE * old else ""
            over = f"{budget:.0f}" + (" over" if taken > budget else "") if budget else "-"
            line = f"| {name} | {taken:.1f} | {over} | {ratio:.2f} | {old or '-'} | {mark} |"
            print(line, flush=True)
            lines.append(line)
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    machine = f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}"
    foot = f"\nTaken on {machine}; at most {most:.0f} MB in this process."
    print(foot)
    if write:
        TABLE.write_text("# Budgets\n\n" + "\n".join(lines) + "\n" + foot + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
