"""How fences are to be moved, in the words of the report: foot by foot where it must be."""

from __future__ import annotations

from collections.abc import Iterator

from diagram.geometry.pose import Pose, wrap
from diagram.stakeout.points import as_first_jumped, fence_feet
from diagram.survey.as_built import AsBuilt
from diagram.survey.as_built_words import length, listed, way_words
from diagram.survey.moves import Move, Remedy
from diagram.survey.places import feet_at
from diagram.trade.words import Units

ALIKE_M = 0.05
"""Metres by which feet may differ that are told to move alike: what a crew can hold."""


def move_words(move: Move, found: AsBuilt, units: Units) -> str:
    """How the feet of one fence are moved: all alike, side by side, or each by itself."""
    frame = as_first_jumped(found.plan, found.plan.fence(move.fence))
    turned = wrap(move.start.heading - found.plan.fence(move.fence).pose.heading)
    seen = Pose(0.0, 0.0, wrap(frame.heading + turned))
    before = feet_at(found.plan, {move.fence: move.start})
    after = feet_at(found.plan, {move.fence: move.end})
    steps: dict[str, Step] = {}
    for foot in fence_feet(found.plan):
        if foot.fence == move.fence:
            (ax, ay), (bx, by) = before[foot.name], after[foot.name]
            local = Pose(bx - ax, by - ay, 0.0).seen_from(seen)
            steps[foot.name.removeprefix(f"{move.fence} ")] = (local.x, local.y)
    said = []
    for who, group in _alike(steps):
        mean = [sum(values) / len(group) for values in zip(*group, strict=True)]
        said.append(f"{who} {way_words(mean[0], mean[1], units) or 'stays'}")
    return f"{move.fence}: {'; '.join(said)}"


Step = tuple[float, float]


def _alike(steps: dict[str, Step]) -> list[tuple[str, list[Step]]]:
    """Feet that move alike as far as a tape can tell, by what they are called together."""
    if _same(list(steps.values())):
        return [("every foot", list(steps.values()))]
    out: list[tuple[str, list[Step]]] = []
    for side in ("left", "right"):
        own = {foot: step for foot, step in steps.items() if foot.startswith(side)}
        if len(own) > 1 and _same(list(own.values())):
            out.append((f"{side} feet", list(own.values())))
        else:
            out += [(f"{foot} foot", [step]) for foot, step in own.items()]
    return out


def _same(steps: list[Step]) -> bool:
    return all(max(values) - min(values) <= ALIKE_M for values in zip(*steps, strict=True))


def moves_words(found: AsBuilt, units: Units) -> Iterator[tuple[str, list[str]]]:
    """What must be moved, and what for exact lines where that is something else: title, words."""
    must, exact = found.remedy, found.exact
    if must is not None and must.moves:
        yield "Move, before anybody rides", remedy_words(must, found, units)
    if exact is not None and exact.moves and (must is None or exact.moves != must.moves):
        title = "Move, to have every line as exact as a tape allows"
        yield title, remedy_words(exact, found, units)


def remedy_words(remedy: Remedy, found: AsBuilt, units: Units) -> list[str]:
    """Every move; then where that leaves the fences, and what would do as well."""
    out = [move_words(move, found, units) for move in remedy.moves]
    if remedy.to_plan and remedy.moves:
        it = "it" if len(remedy.moves) == 1 else "them"
        out.append(f"That puts {it} where the sheet has {it}: the sheet's tapes can be used again.")
    touched = {move.fence for move in remedy.moves}
    then = [
        f"{line.line.ends[0]} → {line.line.ends[1]} {length(line.length_m, units)}"
        for line in remedy.lines
        if line.length_m is not None and touched & set(line.line.ends)
    ]
    if then:
        out.append(f"Check it: {', '.join(then)}.")
    if remedy.instead:
        others = "; or ".join(listed(names) for names in remedy.instead[:3])
        out.append(f"As few moves would do with {others} instead.")
    return out
