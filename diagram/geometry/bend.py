"""One corner between two poses, of a wanted length: straight, clothoid, arc, clothoid, straight.

The lines ahead of the first pose and behind the second meet in a vertex, `a` metres from the
one and `b` from the other. With a corner of radius r the track is
``a + b - r (2 reach - run)`` long, so the radius for a given length is one division.
"""

from __future__ import annotations

import math

from msgspec import Struct

from diagram.geometry.corner import SHARPEST, bend_pieces, reach, run
from diagram.geometry.curve import Curve
from diagram.geometry.pose import Pose, wrap

PARALLEL = math.radians(0.5)


class Bend(Struct, frozen=True):
    """A solved bend. `shortest` and `longest` are the lengths within reach of the radii."""

    curve: Curve
    turn: float
    radius: float
    before: float
    after: float
    shortest: float
    longest: float


def saving(turn: float) -> float:
    """Metres that a corner of radius 1 m is shorter than the way over its vertex."""
    return 2 * reach(turn) - float(run(turn))


def vertex_distances(start: Pose, end: Pose) -> tuple[float, float] | None:
    """Metres from `start` ahead and from `end` back to where their lines meet.

    None when the lines are all but parallel; negative when they meet on the wrong side.
    """
    local = end.seen_from(start)
    if abs(math.sin(local.heading)) < math.sin(PARALLEL):
        return None
    b = local.y / math.sin(local.heading)
    return local.x - b * math.cos(local.heading), b


def bend(
    start: Pose, end: Pose, straight: float, smallest: float, length: float | None = None
) -> Bend | None:
    """The bend from `start` to `end` that is `length` long, or as near as its limits allow.

    `straight` metres at each end stay free of the corner and its radius is at least
    `smallest`. Without a length the radius is the largest possible. None when one corner
    cannot join the poses within those limits.
    """
    distances = vertex_distances(start, end)
    turn = wrap(end.heading - start.heading)
    if distances is None or abs(turn) > SHARPEST:
        return None
    a, b = distances
    unit_reach, unit_saving = reach(turn), saving(turn)
    largest = (min(a, b) - straight) / unit_reach
    if largest < smallest:
        return None
    radius = largest
    if length is not None:
        radius = min(max((a + b - length) / unit_saving, smallest), largest)
    before, after = a - radius * unit_reach, b - radius * unit_reach
    curve = Curve.of(start, bend_pieces(turn, radius, before, after))
    return Bend(
        curve, turn, radius, before, after,
        shortest=a + b - largest * unit_saving, longest=a + b - smallest * unit_saving,
    )  # fmt: skip


def bend_of(start: Pose, turn: float, length: float, straight: float, smallest: float) -> Curve:
    """An even bend of `length` metres through `turn` radians from `start`.

    Both ends stay straight for `straight` metres, less when the radius would fall under
    `smallest`. The radius may still be under it when the length is too short for the turn;
    the caller judges that.
    """
    if abs(turn) < 1e-9:
        return Curve.straight(start, length)
    unit = float(run(turn))
    radius = max((length - 2 * straight) / unit, min(smallest, length / unit))
    ends = max(0.0, (length - radius * unit) / 2)
    return Curve.of(start, bend_pieces(turn, radius, ends, ends))
