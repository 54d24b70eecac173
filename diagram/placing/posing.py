"""The layout of an exercise as a problem: pins, arrangements and the ways of the ride together."""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec.structs import replace

from diagram.diagnostics import Diagnostic, Severity, near
from diagram.exercise.arena_lines import UnknownNameError, lines_of
from diagram.exercise.course import Course, Jump, Link
from diagram.exercise.ends import landed, taken_off
from diagram.exercise.exercise import Exercise
from diagram.exercise.legs import Count, ResolvedLeg, slice_limit
from diagram.exercise.on_circles import hand_among
from diagram.exercise.ridden_circles import ridden_circles
from diagram.exercise.where import where_of
from diagram.geometry.corner import ALONG, ASIDE
from diagram.geometry.pose import Pose
from diagram.model.said import ArrangedSaid
from diagram.path.bends import usual_bend
from diagram.path.limits import Limits
from diagram.path.open_ways import clear_of_gate
from diagram.placing.pins import Pinned, read_pins
from diagram.placing.shapes import shaped
from diagram.solver.relations import (
    Angled,
    AsFar,
    Bending,
    End,
    Mirrored,
    Open,
    Path,
    Problem,
    Relation,
    Straight,
    Turning,
)
from diagram.trade.riding import riding

CIRCLE_OF_LEAST = 0.9
"""A circle is ridden all round with its ease once, so that it may be as much tighter."""


class PosedExercise(Exercise, frozen=True):
    """What a problem is made from, so that it can be posed again with something changed.

    `others` are further rides over the same fences, which stand where all of them can be ridden.
    """

    limits: Limits
    pinned: Pinned
    others: tuple[PosedExercise, ...] = ()

    @property
    def rides(self) -> tuple[PosedExercise, ...]:
        """This ride and the others."""
        return (self, *self.others)

    @property
    def shapes(self) -> list[tuple[Path, ArrangedSaid]]:
        """How fences stand together, and where that is said: under `arrange`, or by the rides."""
        said: list[tuple[Path, ArrangedSaid]] = [
            (("arrange", n), one) for n, one in enumerate(self.definition.arrange)
        ]
        circles = [set(one.fences) for _, one in said if one.how == "on a circle"]
        ridden = [circle for ride in self.rides for circle in ridden_circles(ride.course.links)]
        return said + [one for one in ridden if set(one[1].fences) not in circles]


def set_up(
    exercise: Exercise, limits: Limits, others: Iterable[tuple[Exercise, Limits]] = ()
) -> tuple[PosedExercise, list[Diagnostic]]:
    """The setting with its pins read, and every error in them."""
    pinned, problems = read_pins(exercise, limits)
    rest = tuple(_setting(other, own, pinned) for other, own in others)
    return replace(_setting(exercise, limits, pinned), others=rest), problems


def _setting(exercise: Exercise, limits: Limits, pinned: Pinned) -> PosedExercise:
    # What was posed already is an exercise with more fields, which are given anew.
    values = {name: getattr(exercise, name) for name in Exercise.__struct_fields__}
    return PosedExercise(**values, limits=limits, pinned=pinned)


def pose_problem(setting: PosedExercise) -> tuple[Problem, list[Diagnostic]]:
    """The problem, and every error in `arrange:`."""
    number = {
        fence.name: n for n, body in enumerate(setting.pinned.bodies) for fence, _ in body.parts
    }
    ways: list[Relation] = []
    tied: set[object] = set()
    for ride in setting.rides:
        mine = [leg for leg in ride.legs if leg.first and leg.second and not leg.link.inner]
        mine = [leg for leg in mine if not _goes_back(leg.link, ride.course)]
        # A line that an earlier ride goes too is as long as that one says.
        for leg in mine:
            if _way_of(leg) not in tied:
                ways += _ways(leg, ride, number)
        tied |= {_way_of(leg) for leg in mine if leg.target_m is not None}
    arranged, problems = _arranged(setting)
    relations = (*setting.pinned.relations, *arranged, *ways)
    opens = tuple(end for ride in setting.rides for end in _opens(ride, number))
    arena = setting.arena
    posts = tuple(arena.obstacles.values())
    return Problem(
        setting.pinned.bodies, relations, opens, arena.region, setting.limits, posts
    ), problems


def _way_of(leg: ResolvedLeg) -> object:
    """What is the same for two rides that go from one fence to another the same way."""
    first, second, way = leg.link.first, leg.link.second, leg.link.way
    ends = [(jump.fence, jump.from_behind, jump.angle) for jump in (first, second) if jump]
    return (*ends, way and (way.shape, way.left))


def end_of(jump: Jump, setting: PosedExercise, number: dict[str, int], leaving: bool,
           sliced: float = 0.0) -> End:  # fmt: skip
    """Where the track of a jump leaves its fence, or comes to it, turned by `sliced` more."""
    body = setting.pinned.bodies[number[jump.fence]]
    fence, offset = next((f, p) for f, p in body.parts if f.name == jump.fence)
    at = (landed if leaving else taken_off)(jump, fence, sliced)
    return End(number[jump.fence], at.placed_in(offset), jump.fence)


