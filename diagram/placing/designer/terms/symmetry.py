"""Runs that are alike stand as mirror images or half turns of each other; one alone is centred.

Weight 1. Lines of unlike length count by their middles and directions.
"""

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.term import Term, Wholes

OFF_M, ALONE = 6.0, 0.25
"""What is one piece, and lies evenly about one axis, is to lie in the middle of that too."""


def _of_whole(ground: DesignGround, view: Wholes) -> Floats:
    lines = [n for n, line in enumerate(ground.lines) if not line.single]
    if not lines:
        return np.zeros(len(view))
    middle = (view.first[:, lines] + view.last[:, lines]) / 2 - ground.middle
    axis = np.exp(2j * np.angle(view.last[:, lines] - view.first[:, lines]))
    found = []
    for image, turned in (
        (-middle, axis), (middle.conj(), axis.conj()), (-middle.conj(), axis.conj()),
    ):  # fmt: skip
        off = np.abs(middle[:, :, None] - image[:, None]) + OFF_M * np.abs(
            axis[:, :, None] - turned[:, None]
        )
        found.append(np.minimum(off.min(axis=2) / OFF_M, 1.0).mean(axis=1))
    best, second, _ = np.sort(found, axis=0)
    total: Floats = best + (ALONE * second if len(ground.pieces) == 1 else 0.0)
    return total


TERM = Term("symmetry", 1.0, of_whole=_of_whole)
