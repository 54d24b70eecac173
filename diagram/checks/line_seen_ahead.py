"""line-seen-ahead: a fence dead ahead of another and near, which the ride turns away from.

The horse sees a line. What it sees should ride, or should not be there.
"""

from collections.abc import Iterable, Iterator

from msgspec import Struct

from diagram.checks.fence_in_the_way import SLACK, STOP_UNDER, passed
from diagram.checks.rule import Rule, found, say, strides_text
from diagram.diagnostics import Diagnostic, Severity
from diagram.exercise.fence import PlacedFence
from diagram.judging.distances import highest_m
from diagram.judging.rows import is_pole
from diagram.path.line import Crossing
from diagram.planning import Plan, PlanLeg
from diagram.trade import gaits
from diagram.trade.distances import RidesAs
from diagram.trade.limits import Limit
from diagram.trade.settings import chosen

NAME = "line-seen-ahead"
SETTING = "related up to"
ASIDE = Limit(NAME, "aside")
TURNED = Limit(NAME, "turned")
STRIDES = Limit(NAME, "strides")
NEAR = Limit(NAME, "caution within")
STRAIGHT_ON = Limit(NAME, "straight on up to")
STOP_FROM = Limit(NAME, "stop from")
ONE_AND_A_CIRCLE = Limit(NAME, "caution before a circle within")


class _Seen(Struct, frozen=True):
    """What a horse that lands sees dead ahead: the fence, metres to it, canter strides to it."""

    first: Crossing
    fence: PlacedFence
    metres: float
    strides: float
    rides: RidesAs


def _check(plan: Plan) -> Iterable[Diagnostic]:
    told: set[tuple[str, str]] = set()
    for leg in plan.legs:
        if leg.first is None or is_pole(leg.first) or not _leaves_the_line(leg):
            continue
        seen = _nearest(plan, leg.first, leg)
        if seen is None or (seen.first.fence.name, seen.fence.name) in told:
            continue
        finding = (
            _comes_back(plan, leg, seen) or _before_a_circle(plan, leg, seen)
            or _turned_away(plan, leg, seen)
        )  # fmt: skip
        if finding is not None:
            told.add((seen.first.fence.name, seen.fence.name))
            yield finding


def _leaves_the_line(leg: PlanLeg) -> bool:
    """Whether the ride does not go straight on to the next fence."""
    return leg.shape in ("turn", "rollback", "bend", "finish") or bool(leg.link.circles)


def _turned_away(plan: Plan, leg: PlanLeg, seen: _Seen) -> Diagnostic | None:
    """A fence that no way leads to: near, or at a distance that rides as no count."""
    name, first = seen.fence.name, seen.first.fence.name
    if seen.strides <= STRIDES.value:
        near = seen.strides <= NEAR.of(plan.terms.horses.experience).value
        next_one = leg.second is not None and leg.second.fence.name == name
        how = "goes round before it" if next_one else "turns away from it"
        message = (
            f"{name} stands {say(plan, seen.metres)} dead ahead of {first}, and the ride {how}"
        )
        return _found(plan, seen, Severity.CAUTION if near else Severity.NOTE, message, STRIDES)
    if seen.rides.fits:
        return None
    message = (
        f"{first} and {name} stand in line, {say(plan, seen.metres)} apart, and no way joins "
        f"them: {seen.rides.words}"
    )
    return _found(plan, seen, Severity.NOTE, message, STRIDES)


def _comes_back(plan: Plan, leg: PlanLeg, seen: _Seen) -> Diagnostic | None:
    """A turn to a fence that stands dead ahead: round the ring, and back over the first one."""
    if leg.second is None or leg.link.circles or seen.fence.name != leg.second.fence.name:
        return None
    first, name = seen.first.fence.name, seen.fence.name
    least = gaits.clearance("track to standards").low - SLACK.value
    gap = next((gap for _, gap, _ in passed(leg, [seen.first.fence], least)), least)
    if gap >= least:
        return None
    message = (
        f"{name} stands {say(plan, seen.metres)} dead ahead of {first}: a turn to it comes back "
        f"over {first}, and as a line it rides as {seen.rides.words}"
    )
    neither = not seen.rides.fits and highest_m(leg) >= STOP_FROM.value - 0.005
    stop = neither or gap < STOP_UNDER.value
    hint = f"write line: in place of the turn, or put {name} out of line"
    return found(
        plan, NAME, Severity.STOP if stop else Severity.CAUTION, message, leg.path, hint,
        figure=seen.strides, limit=STRIDES.value, source=STRIDES.source,
        at=seen.fence.pose.point,
    )  # fmt: skip


def _before_a_circle(plan: Plan, leg: PlanLeg, seen: _Seen) -> Diagnostic | None:
    """The next fence in line, with a circle to ride before it."""
    if leg.second is None or seen.fence.name != leg.second.fence.name or seen.rides.fits:
        return None
    near = seen.strides <= ONE_AND_A_CIRCLE.value
    message = (
        f"{seen.fence.name} stands {say(plan, seen.metres)} dead ahead of "
        f"{seen.first.fence.name}, with a circle to ride before it; whoever goes straight on has "
        f"{strides_text(seen.strides)}"
    )
    severity = Severity.CAUTION if near else Severity.NOTE
    return _found(plan, seen, severity, message, ONE_AND_A_CIRCLE)


def _found(plan: Plan, seen: _Seen, severity: Severity, message: str, limit: Limit) -> Diagnostic:
    return found(
        plan, NAME, severity, message, seen.first.jump.path,
        f"put {seen.fence.name} out of line, or turn it", figure=seen.strides,
        limit=limit.value, source=limit.source, at=seen.fence.pose.point,
    )  # fmt: skip


def _nearest(plan: Plan, first: Crossing, leg: PlanLeg) -> _Seen | None:
    """The nearest fence that a horse landing from `first` sees in line within related distance."""
    most = chosen(SETTING, plan.definition.judged_by)
    ahead = min(_ahead(plan, first, leg), key=lambda one: one.metres, default=None)
    if ahead is None or ahead.rides.strides > most.value:
        return None
    return ahead


def _ahead(plan: Plan, first: Crossing, leg: PlanLeg) -> Iterator[_Seen]:
    canter = plan.limits.canter
    direct = leg.track_m <= leg.straight_m * STRAIGHT_ON.value
    second = leg.second.fence.name if leg.second and direct and not leg.link.circles else ""
    for fence in plan.fences:
        metres = _metres_to(first, fence, second)
        if metres > 0:
            strides = (metres - 2 * canter.landing_m) / canter.stride_m
            rides = plan.terms.rides_as(metres, first.fence.fence, fence.fence, "canter", None)
            yield _Seen(first, fence, metres, strides, rides)


def _metres_to(first: Crossing, fence: PlacedFence, second: str) -> float:
    """Metres to a fence that a horse landing from `first` sees in line; else 0."""
    if fence.name in (first.fence.name, second) or fence.fence.kind.ridden_over:
        return 0.0
    if fence.fence.whole and fence.fence.whole == first.fence.fence.whole:
        return 0.0
    seen = fence.pose.seen_from(first.leave)
    square = min(abs(seen.heading), abs(seen.reversed().heading))
    if abs(seen.y) > ASIDE.value or square > TURNED.value:
        return 0.0
    return seen.x - fence.fence.depth_m / 2


RULE = Rule(NAME, _check, (f"settings/{SETTING}",), tells_of=("fence-in-the-way",))
