"""What every command costs on the largest files that the format allows, a process for each.

Run as ``python benchmarks/limits.py`` from the root, ``--only WORD`` for some of the files or
commands. Seconds of the processor and the most memory of each, beside the code it ended with.
Nothing here fails: the bounds are 10 s and 300 MB, and what is over them is marked.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from table import course, grid_of

ROOT = Path(__file__).parents[1]
MOST_S = 10.0
MOST_MB = 300.0
MOST_WAITED_S = 600.0
REFUSED = 2
"""The code of a command that did nothing; what it said is shown."""
HEAD = "tapeline: 1\ntitle: {}\nlevel: 2'6\"\npurpose: As much as there can be.\narena: {}\n"
LONGEST = "word " * 390

COMMANDS = {
    "check": ("check",),
    "card": ("card", "--to", "card.pdf"),
    "draw": ("draw", "--to", "drawing.svg"),
    "draw phases": ("draw", "--view", "phases", "--to", "phases.pdf"),
    "draw wall": ("draw", "--view", "wall", "--to", "wall.pdf"),
    "draw png": ("draw", "--dpi", "600", "--to", "drawing.png"),
    "draw dxf": ("draw", "--to", "drawing.dxf"),
    "set-out": ("set-out", "--to", "leaf.pdf"),
    "set-out form": ("set-out", "--form", "--to", "form.pdf"),
    "survey": ("set-out", "--measured", "taped.csv", "--to", "built.pdf"),
    "measure": ("measure",),
    "measure relations": ("measure", "--relations"),
    "measure json": ("measure", "--json"),
    "fit": ("fit", "--mirrored", "--to", "fitted.yaml"),
    "format": ("format", "--check"),
    "observe": ("observe", "--to", "sheet.pdf"),
}


def pinned(
    count: int, kind: str, jumps: int, *, gap_m: float = 24.0, size: str = "180 x 200 m",
    block: str = "", arena: str = "", text: str = "", turns: bool = False,
) -> str:  # fmt: skip
    """Rows of five with every place said, ridden up and down, again and again."""
    fences, ways = "", []
    for number in range(count):
        row, place = divmod(number, 5)
        x = 20 + gap_m * (place if row % 2 == 0 else 4 - place)
        facing = "0°" if row % 2 == 0 else "180°"
        y = 20 + 20 * row
        where = f"kind: {kind}, at: [{x} m, {y} m], facing: {facing}"
        fences += f"  f{number}: {{{where}{block}}}\n"
        ways.append("turn: left" if place == 4 or turns else "line: 5 strides")
    steps = "".join(
        f"  - jump: f{n % count}\n" + (f"    purpose: {text}\n" if text else "") +
        (f"  - {ways[n % count] if n % count < count - 1 else 'turn: left'}\n" if n < jumps - 1
         else "")
        for n in range(jumps)
    )  # fmt: skip
    head = HEAD.format("Rows", arena or size)
    return (
        f"{head}fences:\n{fences}ride:\n  - start: canter\n{steps}  - finish: straight on, walk\n"
    )


def one_fence(jumps: int) -> str:
    """One fence jumped again and again out of the same turn."""
    steps = "  - turn: left\n".join("  - jump: birch\n" for _ in range(jumps))
    fence = "  birch: {kind: vertical, at: [30 m, 15 m], facing: 0°}\n"
    head = HEAD.format("Once more", "30 x 60 m")
    return f"{head}fences:\n{fence}ride:\n  - start: canter\n{steps}  - finish: straight on, walk\n"


def rides(count: int) -> str:
    """Several rides of many fences each, over the same fences."""
    whole = pinned(40, "oxer", 59)
    head, _, ride = whole.partition("ride:\n")
    steps = "".join(f"    {line}\n" for line in ride.splitlines())
    several = "".join(f"  - name: group {n}\n    ride:\n{steps}" for n in range(count))
    return f"{head}rides:\n{several}"


def field() -> str:
    """A field of forty corners, its rail in and out, and forty posts before it."""

    def at(n: int, inside: float) -> str:
        side, along = divmod(n, 10)
        x, y = [(along, 0), (10, along), (10 - along, 10), (0, 10 - along)][side]
        middle = [(p - 5) / 5 for p in (x, y)]
        return "[{:.2f} m, {:.2f} m]".format(*(100 + (100 - inside) * share for share in middle))

    corners = ", ".join(at(n, 3.0 * (n % 2)) for n in range(40))
    posts = ", ".join(f"post {n}: {at(n, 8.0)}" for n in range(40))
    return f"\n  corners: [{corners}]\n  posts: {{{posts}}}"


ELEMENTS = ", ".join("{kind: vertical, after: bounce}" if n else "{kind: vertical}"
                     for n in range(12))  # fmt: skip
FILES = {
    "40 verticals, 40 jumps": grid_of(40),
    "40 oxers, 59 jumps": pinned(40, "oxer", 59),
    "40 oxers close together": pinned(40, "oxer", 40, gap_m=8.0, size="180 x 180 m"),
    "40 oxers, turns only": pinned(40, "oxer", 40, turns=True),
    "one fence 59 times": one_fence(59),
    "10 combinations of 12": pinned(10, "combination", 40, gap_m=60.0, size="300 x 180 m",
                                    block=f", elements: [{ELEMENTS}]"),
    "4 rides of 59 jumps": rides(4),
    "a field of 40 corners": pinned(40, "oxer", 59, arena=field()),
    "long texts": pinned(40, "oxer", 59, text=LONGEST),
    "20 free fences": course(20),
    "40 free fences": course(40),
    "40 free fences, no room": course(40).replace("70 x 120 m", "20 x 40 m"),
}  # fmt: skip


def spent(folder: Path, *words: str) -> tuple[float, float, int, str]:
    """Seconds of the processor, MB and the code of one command, and the end of what it said."""
    env = {**os.environ, "TAPELINE_CACHE": str(folder / "kept"), "PYTHONPATH": str(ROOT),
           "OPENBLAS_NUM_THREADS": "1"}  # fmt: skip
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    said = folder / "said.txt"
    with said.open("wb") as out:
        child = subprocess.Popen([sys.executable, "-m", "diagram.cli", *words], cwd=folder,
                                 env=env, stdout=out, stderr=out)  # fmt: skip
        begin = time.monotonic()
        while True:
            done, status, usage = os.wait4(child.pid, os.WNOHANG)
            if done:
                break
            if time.monotonic() - begin > MOST_WAITED_S:
                child.kill()
            time.sleep(0.02)
    code = os.waitstatus_to_exitcode(status)
    child.returncode = code
    lines = said.read_text("utf-8", "replace").strip().splitlines()
    return usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024, code, lines[-1] if lines else ""


def main() -> None:
    """Measure and print."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--only", nargs="*", default=[])
    only = ask.parse_args().only
    files = {name: text for name, text in FILES.items() if not only or name in only}
    files = files or FILES
    jobs = {name: words for name, words in COMMANDS.items() if name in only}
    print("| file | command | s | MB | ended with | |\n| --- | --- | --- | --- | --- | --- |")
    for name, text in files.items():
        with tempfile.TemporaryDirectory() as place:
            folder = Path(place)
            (folder / "exercise.yaml").write_text(text, encoding="utf-8")
            for job, words in (jobs or COMMANDS).items():
                if job == "survey" and not _taped(folder):
                    continue
                taken, most, code, last = spent(folder, words[0], "exercise.yaml", *words[1:])
                over = taken > MOST_S or most > MOST_MB
                ended = f"{code}: {last[:90]}" if code == REFUSED else code
                mark = "OVER" if over else ""
                cells = (name, job, f"{taken:.1f}", f"{most:.0f}", ended, mark)
                print("|", " | ".join(map(str, cells)), "|", flush=True)


def _taped(folder: Path) -> bool:
    """The tapes of the form as they are planned, written by the program."""
    forms = sorted(folder.glob("form*.csv"))
    if not forms:
        return False
    forms[0].replace(folder / "taped.csv")
    return True


if __name__ == "__main__":
    main()
