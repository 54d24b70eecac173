"""A plan drawn to scale: ground metres in, paper millimetres out, no decisions about riding."""

from diagram.drawing.phases import draw_phases
from diagram.drawing.plain import for_colouring
from diagram.drawing.sheet import Drawn, draw_plan
from diagram.drawing.side_one import SHEETS, draw_side_one, sheet_of
from diagram.drawing.upright import draw_alone
from diagram.drawing.view import View

__all__ = [
    "SHEETS", "Drawn", "View", "draw_alone", "draw_phases", "draw_plan", "draw_side_one",
    "for_colouring", "sheet_of",
]  # fmt: skip
