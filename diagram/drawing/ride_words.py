"""The ride in words: one line for each phase, as a rider would say it to learn it."""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from diagram.drawing.beads import changes_over
from diagram.drawing.counts import stride_words
from diagram.drawing.flags import gait_words
from diagram.drawing.parts import parts_of
from diagram.drawing.track import fitted
from diagram.exercise.course import called
from diagram.plain import counted
from diagram.planning import Plan, PlanLeg
from diagram.ride.turns import A_TURN
from diagram.scene import Group, Item, Stroke
from diagram.style import BOARD, Pen, phase_pen
from diagram.typesetting import Run, SetLine, broken, line_items, marked, width_of

SAMPLE, SAMPLE_GAP = 13.0, 3.0
"""Millimetres of track that leads a line, so that it is the key of the phases as well."""
ROW = 6.2
MOST_IN_FULL, MOST_ROWS = 3, 10
"""Rows of a phase that say all there is to say, and of the whole ride."""


class Brevity(Struct, frozen=True):
    """What is left out to keep a phase on one line: that turns are counted in strides, that the
    end is straight on, how long turns are, names said before."""

    strides: bool = False
    straight: bool = False
    turns: bool = False
    names: bool = False


FULL = Brevity()
BREVITIES = (
    FULL, Brevity(True), Brevity(True, True), Brevity(True, True, True),
    Brevity(True, True, True, True),
)  # fmt: skip
ABOUT = re.compile(r"about \d+")


def ride_text(plan: Plan, phase: int, brevity: Brevity = FULL) -> str:
    """One phase, the jumps between two pairs of stars: ``canter left, **1 alder** — 5 — ...``."""
    out = ""
    parts = parts_of(plan)
    legs = [leg for leg in plan.legs if parts.of(leg) == phase]
    for leg in legs:
        if leg.link.inner:
            continue
        out = _joined(out, _way(leg, plan, brevity))
        if leg.second:
            out = _joined(out, _jumped(leg, plan, brevity))
    # What is counted is said once.
    said = out if brevity.strides else ABOUT.sub(r"\g<0> strides", out, count=1)
    return said.strip(" ,")


def _joined(before: str, after: str) -> str:
    """Parts one after the other, a comma between them where neither brings a dash."""
    if not before or not after:
        return before + after
    if after.startswith(("—", ",")) or before.endswith("—"):
        return f"{before}{after}" if after.startswith(",") else f"{before} {after}"
    return f"{before},  {after}"


def _way(leg: PlanLeg, plan: Plan, brevity: Brevity) -> str:
    """How one gets to the next fence, or from the last one out."""
    circles = [f"circle {'left' if circle.left else 'right'}" for circle in leg.link.circles]
    if leg.first is None:
        start = plan.course.start
        begin = f"{start.gait} {start.lead}" if start.lead else start.gait
        way = leg.link.way
        turn = [f"turn {'left' if way.left else 'right'}"] if way and way.left is not None else []
        return ", ".join([begin, *turn, *circles])
    if leg.second is None:
        finish = plan.course.finish
        turned = leg.link.way and leg.link.way.left is not None
        turn = (
            [f"turn {'left' if leg.link.way.left else 'right'}"] if turned and leg.link.way else []
        )
        away = away_words(leg)
        dropped = turn or circles or (brevity.straight and finish.gaits and away == STRAIGHT_ON)
        straight = [] if dropped else [away]
        return ", ".join([*turn, *circles, *straight, *finish.gaits])
    if leg.shape in ("turn", "rollback"):
        way = leg.link.way
        word = "roll back" if leg.shape == "rollback" else "turn"
        said = [f"{word} {'left' if way and way.left else 'right'}"]
        if leg.comes_back:
            said.append(leg.link.arrives)
        elif leg.about and not brevity.turns:
            said.append(f"about {leg.about}")
        if way and way.change:
            said.append(f"{way.change} change")
        if way and way.counter:
            said.append("counter-canter")
        return ", ".join([*said, *circles])
    return _counted(leg)


STRAIGHT_ON = "straight on"


def away_words(leg: PlanLeg) -> str:
    """``straight on`` or ``right with the rail``: the way out as it is drawn."""
    turned = sum(piece.turn for piece in leg.curve.pieces)
    if abs(turned) < A_TURN:
        return STRAIGHT_ON
    return f"{'left' if turned > 0 else 'right'} with the rail"


def _counted(leg: PlanLeg) -> str:
    """``— 5 —``, ``— 5 bending left —``, ``— 5, walk 5, 5 —``."""
    ridden = leg.ridden
    if ridden.in_and_out:
        middle = gait_words(leg, ridden.stretches[1])
        inside = f"{ridden.in_and_out.canter_in.strides}, {middle}, "
        inside += str(ridden.in_and_out.canter_out.strides)
    elif leg.strides is None:
        inside = ""
    else:
        counts = [str(leg.strides), *(str(other.strides) for other in leg.others)]
        inside = " or ".join(counts) if leg.strides else "bounce"
    if leg.shape == "bend" and leg.link.way:
        inside = f"{inside} bending {'left' if leg.link.way.left else 'right'}".strip()
    if leg.link.way and leg.link.way.change:
        inside += f", {leg.link.way.change} change"
    return f"— {inside} —" if inside else "—"


