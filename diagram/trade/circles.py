"""Strides on a circle over low fences: a step of its own, shorter than that of a line."""

from __future__ import annotations

from diagram.trade.distances import Distance, RidesAs
from diagram.trade.horses import Horses, usual_stride
from diagram.trade.lookup import Summand
from diagram.trade.riding import riding
from diagram.trade.words import call

FITS = 0.25
"""Of a stride: what is nearer than this to a count rides as that (common practice, no source)."""


def _share(horses: Horses) -> float:
    """The step of these horses over that of a horse with the usual stride (derived)."""
    return horses.stride_m / usual_stride("horse").value


def on_a_circle(arc_m: float, turn_rad: float | None, radius_m: float | None) -> bool:
    """Whether a round bend is one on which horses take the step of a circle.

    Of one that says neither how far it turns nor its radius, it is: it is laid out so.
    """
    if radius_m is None and turn_rad:
        radius_m = arc_m / abs(turn_rad)
    return radius_m is None or radius_m <= riding().circle_step_up_to.value


def circle_distance(strides: int, horses: Horses) -> Distance:
    """Metres along the arc from fence to fence that ride as so many strides.

    One step more than strides: landing and take-off together are one.
    """
    step, share = riding().circle_step, _share(horses)
    steps = (strides + 1) * share
    part = Summand(f"{strides + 1} steps on a circle", steps * step.typical, step.source)
    return Distance(
        strides, steps * step.typical, steps * step.low, steps * step.high, (part,), step.source
    )


def circle_rides_as(measured_m: float, horses: Horses) -> RidesAs:
    """As how many strides so many metres along a circle ride.

    Any step between the shortest and the longest known to be set on circles will do.
    """
    step, share = riding().circle_step, _share(horses)
    strides = max(0, round(measured_m / (step.typical * share)) - 1)
    stride = measured_m / (strides + 1)
    fits = step.low * share * (1 - FITS / (strides + 1)) <= stride
    fits = fits and stride <= step.high * share * (1 + FITS / (strides + 1))
    words = f"{call(strides)} on a circle" if fits else f"nearer {call(strides)} on a circle"
    return RidesAs(strides, stride, stride / horses.stride_m, words, fits)
