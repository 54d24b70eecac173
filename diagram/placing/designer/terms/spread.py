"""The whole ring is used: little of it lies more than 12 m from any track, and each quarter is.

Weight 2. Without it everything gathers at the gate.
"""

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.states import pairs
from diagram.placing.designer.term import POST, Term, Wholes

FAR_M, CELLS = 12.0, 12
ON_THE_LINE_M = 0.01
"""A fence on a centre line is in the quarters to both sides of it."""


def _of_whole(ground: DesignGround, view: Wholes) -> Floats:
    cells = _cells(ground)
    places = _tracks(view)
    middle = ground.middle
    far = _nearest(cells - middle, places - middle) > FAR_M**2
    quarters = np.zeros(len(view))
    fences = view.middles[:, [piece != POST for piece in view.fence_piece]]
    seen = fences - middle
    for right in (1, -1):
        for up in (1, -1):
            here = (right * seen.real > -ON_THE_LINE_M) & (up * seen.imag > -ON_THE_LINE_M)
            quarters += ~here.any(axis=1)
    few = min(4, fences.shape[1])
    return np.asarray(2 * far.mean(axis=1) + np.maximum(quarters - (4 - few), 0) / 2)


def _nearest(cells: np.ndarray, places: np.ndarray) -> Floats:
    """Square metres (K, C) from each cell to the nearest of places (K, P)."""
    sides = np.stack([cells.real, cells.imag], axis=1)
    out = np.empty((len(places), len(cells)))
    for k, own in enumerate(places):
        products = sides @ np.stack([own.real, own.imag])
        out[k] = (own.real**2 + own.imag**2 - 2.0 * products).min(axis=1)
    nearest: Floats = out + np.abs(cells) ** 2
    return nearest


def _cells(ground: DesignGround) -> np.ndarray:
    x0, y0, x1, y1 = ground.problem.region.bounds
    step = max(x1 - x0, y1 - y0) / CELLS
    xs = np.arange(x0 + step / 2, x1, step)
    ys = np.arange(y0 + step / 2, y1, step)
    xs = xs + ((x0 + x1) / 2 - xs.mean())
    ys = ys + ((y0 + y1) / 2 - ys.mean())
    grid = (xs[:, None] + 1j * ys[None]).ravel()
    return np.asarray(grid[ground.problem.region.inside(pairs(grid)) > 0])


def _tracks(view: Wholes) -> np.ndarray:
    """Places along everything that is ridden (K, P)."""
    share = np.linspace(0.0, 1.0, 4)
    lines = view.first[..., None] + (view.last - view.first)[..., None] * share
    count = len(view)
    parts = [lines, view.turns, view.bends, view.opens]
    return np.concatenate([part.reshape(count, -1) for part in parts], axis=1)


TERM = Term("the whole ring used", 2.0, of_whole=_of_whole)
