"""Where the track crosses itself on the paper: what is broken there, and where to show the way.

Only true crossings count. Legs that run side by side, or join at a flat angle, are left alone.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from diagram.drawing.frame import Frame
from diagram.drawing.lanes import Lane
from diagram.geometry.curve import Floats
from diagram.planning import PlanLeg

Indices = npt.NDArray[np.intp]

FLATTEST = 0.17
"""Sine of the angle below which lines are joining rather than crossing: about ten degrees."""
SAME_END_MM = 3.0
"""Legs meet at fences: a crossing nearer than this to an end they share is no crossing."""


@dataclass(frozen=True, slots=True)
class Over:
    """One line over another. `upper` and `lower` are indices of legs, upper ridden later (or the
    same leg further on); `s_upper` and `s_lower` metres along them; `sine` of the angle."""

    upper: int
    s_upper: float
    lower: int
    s_lower: float
    sine: float


def crossings_on_paper(
    legs: tuple[PlanLeg, ...], lanes: tuple[Lane, ...], frame: Frame
) -> tuple[Over, ...]:
    """All crossings of all legs, in the order ridden."""
    paths = [lane_path(leg, lane, frame) for leg, lane in zip(legs, lanes, strict=True)]
    count = [len(path) - 1 for path in paths]
    owner = np.repeat(np.arange(len(paths)), count)
    begins = np.concatenate([path[:-1] for path in paths])
    ends = np.concatenate([path[1:] for path in paths])
    s0 = np.concatenate([lane.s[:-1] for lane in lanes])
    s1 = np.concatenate([lane.s[1:] for lane in lanes])
    first, second = _pairs(begins, ends)
    out = []
    d1, d2 = ends[first] - begins[first], ends[second] - begins[second]
    apart = begins[second] - begins[first]
    cross = d1[:, 0] * d2[:, 1] - d1[:, 1] * d2[:, 0]
    sine = np.abs(cross) / (np.hypot(*d1.T) * np.hypot(*d2.T) + 1e-12)
    steep = sine > FLATTEST
    safe = np.where(steep, cross, 1.0)
    t = (apart[:, 0] * d2[:, 1] - apart[:, 1] * d2[:, 0]) / safe
    u = (apart[:, 0] * d1[:, 1] - apart[:, 1] * d1[:, 0]) / safe
    met = steep & (t >= 0) & (t < 1) & (u >= 0) & (u < 1)
    for n in np.flatnonzero(met).tolist():
        low, up = int(first[n]), int(second[n])
        s_low = float(s0[low] + (s1[low] - s0[low]) * t[n])
        s_up = float(s0[up] + (s1[up] - s0[up]) * u[n])
        found = Over(int(owner[up]), s_up, int(owner[low]), s_low, float(sine[n]))
        if not _at_a_joint(found, legs, frame):
            out.append(found)
    return tuple(out)


def lane_path(leg: PlanLeg, lane: Lane, frame: Frame) -> Floats:
    """A leg on the paper at the stations of its lane, (n, 2) mm."""
    x, y, heading, _ = leg.curve.locate(lane.s)
    aside = lane.aside / frame.mm_per_m
    ground = np.stack([x + aside * np.sin(heading), y - aside * np.cos(heading)], axis=1)
    k = frame.mm_per_m
    if frame.turned:
        return np.stack([frame.left - ground[:, 1] * k, frame.bottom - ground[:, 0] * k], axis=1)
    return np.stack([frame.left + ground[:, 0] * k, frame.bottom - ground[:, 1] * k], axis=1)


def _pairs(begins: Floats, ends: Floats) -> tuple[Indices, Indices]:
    """Pieces whose boxes overlap and that do not follow each other."""
    low, high = np.minimum(begins, ends), np.maximum(begins, ends)
    near = (low[:, None, 0] <= high[None, :, 0]) & (low[None, :, 0] <= high[:, None, 0])
    near &= (low[:, None, 1] <= high[None, :, 1]) & (low[None, :, 1] <= high[:, None, 1])
    first, second = np.nonzero(np.triu(near, 2))
    return first, second


def _at_a_joint(found: Over, legs: tuple[PlanLeg, ...], frame: Frame) -> bool:
    """Whether both lines are at a fence there, one arriving and one leaving."""
    near = frame.metres(SAME_END_MM)

    def at_end(leg: PlanLeg, s: float) -> bool:
        before, after = leg.first is not None, leg.second is not None
        return (before and s < near) or (after and leg.track_m - s < near)

    return at_end(legs[found.upper], found.s_upper) and at_end(legs[found.lower], found.s_lower)


def reach_of_break(sine: float, track_mm: float, gap_mm: float) -> float:
    """Millimetres along the upper line, to each side, over which the lower one must be hidden."""
    cosine = math.sqrt(max(0.0, 1 - sine * sine))
    return min((track_mm / 2 + gap_mm + (track_mm / 2 + gap_mm) * cosine) / sine, 4.0)
