"""The drawing on a page that holds other things as well, at its own scale."""

from __future__ import annotations

from collections.abc import Callable

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from diagram.drawing.sheet import Drawn
from diagram.scene import Scene

Paint = Callable[[Canvas, Scene, float, float], None]
"""Puts a scene on a canvas with its top left corner at (x, y) mm, y running up."""


class DrawnScene(Flowable):  # type: ignore[misc]  # reportlab has no types
    """A scene as a block of its true size: it is never shrunk to fit."""

    def __init__(self, scene: Scene, paint: Paint) -> None:
        super().__init__()
        self.scene, self.paint = scene, paint
        self.width, self.height = scene.width * mm, scene.height * mm

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        """Its size in points, whatever room there is."""
        return self.width, self.height

    def draw(self) -> None:
        """Paint it with the origin at its lower left corner."""
        self.paint(self.canv, self.scene, 0.0, self.scene.height)


def flowables(drawn: Drawn, paint: Paint) -> list[Flowable]:
    """The drawing. How scenes are painted is the business of who writes the file."""
    return [DrawnScene(drawn.scene, paint)]
