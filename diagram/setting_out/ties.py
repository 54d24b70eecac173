"""Ties: distances from what stands already, read once more when a fence has been set."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from diagram.geometry.pose import Point
from diagram.setting_out.crew import Crew
from diagram.setting_out.points import Foot
from diagram.setting_out.ways import FootWays, Tie

NEAREST = 2.0
"""Metres. A tie shorter than this says little about how a fence is turned."""


def ties_to(
    ways: Sequence[FootWays],
    standing: Sequence[Foot],
    fixed: Mapping[str, Point],
    places: Mapping[str, Point],
    crew: Crew,
) -> tuple[Tie, ...]:
    """Two ties for one fence: the diagonals from the nearest row of the nearest fence that
    stands, or from the nearest fixed point that its tapes do not use.

    `places` is where the rounded readings put every foot: a tie is what a tape then reads.
    """
    left, right = _row(ways)
    rows = _rows(standing, places)
    ends = places[left.name], places[right.name]
    within = [
        (max(math.dist(p, e) for p in (places[a.name], places[b.name]) for e in ends), n, (a, b))
        for n, (a, b) in enumerate(rows)
    ]
    reach = [row for row in within if row[0] > NEAREST and not crew.joined(row[0])]
    if reach:
        _, _, (a, b) = min(reach)
        straight = math.dist(places[a.name], ends[0]) + math.dist(places[b.name], ends[1])
        crossed = math.dist(places[a.name], ends[1]) + math.dist(places[b.name], ends[0])
        pairs = ((a, right), (b, left)) if crossed >= straight else ((a, left), (b, right))
        return tuple(_tie(p.name, f.name, places[p.name], places) for p, f in pairs)
    used = {name for way in ways for name in (way.tapes.first, way.tapes.second)}
    middle = ((ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2)
    free = [(math.dist(at, middle), name) for name, at in fixed.items() if name not in used]
    if not free:
        return ()
    near, name = min(free)
    if crew.joined(near + 2):
        # Out of the tape's reach: a mark that is used already checks better than none.
        name = min((math.dist(at, middle), name) for name, at in fixed.items())[1]
    return tuple(_tie(name, foot.name, fixed[name], places) for foot in (left, right))


def _tie(start: str, end: str, at: Point, places: Mapping[str, Point]) -> Tie:
    return Tie(start, end, math.dist(at, places[end]))


def _row(ways: Sequence[FootWays]) -> tuple[Foot, Foot]:
    """The front feet, left and right."""
    return ways[0].foot, ways[1].foot


def _rows(feet: Sequence[Foot], places: Mapping[str, Point]) -> list[tuple[Foot, Foot]]:
    pairs: dict[tuple[str, str], list[Foot]] = {}
    for foot in feet:
        if foot.name in places:
            pairs.setdefault((foot.fence, foot.row), []).append(foot)
    return [(pair[0], pair[1]) for pair in pairs.values()]
