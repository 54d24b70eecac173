"""Where the track of a jump begins and ends, in the frame of its fence.

Off straight a track meets the front plane and leaves the back one further apart: a spread is
its spread over the cosine of the angle (geometry).
"""

from __future__ import annotations

import math

from diagram.exercise.course import Jump
from diagram.exercise.fence import Fence
from diagram.geometry.pose import Pose


def effective_spread(spread_m: float, angle: float) -> float:
    """Metres from front to back along a track at `angle` radians to square."""
    return spread_m / math.cos(angle)


def over(jump: Jump, turned: float = 0.0) -> Pose:
    """The way a jump goes over the middle of its fence, turned left by `turned` radians more."""
    middle = Pose(0.0, 0.0, 0.0)
    way = middle.reversed() if jump.from_behind else middle
    return way.turned(jump.angle + turned)


def taken_off(jump: Jump, fence: Fence, turned: float = 0.0) -> Pose:
    """On the ground before the fence, where the way to it is measured to."""
    return over(jump, turned).ahead(-effective_spread(fence.depth_m, jump.angle + turned) / 2)


def landed(jump: Jump, fence: Fence, turned: float = 0.0) -> Pose:
    """On the ground behind the fence, where the way from it is measured from."""
    return over(jump, turned).ahead(effective_spread(fence.depth_m, jump.angle + turned) / 2)
