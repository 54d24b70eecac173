"""The turn from pose to pose: one for the search, the drawing and the checks.

A rider goes out straight, round on an arc, straight across, round on an arc of the same radius
and in straight; or round on one single arc; where there is little room he opens out to the other
hand first, or last, or both. All of these are closed forms (`arcs`), tried over straights and
radii for many pairs of poses at once, priced in metres of extra track (`room`), and the cheapest
taken. With `fine` its straights and radius are then moved in ever smaller steps.

The radii tried are the same for all horses, and the price of a tight turn grows with what the
horses want; so what is chosen never gets tighter for wanting more.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from diagram.geometry.curve import Curve, Floats
from diagram.geometry.region import Region
from diagram.path.arcs import Pairs, Ways, arc_line_arc, of_three, one_arc, three_arcs
from diagram.path.room import (
    ALLOWED,
    BEYOND,
    BROKEN,
    FARTHEST,
    FREE_AFTER,
    NEAR_RAIL,
    OFF_RAIL,
    POINT,
    SHORT_STRAIGHT,
    SWERVE,
    TIGHT,
    TOO_SHORT_STRAIGHT,
    Manner,
    Room,
)  # fmt: skip

ON_ARC, ON_LINE = 24, 17
"""Places on each arc and each straight that are held against the fences."""
SINGLES, FEW_SINGLES = 12, 4
"""Straights before the fence that a single arc is tried with."""
OPENED = 0.8
"""Radians to the other hand at most, for the sake of a turn (common practice, no source)."""
STEPS = (2.0, 1.0, 0.5, 0.25, 0.1)
"""Metres by which straights are moved at once; a radius by half of it."""
MOVES = np.array(
    [
        (1, 0, 0),
        (0, 1, 0),
        (1, 1, 0),
        (1, -1, 0),
        (0, 0, 0.5),
        (1, 1, -0.5),
        (0, 1, -0.5),
        (1, 0, -0.5),
    ]
)
MOVES = np.concatenate([MOVES, -MOVES])
"""Of the straight out, the straight in and the radius together."""
ROUNDS = 12
BATCH, TOGETHER = 12, 96
"""Ways of one turn that are held against rails and fences at once; of few turns as many as make
so many together: numpy takes as long for a dozen as for a hundred."""
SAME_PRICE = 1e-6
"""Metres by which two prices are the same: by so much more a way is still looked at."""

Shape = Callable[[Pairs, Floats, Floats, Floats], Ways]


class TurnsFound(Struct, frozen=True):
    """The best way for each pair (N,), its price in metres, and the part of it for broken limits.

    `broken` is infinite where no way was found at all.
    """

    ways: Ways
    price: Floats
    broken: Floats

    @property
    def clean(self) -> NDArray[np.bool_]:
        """Which of them keep every limit."""
        clean: NDArray[np.bool_] = self.broken <= ALLOWED
        return clean

    def curve(self, index: int) -> Curve:
        """One of them as a curve."""
        return self.ways.curve(index)


def _same(pairs: Pairs, out: Floats, into: Floats, radius: Floats) -> Ways:
    return arc_line_arc(pairs, out, into, radius)


def _opened_first(pairs: Pairs, out: Floats, into: Floats, radius: Floats) -> Ways:
    return arc_line_arc(pairs, out, into, radius, first=-1)


def _opened_last(pairs: Pairs, out: Floats, into: Floats, radius: Floats) -> Ways:
    return arc_line_arc(pairs, out, into, radius, last=-1)


def _single(pairs: Pairs, _out: Floats, into: Floats, _radius: Floats) -> Ways:
    return one_arc(pairs, into)


SHAPES: tuple[Shape, ...] = (_same, _single, _opened_first, _opened_last, three_arcs)


def best_turns(
    pairs: Pairs, room: Room, manner: Manner, fine: bool = True, coarse: bool = False
) -> TurnsFound:
    """The best turn for each of the pairs (N,).

    `coarse` tries the least and the farthest straights with the least and the liked radius only:
    enough to tell for thousands of pairs which of them can be ridden, and about how well.
    """
    usual = _cheapest(pairs, SHAPES[:2], room, manner, coarse)
    poor = np.flatnonzero(~usual.clean)
    if len(poor):
        usual = _better(usual, poor, _cheapest(pairs[poor], SHAPES[2:], room, manner, coarse))
    if fine:
        usual = _improved(usual, room, manner)
    return usual


def _better(turns: TurnsFound, which: NDArray[np.intp], other: TurnsFound) -> TurnsFound:
    """The turns with some replaced where the others are cheaper."""
    won = other.price < turns.price[which] - 1e-6
    at, new = which[won], np.flatnonzero(won)
    lines, arcs, radius = (np.array(part) for part in _parts(turns.ways))
    price, broken = turns.price.copy(), turns.broken.copy()
    for whole, part in zip((lines, arcs, radius), _parts(other.ways), strict=True):
        whole[at] = part[new]
    price[at], broken[at] = other.price[new], other.broken[new]
    return TurnsFound(Ways(turns.ways.pairs, lines, arcs, radius), price, broken)


def _parts(ways: Ways) -> tuple[Floats, Floats, Floats]:
    return ways.lines, ways.arcs, ways.radius


def _cheapest(
    pairs: Pairs, shapes: tuple[Shape, ...], room: Room, manner: Manner, coarse: bool
) -> TurnsFound:
    out, into, radius = _tried(pairs, room.region, manner, coarse)
    spread = pairs[:, None]
    found = [
        _single(spread, out, _singles(pairs, room.region, manner, coarse), radius)
        if shape is _single
        else shape(spread, out, into, radius)
        for shape in shapes
    ]
    parts = [np.concatenate(part, axis=1) for part in zip(*map(_parts, found), strict=True)]
    count = parts[2].shape[1]
    whole = Pairs(
        *(
            np.broadcast_to(getattr(spread, n)[:, :1], (len(pairs.hand), count))
            for n in spread.names
        )
    )
    return _chosen(Ways(whole, *parts), room, manner)


def _tried(
    pairs: Pairs, region: Region, manner: Manner, coarse: bool
) -> tuple[Floats, Floats, Floats]:
    """Straights out and in, and radii (N, C), to try: from the least to an arc along the rail."""
    radii = np.array([manner.least_radius, manner.liked_radius] if coarse else manner.tried)
    wide = radii <= max(manner.widest, float(radii.min()))
    radii = radii[wide]
    ends = (
        (pairs.start, pairs.facing, manner.out),
        (pairs.end, pairs.end_facing + np.pi, manner.into),
    )
    tried = []
    for place, facing, least in ends:
        far = _ahead(region, place, facing)[:, None] - manner.rail - radii
        liked = np.full_like(far, manner.liked_straight)
        wanted = np.full_like(far, manner.wanted_straight)
        middle = (liked + far) / 2
        some = (wanted, far) if coarse else (np.full_like(far, least), wanted, liked, middle, far)
        tried.append(np.maximum(np.stack(some, axis=1), least))
    a, b = tried
    shape = (len(pairs.hand), a.shape[1], b.shape[1], len(radii))
    out = np.broadcast_to(a[:, :, None], shape).reshape(shape[0], -1)
    into = np.broadcast_to(b[:, None], shape).reshape(shape[0], -1)
    return out, into, np.broadcast_to(radii, shape).reshape(shape[0], -1)


def _singles(pairs: Pairs, region: Region, manner: Manner, coarse: bool) -> Floats:
    """Straights before the fence (N, C) to try a single arc with."""
    far = np.maximum(_ahead(region, pairs.end, pairs.end_facing + np.pi), manner.into + 1.0)
    share = np.linspace(0.0, 1.0, FEW_SINGLES if coarse else SINGLES)
    tried: Floats = manner.into + (far - manner.into)[:, None] * share
    return tried


def _ahead(region: Region, place: NDArray[np.complex128], facing: Floats) -> Floats:
    """Metres from each place straight ahead to the edge of a region."""
    walls = region.half_planes
    if walls is None:
        pairs = zip(place, np.exp(1j * facing), strict=True)
        rays = [region.ray_length((p.real, p.imag), (d.real, d.imag)) for p, d in pairs]
        reached: Floats = np.minimum(np.array(rays, dtype=np.float64), FARTHEST)
        return reached
    normals, offsets = walls
    depth = place.real[:, None] * normals[:, 0] + place.imag[:, None] * normals[:, 1] - offsets
    falls = -(np.cos(facing)[:, None] * normals[:, 0] + np.sin(facing)[:, None] * normals[:, 1])
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        metres = np.where(falls > 1e-9, depth / falls, np.inf)
    ahead: Floats = np.clip(metres.min(axis=1), 0.0, FARTHEST)
    return ahead


def priced(ways: Ways, manner: Manner) -> tuple[Floats, Floats]:
    """Price of ways by their own shape, and the part of it for broken limits; inf if not ridden."""
    turned, radius = ways.turned, ways.radius
    out, into = ways.lines[..., 0], ways.lines[..., 3]
    with np.errstate(invalid="ignore", divide="ignore"):
        price = ways.length + turned * manner.liked_radius**2 / np.maximum(radius, 0.2)
        for straight in (out, into):
            price = price + SHORT_STRAIGHT * np.maximum(manner.liked_straight - straight, 0.0)
            price = price + TOO_SHORT_STRAIGHT * np.maximum(manner.wanted_straight - straight, 0.0)
        opened = np.maximum(-ways.arcs, 0.0)
        price = price + SWERVE * of_three(opened)
        tight = np.maximum(manner.least_radius - radius, 0.0)
        broken = TIGHT * (tight + tight**2) + BEYOND * np.maximum(POINT - radius, 0.0)
        broken = broken + BROKEN * of_three(np.maximum(opened - OPENED, 0.0))
        for straight, least in ((out, manner.out), (into, manner.into)):
            broken = broken + BROKEN * np.maximum(least - 1e-6 - straight, 0.0)
    good = ways.good
    return np.where(good, price, np.inf), np.where(good, broken, np.inf)


def _chosen(ways: Ways, room: Room, manner: Manner, under: Floats | None = None) -> TurnsFound:
    """The cheapest way (N,) for each pair of those tried (N, C).

    Where a way runs only adds to its price. So ways are held against rails and fences a batch at
    a time, cheapest shape first, until the next shape alone costs more than the best found, or
    than what there is already (`under`, (N,)).
    """
    price, broken = priced(ways, manner)
    shape = np.where(np.isfinite(price), np.round(price + broken, 9), np.inf)
    order = np.argsort(shape, axis=1, kind="stable")
    count = len(order)
    best = np.zeros(count, dtype=np.intp)
    total = np.full(count, np.inf) if under is None else under.copy()
    lost = np.full(count, np.inf)
    going = np.arange(count)
    batch = max(BATCH, TOGETHER // count) if count else BATCH
    for first in range(0, order.shape[1], batch):
        going = going[shape[going, order[going, first]] < total[going]]
        if not len(going):
            break
        rows, some = going[:, None], order[going, first : first + batch]
        # In order of their shapes: what is too dear for all stands at the end.
        some = some[:, : (shape[rows, some] < total[going, None]).sum(axis=1).max()]
        here = ways[rows, some]
        rail = BROKEN * np.maximum(manner.rail - here.inside(room.region), 0.0)
        extra = OFF_RAIL * _off_rail(here, room.region, manner) if manner.wide else 0.0
        bare = shape[rows, some] + rail + extra
        wall = _walls(here, rail, bare, total[going], room, manner)
        cost = shape[rows, some] + wall + extra
        cost = np.where(np.isfinite(cost), np.round(cost, 9), np.inf)
        at = cost.argmin(axis=1)
        own = np.arange(len(going))
        won = cost[own, at] < total[going]
        won_rows, won_at = going[won], at[won]
        best[won_rows] = some[own[won], won_at]
        total[won_rows] = cost[own[won], won_at]
        lost[won_rows] = broken[won_rows, best[won_rows]] + wall[own[won], won_at]
    return TurnsFound(ways[np.arange(count), best], total, lost)


def _walls(
    ways: Ways, rail: Floats, bare: Floats, total: Floats, room: Room, manner: Manner
) -> Floats:
    """Price (N, B) of rails and fences, given that of rails; infinite for ways that cannot win.

    Fences are dear to ask. The cheapest without them (`bare`) is asked first; then whatever would
    still be cheaper than that one, or than what there is already (`total`, (N,)).
    """
    if not len(room.a):
        return rail
    wall = np.full(rail.shape, np.inf)
    rows = np.arange(len(rail))
    first = bare.argmin(axis=1)
    wall[rows, first] = rail[rows, first] + _near_fences(ways[rows, first], room, manner)
    known = bare[rows, first] - rail[rows, first] + wall[rows, first]
    asked = bare <= np.minimum(total, known)[:, None] + SAME_PRICE
    asked[rows, first] = False
    if asked.any():
        some = np.nonzero(asked)
        wall[some] = rail[some] + _near_fences(ways[some], room, manner)
    return wall


def _off_rail(ways: Ways, region: Region, manner: Manner) -> Floats:
    """Metres by which the middle of a way is off a rail that is near."""
    middle = ways.middle()
    inside = region.inside(np.stack([middle.real, middle.imag], axis=-1))
    off: Floats = np.clip(inside - manner.rail, 0.0, NEAR_RAIL - manner.rail)
    return off


def _near_fences(ways: Ways, room: Room, manner: Manner) -> Floats:
    """Price of coming too near to a fence on the way."""
    places = ways.points(ON_ARC, ON_LINE)
    pairs = ways.pairs
    ends = np.minimum(
        np.abs(places - pairs.start[..., None]), np.abs(places - pairs.end[..., None])
    )
    gaps = room.closeness(np.stack([places.real, places.imag], axis=-1), manner.fences)
    short = np.maximum(manner.fences - gaps, 0.0) * (ends > FREE_AFTER)
    price: Floats = BROKEN * short.max(axis=-1)
    unknown: Floats = np.where(np.isnan(price), np.inf, price)
    return unknown


def _improved(turns: TurnsFound, room: Room, manner: Manner) -> TurnsFound:
    """The turns with their straights and radius moved by whichever of STEPS pays most."""
    moves = np.concatenate([MOVES * step for step in STEPS])
    going = np.flatnonzero(np.isfinite(turns.price))
    for _ in range(ROUNDS):
        if not len(going):
            break
        here = turns.ways[going]
        out, into, radius = (
            part[:, None] + moves[:, n]
            for n, part in enumerate((here.lines[:, 0], here.lines[:, 3], here.radius))
        )
        least, most = min(manner.tried), max(manner.tried)
        own = here.radius[:, None]
        radius = np.clip(radius, np.minimum(least, own), np.maximum(most, own))
        out, into = np.maximum(out, 0.0), np.maximum(into, 0.0)
        before = turns.price[going]
        for shape in SHAPES:
            mine = np.flatnonzero(_is(here, shape))
            if not len(mine):
                continue
            again = shape(here.pairs[mine][:, None], out[mine], into[mine], radius[mine])
            turns = _better(
                turns, going[mine], _chosen(again, room, manner, turns.price[going[mine]])
            )
        going = going[turns.price[going] < before - 1e-6]
    return turns


def _is(ways: Ways, shape: Shape) -> NDArray[np.bool_]:
    """Which of the ways (N,) are of a shape."""
    first, second, third = ways.arcs[:, 0], ways.arcs[:, 1], ways.arcs[:, 2]
    kinds: dict[Shape, NDArray[np.bool_]] = {
        _single: (second == 0) & (third == 0),
        _same: (first > 0) & (second > 0),
        _opened_first: (first < 0) & (second > 0) & (third == 0),
        _opened_last: (first > 0) & (second < 0),
        three_arcs: third < 0,
    }
    return kinds[shape]
