"""A library of so many exercises: listed, searched, built, published, and all of it once more.

    python benchmarks/library.py 1000

They are copies of those that ship with the places of their fences written down, so that what is
measured is not the search for places. Seconds of the processors are told beside those of the
clock: a machine that does other things makes only the latter longer.
"""

from __future__ import annotations

import argparse
import math
import os
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[1]


def pinned(file: Path) -> str:
    """An exercise with the places of its fences written down; empty where that resists."""
    from diagram.edits import Drop, EditError, Put, edited
    from diagram.pipeline import plan

    made = plan(file)
    whole = made.exercise.whole
    changes: list[Put | Drop] = [Drop((key,)) for key in ("arrange", "move") if getattr(whole, key)]
    for name, fence in whole.fences.items():
        pose = made.layout.poses[name]
        changes += [Drop(("fences", name, key)) for key in ("on", "placed") if getattr(fence, key)]
        at = [f"{pose.x:.3f} m", f"{pose.y:.3f} m"]
        changes.append(Put(("fences", name, "at"), at))
        facing = f"{math.degrees(pose.heading) % 360:.3f}°"
        changes.append(Put(("fences", name, "facing"), facing))
    try:
        return edited(file.read_text(encoding="utf-8"), changes)
    except EditError:
        return ""


def make(folder: Path, count: int) -> int:
    """So many exercises, no two alike, of how many that ship: another title, and fences a little
    further on."""
    folder.mkdir(parents=True)
    shutil.copy(ROOT / "exercises" / "arenas.yaml", folder)
    files = sorted((ROOT / "exercises").glob("*-*.yaml"))
    texts = [text for path in files if (text := pinned(path))]
    for n in range(count):
        text = texts[n % len(texts)]
        text = re.sub(r"^title: \"?(.+?)\"?$", rf'title: "\1, number {n}"', text, flags=re.M)

        def moved(match: re.Match[str], by: float = n // len(texts) / 1000) -> str:
            return f"at: [{float(match[1]) + by:.3f} m"

        text = re.sub(r"at: \[([\d.]+) m", moved, text)
        # What comes before and after is of other files here.
        text = re.sub(r"^comes (before|after):.*\n", "", text, flags=re.M)
        (folder / f"exercise-{n:04}.yaml").write_text(text, encoding="utf-8")
    return len(texts)


def run(what: str, *words: str, cache: Path) -> None:
    """One command, and what it took."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    begin = time.perf_counter()
    call = [sys.executable, "-c", MEASURED, *words]
    env = os.environ | {"TAPELINE_CACHE": str(cache), "OPENBLAS_NUM_THREADS": "1"}
    done = subprocess.run(call, env=env, capture_output=True, text=True, check=False, cwd=ROOT)
    wall = time.perf_counter() - begin
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    memory = done.stderr.strip().splitlines()[-1:] or ["?"]
    last = (done.stdout.strip().splitlines() or [""])[-1]
    print(f"{what:<28} {wall:8.1f} s clock {spent:8.1f} s processors   {memory[0]}   {last[:70]}",
          flush=True)  # fmt: skip


MEASURED = """
import resource, sys
from diagram.cli import main
code = 0
try:
    main(sys.argv[1:], prog_name="tapeline")
except SystemExit as end:
    code = end.code
own = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
child = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss // 1024
print(f"{own} MB, workers {child} MB, exit {code}", file=sys.stderr)
"""


def main() -> None:
    wanted = argparse.ArgumentParser(description=__doc__)
    wanted.add_argument("count", type=int, nargs="?", default=1000)
    asked = wanted.parse_args()
    with tempfile.TemporaryDirectory() as kept:
        base = Path(kept)
        folder, to, site = base / "yard", base / "built", base / "site"
        print(f"{asked.count} copies of {make(folder, asked.count)} exercises", flush=True)
        at = str(folder)
        build = ("library", "build", at, "--to", str(to), "--only", "card", "--only", "drawing")
        publish = ("library", "publish", at, "--to", str(site), "--no-prints")
        afresh = ("library", "build", at, "--to", str(base / "afresh"), *build[5:])
        run("build from nothing", *afresh, cache=base / "another cache")
        for what, words in (
            ("list, the first time", ("library", "list", at)),
            ("list, again", ("library", "list", at)),
            ("search", ("library", "search", "straight", "angle", "--in", at)),
            ("build cards and drawings", build),
            ("build, again", build),
            ("publish pages", publish),
            ("publish, again", publish),
            ("catalogue", ("library", "catalogue", at, "--to", str(base / "book.pdf"))),
        ):
            run(what, *words, cache=base / "cache")
        size = sum(path.stat().st_size for path in site.rglob("*") if path.is_file())
        print(
            f"site {size / 1e6:.1f} MB; index {(site / 'index.html').stat().st_size / 1e3:.0f} kB"
        )


if __name__ == "__main__":
    main()
