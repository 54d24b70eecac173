"""A plan drawn to scale: ground metres in, paper millimetres out, no decisions about riding."""

from diagram.drawing.frame import largest_scale
from diagram.drawing.phases import draw_phases
from diagram.drawing.plain import for_colouring
from diagram.drawing.sheet import Drawn, draw_plan
from diagram.drawing.view import View

__all__ = ["Drawn", "View", "draw_phases", "draw_plan", "for_colouring", "largest_scale"]
