"""What to change when an exercise does not fit: small changes first, every one of them solved."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from diagram.exercise.arena import Arena, from_size
from diagram.exercise.course import Course, Link
from diagram.geometry.curve import Floats
from diagram.model.said import WaySaid
from diagram.path.limits import limits_for
from diagram.placing.outcome import Change
from diagram.placing.posing import Setting, pose_problem, set_up
from diagram.solver.solve import sketched
from diagram.units import length_text

ROUNDS = 3
ENOUGH = 3
GROWTH_M = (5.0, 10.0, 20.0, 30.0)
"""Metres by which the arena is made longer and wider."""
SHORTER = (0.95, 0.9, 0.85)
"""Shares of the horses' stride: a collected canter on the same horses (common practice)."""


def tried_changes(setting: Setting, nearly: Floats) -> tuple[Change, ...]:
    """Changes that help, smallest kind of change first, until a few are found.

    `nearly` (n,) is the arrangement that falls short least; every try begins from there.
    """
    found: list[Change] = []
    for kind in (_strides, _hands, _let_go, _shorter_stride, _larger_arena):
        fitting = []
        for words, changed in kind(setting):
            change = _solved(words, changed, nearly)
            if change:
                fitting.append(change)
                if kind in (_shorter_stride, _larger_arena):
                    break
        # Of the same kind of change the one that leaves most room is the better.
        found += sorted(fitting, key=lambda change: round(change.crowding, 2))[:2]
        if len(found) >= ENOUGH:
            break
    return tuple(found)


def _solved(words: str, setting: Setting, nearly: Floats) -> Change | None:
    problem, problems = pose_problem(setting)
    if problems:
        return None
    best = sketched(problem, nearly, ROUNDS)
    return Change(words, best.crowding) if best.fits else None


def _with_way(setting: Setting, index: int, way: WaySaid) -> Setting:
    links = list(setting.course.links)
    links[index] = replace(links[index], way=way)
    return setting.otherwise(course=replace(setting.course, links=tuple(links)))


def _strides(setting: Setting) -> Iterator[tuple[str, Setting]]:
    """One stride fewer, or one more, in one of the lines and bends."""
    for step in (-1, 1):
        for index, link in enumerate(setting.course.links):
            way = link.way
            if link.inner or way is None or not way.strides or link.first is None:
                continue
            count = way.strides + step
            if count >= 1 and count not in way.ways:
                words = f"{_strides_words(count)} {_between(link)}"
                yield words, _with_way(setting, index, replace(way, strides=count))


def _strides_words(count: int) -> str:
    return f"{count} stride{'s' if count > 1 else ''} instead"


def _between(link: Link) -> str:
    assert link.first is not None
    assert link.second is not None
    return f"from {link.first.fence} to {link.second.fence}"


def _hands(setting: Setting) -> Iterator[tuple[str, Setting]]:
    """One turn to the other hand; or all of it, where the arena is not its own mirror."""
    for index, link in enumerate(setting.course.links):
        way = link.way
        if way is not None and way.shape == "turn" and link.first and link.second:
            other = "right" if way.left else "left"
            words = f"turn {other} {_between(link)}"
            yield words, _with_way(setting, index, replace(way, left=not way.left))
    if setting.pinned.relations or not setting.arena.is_rectangle:
        yield "all of it mirrored, left for right", _mirrored(setting)


def _mirrored(setting: Setting) -> Setting:
    """Every hand and angle of the ride exchanged; what is pinned stays."""
    course = setting.course
    jumps = {j: replace(j, angle=-j.angle) for j in course.jumps}
    links = tuple(
        replace(
            link,
            first=jumps[link.first] if link.first else None,
            second=jumps[link.second] if link.second else None,
            way=_other_hand(link.way) if link.way else None,
            circles=tuple(replace(c, left=not c.left) for c in link.circles),
        )
        for link in course.links
    )
    flipped = Course(course.start, course.finish, tuple(jumps.values()), links, course.phases)
    return setting.otherwise(course=flipped)


def _other_hand(way: WaySaid) -> WaySaid:
    left = None if way.left is None else not way.left
    return replace(way, left=left, turn=-way.turn if way.turn is not None else None)


def _let_go(setting: Setting) -> Iterator[tuple[str, Setting]]:
    """One fence that is pinned, left free."""
    for number, body in enumerate(setting.pinned.bodies):
        own = [r for r in setting.pinned.relations if getattr(r, "body", None) == number]
        if not own:
            continue
        rest = tuple(r for r in setting.pinned.relations if r not in own)
        poses = {name: p for name, p in setting.pinned.poses.items() if name != body.name}
        pinned = replace(setting.pinned, relations=rest, poses=poses)
        yield f"leave {body.name} free to move", replace(setting, pinned=pinned)


def _shorter_stride(setting: Setting) -> Iterator[tuple[str, Setting]]:
    horses = setting.terms.horses
    for share in SHORTER:
        shorter = replace(horses, stride_m=horses.stride_m * share)
        terms = replace(setting.terms, horses=shorter)
        words = f"a stride of {length_text(shorter.stride_m, 'both')}"
        yield words, _again(replace(setting.otherwise(terms=terms), limits=limits_for(shorter)))


def _larger_arena(setting: Setting) -> Iterator[tuple[str, Setting]]:
    """Rectangles, longer and wider by turns."""
    if not setting.arena.is_rectangle:
        return
    length, width = setting.arena.size
    for grown in GROWTH_M:
        for longer, wider in ((grown, 0.0), (0.0, grown), (grown, grown)):
            size = from_size(length + longer, width + wider)
            words = f"an arena of {length + longer:g} x {width + wider:g} m"
            yield words, _again(replace(setting, arena=_named(setting.arena, size)))


def _named(arena: Arena, grown: Arena) -> Arena:
    """A grown arena with the names of the sides that it had."""
    sides = dict(zip(arena.sides, grown.sides.values(), strict=True))
    return replace(grown, sides=sides)


def _again(setting: Setting) -> Setting:
    """The setting with its pins read afresh, after the arena or the horses have changed."""
    others = [(other, other.limits) for other in setting.others]
    return set_up(setting, setting.limits, others)[0]
