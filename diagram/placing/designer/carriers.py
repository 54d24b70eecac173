"""Carriers: the straight lines of an arena that a designer puts fences on.

Outside lines along every side, quarter lines, centre lines, the diagonals of a ring, and lines at
45 degrees. They come in pairs that are mirror images of each other, so that what is found in a
ring and in its mirror image is the same.
"""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct

from diagram.geometry.pose import Point
from diagram.geometry.region import Region

Family = Literal["outside", "inside", "quarter", "centre", "diagonal", "across", "slant"]

LIKED_INSET_M = 4.6
INSETS_M = (3.6, LIKED_INSET_M, 6.0)
"""Metres from a rail at which outside lines are tried: 4 to 5 are liked, less where a ring is
narrow, more where there is room (common practice, no source)."""
NARROW_M, NARROW_INSET_M = 25.0, 3.2
"""Metres across under which a ring is narrow, and its outside lines stand so near the rail that
two turns fit between them."""
HALF_CIRCLE_M = 15.0
"""Metres across a half circle of 7.5 m, the least that trained horses want ([S39]): so far in from
an outside line lies the line that it leads to, where that is not about the middle of the ring.
With lines put there where the rein changes, hunter courses lost their diagonals."""
ACROSS_INSET_M = 4.6
"""Metres from a short side at which lines across are tried."""
FROM_THE_MIDDLE_M = 2.0
FLATTER_RAD = (0.0, math.radians(6))
"""How much flatter than from corner to corner a diagonal is tried: a diagonal that runs into the
corner leaves no turn (tried on rings from 70 x 200 ft to 60 x 80 m)."""
SHORT_SIDE = 0.6
"""A side shorter than this share of the longest is a short one: its lines run across."""


class Carrier(Struct, frozen=True):
    """A line through `point` along `heading`, and the family that a trainer would name it by."""

    family: Family
    point: Point
    heading: float

    @property
    def words(self) -> str:
        """As it is said."""
        return {
            "outside": "outside line", "inside": "line a half circle in",
            "quarter": "quarter line", "centre": "centre line",
            "diagonal": "diagonal", "across": "line across", "slant": "line at 45 degrees",
        }[self.family]  # fmt: skip


def carriers_of(region: Region) -> tuple[Carrier, ...]:
    """The carriers of an arena, the plainest first. Parallels of sides, then of the whole."""
    x0, y0, x1, y1 = region.bounds
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    long, short = max(x1 - x0, y1 - y0), min(x1 - x0, y1 - y0)
    along = 0.0 if x1 - x0 >= y1 - y0 else math.pi / 2
    out = [*_beside_sides(region)]
    out += _parallels("centre", middle, along, (0.0,))
    out += _parallels("quarter", middle, along, (-short / 4, short / 4))
    aside = LIKED_INSET_M + HALF_CIRCLE_M - short / 2
    if FROM_THE_MIDDLE_M < aside < short / 2 - LIKED_INSET_M:
        out += _parallels("inside", middle, along, (-aside, aside))
    out += _parallels("across", middle, along + math.pi / 2, (0.0, -long / 4, long / 4))
    corner = math.atan2(short, long)
    for less in FLATTER_RAD:
        for sign in (1, -1):
            out.append(Carrier("diagonal", middle, along + sign * (corner - less)))
    for sign in (1, -1):
        out.append(Carrier("slant", middle, along + sign * math.pi / 4))
    return tuple(out)


def _beside_sides(region: Region) -> list[Carrier]:
    longest = max(math.dist(*edge) for edge in region.edges)
    out = []
    x0, y0, x1, y1 = region.bounds
    narrow = min(x1 - x0, y1 - y0) < NARROW_M
    for inset in (*INSETS_M, NARROW_INSET_M) if narrow else INSETS_M:
        for (ax, ay), (bx, by) in region.edges:
            length = math.dist((ax, ay), (bx, by))
            if length < SHORT_SIDE * longest and inset != ACROSS_INSET_M:
                continue
            heading = math.atan2(by - ay, bx - ax)
            c, s = (bx - ax) / length, (by - ay) / length
            middle = ((ax + bx) / 2 - inset * s, (ay + by) / 2 + inset * c)
            family: Family = "outside" if length > SHORT_SIDE * longest else "across"
            out.append(Carrier(family, middle, heading))
    return out


def _parallels(
    family: Family, middle: Point, heading: float, asides: tuple[float, ...]
) -> list[Carrier]:
    c, s = math.cos(heading), math.sin(heading)
    return [
        Carrier(family, (middle[0] - aside * s, middle[1] + aside * c), heading) for aside in asides
    ]
