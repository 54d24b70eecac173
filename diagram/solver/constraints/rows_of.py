"""Rows of equations that constraints are made of."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, TypeVar

import numpy as np

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Dual
from diagram.solver.rows import LEVER_M, Ints, RowBlock, block

Kind = TypeVar("Kind")
Numbered = list[tuple[int, Kind]]


def musts(
    rows: list[Dual], columns: Ints, some: Numbered[Any], angles: Sequence[Dual] = ()
) -> list[RowBlock]:
    """Equations of places (metres) and of headings (radians, given their lever here)."""
    about = [(n,) for n, _ in some]
    places = [block("must", "place", row, columns, about) for row in rows]
    return places + [block("must", "heading", row * LEVER_M, columns, about) for row in angles]


def numbers_of(values: list[object]) -> Floats:
    """Values side by side."""
    return np.array(values, dtype=float)
