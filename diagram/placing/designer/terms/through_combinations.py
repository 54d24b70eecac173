"""Nothing is ridden between the elements of a combination but the way through them.

Weight 6 for each line, bend or turn that crosses it there: horses would be led to jump out.
"""

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.crossing import all_crossed
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.term import Term, Wholes


def _of_whole(ground: DesignGround, view: Wholes) -> Floats:
    total = np.zeros(len(view))
    column = 0
    for states in view.states:
        for body in states.piece.bodies:
            parts = len(ground.problem.bodies[body].parts)
            if parts > 1:
                first, last = view.middles[:, [column]], view.middles[:, [column + parts - 1]]
                inner = 0.02 * (last - first)
                total += _crossings(view, first + inner, last - inner)
            column += parts
    return total


def _crossings(view: Wholes, first: np.ndarray, last: np.ndarray) -> Floats:
    """How many tracks (K,) cross from one side of a combination to the other."""
    total: Floats = all_crossed(view.first, view.last, first, last).sum(axis=(1, 2)) * 1.0
    for tracks in (view.turns, view.bends):
        for n in range(tracks.shape[1]):
            track = tracks[:, n]
            total += all_crossed(track[:, :-1], track[:, 1:], first, last).any(axis=(1, 2))
    return total


TERM = Term("nothing ridden through a combination", 6.0, of_whole=_of_whole, grows=True)
