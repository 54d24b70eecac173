"""The same line on one stride fewer or more: what stride the horse must take for it."""

from __future__ import annotations

from msgspec import Struct

from diagram.ride.stretches import LegGround
from diagram.trade import jumping


class Version(Struct, frozen=True):
    """A stride count for the ground there is.

    `stride_m` is the stride it needs, `share` that over the normal one. `possible` is False
    where it is shorter or longer than a canter stride can be made.
    """

    strides: int
    stride_m: float
    share: float
    possible: bool

    @property
    def manner(self) -> str:
        """``waiting``, ``forward`` or ``as normal``."""
        if abs(self.share - 1) < AS_NORMAL:
            return "as normal"
        return "forward" if self.share > 1 else "waiting"


AS_NORMAL = 0.02
"""Three inches on twelve feet: nobody sees it."""


def version(ground: LegGround, strides: int, normal_m: float) -> Version:
    """The stride that `strides` need between landing and take-off.

    Raises ValueError for less than one stride: a bounce has none.
    """
    if strides < 1:
        raise ValueError("there is no stride in a bounce")
    each = (ground.length_m - ground.landing_m - ground.take_off_m) / strides
    share, limits = each / normal_m, jumping.stretch()
    return Version(strides, each, share, limits.low <= share <= limits.high)


def next_versions(ground: LegGround, about: int, normal_m: float) -> tuple[Version, ...]:
    """One stride fewer than `about`, and one more."""
    return tuple(version(ground, n, normal_m) for n in (about - 1, about + 1) if n > 0)
