"""How much ground a drawing must show: the arena, and whatever has strayed out of it."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from diagram.planning import Plan

COARSE_M = 2.0


class Extent(Struct, frozen=True):
    """Edges of the ground shown, metres in the arena's frame."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def size(self) -> tuple[float, float]:
        """Metres along x and along y."""
        return self.x1 - self.x0, self.y1 - self.y0


def extent_of(plan: Plan) -> Extent:
    """The arena; further where a fence or the track lies outside it, which the checks tell of."""
    x0, y0, x1, y1 = plan.arena.region.bounds
    places = [np.array(fence.outline) for fence in plan.fences]
    places += [leg.curve.points(COARSE_M) for leg in plan.legs]
    every = np.concatenate(places)
    low, high = every.min(axis=0), every.max(axis=0)
    if low[0] >= x0 and low[1] >= y0 and high[0] <= x1 and high[1] <= y1:
        return Extent(x0, y0, x1, y1)
    return Extent(
        min(x0, float(low[0])), min(y0, float(low[1])),
        max(x1, float(high[0])), max(y1, float(high[1])),
    )  # fmt: skip
