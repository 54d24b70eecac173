"""Two corners of any size and one straight between: out straight, round, across, round, in.

One of the two may turn to the other hand a little: a rider opens out for the sake of a turn.

With the first corner turning by t of the net turn, both of radius r, and q metres straight
before the end, the end seen from the start is
``p (1, 0) + r c(t) + m u(t) + r R(t) c(net - t) + q u(net)``: two equations that give the
straight m between the corners and the straight p after the start. So the family has three
unknowns: t, r and q. It is how one goes about where there is little room.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from diagram.geometry.corner import corner_ends, corner_pieces, corner_places, run
from diagram.geometry.curve import Curve, Floats, Piece
from diagram.path.room import Task
from diagram.path.sweep import Sweep

OPENED = 0.8
"""Radians to the other hand that are tried at most."""
ARCS = 33
RADII = np.array([1.0, 1.15, 1.4, 1.8])
STRAIGHTS = np.array([1.0, 1.5, 2.2])
"""Number of first arcs; shares of the least radius and of the least straight that are tried."""
HALVINGS = 4
MOST_WALLED = 400
PLACES = 14
SMALLEST_ARC = 0.05


@dataclass(frozen=True, slots=True)
class _Family:
    """Members of the family (N,): first and second arc, radius, and the three straights."""

    first: Floats
    second: Floats
    radius: Floats
    out: Floats
    across: Floats
    into: Floats

    def pick(self, chosen: NDArray[np.intp]) -> _Family:
        return _Family(*(getattr(self, name)[chosen] for name in self.__slots__))


def double_sweep(task: Task) -> Sweep | None:
    """The best of the family for a left turn; None when no member joins start and end."""
    manner = task.manner
    t, r, q = (
        grid.ravel()
        for grid in np.meshgrid(
            np.linspace(-OPENED, task.net + OPENED, ARCS),
            RADII * manner.least_radius,
            STRAIGHTS * manner.into,
            indexing="ij",
        )
    )
    best = _cheapest(task, _family(task, t, r, q))
    steps = np.array([task.net / ARCS, 0.1 * manner.least_radius, 0.25 * manner.into])
    moves = np.stack(np.meshgrid(*[np.array([-1.0, 0.0, 1.0])] * 3, indexing="ij"), -1)
    for _ in range(HALVINGS):
        if best is None:
            return None
        family, _, _ = best
        here = np.array([family.first[0], family.radius[0], family.into[0]])
        t, r, q = (here + moves.reshape(-1, 3) * steps).T
        again = _cheapest(task, _family(task, t, r, q))
        if again and again[1] < best[1]:
            best = again
        steps = steps / 2
    if best is None:
        return None
    family, price, broken = best
    return Sweep(_curve(task, family), price, broken)


def _family(task: Task, t: Floats, radius: Floats, into: Floats) -> _Family:
    """The members that turn twice and go forwards all the way."""
    local = task.end.seen_from(task.start)
    rest = task.net - t
    (x1, y1), (x2, y2) = _ends(t), _ends(rest)
    c, s = np.cos(t), np.sin(t)
    far_x = local.x - radius * (x1 + c * x2 - s * y2) - into * np.cos(task.net)
    far_y = local.y - radius * (y1 + s * x2 + c * y2) - into * np.sin(task.net)
    safe = np.where(np.abs(s) < 1e-3, np.nan, s)
    across = far_y / safe
    out = far_x - across * c
    good = (np.abs(t) > SMALLEST_ARC) & (np.abs(rest) > SMALLEST_ARC) & (radius > 1.0)
    good &= (np.maximum(-t, -rest) <= OPENED) & (across >= 0) & (out > 0) & (into > 0)
    return _Family(t, rest, radius, out, across, into).pick(np.flatnonzero(good))


def _ends(arcs: Floats) -> tuple[Floats, Floats]:
    """Ends of corners of radius 1 m, those to the right below the axis."""
    x, y = corner_ends(np.abs(arcs))
    return x, y * np.sign(arcs)


def _shapes(arcs: Floats) -> Floats:
    """Places (N, PLACES, 2) along corners of radius 1 m to either hand."""
    places = corner_places(np.abs(arcs), PLACES)
    places[..., 1] *= np.sign(arcs)[:, None]
    return places


def _cheapest(task: Task, family: _Family) -> tuple[_Family, float, float] | None:
    """The best member (as a family of one), its price and the broken part of that."""
    if not len(family.first):
        return None
    turns = np.stack([family.first, family.second], axis=1)
    radii = np.stack([family.radius, family.radius], axis=1)
    length = family.out + family.across + family.into
    length = length + family.radius * (run(family.first) + run(family.second))
    price, broken = task.shape_price(length, turns, radii, family.out, family.into)
    order = np.argsort(np.round(price + broken, 9), kind="stable")[:MOST_WALLED]
    some, price, broken = family.pick(order), price[order], broken[order]
    points, middles = _places(task, some)
    wall, wall_broken = task.wall_price(points, middles)
    total = np.round(price + broken + wall + wall_broken, 9)
    i = int(np.argmin(total))
    return some.pick(np.array([i])), float(total[i]), float((broken + wall_broken)[i])


def _places(task: Task, family: _Family) -> tuple[Floats, Floats]:
    """Places along each member (N, K, 2), and the middle of its straight across (N, 1, 2)."""
    radius = family.radius[:, None, None]
    ahead = np.stack([family.out, np.zeros_like(family.out)], axis=1)[:, None]
    share = np.linspace(0.0, 1.0, 5)[:, None]
    first = ahead + radius * _shapes(family.first)
    x1, y1 = _ends(family.first)
    begin = ahead + radius * np.stack([x1, y1], axis=1)[:, None]
    unit = np.stack([np.cos(family.first), np.sin(family.first)], axis=1)[:, None]
    over = begin + share * family.across[:, None, None] * unit
    turned = _shapes(family.second)
    c, s = np.cos(family.first)[:, None], np.sin(family.first)[:, None]
    rotated = np.stack(
        [c * turned[..., 0] - s * turned[..., 1], s * turned[..., 0] + c * turned[..., 1]], -1
    )
    second = over[:, -1:] + radius * rotated
    local = np.concatenate([share * ahead, first, over, second], axis=1)
    (cx, sx), start = task.start.direction, task.start
    world = np.stack(
        [
            start.x + cx * local[..., 0] - sx * local[..., 1],
            start.y + sx * local[..., 0] + cx * local[..., 1],
        ],
        axis=-1,
    )
    back = np.array(task.end.point) - share * family.into[:, None, None] * np.array(
        task.end.direction
    )
    middle = 5 + PLACES + 2
    return np.concatenate([world, back], axis=1), world[:, middle : middle + 1]


def _curve(task: Task, family: _Family) -> Curve:
    first, second = float(family.first[0]), float(family.second[0])
    radius = float(family.radius[0])
    pieces = (
        Piece(float(family.out[0])),
        *corner_pieces(first, radius),
        Piece(float(family.across[0])),
        *corner_pieces(second, radius),
        Piece(float(family.into[0])),
    )
    return Curve.of(task.start, pieces)
