"""The one set-up of a lesson as a plan that a crew can set out: every fence that stands at once.

The fences of all exercises stand in one plan, each once, under the names that the running sheet
has for them; the lines between them are those of all exercises. Where an exercise shares a fence
that stands up to a foot from where its own file puts it, it is ridden over the one that stands.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from msgspec.structs import replace

from diagram.exercise.fence import PlacedFence
from diagram.geometry.pose import Pose
from diagram.lessons.lesson import Lesson
from diagram.lessons.moves import standing
from diagram.lessons.spots import SharedSpot, turned
from diagram.path.line import Crossing
from diagram.planning import Plan, PlanLeg, plan_of_places


def stages(lesson: Lesson) -> tuple[int, ...]:
    """The places in the order of the exercises before which fences are carried in, the first of
    all among them."""
    if lesson.order is None:
        return ()
    changes = lesson.order.changes
    return (0, *(n for n, own in enumerate(changes) if any(c.what == "in" for c in own)))


def set_up_of(lesson: Lesson, place: int, only: Collection[int] = ()) -> Plan:
    """What stands while the exercise at `place` of the order is ridden, with the lines of all
    exercises that find their fences there; or what of it serves `only` some exercises.

    Raises ValueError for a lesson that has no order, and where nothing is left.
    """
    if lesson.order is None:
        raise ValueError("a lesson with no exercise has no set-up")
    sequence = lesson.order.sequence
    own = [riding.exercise for riding in lesson.ridings]
    spots = [
        spot
        for spot in lesson.spots
        if standing(spot, sequence)[place]
        and (not only or any(own[n] in only for n in spot.builds))
    ]
    if not spots:
        raise ValueError("nothing stands there")
    coming = _coming(sequence, place)
    coming = [n for n in coming if not only or own[n] in only] or coming
    fences = {spot.name: _fence(lesson, spot, coming) for spot in spots}
    crossings: list[Crossing] = []
    legs: list[PlanLeg] = []
    for n in coming:
        names = {spot.names[n]: spot for spot in spots if n in spot.builds}
        ridden = _ridden(lesson.plans[own[n]], names)
        one = {c.jump.number: _over(c, names, fences) for c in ridden.crossings
               if c.jump.fence in names}  # fmt: skip
        crossings += one.values()
        for leg in ridden.legs:
            ends = [end for end in (leg.first, leg.second) if end]
            if all(end.jump.number in one for end in ends):
                legs.append(_leg(leg, one))
    first = lesson.plans[own[coming[0]]]
    title = lesson.title
    if place:
        title += f": before {own[sequence[place]] + 1}"
    elif only:
        title += f": for {', '.join(str(n + 1) for n in only)}"
    said = first.definition.model_copy(update={"title": title})
    exercise = replace(first.exercise, definition=said, store=None)
    return replace(
        first, exercise=exercise, fences=tuple(fences.values()), crossings=tuple(crossings),
        legs=tuple(legs), findings=(), beside=(),
    )  # fmt: skip


def fences_at(lesson: Lesson, place: int) -> Iterator[PlacedFence]:
    """What stands while the exercise at `place` of the order is ridden; nothing without one."""
    return (fence for _, fence in _standing_at(lesson, place))


def others_of(lesson: Lesson, exercise: int) -> Iterator[PlacedFence]:
    """What stands for other exercises alone when this one is ridden first, by its number."""
    sequence = lesson.order.sequence if lesson.order else ()
    ridden = ((p, n) for p, n in enumerate(sequence) if lesson.ridings[n].exercise == exercise)
    place, number = next(ridden, (0, -1))
    every = _standing_at(lesson, place) if number >= 0 else ()
    return (fence for spot, fence in every if number not in spot.builds)


def others_at(lesson: Lesson, place: int) -> Iterator[PlacedFence]:
    """What stands for other exercises alone while the one at `place` of the order is ridden."""
    number = lesson.order.sequence[place] if lesson.order else -1
    return (fence for spot, fence in _standing_at(lesson, place) if number not in spot.builds)


def _standing_at(lesson: Lesson, place: int) -> Iterator[tuple[SharedSpot, PlacedFence]]:
    if lesson.order is None:
        return
    sequence = lesson.order.sequence
    for spot in lesson.spots:
        if standing(spot, sequence)[place]:
            yield spot, _fence(lesson, spot, _coming(sequence, place))


def _coming(sequence: Sequence[int], place: int) -> list[int]:
    """The order in which exercises say how a fence is built: it stays as it was used last; one
    that was not used yet is built for its first use."""
    return list(dict.fromkeys((*reversed(sequence[: place + 1]), *sequence[place + 1 :])))


def _ridden(plan: Plan, names: Mapping[str, SharedSpot]) -> Plan:
    """The exercise over the fences that stand, where one of them is not its own to the inch."""
    poses = {name: _own(plan.fence(name).pose, spot) for name, spot in names.items()}
    moved = {n: pose for n, pose in poses.items() if pose.distance(plan.fence(n).pose.point) > 0.01}
    return plan_of_places(plan, moved) if moved else plan


def _own(pose: Pose, spot: SharedSpot) -> Pose:
    """Where a shared fence stands, facing as the exercise has it."""
    return spot.pose.reversed() if turned(spot.pose, pose) else spot.pose


def _fence(lesson: Lesson, spot: SharedSpot, coming: Sequence[int]) -> PlacedFence:
    """What stands in a place, built for the first in `coming` that uses it, at its height."""
    n = next(n for n in coming if n in spot.builds)
    placed = lesson.built[n].fence(spot.names[n])
    fence, whole = placed.fence, placed.fence.whole
    if whole and spot.name != spot.names[n]:
        whole = f"{whole} of {lesson.ridings[n].exercise + 1}"
    return PlacedFence(replace(fence, name=spot.name, whole=whole), _own(placed.pose, spot))


def _over(
    crossing: Crossing, names: Mapping[str, SharedSpot], fences: Mapping[str, PlacedFence]
) -> Crossing:
    """The same jump over the fence of the set-up, which may face the other way."""
    placed = fences[names[crossing.jump.fence].name]
    faces = crossing.jump.from_behind != turned(placed.pose, crossing.fence.pose)
    jump = replace(crossing.jump, fence=placed.name, from_behind=faces)
    return Crossing(jump, placed)


def _leg(leg: PlanLeg, crossings: Mapping[int, Crossing]) -> PlanLeg:
    return replace(
        leg,
        first=crossings[leg.first.jump.number] if leg.first else None,
        second=crossings[leg.second.jump.number] if leg.second else None,
    )
