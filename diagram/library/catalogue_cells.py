"""What a catalogue prints of one exercise, worked out once."""

from __future__ import annotations

from pathlib import Path

from msgspec import Struct

from diagram.diagnostics import RejectedError
from diagram.library.riding import ride_texts
from diagram.library.small_plan import SmallPlan, small_plan
from diagram.planning import Plan

SCALE = 950
"""One scale for the whole book: a ring of 80 x 50 m is 84 x 53 mm."""
LONGEST_M = 86.0
"""Metres of ring that the usual scale has room for; beyond it the book takes the next one."""
STEP = 50


class CellJob(Struct, frozen=True):
    """An exercise and the scale of the book."""

    path: Path
    scale: int


class ExerciseCell(Struct, frozen=True):
    """Drawing and texts of one exercise."""

    plan: SmallPlan
    ride: str
    easier: tuple[str, ...]
    harder: tuple[str, ...]


def scale_for(longest_m: float) -> int:
    """The denominator at which the longest ring of a book fits its cells."""
    wanted = SCALE * longest_m / LONGEST_M
    return SCALE if wanted <= SCALE else int(-(-wanted // STEP) * STEP)


def cell_of(job: CellJob) -> ExerciseCell:
    """The cell of an exercise. Raises ValueError for one that cannot be read."""
    from diagram.pipeline import plans

    try:
        planned, *others = plans(job.path)
    except RejectedError as problem:
        raise ValueError(str(problem)) from None
    ride = " / ".join(text for one in (planned, *others) for text in _ride(one))
    said = planned.definition
    return ExerciseCell(
        small_plan(planned, 1000 / job.scale, others=others),
        ride.replace("**", ""),
        said.easier,
        said.harder,
    )


def _ride(plan: Plan) -> list[str]:
    """The ride in words, with its name where a file has several."""
    texts = [text for _, _, text in ride_texts(plan)]
    return [f"{plan.name}: {texts[0]}", *texts[1:]] if plan.name and texts else texts
