"""What to change when an exercise does not fit: changes of the file, each proven by planning it.

Every change is made in the text of the file itself, as a trainer would make it, and the changed
file is read, placed and judged afresh. Only what then fits, with no stop, is told; of one that is
tight only what then has room. Small changes come first, together where one alone is not enough: a
start along a side, one count where two were said, no circle at the end, a stride in one line, a
stride in every line or bend, a circle of another size, the other rein, a wider angle, a fence left
out, a shorter stride, a longer or wider ring.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from diagram.checks import check
from diagram.diagnostics import RejectedError
from diagram.edits import Drop, EditError, Put, edited
from diagram.exercise.arena import Arena
from diagram.exercise.course import Link
from diagram.model import Definition, validate
from diagram.placing.outcome import Change
from diagram.plain import counted
from diagram.planning import Plan, make_plan
from diagram.source import Scalar, read_text
from diagram.units import length_text

ENOUGH = 3
"""Changes that are told: more would be no help at the ring."""
MOST_TRIED = 40
"""Files that are planned in all."""
LONGER = (1.0, 2.0, 4.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0)
"""Metres, or tens of feet, by which a ring is made longer, wider, or both."""
SHORTER = (0.97, 0.94, 0.9)
"""Shares of the horses' stride: collected canter on the same horses (common practice)."""
WIDER_DEG = (-15, 15, 30)
"""Degrees by which a bend may turn otherwise than said."""

OTHER_CIRCLES = (-1, 1, -2, 2, -3, 3, -4)
"""Metres, or times three feet, by which a circle said with its size is made wider or narrower."""

_CIRCLE = re.compile(
    r"(?:(?<=\bcircle )|(?<=\bcircle of ))(?P<size>\d+)(?= ?(?:m|ft|'))"
    r"|(?<![\d.])(?P<across>\d+)(?= ?(?:m|ft|') circle\b)"
)
"""The size in ``circle 20 m``, ``circle of 20 m`` and ``on a 20 m circle``."""
_CLOSING = re.compile(r"\bcircle(?: (?:left|right))?(?:,? \d+(?: ?(?:m|ft|'))?)?")
"""A circle in what is said of the finish."""
OFF_THE_WALL = "start-off-the-wall"
_OR = re.compile(r"\s+or \d+(?: strides?)?(?: forward| quiet)?(?: at [^,;]+)?")

Edit = Put | Drop
Kind = Callable[[Plan], Iterator["_Tried"]]


class _Tried(Struct, frozen=True):
    words: str
    edits: tuple[Edit, ...]


class Proven(Struct, frozen=True):
    """A change that was made, the text with it, and the plan of that text."""

    words: str
    text: str
    plan: Plan


def proven_changes(
    plan: Plan,
    enough: int = ENOUGH,
    tell: Callable[[int, int], None] | None = None,
    show: Callable[[Proven], None] | None = None,
) -> tuple[Proven, ...]:
    """Changes with which the exercise fits, the smallest kind first, no more than `enough`.

    `tell` hears how many files have been planned, of how many at most, and `show` each change as
    soon as it is found. Who has waited long enough
    interrupts it, and has what was found by then.
    """
    found: list[Proven] = []
    done = 0
    if tell:
        tell(0, MOST_TRIED)
    for kind in KINDS:
        for tried in kind(plan):
            if done == MOST_TRIED:
                return tuple(found)
            try:
                proven = _proven(plan, tried)
            except KeyboardInterrupt:
                return tuple(found)
            done += 1
            if tell:
                tell(done, MOST_TRIED)
            if proven is not None:
                found.append(proven)
                if show:
                    show(proven)
                break
        if len(found) >= enough:
            break
    return tuple(found)


def wants_changes(plan: Plan) -> bool:
    """Whether there is anything to mend in where the fences of a checked plan stand."""
    return bool(plan.layout.shortages) or plan.layout.tight


def with_changes(
    plan: Plan,
    tell: Callable[[int, int], None] | None = None,
    show: Callable[[Proven], None] | None = None,
) -> Plan:
    """A plan that does not fit, or is tight, with the changes that help in its layout."""
    if not wants_changes(plan):
        return plan
    proven = proven_changes(plan, tell=tell, show=show)
    changes = tuple(Change(p.words, round(p.plan.layout.crowding, 3)) for p in proven)
    return replace(plan, layout=replace(plan.layout, changes=changes))


def _proven(plan: Plan, tried: _Tried) -> Proven | None:
    try:
        text = edited(plan.document.text, tried.edits)
        document = read_text(text, plan.document.name)
        made = make_plan(document, validate(document, Definition), plan.name)
    except (EditError, RejectedError):
        return None
    if not plan.layout.shortages:
        made = check(made)
    better = not wants_changes(made)
    return Proven(tried.words, text, made) if better else None