def _ways(leg: ResolvedLeg, setting: PosedExercise, number: dict[str, int]) -> list[Relation]:
    link = leg.link
    assert link.first is not None
    assert link.second is not None
    way = link.way
    manner = setting.limits.for_leg(leg).manner
    first = end_of(link.first, setting, number, True)
    second = end_of(link.second, setting, number, False)
    names = f"{first.fence} to {second.fence}"
    given = all(
        setting.pinned.bodies[end.body].name in setting.pinned.poses for end in (first, second)
    )
    length = leg.target_m
    if way is None or way.shape == "line":
        words = f"the line from {names}"
        return [Straight(first, second, length, manner.out, link.path, words, given)]
    left = bool(way.left)
    if way.shape == "turn":
        radius, eased = manner.least_radius * ASIDE, manner.least_radius * ALONG
        words = f"the turn from {names}"
        out = manner.out + eased
        return [Turning(first, second, left, out, radius, link.path, words, way.tight)]
    turn = abs(way.turn) if way.turn is not None else None
    words = f"the bend from {names}"
    straight, radius, exact = manner.out, manner.least_radius, way.radius
    known = way.round and way.radius is not None and turn is not None
    if way.round and _on_one_circle(link, setting, sized=True):
        # The circle is what is built; the count is what it is meant to ride in, and is judged so.
        # From back to front of two fences on it the arc is a little tighter than the circle.
        length = turn = exact = None
    elif known:
        length = None
    if _on_one_circle(link, setting):
        # From quarter to quarter of a circle the bend is the circle: nothing of it is straight.
        straight, radius = 0.0, radius * CIRCLE_OF_LEAST
    liked = None
    if turn is None and length is not None and way.round and way.radius is None:
        liked = (manner.liked_radius, 0.0)
    elif length is not None and straight and not way.round and way.radius is None:
        _, *liked_m = usual_bend(length, setting.limits.for_gait(leg.gait), turn)
        liked = (liked_m[0], liked_m[1])
    main = Bending(
        first, second, left, turn, length, straight, radius, link.path, words, None, given,
        way.round, exact, liked,
    )  # fmt: skip
    others = [_other_way(leg, count, main, setting, number) for count in leg.others]
    return [main, *others]


def _on_one_circle(link: Link, setting: PosedExercise, sized: bool = False) -> bool:
    ends = {jump.whole or jump.fence for jump in (link.first, link.second) if jump}
    shapes = [said for _, said in setting.shapes if said.how == "on a circle"]
    shapes = [said for said in shapes if said.size is not None or not sized]
    return any(ends <= set(said.fences) for said in shapes)


def _other_way(
    leg: ResolvedLeg, other: Count, main: Bending, setting: PosedExercise, number: dict[str, int]
) -> Bending:
    """The same bend in another number of strides; in fewer, both fences are cut on an angle."""
    link = leg.link
    assert link.first is not None
    assert link.second is not None
    assert leg.first is not None
    assert leg.second is not None
    assert leg.count is not None
    inward = 0.0
    if other.strides < leg.count.strides:
        inward = slice_limit(leg.first, leg.second)
        inward *= 1 if main.left else -1
    limits = setting.limits.canter
    return Bending(
        end_of(link.first, setting, number, True, inward),
        end_of(link.second, setting, number, False, -inward),
        main.left, None, None, limits.landing_m, main.radius, (*link.path, "ways"),
        f"{main.words} in {other.strides}", (other.asked.low_m, other.asked.high_m), main.given,
    )  # fmt: skip


def _opens(setting: PosedExercise, number: dict[str, int]) -> list[Open]:
    """The ways before the first fence and after the last."""
    out = []
    for link in setting.course.links:
        if _goes_back(link, setting.course):
            out.append(_back(link, setting, number))
            continue
        jump = link.second if link.first is None else link.first
        if jump is None or (link.first and link.second):
            continue
        leaving = link.second is None
        end = end_of(jump, setting, number, leaving)
        radius = setting.limits.canter.manner.least_radius * ASIDE
        if leaving and setting.course.finish.straight:
            radius = 0.0
        left = link.way.left if link.way and link.way.shape == "turn" else None
        circle = link.circles[-1] if leaving and link.circles else None
        if left is not None and not leaving:
            left = not left
        if circle and left is None:
            fair = setting.limits.canter.manner.least_radius
            least = max(riding().room.smallest_circle.value, fair)
            left, radius = circle.left, (circle.diameter or 2 * least) / 2
        if not leaving:
            back = Pose(end.pose.x, end.pose.y, end.pose.heading).reversed()
            end = End(end.body, back, end.fence)
        words = f"the way {'after' if leaving else 'to'} {jump.fence}"
        way = Open(end, not leaving, left, radius, circle is not None, link.path, words)
        out.append(way if leaving else _come_in(way, setting))
    return out