def _jumped(leg: PlanLeg, plan: Plan, brevity: Brevity) -> str:
    """``**5 heart** on the angle, land left``; a combination in one."""
    assert leg.second is not None
    jump = leg.second.jump
    legs = [leg, *itertools.takewhile(lambda one: one.link.inner, plan.legs[leg.number + 1 :])]
    name = jump.whole or jump.fence
    before = {c.jump.whole or c.jump.fence for c in plan.crossings if c.jump.number < jump.number}
    figure = called(one.second.jump for one in legs if one.second)
    whole = f"{figure} {name}".strip().replace(" ", "\N{NO-BREAK SPACE}")
    out = f"**{figure}**" if brevity.names and figure and name in before else f"**{whole}**"
    inside = inner_words(legs[1:]) if len(legs) > 1 else ""
    if inside:
        out += f" {inside}"
    if jump.angle:
        out += " on the angle"
    land = _landing(legs[-1], plan)
    return f"{out}, land {land}" if land else out


def inner_words(legs: Sequence[PlanLeg]) -> str:
    """``in 1 stride each``, ``in bounce, 1, 2 strides``; not from a pole, which bears no number."""
    legs = [leg for leg in legs if leg.first and leg.first.jump.label and leg.strides is not None]
    if not legs:
        return ""
    if len({leg.strides for leg in legs}) == 1 and legs[1:]:
        return f"in {stride_words(legs[0])} each" if legs[0].strides else "in bounces"
    said = [str(leg.strides) if leg.strides else "bounce" for leg in legs[:-1]]
    return f"in {', '.join([*said, stride_words(legs[-1]) or 'bounce'])}"


def _landing(leg: PlanLeg, plan: Plan) -> str:
    """The lead to land on, where the file asks for it or the lead is changed."""
    after = plan.legs[leg.number + 1] if leg.number + 1 < len(plan.legs) else None
    asked = leg.second.jump.land if leg.second else None
    if asked:
        return asked
    if after and after.lead and changes_over(leg, after):
        return after.lead
    return ""


class RideRows(Struct, frozen=True):
    """The ride in rows of one measure: for each phase its lines, the first after its sample."""

    phases: tuple[tuple[int, tuple[SetLine, ...]], ...]

    @property
    def height(self) -> float:
        """Millimetres."""
        return ROW * sum(len(lines) for _, lines in self.phases)

    def marks(self, left: float, top: float) -> Group:
        """The rows from `top` down."""
        marks: list[Item] = []
        y = top
        for phase, lines in self.phases:
            middle = y + ROW * 0.62 - BOARD * 0.25
            marks.append(
                Stroke(((left, middle), (left + SAMPLE, middle)), sample_pen(phase, SAMPLE))
            )
            for line in lines:
                marks += line_items(line, left + SAMPLE + SAMPLE_GAP, y + ROW * 0.62, BOARD)
                y += ROW
        return Group("ride-in-words", tuple(marks), "The ride in words")


def sample_pen(phase: int, length: float) -> Pen:
    """The pen of a phase, its pattern fitted to a sample."""
    pen = phase_pen(phase)
    return replace(pen, dash=fitted(pen, length)) if pen.dash else pen


def ride_rows(plan: Plan, measure: float, part: int | None = None) -> RideRows:
    """The ride, or one part of it, set in a measure: in full where it takes one line, else
    briefer."""
    room = measure - SAMPLE - SAMPLE_GAP
    phases = sorted(set(parts_of(plan).of_leg)) if part is None else [part]
    rows = [(phase, _lines(plan, phase, room)) for phase in phases]
    beyond = sum(len(lines) for _, lines in rows) - MOST_ROWS
    if beyond <= 0:
        return RideRows(tuple(rows))
    kept: list[tuple[int, tuple[SetLine, ...]]] = []
    left = MOST_ROWS - 1
    for phase, lines in rows:
        if left > 0:
            kept.append((phase, lines[:left]))
        left -= len(lines)
    phase, lines = kept[-1]
    words = f"and {counted(beyond + 1, 'line')} more, which have no room here: tapeline measure"
    kept[-1] = (phase, (*lines, *broken((Run(words, "italic"),), room, BOARD)))
    return RideRows(tuple(kept))


def _lines(plan: Plan, phase: int, room: float) -> tuple[SetLine, ...]:
    names = parts_of(plan).names
    name = names[phase] if phase < len(names) else ""
    head = (Run(f"{name or 'the ride'}:", "bold"), Run("  "))
    for brevity in BREVITIES:
        written = (*head, *marked(ride_text(plan, phase, brevity)))
        if width_of(written, BOARD) <= room:
            return (written,)
    lines = broken((*head, *marked(ride_text(plan, phase, BREVITIES[1]))), room, BOARD)
    # A ride that fills the sheet with words leaves no room for its drawing.
    return lines if len(lines) <= MOST_IN_FULL else broken(written, room, BOARD)
