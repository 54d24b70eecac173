"""Where two legs run over the same ground they are drawn side by side, each to its own right.

A line drawn exactly over another would hide it. The later one is moved aside by a paper-size
step, eased in and out, so that both can be followed; the ground line itself is not changed.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from diagram.drawing.frame import Frame
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Pose
from diagram.planning import Plan

Flags = npt.NDArray[np.bool_]

STEP_MM = 1.3
"""Between the middles of two lines side by side: their widths and a gap that prints."""
SAME_MM = 0.8
PARALLEL = 0.2
"""Lines nearer than SAME_MM and within PARALLEL radians run over the same ground."""
EASE_MM = 14.0
SAMPLE_MM = 2.0
SHORT = 5
"""Samples, two millimetres apart: shorter stretches are crossings and joints, not shared ground."""


@dataclass(frozen=True)
class Lane:
    """How far a leg is moved to its right, in mm on paper, at arc lengths along it."""

    s: Floats
    aside: Floats

    def at(self, s: float) -> float:
        """Millimetres to the right at one arc length."""
        return float(np.interp(s, self.s, self.aside))

    def shifted(self, pose: Pose, s: float, frame: Frame) -> Pose:
        """A pose on the leg, moved aside."""
        return pose.ahead(0.0, -frame.metres(self.at(s)))


def lanes(plan: Plan, frame: Frame) -> tuple[Lane, ...]:
    """A lane for every leg, in order."""
    out: list[Lane] = []
    drawn: list[tuple[Floats, Floats, Floats]] = []
    for leg in plan.legs:
        s = leg.curve.stations(frame.metres(SAMPLE_MM))
        x, y, heading, _ = leg.curve.locate(s)
        points = np.stack([x, y], axis=1) * frame.mm_per_m
        aside = np.zeros(len(s))
        for other, other_heading, other_aside in drawn:
            gaps = np.hypot(
                points[:, None, 0] - other[None, :, 0], points[:, None, 1] - other[None, :, 1]
            )
            nearest = gaps.argmin(axis=1)
            turn = heading - other_heading[nearest]
            along = np.abs(np.sin(turn)) < PARALLEL
            same = _long_runs((gaps.min(axis=1) < SAME_MM) & along)
            # Ridden the other way, the earlier line is moved to the other hand.
            taken = other_aside[nearest] * np.sign(np.cos(turn))
            aside = np.where(same & (np.abs(taken - aside) < STEP_MM / 2), taken + STEP_MM, aside)
        drawn.append((points, heading, aside))
        out.append(Lane(s, _eased(aside)))
    return tuple(out)


def _long_runs(same: Flags) -> Flags:
    """Stretches shorter than SHORT dropped, then gaps shorter than SHORT closed.

    A gap at an end is closed too: there the leg goes on into the next one.
    """
    kept = _dropped(same, SHORT)
    return ~_dropped(~kept, SHORT) if kept.any() else kept


def _dropped(flags: Flags, shortest: int) -> Flags:
    """`flags` without runs of fewer than `shortest` samples."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(int)))
    kept = flags.copy()
    for begin, end in zip(edges[::2], edges[1::2], strict=True):
        if end - begin < shortest:
            kept[begin:end] = False
    return kept


def _eased(aside: Floats) -> Floats:
    """A running mean taken twice, so that a line moves over without a kink."""
    width = int(EASE_MM / SAMPLE_MM / 2) | 1
    if not aside.any() or len(aside) < 2 * width:
        return aside
    once = _mean(aside, width)
    return _mean(once, width)


def _mean(values: Floats, width: int) -> Floats:
    padded = np.pad(values, width // 2, mode="edge")
    mean: Floats = np.convolve(padded, np.ones(width) / width, mode="valid")
    return mean
