"""Where everything stands that is no fence: gate posts, letters, posts, marks of the ride."""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterator

from diagram.exercise.where import places_said
from diagram.geometry.pose import Point
from diagram.planning import PlanLeg
from diagram.stakeout.leaf_words import LeafWords
from diagram.stakeout.points import RowPoint, fixed_points, row_places
from diagram.stakeout.setting import SettingOut
from diagram.stakeout.sides import gap_to

ON_THE_LINE_M = 0.05
"""Metres by which a place may lie beside the straight line between two fences and be on it."""
CONES = re.compile(r"\bcones?\b", re.IGNORECASE)


def marks_of_leaf(words: LeafWords, all_posts: bool = True) -> str:
    """Where all marks stand that tapes of the rows are held to, and those that the ride is told by;
    `all_posts` that are drawn, or only that they stand so; empty without any."""
    arena = words.plan.arena
    used = {r.start for fence in words.leaf.fences for r in fence.readings}
    if all_posts:
        used |= {name for name, at in fixed_points(arena).items() if at in arena.posts.values()}
    said = {name for step in words.plan.definition.ride for name in places_said(step)}
    used |= {*said, *(f"letter {name}" for name in said), *(f"post {name}" for name in said)}
    return _marks(words, used)


def marks_of_check(setting: SettingOut, words: LeafWords) -> str:
    """The same for the marks of the second leaf."""
    feet = [foot for fence in setting.fences for foot in fence.feet if foot.tapes_reach]
    tapes = [foot.ways.tapes for foot in feet]
    return _marks(words, {name for pair in tapes for name in (pair.first, pair.second)})


def _marks(words: LeafWords, used: Collection[str]) -> str:
    field = fixed_points(words.plan.arena)
    names = [name for name in field if name in used and not name.startswith("corner ")]
    said = [f"{words.mark(name)}: {_where(words, name, field[name])}" for name in names]
    rest = [name for name in field if name not in names and not name.startswith(("corner", "gate"))]
    letters = any(name.startswith("letter ") for name in rest)
    posts = any(not name.startswith("letter ") for name in rest)
    more = " and ".join(["letters"] * letters + ["posts"] * posts)
    if more and said:
        said.append(f"other {more} stand as drawn")
    return "; ".join(said)


def _where(words: LeafWords, name: str, at: Point) -> str:
    """``8' along the lane corner from the brook side, 14'8" out``."""
    arena = words.plan.arena
    side = min(arena.sides, key=lambda s: gap_to(arena.sides[s], at))
    if name.startswith("gate post ") and arena.gate:
        side = arena.gate.side
    begin, end = arena.sides[side]
    length = math.dist(begin, end)
    along = ((at[0] - begin[0]) * (end[0] - begin[0])
             + (at[1] - begin[1]) * (end[1] - begin[1])) / length  # fmt: skip
    names = list(arena.sides)
    turn = names.index(side)
    corner = names[turn - 1]
    if along > length / 2:
        along, corner = length - along, names[(turn + 1) % len(names)]
    out = gap_to(arena.sides[side], at)
    said = f"{words.pieces(along)} along the {words.sides[side]} from the {words.sides[corner]}"
    return f"{said}, {words.figure(out)} out" if out > words.crew.rounding / 2 else said


def marks_of_ride(words: LeafWords, ends: bool = True) -> str:
    """Where another gait is ridden on a line; with `ends` where the ride begins and ends, if it is
    one."""
    legs = words.plan.legs
    said = []
    one = ends and sum(leg.first is None for leg in legs) == 1
    if one:
        said.append(f"start: {_where(words, '', legs[0].curve.start.point)}")
    for leg in legs:
        said += _change(words, leg)
    if one and legs[-1].second is None:
        said.append(f"finish: {_where(words, '', legs[-1].curve.end.point)}")
    return "; ".join(said)


def _change(words: LeafWords, leg: PlanLeg) -> Iterator[str]:
    """Where the gait of a line between two fences is another: cones may stand there."""
    change = leg.ridden.in_and_out
    if change is None or leg.first is None or leg.second is None:
        return
    places = [leg.curve.pose_at(s).point for s in (change.begin_m, change.end_m)]
    if math.dist(*places) <= words.crew.rounding / 2:
        places.pop()
    start, at = _nearest_row(words, leg.first.fence.name, places[0])
    _, end = _nearest_row(words, leg.second.fence.name, places[0])
    if all(_beside(at, end, place) <= ON_THE_LINE_M for place in places):
        far = " to ".join(words.figure(math.dist(at, place)) for place in places)
        yield f"{change.gait}: {far} from the {start.name}, towards {leg.second.fence.name}"
    else:
        yield f"{change.gait}: " + " to ".join(_where(words, "", place) for place in places)


def _nearest_row(words: LeafWords, fence: str, place: Point) -> tuple[RowPoint, Point]:
    rows = row_places(words.plan, words.plan.fence(fence))
    return min(rows.items(), key=lambda row: math.dist(row[1], place))


def _beside(a: Point, b: Point, place: Point) -> float:
    across = (b[0] - a[0]) * (place[1] - a[1]) - (b[1] - a[1]) * (place[0] - a[0])
    return abs(across) / math.dist(a, b)


def cones(words: LeafWords) -> Iterator[str]:
    """What the exercise says of its cones."""
    yield from (note for note in words.plan.definition.notes if CONES.search(note))


def every_mark(words: LeafWords, ends: bool) -> Iterator[tuple[str, str]]:
    """The texts of the leaf on what is no fence, each with the word before it; with both `ends` of
    the ride."""
    if said := marks_of_leaf(words, ends):
        yield "Marks", f"stand already: {said}."
    if said := marks_of_ride(words, ends):
        yield "Ride", f"{said}."
    for text in cones(words):
        yield "Cones", text
