"""The exercises from which the goldens are made, and on which the slow tests run.

Of those that ship they are the first ten: between them they have every way from fence to fence,
combinations, angles, changes of gait and lead, two counts, two lines through one fence. What holds
for every exercise that ships is tested for every one in `tests/shipped`.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import pytest
from _pytest.mark import ParameterSet

EXERCISES = Path(__file__).parents[1] / "exercises"
NAMES = (
    "circle-of-four",
    "clover-of-five",
    "every-fence-twice",
    "fan-of-three-angles",
    "figure-of-eight-with-new-leads",
    "forward-wait-and-a-double",
    "grid-from-trot-on-the-centre-line",
    "serpentine-of-bends",
    "straight-out-and-home-on-an-angle",
    "two-lines-one-fence",
)
YARD_FILES = ("arenas.yaml", "library.yaml", "store.yaml", "horses.yaml", "rings.yaml")

SAMPLES = tuple(EXERCISES / f"{name}.yaml" for name in NAMES)
SHIPPED = tuple(file for file in sorted(EXERCISES.glob("*.yaml")) if file.name not in YARD_FILES)


def each(number: int, cases: Iterable[tuple[object, ...]]) -> list[ParameterSet]:
    """Cases of which each `number`-th is tried in every run; `.ci/long` tries the others too."""
    return [
        pytest.param(*case, marks=[pytest.mark.long] * bool(n % number))
        for n, case in enumerate(cases)
    ]
