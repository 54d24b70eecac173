"""How long a designer's layout takes, how that grows, and what a long search leaves to gain.

Run as ``python benchmarks/designer.py`` from the root: seconds of processor time for the exercises
of ``tests/placing/said.py``, by number of fences, and what the slowest takes. ``--hopping 60``
gives as many seconds of basin hopping (scipy) to ten of them, from the place found, under the same
terms.
"""

from __future__ import annotations

import argparse
import math
import os
import statistics
import sys
import time
from collections.abc import Iterable
from pathlib import Path

os.environ["OPENBLAS_NUM_THREADS"] = "1"
os.environ["TAPELINE_CACHE"] = "off"

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "tests/placing")]

from said import SIXTY, Said  # noqa: E402

from diagram.geometry.pose import Pose, wrap  # noqa: E402
from diagram.model import Definition, validate  # noqa: E402
from diagram.placing.designer.beam import clear  # noqa: E402
from diagram.placing.designer.design import designs, finer_designs  # noqa: E402
from diagram.placing.designer.ground import LAST_LEVEL, DesignGround  # noqa: E402
from diagram.placing.designer.reckoning import reckoned, standing  # noqa: E402
from diagram.placing.designer.views import turn_between, view_of  # noqa: E402
from diagram.placing.posing import pose_problem  # noqa: E402
from diagram.planning import read_setting  # noqa: E402
from diagram.source import read_text  # noqa: E402

HOPPED = (
    "two outside lines", "line, diagonal", "outside, diagonal, single", "twice around",
    "full lines with a single", "five fences round the ring", "five in an L",
    "change of rein each fence", "six, two changes", "young horse, few fences",
)  # fmt: skip
BROKEN = 20.0
"""Cost of each thing that cannot be: a turn that is not there, a clash, a fence in the rail."""


def ground_of(said: Said) -> DesignGround:
    document = read_text(said.text, f"{said.name}.yaml")
    setting = read_setting(document, validate(document, Definition))
    gate = setting.arena.gate
    return DesignGround(pose_problem(setting)[0], gate.middle if gate else None)


def timed(some: Iterable[Said]) -> None:
    by_count: dict[int, list[tuple[float, str]]] = {}
    for said in some:
        ground = ground_of(said)
        begin = time.process_time()
        found = next(designs(ground.problem, ground.gate), None)
        took = time.process_time() - begin
        count = sum(len(body.parts) for body in ground.problem.bodies)
        by_count.setdefault(count, []).append((took, said.name if found else f"{said.name}: none"))
    print(f"{'fences':>6} {'exercises':>9} {'median ms':>9} {'most ms':>8}  slowest")
    for count, found_ones in sorted(by_count.items()):
        times = [took for took, _ in found_ones]
        worst = max(found_ones)
        print(f"{count:6} {len(times):9} {1e3 * statistics.median(times):9.0f} "
              f"{1e3 * worst[0]:8.0f}  {worst[1]}")  # fmt: skip


def priced(ground: DesignGround, poses: dict[str, Pose]) -> float:
    """The designer's cost, and BROKEN for each thing that cannot be."""
    states = {n: standing(ground, n, poses) for n in range(len(ground.pieces))}
    cost = sum(c.cost for c in reckoned(ground, poses))
    rail = ground.problem.limits.canter.manner.rail
    hands = {}
    for number, way in ground.turns:
        # As straight at its ends as can be ridden.
        for level in range(LAST_LEVEL + 1):
            hands[number] = ground.hand(way, level)
            found = turn_between(ground, states, way, hands[number])
            inside = found.ways.inside(ground.problem.region)[0] if found.possible[0] else -1.0
            if inside >= rail - 0.1:
                break
        else:
            cost += BROKEN
    cost += BROKEN * (not clear(ground, view_of(ground, states, hands))[0])
    for body in ground.problem.bodies:
        for fence, own in body.parts:
            corners = np.array(fence.at(own.placed_in(poses[body.name])).outline)
            cost += BROKEN * (ground.problem.region.inside(corners).min() < 0.0)
    return float(cost)


def hopped(said: Said, seconds: float) -> None:
    """Basin hopping over the poses of the pieces, which stay as they are in themselves."""
    from scipy.optimize import basinhopping

    ground = ground_of(said)
    found = next(designs(ground.problem, ground.gate), None)
    if found is None:
        print(f"{said.name}: no design")
        return
    found = next(finer_designs(ground.problem, ground.gate, found), found)
    names = [body.name for body in ground.problem.bodies]
    begin = dict(zip(names, found.arrangement.poses, strict=True))
    leads = [begin[names[piece.bodies[0]]] for piece in ground.pieces]

    def poses_of(moves: np.ndarray) -> dict[str, Pose]:
        out = {}
        for n, piece in enumerate(ground.pieces):
            dx, dy, turn = moves[3 * n : 3 * n + 3]
            lead = leads[n]
            moved = Pose(lead.x + dx, lead.y + dy, lead.heading + turn / 10)
            for body in piece.bodies:
                out[names[body]] = begin[names[body]].seen_from(lead).placed_in(moved)
        return out

    end = time.process_time() + seconds
    first = priced(ground, begin)
    best = basinhopping(
        lambda moves: priced(ground, poses_of(moves)), np.zeros(3 * len(leads)), niter=10**6,
        stepsize=6.0, rng=1, minimizer_kwargs={"method": "Nelder-Mead", "options": {"maxfev": 150}},
        callback=lambda *_: time.process_time() > end,
    )  # fmt: skip
    gain = (first - best.fun) / max(first, 1e-9)
    there = poses_of(best.x)
    moved = max(begin[name].distance(pose.point) for name, pose in there.items())
    turned = max(abs(wrap(pose.heading - begin[name].heading)) for name, pose in there.items())
    print(
        f"{said.name:32} {first:6.2f} -> {best.fun:6.2f}  {100 * gain:5.1f} % better, by moving "
        f"{moved:.2f} m and turning {math.degrees(turned):.1f} degrees at most",
        flush=True,
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--hopping", type=float, help="seconds of basin hopping for each of ten")
    args = parser.parse_args()
    if args.hopping:
        for said in SIXTY:
            if said.name in HOPPED:
                hopped(said, args.hopping)
        return
    timed(SIXTY)


if __name__ == "__main__":
    main()
