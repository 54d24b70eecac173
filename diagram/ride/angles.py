"""A fence jumped at an angle: how wide it rides, how narrow it looks, to which side it is left.

Seen along the path a spread is its spread over the cosine of the angle, and the front to aim at
is its width times the cosine (geometry; the source on angled fences [S40] gives no figures).
"""

from __future__ import annotations

import math

from msgspec import Struct

from diagram.exercise.ends import effective_spread
from diagram.model.said import Lead
from diagram.path.line import Crossing


class OnAnAngle(Struct, frozen=True):
    """One jump off straight, `angle` radians to the left (positive) or right.

    Metres: the spread and the front as ridden, and by how much the line on each side is
    shorter than with the fence straight. Who comes a metre to the left of the middle meets the
    fence `later_on_the_left` metres later; to the right so much sooner.
    """

    angle: float
    spread_m: float
    front_m: float
    line_shorter_m: float
    later_on_the_left: float

    @property
    def run_out(self) -> Lead:
        """The side on which the fence falls away from the horse, and so invites it past."""
        return "left" if self.angle > 0 else "right"


def effective_front(width_m: float, angle: float) -> float:
    """Metres of fence across the path."""
    return width_m * math.cos(angle)


def angled(crossing: Crossing | None) -> OnAnAngle | None:
    """What the angle does; None for a fence jumped straight, and for none at all."""
    if crossing is None or not crossing.jump.angle:
        return None
    angle, fence = crossing.jump.angle, crossing.fence.fence
    spread = effective_spread(fence.depth_m, angle)
    return OnAnAngle(
        angle=angle,
        spread_m=spread,
        front_m=effective_front(fence.measures.width_m, angle),
        line_shorter_m=(spread - fence.depth_m) / 2,
        later_on_the_left=math.tan(angle),
    )
