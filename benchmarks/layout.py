"""How long a layout takes to work out, how that grows, and how often it is found.

Run as ``python benchmarks/layout.py`` from the root: rings and strings of 2 to 20 free fences, on
one core, timed against one evaluation of all their rows. ``--sweep 500`` solves so many random
layouts that are known to fit; ``--known FILE`` writes three hundred of them for the tests.
"""

from __future__ import annotations

import argparse
import itertools
import json
import os
import statistics
import sys
import time
from pathlib import Path

os.environ["OPENBLAS_NUM_THREADS"] = "1"

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "tests/layout")]

from sensible_layouts import broken, sensible_layouts, setting_of, text_of  # noqa: E402

from diagram.placing.arrange import Layout  # noqa: E402
from diagram.placing.posing import pose_problem  # noqa: E402
from diagram.planning import plan_of  # noqa: E402
from diagram.solver.descent import System  # noqa: E402
from diagram.solver.relations import Problem  # noqa: E402
from diagram.solver.solve import moved_about, solve  # noqa: E402

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


def roomiest(problem: Problem) -> bool:
    """Work out the places as for an exercise that is read; whether it fits."""
    found = solve(problem)
    return next(moved_about(problem, [one for one in found if one.fits]), found[0]).fits


def growth() -> None:
    """Time by number of fences, and the power with which it grows."""
    rings = {count: loop_of(count) for count in (8, 10, 12)}
    strings = {count: string_of(count, closed=False) for count in COUNTS}
    closed = {count: string_of(count, closed=True) for count in COUNTS if count >= 8}
    for name, problems in (
        ("rings of lines and bends", rings),
        ("strings of lines and turns", strings),
        ("the same, closed by a bend", closed),
    ):
        print(name)
        taken = []
        for count, problem in problems.items():
            system, trial = System.of(problem), np.ones((1, problem.size))
            one = seconds(lambda s=system, t=trial: s.blocks(t), 20)
            whole = seconds(lambda p=problem: solve(p))
            both = seconds(lambda p=problem: roomiest(p))
            taken.append(both)
            print(
                f"  {count:3} fences, {problem.size:3} unknowns {both * 1e3:7.0f} ms, of them "
                f"{(both - whole) * 1e3:4.0f} for the last of the room; {both / one:6.0f} "
                f"evaluations  {'fits' if roomiest(problem) else 'does not fit'}"
            )
        power = np.polyfit(np.log(list(problems)), np.log(taken), 1)[0]
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
    """Write three hundred layouts, at most twelve of them with two fences only."""
    kept, small = [], 0
    for case in sensible_layouts():
        small += len(case.poses) == 2
        if len(case.poses) == 2 and small > 12:
            continue
        poses = {name: (p.x, p.y, p.heading) for name, p in case.poses.items()}
        kept.append({"seed": case.seed, "text": case.text, "poses": poses})
        if len(kept) == 300:
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
