"""Exercises laid out anew over fences that stand already, so that one set-up serves them all.

A guest is turned and shifted as a whole until fences of it fall on fences that stand. Its lines
and bends stay what they are; its way in, its turns and its way out are ridden anew. What comes of
it must have no more findings than it has as drawn, and of all such ways the one with least to carry
is taken: as drawn where none is better.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from diagram.checks import check
from diagram.diagnostics import RejectedError, Severity
from diagram.exercise.arena import RECTANGLE_SIDES
from diagram.exercise.fence import PlacedFence
from diagram.geometry.pose import Pose
from diagram.lessons.moves import order_of
from diagram.lessons.spots import FACING_RAD, SPOT_M, spots_of
from diagram.placing.arrange import arrange
from diagram.planning import Plan, plans_of, read_setting

TRIED = 40
"""Ways looked at for one exercise, those with most fences in common first."""
LEAST_INSIDE_M = 1.0


class Way(Struct, frozen=True):
    """A guest turned and shifted: which of its fences fall on which that stand, and where its
    bodies come to be."""

    pairs: tuple[tuple[str, PlacedFence], ...]
    near: tuple[tuple[str, Pose], ...]


def shared(plans: Sequence[Plan]) -> tuple[Plan, ...]:
    """The exercises in their order, each after the first over the fences that stand by then as
    far as that saves carrying."""
    out: list[Plan] = []
    for plan in plans:
        out.append(_settled(out, plan) if out else plan)
    return tuple(out)


def names_a_side(plan: Plan) -> bool:
    """Whether an exercise says where in the arena something is: laid out otherwise, its words send
    riders to the wrong end. Sides without a name of their own are not looked for."""
    words = repr([value for key, value in plan.definition if key != "arena"]).lower()
    own = [side.lower() for side in plan.arena.sides if side not in RECTANGLE_SIDES]
    return any(re.search(rf"\b{re.escape(side)}\b", words) for side in own)


def _settled(there: Sequence[Plan], guest: Plan) -> Plan:
    best, least = guest, _carried([*there, guest])
    if not least or guest.arena.region.corners != there[0].arena.region.corners:
        return guest
    tried = [_poses(way) for way in ways(there, guest)]
    floors = [_carried([*there, _stood(guest, near)]) for near in tried]
    # What can save most is ridden first, and nothing that can save no more than is saved already.
    for n in sorted(range(len(tried)), key=floors.__getitem__):
        if floors[n] >= least:
            break
        made = over(guest, tried[n])
        if made is None:
            continue
        cost = _carried([*there, made])
        if cost < least:
            best, least = made, cost
        if not least:
            break
    return best


def _carried(plans: Sequence[Plan]) -> int:
    """Fences carried when the exercises are ridden one after another. A spread met from behind
    cannot be at all."""
    spots, behind = spots_of(plans)
    if behind:
        return 1000 + len(behind)
    # What no earlier exercise needs is built for this one alone: that is carrying, too.
    late = sum(min(spot.builds) == len(plans) - 1 for spot in spots)
    return 2 * order_of(spots, range(len(plans))).moves.fences + late


def ways(there: Sequence[Plan], guest: Plan) -> list[Way]:
    """The ways with most fences in common, each set of them once."""
    standing = [placed for plan in there for placed in plan.fences if _single(placed)]
    own = [placed for placed in guest.fences if _single(placed)]
    found: dict[frozenset[tuple[str, str]], tuple[float, Way]] = {}
    for one in own:
        for other in standing:
            for target in _facings(one, other):
                way, apart = _way(guest, own, standing, one.pose, target)
                key = frozenset((name, f"{p.name} {p.pose.point}") for name, p in way.pairs)
                inside = all(
                    guest.arena.region.depth(pose.point) >= LEAST_INSIDE_M for _, pose in way.near
                )
                if inside and (key not in found or apart < found[key][0]):
                    found[key] = apart, way
    ranked = sorted(found.values(), key=lambda each: (-len(each[1].pairs), round(each[0], 6)))
    return [way for _, way in ranked[:TRIED]]


def _single(placed: PlacedFence) -> bool:
    return not placed.fence.whole and not placed.fence.kind.ridden_over


def _facings(one: PlacedFence, other: PlacedFence) -> Iterator[Pose]:
    """The poses that a fence may take over one that stands: a spread keeps its front."""
    yield other.pose
    if one.fence.depth_m == 0.0 and other.fence.depth_m == 0.0:
        yield other.pose.reversed()


def _way(
    guest: Plan, own: Sequence[PlacedFence], standing: Sequence[PlacedFence], was: Pose, now: Pose
) -> tuple[Way, float]:
    """The guest with one of its poses brought to another, and how far its
    fences are from those that stand, in metres."""
    pairs: dict[str, PlacedFence] = {}
    apart = 0.0
    for placed in own:
        pose = placed.pose.seen_from(was).placed_in(now)
        for other in standing:
            gap = math.dist(pose.point, other.pose.point)
            if gap <= SPOT_M and other not in pairs.values() and _faces(placed, pose, other):
                pairs[placed.name] = other
                apart += gap
                break
    near = {name: pose.seen_from(was).placed_in(now) for name, pose in guest.layout.poses.items()}
    return Way(tuple(pairs.items()), tuple(near.items())), apart


def _faces(placed: PlacedFence, pose: Pose, other: PlacedFence) -> bool:
    either_way = placed.fence.depth_m == 0.0 and other.fence.depth_m == 0.0
    turn = abs(
        math.remainder(pose.heading - other.pose.heading, math.pi if either_way else math.tau)
    )
    return turn <= FACING_RAD


def _poses(way: Way) -> dict[str, Pose]:
    """Where the bodies of a guest come to be: those over fences that stand exactly there."""
    near = dict(way.near)
    for name, other in way.pairs:
        turned = math.cos(other.pose.heading - near[name].heading) < 0
        near[name] = other.pose.reversed() if turned else other.pose
    return near


def _stood(guest: Plan, near: Mapping[str, Pose]) -> Plan:
    """The guest's fences there, with nothing ridden: no way in which they are ridden saves more."""
    fences = []
    for placed in guest.fences:
        body = placed.fence.whole or placed.name
        own = placed.pose.seen_from(guest.layout.poses[body])
        fences.append(replace(placed, pose=own.placed_in(near[body])))
    return replace(guest, fences=tuple(fences), legs=())


def over(guest: Plan, near: Mapping[str, Pose]) -> Plan | None:
    """The guest with all of its fences at these poses; None where that cannot be, or where more is
    found against it than as drawn."""
    fences = {}
    for name, fence in guest.exercise.whole.fences.items():
        pose = near[name]
        place = {"at": pose.point, "facing": f"{math.degrees(pose.heading) % 360:.6f}°"}
        fences[name] = fence.model_copy(update={**place, "on": None, "placed": None})
    said = guest.exercise.whole.model_copy(update={"fences": fences, "arrange": (), "move": ()})
    try:
        setting = read_setting(guest.document, said)
        made = plans_of(setting, arrange(setting))
    except RejectedError:
        return None
    plan = check(next((one for one in made if one.name == guest.name), made[0]))
    return plan if _against(plan) <= _against(guest) else None


def _against(plan: Plan) -> tuple[int, int]:
    """Findings that stop, and cautions."""
    kinds = [finding.severity for finding in plan.findings]
    return kinds.count(Severity.STOP), kinds.count(Severity.CAUTION)
