"""Constraints on where bodies stand: every file with a CONSTRAINT is one, found in name order.

A constraint is a frozen value that names its bodies and where it is said; what it is with other
numbers and in a mirror; and its equations with their derivatives, for all of its kind at once.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

from diagram.folder import offered
from diagram.solver.rows import RowBlock, Trials

Rows = Callable[[Any, Trials], list[RowBlock]]


@cache
def constraints() -> dict[type, Rows]:
    """The equations of every kind of constraint."""
    return dict(offered(__name__, __path__, "CONSTRAINT").values())
