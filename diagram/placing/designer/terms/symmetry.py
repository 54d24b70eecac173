"""Runs that are alike stand as mirror images or half turns of each other; one alone is centred.

Weight 1. Lines of unlike length count by their middles and directions.
"""

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.term import Term, Wholes

OFF_M = 6.0


def _of_whole(ground: DesignGround, view: Wholes) -> Floats:
    lines = [n for n, line in enumerate(ground.lines) if not line.single]
    if not lines:
        return np.zeros(len(view))
    middle = (view.first[:, lines] + view.last[:, lines]) / 2 - ground.middle
    axis = np.exp(2j * np.angle(view.last[:, lines] - view.first[:, lines]))
    best = np.full(len(view), np.inf)
    for image, turned in (
        (-middle, axis), (middle.conj(), axis.conj()), (-middle.conj(), axis.conj()),
    ):  # fmt: skip
        off = np.abs(middle[:, :, None] - image[:, None]) + OFF_M * np.abs(
            axis[:, :, None] - turned[:, None]
        )
        best = np.minimum(best, np.minimum(off.min(axis=2) / OFF_M, 1.0).mean(axis=1))
    return best


TERM = Term("symmetry", 1.0, of_whole=_of_whole)