def _scalar(plan: Plan, path: tuple[str | int, ...]) -> str | None:
    node, found = plan.document.node_at(path)
    return node.text if found and isinstance(node, Scalar) else None


def _ways(plan: Plan, shapes: Iterable[str]) -> Iterator[tuple[Link, tuple[str | int, ...], str]]:
    """The ways of the ride with the place and the text of what is said of them."""
    for link in plan.course.links:
        if link.inner or link.way is None or link.first is None or link.second is None:
            continue
        for key in shapes:
            text = _scalar(plan, (*link.path, key))
            if text is not None:
                yield link, (*link.path, key), text


def _other_count(link: Link, text: str, step: int) -> str | None:
    """The same words with a stride more or fewer."""
    assert link.way is not None
    old = link.way.strides
    if not old or old + step < 1 or old + step in link.way.ways:
        return None
    said = counted(old + step, "stride")
    new = re.sub(rf"\b{old} strides?\b", said, text, count=1)
    return new if new != text else None


def _between(link: Link) -> str:
    assert link.first is not None
    assert link.second is not None
    return f"from {link.first.fence} to {link.second.fence}"


def _start_along(plan: Plan) -> Iterator[_Tried]:
    """A start along one of the sides, where it begins with a rail close behind."""
    if not any(finding.rule == OFF_THE_WALL for finding in plan.findings):
        return
    first = plan.course.links[0]
    path = (*first.path, "start")
    text = _scalar(plan, path)
    if text is None or plan.course.start.where is not None:
        return
    for side in plan.arena.sides:
        yield _Tried(f"a start along {side}", (Put(path, f"{text}, along {side}"),))


def _one_count(plan: Plan) -> Iterator[_Tried]:
    """Only the first of two counts that a line or bend is said to ride in."""
    for link, path, text in _ways(plan, ("line", "bend")):
        said = _OR.sub("", text)
        if link.way is not None and link.way.ways and link.way.strides and said != text:
            words = f"{counted(link.way.strides, 'stride')} and no other count {_between(link)}"
            yield _Tried(words, (Put(path, said),))


def _all_round(plan: Plan) -> Iterator[_Tried]:
    """A stride fewer or more in every bend that is round from fence to fence: another circle."""
    ways = [found for found in _ways(plan, ("bend",)) if _is_round(found[0])]
    for step, word in ((-1, "fewer"), (1, "more")):
        new = [(path, _other_count(link, text, step)) for link, path, text in ways]
        edits = tuple(Put(path, said) for path, said in new if said is not None)
        if len(edits) > 1:
            yield _Tried(f"one stride {word} in each round bend", edits)


def _is_round(link: Link) -> bool:
    return link.way is not None and link.way.round


def _one_stride(plan: Plan) -> Iterator[_Tried]:
    for step in (-1, 1):
        for link, path, text in _ways(plan, ("line", "bend")):
            new = None if _is_round(link) else _other_count(link, text, step)
            if new is not None and link.way is not None and link.way.strides:
                words = f"{counted(link.way.strides + step, 'stride')} {_between(link)}"
                yield _Tried(words, (Put(path, new),))


def _all_strides(plan: Plan) -> Iterator[_Tried]:
    """A stride fewer in each line, more in each bend, and both together."""
    fewer = [
        Put(path, new)
        for link, path, text in _ways(plan, ("line",))
        if (new := _other_count(link, text, -1)) is not None
    ]
    more = [
        Put(path, new)
        for link, path, text in _ways(plan, ("bend",))
        if (new := _other_count(link, text, 1)) is not None
    ]
    if len(fewer) > 1:
        yield _Tried("one stride fewer in each line", tuple(fewer))
    if len(more) > 1:
        yield _Tried("one more stride in each bend", tuple(more))
    if fewer and more:
        words = "one stride fewer in each line and one more in each bend"
        yield _Tried(words, (*fewer, *more))


def _circle(plan: Plan) -> Iterator[_Tried]:
    """Fences on a circle of another size, wherever in the file that size is said of them."""
    paths = [path for _, path, _ in _ways(plan, ("bend",))]
    paths += [("arrange", n) for n, _ in enumerate(plan.definition.arrange)] + [("arrange",)]
    texts = {path: text for path in paths if (text := _scalar(plan, path))}
    said = {path: match for path, text in texts.items() if (match := _CIRCLE.search(text))}
    sizes = {match[0] for match in said.values()}
    if len(sizes) != 1:
        return
    (size,) = sizes
    unit = next(re.match(r" ?(m|ft|')", m.string[m.end() :]) for m in said.values())
    assert unit is not None
    for more in OTHER_CIRCLES:
        wide = int(size) + more * (1 if unit[1] == "m" else 3)
        edits = tuple(
            Put(path, f"{m.string[: m.start()]}{wide}{m.string[m.end() :]}")
            for path, m in said.items()
        )
        yield _Tried(f"a circle of {wide}{unit[0]}", edits)


