"""Another number of strides through the same two fences: a line cut shorter, or ridden wider.

For a stride less both fences are cut on an angle, no more than it takes; for a stride more the
rider stays out straight and turns as tightly as the horse can. What comes out is as long as the
fences allow, and says itself how it rides.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from diagram.exercise.legs import slice_limit
from diagram.geometry.bend import bend
from diagram.geometry.curve import Curve
from diagram.path.limits import GaitLimits
from diagram.path.line import Crossing

TRIED = 31
AS_LONG_M = 0.01


class OtherWay(Struct, frozen=True):
    """A second line: its curve, and the radians off straight at which both fences are jumped."""

    curve: Curve
    angle: float


def other_way(
    first: Crossing,
    second: Crossing,
    left: bool,
    length: float,
    shorter: bool,
    limits: GaitLimits,
) -> OtherWay | None:
    """The line of one bend nearest to `length`; None where no bend joins the fences.

    Only a `shorter` line is cut on an angle.
    """
    most = slice_limit(first.fence.fence, second.fence.fence) if shorter else 0.0
    best: tuple[float, OtherWay] | None = None
    for angle in np.linspace(0.0, most, TRIED if most else 1):
        inward = float(angle) if left else -float(angle)
        start = Crossing(replace(first.jump, angle=first.jump.angle + inward), first.fence).leave
        end = Crossing(replace(second.jump, angle=second.jump.angle - inward), second.fence).enter
        joined = bend(start, end, limits.landing_m, limits.manner.least_radius, length)
        if joined is None:
            continue
        off = abs(joined.curve.length - length)
        if best is None or off < best[0] - AS_LONG_M:
            best = off, OtherWay(joined.curve, float(angle))
        if off < AS_LONG_M:
            break
    return best[1] if best else None
