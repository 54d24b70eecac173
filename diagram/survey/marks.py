"""Every point that a measured tape may be held to: what is fixed, feet, and centres of fences."""

from __future__ import annotations

from functools import cached_property

from msgspec import Struct

from diagram.geometry.pose import Point
from diagram.planning import Plan
from diagram.stakeout.points import fence_feet, fixed_points


class Marks(Struct, frozen=True, dict=True):
    """Every point that a tape may be held to, as planned.

    `fixed` do not move; `feet` are those of the fences, `centres` the ground under the middle of
    each row of poles (``birch centre``, ``hazel centre front``). `fence` names the fence of a
    foot or a centre.
    """

    fixed: dict[str, Point]
    feet: dict[str, Point]
    centres: dict[str, Point]
    fence: dict[str, str]

    @property
    def all(self) -> dict[str, Point]:
        """All of them."""
        return {**self.fixed, **self.centres, **self.feet}

    def of(self, fence: str) -> list[str]:
        """Names of the feet of a fence."""
        return list(self._by_fence.get(fence, ()))

    @cached_property
    def _by_fence(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for name in self.feet:
            found.setdefault(self.fence[name], []).append(name)
        return found


def marks_of(plan: Plan) -> Marks:
    """The points of a plan."""
    feet = fence_feet(plan)
    centres, fence = {}, {foot.name: foot.fence for foot in feet}
    for left, right in zip(feet[::2], feet[1::2], strict=True):
        name = " ".join(word for word in (left.fence, "centre", left.row) if word)
        (ax, ay), (bx, by) = left.point, right.point
        centres[name] = ((ax + bx) / 2, (ay + by) / 2)
        fence[name] = left.fence
    return Marks(fixed_points(plan.arena), {f.name: f.point for f in feet}, centres, fence)