def _straight_on(plan: Plan) -> Iterator[_Tried]:
    """No circle after the last fence, which takes as much room as half a ring."""
    last = plan.course.links[-1]
    path = (*last.path, "finish")
    text = _scalar(plan, path) or ""
    said = _CLOSING.sub("straight on", text, count=1)
    if last.second is None and said != text:
        yield _Tried("straight on at the end, without a circle", (Put(path, said),))


def _other_rein(plan: Plan) -> Iterator[_Tried]:
    for link, path, text in _ways(plan, ("turn", "rollback")):
        assert link.way is not None
        old, new = ("left", "right") if link.way.left else ("right", "left")
        said = re.sub(rf"\b{old}\b", new, text, count=1)
        if said != text:
            yield _Tried(f"turn {new} {_between(link)}", (Put(path, said),))
    for link, path, text in _ways(plan, ("rollback",)):
        words = f"a plain turn instead of the rollback {_between(link)}"
        turn = Put((*path[:-1], "turn"), text, after="rollback")
        yield _Tried(words, (turn, Drop(path)))


def _wider(plan: Plan) -> Iterator[_Tried]:
    """The angle of a bend said otherwise: less of a turn, then more."""
    for more in WIDER_DEG:
        for link, path, text in _ways(plan, ("bend",)):
            match = re.search(r"(\d+)°", text)
            if match and 20 <= int(match[1]) + more <= 120:
                degrees = int(match[1]) + more
                words = f"a bend of {degrees}° {_between(link)}"
                yield _Tried(words, (Put(path, text.replace(match[0], f"{degrees}°", 1)),))


def _without_one(plan: Plan) -> Iterator[_Tried]:
    """A fence that is jumped once, between two turns to one hand, left out with its second turn."""
    links = plan.course.links
    for before, after in pairwise(links):
        jump = before.second
        if jump is None or before.first is None or after.second is None:
            continue
        shapes = {before.way.shape if before.way else "", after.way.shape if after.way else ""}
        same = before.way and after.way and before.way.left == after.way.left
        often = sum(j.fence == jump.fence for j in plan.course.jumps)
        if shapes != {"turn"} or not same or often > 1 or jump.whole not in ("", jump.fence):
            continue
        others = [
            str(block) for name, block in plan.definition.fences.items() if name != jump.fence
        ]
        if any(re.search(rf"\b{re.escape(jump.fence)}\b", block) for block in others):
            continue
        steps = sorted([jump.path, after.path], key=lambda path: -int(path[-1]))
        edits = (*(Drop(path) for path in steps), Drop(("fences", jump.fence)))
        yield _Tried(f"{jump.fence} left out", edits)


def _ring(plan: Plan) -> Iterator[_Tried]:
    """The smallest ring that will do: longer, wider, then both, in steps as they are said."""
    arena = plan.arena
    if not arena.is_rectangle:
        return
    path = _size_path(plan)
    if path is None:
        return
    feet = bool(re.search(r"\d\s*(?:'|ft|feet)", _scalar(plan, path) or arena.name))
    for longer, wider in ((1, 0), (0, 1), (1, 1)):
        for step in LONGER:
            size = _grown(arena, step * longer, step * wider, feet)
            yield _Tried(f"a ring of {size}", (Put(path, size),))


def _size_path(plan: Plan) -> tuple[str | int, ...] | None:
    """Where the size of the ring is said; a known ring by name is written over."""
    node, found = plan.document.node_at(("arena",))
    if not found:
        return None
    return ("arena",) if isinstance(node, Scalar) else ("arena", "size")


def _grown(arena: Arena, longer: float, wider: float, feet: bool) -> str:
    """The size in whole metres, or in tens of feet for a ring in feet."""
    unit, step, mark = (0.3048, 10, "ft") if feet else (1.0, 1, "m")

    def side(metres: float, more: float) -> int:
        own = metres / unit
        return round(own) if not more else step * (int(own / step + 1e-6) + round(more))

    length, width = arena.size
    return f"{side(length, longer)} x {side(width, wider)} {mark}"


def _stride(plan: Plan) -> Iterator[_Tried]:
    """A shorter stride, to the inch, where the horses are said in one word."""
    if _scalar(plan, ("horses",)) is None:
        return
    for share in SHORTER:
        said = length_text(round(plan.terms.horses.stride_m * share / 0.0254) * 0.0254, "feet")
        yield _Tried(f"a stride of {said}", (Put(("horses",), f"{said} stride"),))


KINDS: tuple[Kind, ...] = (
    _start_along, _one_count, _straight_on, _all_round, _circle, _one_stride, _all_strides,
    _other_rein, _wider, _without_one, _ring, _stride,
)  # fmt: skip
"""Kinds of change, in the order in which they are tried."""