def _come_in(way: Open, setting: PosedExercise) -> Open:
    """The way to the first fence with where it begins, if the file says so."""
    start = setting.course.start
    said = where_of(start.where, setting.arena).begin
    if said is None:
        return way
    begin = clear_of_gate(said, setting.limits.for_gait(start.gait))
    return replace(way, begin=begin, lead=None if start.lead is None else start.lead == "left")


def _goes_back(link: Link, course: Course) -> bool:
    """Whether a turn comes back over the last fence of a line, and along that line again.

    Round a fence that stands alone there are other ways, whichever way that is turned.
    """
    if link.first is None or link.second is None or link.inner:
        return False
    same = link.first.fence == link.second.fence
    turn = link.way is not None and link.way.shape == "turn" and link.way.left is not None
    behind = link.first.from_behind != link.second.from_behind
    lines = (other for other in course.links if other.way and other.way.shape in ("line", "bend"))
    ends = {jump.fence for line in lines for jump in (line.first, line.second) if jump}
    return same and turn and behind and link.first.fence in ends


def _back(link: Link, setting: PosedExercise, number: dict[str, int]) -> Open:
    assert link.first is not None
    assert link.way is not None
    end = end_of(link.first, setting, number, True)
    leg = next(leg for leg in setting.legs if leg.link is link)
    radius = setting.limits.for_leg(leg).manner.least_radius
    words = f"the turn from {end.fence} back over it"
    return Open(end, False, bool(link.way.left), radius, False, link.path, words, back=True)


def _arranged(setting: PosedExercise) -> tuple[list[Relation], list[Diagnostic]]:
    number = {body.name: n for n, body in enumerate(setting.pinned.bodies)}
    out: list[Relation] = []
    problems: list[Diagnostic] = []
    for path, said in setting.shapes:
        unknown = [name for name in said.fences if name not in number]
        for name in unknown:
            problems.append(_error(setting, path, f'no fence is called "{name}"', name,
                                   near(name, number)))  # fmt: skip
        if unknown:
            continue
        try:
            out += _relations(said, [number[name] for name in said.fences], setting, path)
        except UnknownNameError as problem:
            problems.append(_error(setting, path, str(problem), problem.name, problem.hint))
    return out, problems


def _relations(
    said: ArrangedSaid, bodies: list[int], setting: PosedExercise, path: Path
) -> list[Relation]:
    if said.how in ("parallel", "square", "mirrored", "as far"):
        return [_relation(said, bodies, setting, path)]
    left = hand_among(said.fences, setting.course.links)
    least = setting.limits.canter.manner.least_radius
    sized = said if said.size else replace(said, size=_size_ridden(said, setting))
    return shaped(sized, bodies, left, setting.arena, least, path)


def _size_ridden(said: ArrangedSaid, setting: PosedExercise) -> float | None:
    """The size of a box or a fan that a line of the ride asks for, middle to middle of its fences.

    Over a box the line runs from one side to the one across; in a fan it begins at the first.
    """
    names = said.fences
    if said.how == "in a box":
        pairs = [(names[0], names[2]), *([(names[1], names[3])] if len(names) > 3 else [])]
    else:
        pairs = [(names[0], name) for name in names[1:]] if said.how == "in a fan" else []
    for one, other in pairs:
        for leg in setting.legs:
            ends = [jump for jump in (leg.link.first, leg.link.second) if jump]
            straight = leg.link.way is not None and leg.link.way.shape == "line"
            if straight and leg.target_m and {jump.fence for jump in ends} == {one, other}:
                return leg.target_m + sum(setting.fences[jump.fence].depth_m for jump in ends) / 2
    return None


def _relation(
    said: ArrangedSaid, bodies: list[int], setting: PosedExercise, path: Path
) -> Relation:
    words = f"{said.fences[0]} and {said.fences[1]} are {said.how}"
    match said.how:
        case "parallel":
            return Angled(bodies[0], bodies[1], 0.0, path, words)
        case "square":
            return Angled(bodies[0], bodies[1], math.pi / 2, path, f"{words} to each other")
        case "mirrored":
            assert said.over is not None
            point, heading = lines_of(said.over, setting.arena)[0]
            return Mirrored(bodies[0], bodies[1], point, heading, path, words)
        case "as far":
            a, b, c, d = said.fences
            words = f"{a} is as far from {b} as {c} from {d}"
            return AsFar((bodies[0], bodies[1], bodies[2], bodies[3]), path, words)
        case _:
            raise ValueError(said.how)


def _error(setting: PosedExercise, path: Path, message: str, word: str, hint: str) -> Diagnostic:
    span = setting.document.span_of(path, word)
    return Diagnostic("arrange", Severity.ERROR, message, span, hint)
