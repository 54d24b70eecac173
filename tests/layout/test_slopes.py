"""Slopes of every row of the layout's equations against central differences."""

from __future__ import annotations

import numpy as np
import pytest
from sensible_layouts import setting_of

from diagram.placing.posing import pose_problem
from diagram.solver.descent import System, slopes_of
from diagram.solver.relations import Problem

HEAD = "tapeline: 1\ntitle: T\npurpose: P\nlevel: 2'9\"\n"
STEP = 1e-6

PINNED = (
    HEAD
    + """\
arena: 20 x 60 m
fences:
  ash: {kind: vertical, at: E, facing: B}
  birch: {kind: oxer, spread: 3', on: centre line, facing: across}
  cedar: {kind: vertical, on: quarter line}
  elm: {kind: vertical, on: diagonal, facing: any way}
  fir: {kind: plank, facing: C}
  hazel: {kind: vertical, facing: 30°}
  holly: {kind: vertical, placed: "5 strides beyond hazel, turned left 38°"}
  larch: {kind: vertical, on: 4 m in from bottom}
arrange:
  - ash parallel to fir
  - birch square to hazel
  - cedar mirrors elm over the centre line
  - ash to fir as far as hazel to larch
ride:
  - jump: ash
  - turn: left
  - jump: birch
  - turn: right
  - jump: cedar
  - turn: left
  - jump: elm from behind
  - turn: left
  - jump: fir
  - turn: right
  - jump: hazel
  - bend: left, 5 strides
  - jump: holly
  - rollback: right
  - jump: larch
  - finish: circle left 15 m
"""
)

WAYS = (
    HEAD
    + """\
arena: {corners: [[0 m, 0 m], [75 m, 0 m], [75 m, 20 m], [40 m, 20 m], [40 m, 46 m], [0 m, 46 m]]}
fences:
  ash: {kind: vertical}
  birch: {kind: oxer, spread: 3'}
  cedar: {kind: combination, elements: [{kind: vertical}, {kind: oxer, after: 1 stride}]}
  elm: {kind: vertical}
  fir: {kind: cross-rail, at: [10 m, 20 m], facing: 90°}
  hazel: {kind: vertical, at: [10 m, 36 m], facing: 90°}
ride:
  - start: canter
  - turn: left
  - jump: ash, angled left 10°
  - line: 4 strides
  - jump: birch
  - bend: left 60°, 5 strides
  - jump: cedar
  - bend: right, 6 strides
    ways: [5, 7]
  - jump: elm
  - turn: left
  - jump: fir
  - line: 4 strides
  - jump: hazel
  - turn: right
  - jump: ash from behind
  - bend: left, 18 m
  - jump: birch from behind
  - finish: straight on
"""
)

EXERCISES = {"pins and arrangements": PINNED, "ways": WAYS}


def _problem(text: str) -> Problem:
    problem, wrong = pose_problem(setting_of(text))
    assert wrong == []
    return problem


def _trials(problem: Problem, count: int) -> np.ndarray:
    rng = np.random.default_rng(11)
    x0, y0, x1, y1 = problem.region.bounds
    bodies = 3 * len(problem.bodies)
    trials = rng.uniform(3.0, 14.0, (count, problem.size))
    trials[:, 0:bodies:3] = rng.uniform(x0 - 3, x1 + 3, (count, len(problem.bodies)))
    trials[:, 1:bodies:3] = rng.uniform(y0 - 3, y1 + 3, (count, len(problem.bodies)))
    trials[:, 2:bodies:3] = rng.uniform(-4.0, 4.0, (count, len(problem.bodies)))
    return trials


@pytest.mark.parametrize("name", EXERCISES)
def test_every_block_has_the_slopes_of_central_differences(name: str) -> None:
    problem = _problem(EXERCISES[name])
    system, trials, n = System.of(problem), _trials(problem, 24), problem.size
    every: dict[str, list[float]] = {}
    blocks = system.blocks(trials)
    assert blocks
    steps = STEP * np.eye(n)
    up = [system.blocks(trials + step, sloped=False) for step in steps]
    down = [system.blocks(trials - step, sloped=False) for step in steps]
    for at, rows in enumerate(blocks):
        slope = slopes_of([rows], n)
        moved = [
            (more[at].value - less[at].value) / (2 * STEP)
            for more, less in zip(up, down, strict=True)
        ]
        off = np.abs(np.stack(moved, axis=-1) - slope) / np.maximum(1.0, np.abs(slope))
        every.setdefault(rows.what, []).extend(off.max(axis=-1).ravel())
    for what, off in every.items():
        # Rounding of 1e-13 m over a step of 1e-6 m, in rows that reach a few hundred metres; a
        # row may change over to another nearest place within the step, but hardly ever does.
        share = float((np.array(off) < 1e-4).mean())
        assert share > 0.99, (what, share, max(off))


def test_every_sort_of_row_is_among_them() -> None:
    found = set()
    for text in EXERCISES.values():
        problem = _problem(text)
        found |= {rows.what for rows in System.of(problem).blocks(_trials(problem, 1))}
    assert found == {
        "place", "heading", "aside", "length", "turn", "hand", "too far round", "radius",
        "straight", "straight after", "straight before", "too short", "too long", "even",
        "turn away first", "turn away last", "short way round", "fence to rail", "way to rail",
        "way to fence", "fence to fence",
    }  # fmt: skip


def test_values_without_slopes_are_the_same_values() -> None:
    for text in EXERCISES.values():
        problem = _problem(text)
        system, trials = System.of(problem), _trials(problem, 5)
        for one, other in zip(
            system.blocks(trials), system.blocks(trials, sloped=False), strict=True
        ):
            assert np.array_equal(one.value, other.value)


def test_trials_are_worked_out_apart_from_each_other() -> None:
    problem = _problem(WAYS)
    system, trials = System.of(problem), _trials(problem, 5)
    for one, other in zip(system.blocks(trials), system.blocks(trials[3:4]), strict=True):
        assert np.allclose(one.value[3:4], other.value, rtol=0, atol=1e-10)


BESIDE = (
    HEAD
    + """\
arena: 40 x 60 m
fences:
  ash: {kind: vertical, at: [20 m, 10 m], facing: 0°}
  birch: {kind: vertical, placed: 5 strides beyond ash}
  cedar: {kind: KIND, at: [30 m, 15 m], facing: 90°}
  elm: {kind: KIND, at: [30 m, 30 m], facing: 90°}
ride:
  - jump: ash
  - line: 5 strides
  - jump: birch
"""
)


@pytest.mark.parametrize(("what", "wide"), [("way to fence", 1), ("fence to fence", 2)])
def test_room_ends_at_the_outer_pole_of_a_spread(what: str, wide: int) -> None:
    """Two oxers one behind the other along a line: each takes half its spread from the room."""
    least = []
    for kind in ("vertical", "'oxer', height: 1.2 m, spread: 1.2 m"):
        problem = _problem(BESIDE.replace("KIND", kind))
        stands = np.array([[20, 10, 0, 42.5, 10, 0, 30, 15, np.pi / 2, 30, 30, np.pi / 2]])
        [rows] = [r for r in System.of(problem).blocks(stands) if r.what == what]
        pairs = [n for n, bodies in enumerate(rows.about) if set(bodies[-2:]) >= {2, 3}]
        least.append(rows.value[0, pairs].min() if wide == 2 else rows.value.min())
    assert least[0] - least[1] == pytest.approx(wide * 0.6, abs=0.001)
