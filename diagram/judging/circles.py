"""Round bends as arcs of a circle: how large it is, and how large its strides want it."""

from __future__ import annotations

import math
import re

from msgspec import Struct
from msgspec.structs import replace

from diagram.exercise.ends import effective_spread
from diagram.exercise.legs import ResolvedLeg
from diagram.model.bare_numbers import in_metres
from diagram.model.phrases import MOST_STRIDES
from diagram.planning import Plan
from diagram.source import Scalar
from diagram.trade.circles import circle_distance, on_a_circle
from diagram.units import FOOT, length_text

_METRES = re.compile(r"\d ?m\b")
_FEET = re.compile(r"\d ?(?:'|ft\b|feet\b)")
_DECIMALS = re.compile(r"\.?0+(?= m$)")


class Arc(Struct, frozen=True):
    """A round bend of a leg: radians that it turns, and the ground of both fences that the circle
    through their middles has and the track from back to front has not, in metres; and how wide the
    wider of them stands across the circle."""

    leg: ResolvedLeg
    turn: float
    depths_m: float
    wide_m: float = 0.0

    def across_m(self, arc_m: float) -> float:
        """Metres across the circle through the middles of both fences for a track so long.

        The track leaves each fence half its depth on, along the tangent, so that the circle is
        wider by ``depth / 2 / tan(turn / 2)`` in radius than the arc that is ridden.
        """
        return 2 * (arc_m / self.turn + self.depths_m / 4 / math.tan(self.turn / 2))

    def wanted(self, strides: int) -> tuple[float, float, float]:
        """Metres across the circle that so many strides from fence to fence want: the least, the
        aim and the most."""
        asked = circle_distance(strides, self.leg.terms.horses)
        low, aim, high = (self.across_m(m) for m in (asked.low_m, asked.aim_m, asked.high_m))
        return low, aim, high

    def among(self, fences: int) -> Arc:
        """The same with so many fences evenly round the circle."""
        return replace(self, turn=math.tau / fences)


def arc_of(leg: ResolvedLeg) -> Arc | None:
    """The arc that a leg is said to be, where horses take the step of a circle on it."""
    way, first, second = leg.link.way, leg.link.first, leg.link.second
    if way is None or not way.round or not way.turn or not (first and second):
        return None
    if leg.first is None or leg.second is None or leg.target_m is None:
        return None
    if not on_a_circle(leg.target_m, way.turn, way.radius):
        return None
    depths = [
        effective_spread(fence.depth_m, jump.angle)
        for fence, jump in ((leg.first, first), (leg.second, second))
    ]
    wide = max(fence.measures.width_m for fence in (leg.first, leg.second))
    return Arc(leg, abs(way.turn), sum(depths), wide)


def fitting_count(plan: Plan, arc: Arc) -> int | None:
    """The strides, as near as may be to those said, whose circle is as wide as these horses want
    and stands in the arena with its fences; None where there are none."""
    least, most = 2 * plan.limits.canter.manner.least_radius, room_across(plan) - arc.wide_m
    fair = [n for n in range(1, MOST_STRIDES + 1) if least <= arc.wanted(n)[1] <= most]
    said = arc.leg.count.strides if arc.leg.count else 0
    return min(fair, key=lambda n: abs(n - said), default=None)


def room_across(plan: Plan) -> float:
    """Metres from rail to rail where the arena is narrower."""
    return min(plan.arena.size)


def size_text(plan: Plan, arc: Arc, strides: int) -> str:
    """How large to write a circle for so many strides: in whole metres or feet, as the circle or
    else the file is written, where the strides can be ridden on that."""
    low, aim, high = arc.wanted(strides)
    metric = _in_metres(plan, arc.leg)
    unit = 1.0 if metric else FOOT
    whole = round(aim / unit) * unit
    text = length_text(whole if low < whole < high else aim, "metres" if metric else "feet")
    return _DECIMALS.sub("", text)


def across_text(plan: Plan, arc: Arc, arc_m: float) -> str:
    """How large the circle of a track is."""
    metric = _in_metres(plan, arc.leg)
    return _DECIMALS.sub("", length_text(arc.across_m(arc_m), "metres" if metric else "feet"))


def _in_metres(plan: Plan, leg: ResolvedLeg) -> bool:
    """Whether the size of a circle is written in metres: as one is, else as the level is."""
    paths = [(*leg.link.path, "bend"), ("arrange",), ("level",)]
    paths[2:2] = [("arrange", n) for n, _ in enumerate(plan.definition.arrange)]
    for path in paths:
        node, found = plan.document.node_at(path)
        text = node.text if found and isinstance(node, Scalar) else ""
        if _METRES.search(text) or _FEET.search(text):
            return bool(_METRES.search(text))
    metric = in_metres(plan.document.text)
    return plan.terms.table.units == "metres" if metric is None else metric
