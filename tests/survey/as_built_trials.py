"""A crew that is simulated: fences that stand a little off, and tapes with errors."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path

import numpy as np

import diagram
from diagram.planning import Plan
from diagram.stakeout.points import fence_feet, fixed_points
from diagram.survey.adjustment import TESTABLE, Adjustment, Array
from diagram.survey.form import form_tapes
from diagram.survey.measured import Measured
from diagram.survey.network import Tape

EXERCISES = Path(__file__).parent / "pinned"
"""Exercises whose fences stand at points of the file, so that nothing here hangs on a search."""
SIGMA_M = 0.02
TAPE_M = 30.48
Off = tuple[float, float, float]
"""Metres forward and to the left, degrees to the left, as the fence faces in the plan."""


@cache
def exercise(name: str) -> Plan:
    """A shipped exercise."""
    return diagram.plan(EXERCISES / f"{name}.yaml")


def places(plan: Plan, off: Mapping[str, Off] = {}) -> dict[str, tuple[float, float]]:
    """Where every point is, with some fences off; turned and shifted here, not by the package."""
    out = dict(fixed_points(plan.arena))
    for foot in fence_feet(plan):
        pose = plan.fence(foot.fence).pose
        ahead, left, degrees = off.get(foot.fence, (0.0, 0.0, 0.0))
        c, s = math.cos(pose.heading), math.sin(pose.heading)
        turn = math.radians(degrees)
        dx, dy = foot.point[0] - pose.x, foot.point[1] - pose.y
        x = pose.x + ahead * c - left * s + dx * math.cos(turn) - dy * math.sin(turn)
        y = pose.y + ahead * s + left * c + dx * math.sin(turn) + dy * math.cos(turn)
        out[foot.name] = (x, y)
    return out


def taped(
    plan: Plan,
    off: Mapping[str, Off] = {},
    *,
    pairs: Sequence[tuple[str, str]] | None = None,
    blunders: Mapping[int, float] = {},
    seed: int | None = 1,
) -> Measured:
    """The tapes of the form, or `pairs`, as a crew would read them; without errors for no seed."""
    at = places(plan, off)
    random = np.random.default_rng(seed)
    tapes = []
    for n, (first, second) in enumerate(pairs or form_tapes(plan, TAPE_M, SIGMA_M)):
        noise = random.normal(0, SIGMA_M) if seed is not None else 0.0
        length = math.dist(at[first], at[second]) + noise + blunders.get(n, 0.0)
        tapes.append(Tape(first, second, length, SIGMA_M))
    return Measured("tapes.csv", tuple(tapes), tuple(range(2, len(tapes) + 2)), 0, SIGMA_M)


NONCENTRALITY = 4.13
"""How many standard errors of its residual a blunder must make to be found four times in five
where 3.29 is the critical size: Baarda's power of 80 %."""


def detectable(adjustment: Adjustment) -> Array:
    """For each observation the smallest blunder (m,) that would be found four times in five.

    Baarda's marginally detectable error, s_i * 4.13 / sqrt(r_i); infinite where nothing checks.
    """
    r = adjustment.redundancy
    checked = r > TESTABLE
    size = adjustment.sigmas * NONCENTRALITY / np.sqrt(np.where(checked, r, 1.0))
    return np.where(checked, size, math.inf)
