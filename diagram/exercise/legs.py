"""Every way of the ride resolved, once: its fences, its gait, and the distance it asks for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from diagram.exercise.course import Course, Jump, Link
from diagram.exercise.ends import landed, taken_off
from diagram.exercise.fence import Fence
from diagram.exercise.terms import Terms, aim
from diagram.geometry.pose import Pose
from diagram.model.said import Pace, WaySaid
from diagram.trade import jumping
from diagram.trade.circles import circle_distance, circle_rides_as, on_a_circle
from diagram.trade.distances import Distance, RidesAs
from diagram.trade.riding import riding
from diagram.trade.words import Gait, Units

Shape = Literal["start", "line", "bend", "turn", "rollback", "finish"]


class Count(Struct, frozen=True):
    """A number of strides (0: a bounce, or the next pole), and the distance that it asks for.

    `target_m` is what of it is aimed at: its short or long end for a quiet or forward ride.
    """

    strides: int
    pace: Pace
    asked: Distance
    target_m: float


class ResolvedLeg(Struct, frozen=True):
    """One way of the ride, from a jump or the start to the next jump or the finish.

    `gait` is the one in which it is begun; `link.gait` that of the approach, which the distance
    asks about. `gap` numbers the gaps of a grid ridden from trot, poles left out; None
    elsewhere. `count` is None where there are no strides to count, `others` are further counts
    for the same way, `elsewhere` those that the same line is ridden in at other times. `target_m`
    is the length to build: one that is written, else what the count aims at. `begin` and `end` are
    where its track is measured from and to, each in the frame of its fence.
    """

    link: Link
    first: Fence | None
    second: Fence | None
    begin: Pose | None
    end: Pose | None
    gait: Gait
    gap: int | None
    count: Count | None
    others: tuple[Count, ...]
    target_m: float | None
    terms: Terms
    elsewhere: tuple[Count, ...] = ()

    @property
    def shape(self) -> Shape:
        """What kind of way it is."""
        way = self.link.way
        if self.link.first is None:
            return "start"
        if self.link.second is None:
            return "finish"
        if way is None:
            return "line"
        return "rollback" if way.tight else way.shape

    @property
    def asked(self) -> Distance | None:
        """The distance that its strides ask for."""
        return self.count.asked if self.count else None

    def distance(self, strides: int) -> Distance:
        """The distance for any number of strides. Raises ValueError for a way with open ends."""
        first, second = self._ends()
        round_it = _on_a_circle(self.link.way, strides, self.terms)
        return round_it or self.terms.distance(strides, first, second, self.link.gait, self.gap)

    def rides_as(self, measured_m: float, units: Units = "feet") -> RidesAs:
        """How a measured length rides here. Raises ValueError for a way with open ends."""
        first, second = self._ends()
        way = self.link.way
        if way is not None and way.round and on_a_circle(measured_m, way.turn, way.radius):
            return circle_rides_as(measured_m, self.terms.horses)
        return self.terms.rides_as(measured_m, first, second, self.link.gait, self.gap, units)

    def _ends(self) -> tuple[Fence, Fence]:
        if self.first is None or self.second is None:
            raise ValueError("a way from the start or to the finish has no distance")
        return self.first, self.second


def resolve_legs(
    course: Course, fences: Mapping[str, Fence], terms: Terms
) -> tuple[ResolvedLeg, ...]:
    """Every link of `course` resolved, in its order."""
    legs = tuple(_resolved(link, course, fences, terms) for link in course.links)
    return tuple(_as_built(leg, legs) for leg in legs)


def _as_built(leg: ResolvedLeg, legs: tuple[ResolvedLeg, ...]) -> ResolvedLeg:
    """The leg with one length for its line, however often, and in whichever gait or count, it is
    ridden."""
    line = _counted_line(leg)
    if line is None or leg.count is None:
        return leg
    counts = [other.count for other in legs if other.count and _counted_line(other) == line]
    said = {(count.strides, count.pace): count for count in counts}
    if len(said) > 1:
        # One line ridden now in five, now in six: in between, as where both are said at once.
        own = (leg.count.strides, leg.count.pace)
        elsewhere = tuple(count for key, count in said.items() if key != own)
        both = replace(leg, target_m=_common(list(said.values())), elsewhere=elsewhere)
        return both if _can_be_ridden(both) else leg
    aim_m = counts[0].target_m
    common = _in_all(aim_m, [(count.asked.low_m, count.asked.high_m) for count in counts])
    if common is None:
        # From trot and from canter it is no usual length for both: one that is set for both.
        set_m = [(one.limit(longer=False)[0], one.limit(longer=True)[0])
                 for one in (count.asked for count in counts)]  # fmt: skip
        common = _in_all(aim_m, set_m)
    return leg if common is None else replace(leg, target_m=common)


def _can_be_ridden(leg: ResolvedLeg) -> bool:
    """Whether no count of a line asks for a stride that no horse can make of its own."""
    assert leg.count is not None
    assert leg.target_m is not None
    shares = jumping.stretch()
    counts = (leg.count, *leg.elsewhere)
    normal = leg.terms.horses.stride_m
    steps = [leg.target_m / (count.strides + 1) / normal for count in counts if count.strides]
    return all(shares.low <= share <= shares.high for share in steps)


def _in_all(aim_m: float, ranges: list[tuple[float, float]]) -> float | None:
    """The length nearest to an aim that lies in every range, in metres; None where none does."""
    low, high = max(low for low, _ in ranges), min(high for _, high in ranges)
    return min(max(aim_m, low), high) if low <= high else None


def _counted_line(leg: ResolvedLeg) -> object:
    """What two straight lines in strides share where they are one line, or there and back.

    None for any other way: a line of a written length, or in two counts, says itself how long.
    """
    way, first, second = leg.link.way, leg.link.first, leg.link.second
    if not (leg.count and way and first and second) or leg.link.inner or leg.others:
        return None
    if way.shape != "line" or way.length is not None:
        return None
    return frozenset((jump.fence, jump.angle) for jump in (first, second))


def _resolved(link: Link, course: Course, fences: Mapping[str, Fence], terms: Terms) -> ResolvedLeg:
    first, second = _fence(link.first, fences), _fence(link.second, fences)
    gap = _grid_gap(link, course, fences)
    way = link.way
    terms = terms.on(way)
    counts: list[Count] = []
    if first and second and way and way.strides is not None:
        paces = (way.pace, *way.paces) if way.paces else (way.pace,) * (1 + len(way.ways))
        for strides, pace in zip((way.strides, *way.ways), paces, strict=True):
            asked = _on_a_circle(way, strides, terms) or terms.distance(
                strides, first, second, link.gait, gap
            )
            counts.append(Count(strides, pace, asked, aim(asked, pace)))
    count = counts[0] if counts else None
    target_m = _target(way, counts)
    return ResolvedLeg(
        link=link,
        first=first,
        second=second,
        begin=landed(link.first, first) if link.first and first else None,
        end=taken_off(link.second, second) if link.second and second else None,
        gait=_begun_in(link, first),
        gap=gap,
        count=count,
        others=tuple(counts[1:]),
        target_m=target_m,
        terms=terms,
    )


def _on_a_circle(way: WaySaid | None, strides: int, terms: Terms) -> Distance | None:
    """The distance of a round bend on a circle; None for any other way."""
    if way is None or not way.round:
        return None
    found = circle_distance(strides, terms.horses)
    return found if on_a_circle(found.aim_m, way.turn, way.radius) else None


def _target(way: WaySaid | None, counts: list[Count]) -> float | None:
    """Metres to build: those written, or what the count aims at.

    A straight line that is ridden in two counts has one length for both (`_common`).
    """
    if way is not None and way.length is not None:
        return way.length
    if way is not None and way.round and way.radius is not None and way.turn is not None:
        # The circle is what is built; the count is what it is meant to ride in.
        return way.radius * abs(way.turn)
    if not counts:
        return None
    if way is not None and way.shape == "line":
        return _common(counts)
    return counts[0].target_m


def _common(counts: list[Count]) -> float:
    """Metres for a line ridden in several ways: what they have in common, next to the first's aim.

    Half-way from the longest of the one to the shortest of the other where they have nothing.
    """
    if len(counts) == 1:
        return counts[0].target_m
    ranges = [(count.asked.low_m, count.asked.high_m) for count in counts]
    common = _in_all(counts[0].target_m, ranges)
    if common is not None:
        return common
    return (max(low for low, _ in ranges) + min(high for _, high in ranges)) / 2


def _fence(jump: Jump | None, fences: Mapping[str, Fence]) -> Fence | None:
    return fences[jump.fence] if jump else None


def _begun_in(link: Link, first: Fence | None) -> Gait:
    """A horse lands from a fence in canter; over a pole it keeps the gait it came in."""
    return link.gait if first is None or first.kind.ridden_over else "canter"


def _grid_gap(link: Link, course: Course, fences: Mapping[str, Fence]) -> int | None:
    """Number of a gap among the fences of a grid ridden from trot, poles not counted.

    Nor are bounces before it: without a stride between them they make no canter, and after one or
    three the published grids go on with 18 to 21 ft ([S90], [S91], [S113]). None outside a grid,
    and in a combination that is cantered into.
    """
    if not link.inner or link.second is None or link.gait == "canter":
        return None
    own = [
        one for one in course.links
        if one.second is not None and one.second.whole == link.second.whole
        and one.second.path == link.second.path and one.second.number <= link.second.number
    ]  # fmt: skip
    stand = [one for one in own if one.second and not _is_pole(one.second, fences)]
    bounces = [
        one for one in stand
        if one.inner and one is not link and one.way and one.way.strides == 0
        and one.first and not _is_pole(one.first, fences)
    ]  # fmt: skip
    return max(len(stand) - 1 - len(bounces), 1)


def _is_pole(jump: Jump, fences: Mapping[str, Fence]) -> bool:
    return fences[jump.fence].for_distances.is_pole


def slice_limit(first: Fence, second: Fence) -> float:
    """Radians off straight at which both fences may be jumped for a shorter way through."""
    return min(riding().turns.sliced.value, *(fence.facts.angle.value for fence in (first, second)))
