"""How long a layout takes to work out, how that grows, and how often it is found.

Run as ``python benchmarks/layout.py`` from the root: rings and strings of 2 to 20 free fences,
timed against one evaluation of all their rows. ``--sweep 500`` solves so many random layouts that
are known to fit; ``--known FILE`` writes a hundred of them for the tests.
"""

from __future__ import annotations

import argparse
import itertools
import json
import statistics
import sys
import time
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "tests/layout")]

from sensible_layouts import broken, sensible_layouts, setting_of, text_of  # noqa: E402

from diagram.layout.arrange import Layout  # noqa: E402
from diagram.layout.descent import System  # noqa: E402
from diagram.layout.posing import pose_problem  # noqa: E402
from diagram.layout.relations import Problem  # noqa: E402
from diagram.layout.solve import roomier, solve  # noqa: E402
from diagram.planning import plan_of  # noqa: E402

FREE = "{kind: vertical, ground line: both sides}"
COUNTS = (2, 4, 8, 12, 20)
REPEATS = 3


def string_of(count: int, closed: bool) -> Problem:
    """Pairs of fences in line, a turn between the pairs; closed by a bend back to the first."""
    names = [f"fence {chr(ord('a') + n)}" for n in range(count)]
    ride = [f"jump: {names[0]}"]
    for n, name in enumerate(names[1:], 1):
        ride += ["line: 4 strides" if n % 2 else "turn: left", f"jump: {name}"]
    if closed:
        ride += ["bend: left, 6 strides", f"jump: {names[0]} from behind"]
    length, width = 40 + 5 * count, 30 + 3 * count
    text = text_of(f"{length} x {width} m", dict.fromkeys(names, FREE), ride)
    return pose_problem(setting_of(text))[0]


def loop_of(count: int) -> Problem:
    """A closed loop with no turn in it: pairs of fences in line, bends of six between the pairs."""
    names = [f"fence {chr(ord('a') + n)}" for n in range(count)]
    ride = [f"jump: {names[0]}"]
    for n, name in enumerate(names[1:], 1):
        ride += ["line: 4 strides" if n % 2 else "bend: left, 6 strides", f"jump: {name}"]
    ride += ["bend: left, 6 strides", f"jump: {names[0]}"]
    return pose_problem(setting_of(text_of("100 x 80 m", dict.fromkeys(names, FREE), ride)))[0]


def seconds(work: object, repeats: int = REPEATS) -> float:
    """Median of processor time."""
    taken = []
    for _ in range(repeats):
        begin = time.process_time()
        work()  # type: ignore[operator]
        taken.append(time.process_time() - begin)
    return statistics.median(taken)


def growth() -> None:
    """Time by number of fences, and the power with which it grows."""
    for count in (4, 6, 8):
        problem = loop_of(count)
        whole, fits = seconds(lambda p=problem: solve(p)), solve(problem)[0].fits
        last = solve(problem)[0]
        more = seconds(lambda p=problem, a=last: roomier(p, a))
        print(f"loop of {count}: {whole * 1e3:.0f} ms, and {more * 1e3:.0f} ms for the last of the "
              f"room, {'fits' if fits else 'does not fit'}")  # fmt: skip
    for closed in (False, True):
        print("closed by a bend" if closed else "open")
        found = []
        for count in COUNTS:
            problem = string_of(count, closed)
            system, trial = System.of(problem), np.ones((1, problem.size))
            one = seconds(lambda s=system, t=trial: s.blocks(t), 20)
            whole = seconds(lambda p=problem: solve(p), 1 if count > 8 else REPEATS)
            fits = solve(problem)[0].fits
            found.append(whole)
            print(
                f"  {count:3} fences, {problem.size:3} unknowns {whole * 1e3:9.0f} ms "
                f"{whole / one:8.0f} evaluations  {'fits' if fits else 'does not fit'}"
            )
        power = np.polyfit(np.log(COUNTS), np.log(found), 1)[0]
        print(f"  grows with the number of fences to the power of {power:.1f}")


def sweep(count: int) -> None:
    """How many random layouts are found again, and how many of those ride without a fault."""
    found, clean, taken = 0, 0, []
    for case in itertools.islice(sensible_layouts(), count):
        setting = setting_of(case.text)
        problem, _ = pose_problem(setting)
        begin = time.process_time()
        best = solve(problem)[0]
        taken.append(time.process_time() - begin)
        if not best.fits:
            print(f"  lost: seed {case.seed}, {best.off_m:.3f} m off, {best.short_m:.3f} m short")
            continue
        found += 1
        names = [body.name for body in problem.bodies]
        layout = Layout("placed", dict(zip(names, best.poses, strict=True)))
        clean += not any(broken(plan_of(setting, layout)))
    taken.sort()
    print(f"{found} of {count} found, {clean} of them without a fault when ridden")
    print(f"median {taken[count // 2] * 1e3:.0f} ms, longest {taken[-1] * 1e3:.0f} ms")


def known(file: Path) -> None:
    """Write a hundred layouts, at most twelve of them with two fences only."""
    kept, small = [], 0
    for case in sensible_layouts():
        small += len(case.poses) == 2
        if len(case.poses) == 2 and small > 12:
            continue
        poses = {name: (p.x, p.y, p.heading) for name, p in case.poses.items()}
        kept.append({"seed": case.seed, "text": case.text, "poses": poses})
        if len(kept) == 100:
            break
    file.write_text(json.dumps(kept, indent=0) + "\n")


def main() -> None:
    """Read the arguments and do what they say."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sweep", type=int, metavar="COUNT")
    parser.add_argument("--known", type=Path, metavar="FILE")
    said = parser.parse_args()
    if said.known:
        known(said.known)
    elif said.sweep:
        sweep(said.sweep)
    else:
        growth()


if __name__ == "__main__":
    main()
