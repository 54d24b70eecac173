"""A plan drawn to scale: ground metres in, paper millimetres out, no decisions about riding."""
from diagram.drawing.frame import largest_scale
from diagram.drawing.sheet import Drawn, draw_plan
from diagram.drawing.view import View
