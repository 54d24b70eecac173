"""What was built, in the words of the report: for the terminal and for the page alike."""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec import Struct

from diagram.plain import counted
from diagram.survey.as_built import AsBuilt, FoundFence, WrongTape
from diagram.survey.lines_now import LineNow, how_it_rides, small
from diagram.survey.network import Tape
from diagram.survey.slips import slip_of
from diagram.trade.words import Units
from diagram.units import FOOT, feet_inches, metres_text

HARDLY_M = 0.0127
"""Half an inch: nobody moves a standard by less."""

FAR_M = 0.3048
FAR_RAD = math.radians(10)
"""A fence that no line runs to is spoken of when it is further off than a line may be."""

AS_RIDDEN = (
    "Left, right, forward and back are as seen when the fence is first jumped. A move forward or "
    "back is square to the fence as it stands now."
)

HOW = (
    "Least squares of all tapes together, the arena's corners, posts and letters taken as true; "
    "wrong tapes by their standardised residuals (Baarda, 1968, level "
    "0.1 %). Every ± and ellipse holds the truth 95 times in 100."
)


class LineWords(Struct, frozen=True):
    """One line in words. `state` is ``right``, ``a little off``, ``out`` or ``not known``."""

    ends: str
    planned: str
    now: str
    error: str
    angle: str
    state: str


def length(metres: float, units: Units) -> str:
    """A length to the inch or the centimetre."""
    return feet_inches(metres) if units == "feet" else metres_text(metres)


def listed(names: Iterable[str]) -> str:
    """``birch``, ``birch and hazel``, ``birch, hazel and rowan``."""
    *most, last = list(names)
    return f"{', '.join(most)} and {last}" if most else last


def tape_words(tape: Tape, units: Units) -> str:
    """``corner yard end / hedge side to birch left, 61'4"``."""
    return f"{tape.first} to {tape.second}, {length(tape.metres, units)}"


def verdict(found: AsBuilt) -> list[str]:
    """What to do, the most urgent first."""
    out = []
    if found.doubtful:
        out.append(
            "Tape again before you move or ride anything: two tapes or more contradict each other, "
            "and the others do not say which is wrong."
        )
    unknown = [fence.fence for fence in found.fences if not fence.found]
    if len(unknown) == len(found.fences):
        out.append("These tapes do not say where any fence stands in the arena.")
    elif unknown:
        verb = "stands" if len(unknown) == 1 else "stand"
        out.append(f"These tapes do not say where {listed(unknown)} {verb}.")
    out += _lines_verdict(found)
    for fence in found.fences:
        if fence.found and fence.back_to_front:
            out.append(
                f"Look at {fence.fence}: it stands back to front, or its left and right were "
                "mixed up."
            )
        elif _stray(fence, found):
            out.append(
                f"{fence.fence} is far from its place or its angle and no line runs to it: see "
                "whether the turns to it still ride."
            )
    return out


def _lines_verdict(found: AsBuilt) -> list[str]:
    """What is to be said of all lines together."""
    known = [now for now in found.lines if now.known]
    if not found.lines:
        return ["This exercise has no line to be measured, only turns."]
    if not known:
        return ["How the lines ride is not known from these tapes."]
    each = "every line" if len(known) == len(found.lines) else "every line that is known"
    if found.remedy is None:
        return ["No set of moves was found that brings the lines right: set it out anew."]
    if found.remedy.moves:
        names = listed(move.fence for move in found.remedy.moves)
        return [f"Do not ride it yet. Move {names}: then {each} rides as planned."]
    if found.exact is not None and found.exact.moves:
        names = listed(move.fence for move in found.exact.moves)
        return [
            f"{each.capitalize()} rides in the strides planned, though not all are set exactly; to "
            f"mend that, move {names}."
        ]
    return [f"{each.capitalize()} rides as planned. No line needs a fence moved."]


def _stray(fence: FoundFence, found: AsBuilt) -> bool:
    """Far from its place, and no line says whether that matters."""
    on_a_line = any(now.known and fence.fence in now.line.ends for now in found.lines)
    far = fence.distance_m > FAR_M or abs(fence.turned) > FAR_RAD
    return fence.found and fence.off and far and not on_a_line and not fence.back_to_front


def wrong_words(wrong: WrongTape, units: Units) -> str:
    """One tape that does not agree, and what may have happened."""
    way = "long" if wrong.error_m > 0 else "short"
    said = f"line {wrong.line}: {tape_words(wrong.tape, units)}: "
    if wrong.or_else:
        others = "; or ".join(tape_words(tape, units) for tape in wrong.or_else)
        return f"{said}this is wrong, or {others}. Tape them again"
    off = small(abs(wrong.error_m), units)
    if wrong.against == "fence" and wrong.fits is None:
        other = "shorter" if wrong.error_m > 0 else "longer"
        return f"{said}the plan has that {off} {other}. Look at poles and spread, or tape it again"
    if wrong.against == "arena":
        return f"{said}{off} too {way} for the arena of the plan. Is that arena the real one?"
    said += f"{off} too {way} for all the others; left out"
    if wrong.fits is not None:
        return f"{said}. It would be right from {wrong.fits[0]} to {wrong.fits[1]}"
    tape = wrong.tape
    slip = slip_of(tape.metres, tape.feet, wrong.error_m, 2 * tape.sigma_m)
    return f"{said}. {slip.words} misread?" if slip else said


