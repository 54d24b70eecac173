"""The stages called in order: what the command line and Python code use."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from diagram.drawing import Drawn
    from diagram.plan import Plan
    from diagram.units import Units

PAPERS = {
    "A4": (210.0, 297.0),
    "Letter": (215.9, 279.4),
    "A3": (297.0, 420.0),
    "Tabloid": (279.4, 431.8),
}
"""Width and height in mm, upright: ISO 216 and ANSI/ASME Y14.1."""


def plan(path: Path | str) -> Plan:
    """Read, place, ride and check one exercise file. Raises RejectedError."""
    from diagram.model import read_definition
    from diagram.plan import make_plan

    document, definition = read_definition(path)
    return make_plan(document, definition)
