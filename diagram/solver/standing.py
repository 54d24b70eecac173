"""What stands in the arena, fences and posts: where it does so in each trial, and to which ways."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from diagram.exercise.arena import POST_M
from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.solver.relations import Problem
from diagram.solver.rows import Ints, Trials, offsets
from diagram.solver.tracks import Paths, Spots
from diagram.trade.riding import riding

FAR_M = 15.0
"""Metres of room to spare beyond which more makes no difference."""
BETWEEN_FENCES_M = riding().room.fence_to_fence.value
"""Metres from standard to standard, for the crew to pass (common practice, no source)."""


class Excused(Struct, frozen=True):
    """Fences and places of ways that need not keep clear of each other.

    `always` (2, N) are fences and the places of ways that begin or end at them, and all fences
    with the places that look at the rail alone. In a turn such places are excused only `near`
    (4, N) its first or its last, whose numbers come third and fourth.
    """

    always: Ints
    near: Ints

    @classmethod
    def of(cls, body: Ints, paths: Paths, spots: Spots) -> Excused:
        """For the fences of some bodies and the places on some ways."""
        own = (paths.own[:, :, None] == body).any(axis=1)
        rail_only = paths.rail_only[spots.way] & spots.at_last
        place, fence = (own[spots.way] | rail_only[:, None]).nonzero()
        back = paths.looks_back[spots.way[place]]
        pairs = np.array([fence, place])
        ends = np.array([spots.first[place], spots.last[place]])
        return cls(pairs[:, ~back], np.concatenate([pairs, ends])[:, back])


class Standing(Struct, frozen=True):
    """All that stands in the arena: the `fences` single fences of a problem, then its posts.

    For each its body (-1 for a post), the `columns` (F, 3) of its unknowns, place and heading in
    its body, half width and half depth. A post moves with the unknowns that are not there.
    `corners` (fences, 4) are those of the ground that fences cover, in their own frames.
    `pairs` (2, N) are fences of different bodies, and posts with fences; `reach` (N,) how far
    apart their middles are where more makes no difference.
    """

    fences: int
    body: Ints
    columns: Ints
    place: Numbers
    heading: Floats
    half: Floats
    thick: Floats
    corners: Numbers
    pairs: Ints
    reach: Floats

    @classmethod
    def of(cls, problem: Problem) -> Standing:
        """Everything in order. Poles on the ground count as well."""
        found = [
            (number, pose, fence)
            for number, body in enumerate(problem.bodies)
            for fence, pose in body.parts
        ]
        placed = [fence.at(pose) for _, pose, fence in found]
        fences, posts = len(found), len(problem.posts)
        body = np.array([number for number, _, _ in found] + [-1] * posts)
        places, headings = offsets([pose for _, pose, _ in found])
        half = np.array([p.reach_m for p in placed] + [0.0] * posts)
        thick = np.array([p.fence.half_thick_m for p in placed] + [POST_M] * posts)
        corners = np.array([[complex(*corner) for corner in p.corners] for p in placed])
        apart = (body[:, None] != body) & (body >= 0)
        i, j = pairs = np.array(apart.nonzero())
        return cls(
            fences, body,
            np.where(body[:, None] < 0, problem.size, body[:, None] * 3 + np.arange(3)),
            np.concatenate([places, [complex(*post) for post in problem.posts]]),
            np.concatenate([headings, np.zeros(posts)]),
            half, thick, corners, pairs,
            (half + thick)[i] + (half + thick)[j] + BETWEEN_FENCES_M + FAR_M,
        )  # fmt: skip


class StandingAt(Struct, frozen=True):
    """Where all that stands does so in each trial (S, F): middles, directions along the poles, and
    how the middles lie from those of their bodies."""

    middle: Numbers
    along: Numbers
    arm: Numbers

    @classmethod
    def of(cls, fences: Standing, trials: Trials) -> StandingAt:
        """Where they stand in some trials."""
        at = trials.unknowns[:, fences.columns]
        facing = np.exp(1j * at[..., 2])
        arm = facing * fences.place
        middle = at[..., 0] + 1j * at[..., 1] + arm
        return cls(middle, facing * (1j * np.exp(1j * fences.heading)), arm)
