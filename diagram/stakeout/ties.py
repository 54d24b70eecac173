"""Ties: distances from what stands already, read once more when a fence has been set."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from diagram.geometry.pose import Point
from diagram.stakeout.crew import Crew
from diagram.stakeout.points import Foot
from diagram.stakeout.ways import FootWays, Tie

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
    left, right = ways[0].foot, ways[1].foot
    ends = places[left.name], places[right.name]
    taped = {(mark, way.foot.name) for way in ways for mark in (way.tapes.first, way.tapes.second)}
    for a, b in _nearest_rows(standing, ends, places, crew):
        straight, crossed = ((a, left), (b, right)), ((a, right), (b, left))
        both = sorted((crossed, straight), key=lambda pairs: -_length(pairs, places))
        free = [
            [(mark, foot) for mark, foot in pairs if (mark.name, foot.name) not in taped]
            for pairs in both
        ]
        most = max(free, key=len)
        if most:
            return tuple(_tie(m.name, f.name, places[m.name], places) for m, f in most)
    middle = ((ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2)
    used = {mark for mark, _ in taped}
    others = [(math.dist(at, middle), name) for name, at in fixed.items() if name not in used]
    if not others:
        return ()
    _, name = min(others)
    return tuple(_tie(name, foot.name, fixed[name], places) for foot in (left, right))


def _nearest_rows(
    standing: Sequence[Foot],
    ends: tuple[Point, Point],
    places: Mapping[str, Point],
    crew: Crew,
) -> list[tuple[Foot, Foot]]:
    """Rows of standing fences that a tape reaches from both feet, nearest first."""
    pairs: dict[tuple[str, str], list[Foot]] = {}
    for foot in standing:
        pairs.setdefault((foot.fence, foot.row), []).append(foot)
    reach = []
    for n, (a, b) in enumerate(pairs.values()):
        far = max(math.dist(places[f.name], end) for f in (a, b) for end in ends)
        if far > NEAREST and not crew.joined(far):
            reach.append((far, n, (a, b)))
    return [row for _, _, row in sorted(reach, key=lambda found: found[:2])]


def _length(pairs: tuple[tuple[Foot, Foot], ...], places: Mapping[str, Point]) -> float:
    return sum(math.dist(places[a.name], places[b.name]) for a, b in pairs)


def _tie(start: str, end: str, at: Point, places: Mapping[str, Point]) -> Tie:
    return Tie(start, end, math.dist(at, places[end]))