def line_words(now: LineNow, found: AsBuilt, units: Units) -> LineWords:
    """One line: as planned, as it is, how sure, at what angle."""
    line = now.line
    state = "right" if now.as_asked else "a little off" if now.rideable else "out"
    return LineWords(
        ends=f"{line.ends[0]} → {line.ends[1]}",
        planned=length(line.planned_m, units),
        now=how_it_rides(now, units),
        error=f"± {small(_spread(now.sigma_m, found), units)}" if now.known else "",
        angle=_angle(now),
        state=state if now.known else "not known",
    )


def _spread(sigma_m: float, found: AsBuilt) -> float:
    return 1.96 * sigma_m * max(found.sigma0 if found.freedom else 1.0, 1.0)


def _angle(now: LineNow) -> str:
    """Where the line meets a fence at another angle than planned, by more than the tolerance."""
    words = []
    for name, skew in zip(now.line.ends, now.skew, strict=True):
        if skew is not None and abs(skew) * now.line.half_m > now.line.tolerance_m:
            words.append(f"{abs(math.degrees(skew)):.0f}° off at {name}")
    return ", ".join(words)


def turn_words(turn: float) -> str:
    """``turned 4° to the left``."""
    return f"turned {abs(math.degrees(turn)):.0f}° to the {'left' if turn > 0 else 'right'}"


def way_words(ahead_m: float, left_m: float, units: Units) -> str:
    """``12 in back and 3 in to the left``; empty when it is hardly anything."""
    parts = []
    if abs(ahead_m) >= HARDLY_M:
        parts.append(f"{small(abs(ahead_m), units)} {'forward' if ahead_m > 0 else 'back'}")
    if abs(left_m) >= HARDLY_M:
        parts.append(f"{small(abs(left_m), units)} to the {'left' if left_m > 0 else 'right'}")
    return " and ".join(parts)


def standing_words(fence: FoundFence, units: Units) -> str:
    """Where a fence stands, against where it should."""
    if not fence.found:
        return "not taped" if not fence.tapes else f"not known from its {_tapes(fence.tapes)}"
    if fence.back_to_front:
        return "back to front, or left and right mixed up"
    if not fence.off:
        return "in its place, as far as these tapes can tell"
    parts = []
    if fence.moved:
        parts.append(way_words(fence.ahead_m, fence.left_m, units))
    if fence.skewed:
        parts.append(turn_words(fence.turned))
    return ", ".join(parts)


def ellipse_words(fence: FoundFence, units: Units) -> str:
    """How sure its place and its angle are."""
    if not fence.found:
        return ""
    sides = f"{small(fence.ellipse.major_m, units)} by {small(fence.ellipse.minor_m, units)}"
    return f"± {sides}, ± {math.degrees(fence.turn_error):.1f}°"


def trust_words(fence: FoundFence, units: Units) -> str:
    """What is to be said about the tapes to a fence."""
    if fence.doubtful:
        return "in doubt until the tapes above are taken again"
    if fence.misfit_m > 3 * HARDLY_M and fence.found:
        return f"a foot stands {small(fence.misfit_m, units)} off the fence's shape"
    if fence.found and not fence.checked:
        return "a slip in one of its tapes would not be noticed: tape one more"
    return ""


def _tapes(number: int) -> str:
    return counted(number, "tape")


def still_to_tape(found: AsBuilt) -> list[str]:
    """Tapes that would settle what is not known."""
    out = []
    for fence in found.fences:
        if fence.more:
            out.append(f"{fence.fence}: {_pairs(fence.more)}")
        elif not fence.found:
            out.append(f"{fence.fence}: no tape of this length reaches it from a known point")
    for line, pairs in found.more.items():
        if pairs:
            out.append(f"the line {line.ends[0]} → {line.ends[1]} alone: {_pairs(pairs)}")
    return out


def _pairs(pairs: Iterable[tuple[str, str]]) -> str:
    return "; ".join(f"{first} to {second}" for first, second in pairs)


def figures(found: AsBuilt, units: Units) -> str:
    """The adjustment in one line."""
    used = len(found.measured.tapes) - found.unused - len(found.wrong)
    more = f"{found.freedom} more than needed" if found.freedom else "none more than needed"
    shape = "Each foot by itself" if found.options.feet_free else "Each fence of its planned shape"
    said = f"{shape}; {_tapes(used)} used, {more}."
    if found.unused:
        said += f" {_tapes(found.unused)} to a centre not used, since feet are free."
    if found.measured.blank:
        said += f" {found.measured.blank} lines of the form were left blank."
    if found.freedom:
        error = small(found.measured.error_m, units) if units == "metres" else (
            f"{found.measured.error_m / FOOT * 12:.1f} in"
        )  # fmt: skip
        said += (
            f" They agree to {found.sigma0:.2f} times the error that a tape was said to have "
            f"({error})."
        )
    return said
