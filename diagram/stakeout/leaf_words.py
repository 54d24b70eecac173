"""What the builder's leaf says, in a crew's words: sides, marks, tapes, checks."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from diagram.exercise.arena import RECTANGLE_SIDES
from diagram.plain import counted
from diagram.planning import Plan
from diagram.stakeout.crew import Crew
from diagram.stakeout.leaf import Check, Leaf
from diagram.stakeout.pegs import Peg
from diagram.stakeout.taped import Reading, Taped
from diagram.stakeout.texts import reading
from diagram.units import INCH, Units, feet_inches, metres_text

MOVE = (
    "Move both standards alike along the line, then square. "
    "All lines of a fence off alike: move it alone."
)
OVER = ", over the tape"
"""Where nothing nearer is to be had; the foot of the leaf says what to do."""
STANDARD, POLE_END = "standard", "pole end"
OF_A_FENCE = ("near", "far", "front", "back")
"""Words for a side that standards, rows or the ends of a tape have as well."""
BENDS = " The length of a bend is that of the straight tape."


class TapeLine(Struct, frozen=True):
    """One line of a fence's row: what the tape is for, from where to where, what it reads.

    `small` is the same in metres where both units are wanted, `large` the length of a line. `named`
    is the text with standards called by their sides, where the shorter one does without. `pair`
    says this line and the next one at once: two readings of one tape.
    """

    word: str
    text: str
    figure: str
    small: str = ""
    large: bool = False
    named: str = ""
    pair: str = ""


class LeafWords(Struct, frozen=True):
    """The leaf's words for one plan and crew. `sides` are the names of the sides as printed; where
    there is no room for more the words are `pressed`."""

    plan: Plan
    leaf: Leaf
    crew: Crew
    sides: dict[str, str]
    pressed: bool = False

    @property
    def stand(self) -> str:
        """From where left and right are meant; empty where the file names the sides."""
        if tuple(self.sides) == tuple(self.sides.values()) or not self.leaf.fences:
            return ""
        first = self.leaf.fences[0].name
        return (
            f"Stand at the start end and look at {first}: left and right are meant so on this leaf."
        )

    @property
    def corner(self) -> str:
        """How a reading along a side is meant, shown on the first of them, and how feet are called
        where the name of a side is short for a standard."""
        said = []
        along = [peg for peg in self.leaf.pegs if not peg.start.startswith("peg ")]
        if along:
            text = self._along(along[0]).text.rpartition(" to ")[0]
            said.append(f"“{text}”: from the corner where the two meet.")
        lines = [line for fence in self.leaf.fences for line in self.tapes(fence)]
        texts = [text for line in lines for text in (line.text, line.named)]
        return " ".join([*said, *self._example(texts)])

    def _example(self, texts: Sequence[str]) -> Iterator[str]:
        """What a standard or the end of a pole is called that points to a side."""
        for side in self.sides.values():
            for part in (STANDARD, POLE_END):
                called = f"{shortened(side)} {part}"
                if any(f" {called}" in text for text in texts):
                    yield f"“{called}”: the one towards the {side}."
                    return

    @property
    def units(self) -> Units:
        """Of all large figures: with both units, feet are large and metres small."""
        return "metres" if self.crew.units == "metres" else "feet"

    def figure(self, metres: float) -> str:
        """A reading as it is printed."""
        return reading(metres, replace(self.crew, units=self.units))

    def small(self, metres: float) -> str:
        """The same in metres, where both units are wanted; else nothing."""
        return metres_text(metres) if self.crew.units == "both" else ""

    def round_figure(self, metres: float) -> str:
        """A length that is round as it is: ``100'``, ``30 m``."""
        return f"{metres:g} m" if self.units == "metres" else self.figure(metres)

    @property
    def tape(self) -> str:
        """The length of a tape."""
        return self.round_figure(self.crew.tape_length)

    def pieces(self, metres: float) -> str:
        """A length along a rail as it can be taped: ``2 × 100' + 95'3"``."""
        if not self.crew.joined(metres):
            return self.figure(metres)
        whole, step = int((metres + 1e-6) / self.crew.tape_length), self.crew.rounding
        rest = round((metres - whole * self.crew.tape_length) / step) * step
        tapes = f"{whole} × {self.tape}" if whole > 1 else self.tape
        return f"{tapes} + {self.figure(rest)}" if rest > step / 2 else tapes

    def mark(self, name: str, short: bool = False) -> str:
        """A mark as a crew calls it: corners by the sides that meet there."""
        if name.startswith("corner "):
            one, other = (self.sides[s] for s in name.removeprefix("corner ").split(" / "))
            if short:
                one, other = shortened(one), shortened(other)
            return f"{one} / {other} corner"
        if name.startswith("gate post "):
            side = self.sides[name.removeprefix("gate post ")]
            return f"{shortened(side)} gate post"
        return name

    @property
    def _near_far(self) -> tuple[str, str]:
        """How the two standards on one tape are told apart; where a side is called far, a standard
        is called after it, and is not the farther one."""
        taken = {side.split()[0] for side in self.sides.values()}
        return ("nearer", "farther") if taken & {"near", "far"} else ("near", "far")

    def tapes(self, fence: Taped, short: bool = False, tight: bool = False) -> list[TapeLine]:
        """Every line of a fence's row, in the order in which the tapes are laid; with `short`
        both feet on one tape are one line, and sides and corners are called shorter. Loose feet
        have the length of their pole in a line of its own, unless it is `tight`."""
        out = [self._along(peg) for peg in fence.pegs]
        for tape in fence.readings:
            if tape.word != "along":
                out += self._tape(fence, tape, short)
        if self._loose(fence) and not self.pressed:
            part = _part(fence)
            length = fence.placed.fence.measures.width_m
            row = self._line("check", f"{part} to {part}: its pole", length)
            if not tight:
                return [*out, row]
            last = out[-1]
            out[-1] = replace(last, text=f"{last.text}; {row.figure} apart")
        return out

    def _loose(self, fence: Taped) -> bool:
        """Whether each foot is found by two tapes of its own, and nothing holds them together."""
        return fence.how == "rail" and "" not in fence.towards.values()

    def _along(self, peg: Peg) -> TapeLine:
        if peg.start.startswith("peg "):
            return self._line("along", f"{peg.start} on to {peg.name}", peg.metres)
        one, other = peg.start.removeprefix("corner ").split(" / ")
        corner = self.sides[other if one == peg.side else one]
        text = f"{self.sides[peg.side]}, {corner} to {peg.name}"
        return self._line("along", text, peg.metres)

    def _line(self, word: str, text: str, metres: float, large: bool = False) -> TapeLine:
        over = OVER if self.crew.joined(metres) else ""
        return TapeLine(word, text + over, self.figure(metres), self.small(metres), large)

    def _tape(self, fence: Taped, tape: Reading, short: bool) -> Iterator[TapeLine]:
        start = self.mark(tape.start, short)
        part = _part(fence)
        near, far = self._near_far
        read = tape.read_m
        if tape.word in ("line", "direction"):
            end = "back" if tape.ends[0].startswith("back of ") else "middle"
            if fence.how == "on the tape":
                start = f"same tape, {start}"
            meant = self._meant(fence, tape.ends[0]) if tape.word == "direction" else ""
            yield self._line(tape.word, f"{start} to {end}{meant}", read[0], tape.word == "line")
        elif len(tape.ends) == 2 and read[0] == read[1]:
            yield self._line(tape.word, f"{start} to each {part}", read[0])
        elif fence.how == "rail" and tape.word == "out" and "" in fence.towards.values():
            one, other = self._by_side(fence, tape.ends)
            if short and self.crew.units != "both":
                figures = "  ".join(self.figure(metres) for metres in read)
                over = OVER if any(self.crew.joined(metres) for metres in read) else ""
                named = f"{start} to {one}, {other} {part}{over}" if one else ""
                yield TapeLine("out", f"{start} to both {part}s{over}", figures, named=named)
                return
            yield self._line("out", f"{start} to {one or near} {part}", read[0])
            yield self._line("", f"same tape, to {other or far} {part}", read[1])
        elif len(tape.ends) == 1:
            out = next((r for r in fence.readings if r.word == "out"), tape)
            at = out.ends.index(tape.ends[0])
            side, meant = self._by_side(fence, out.ends)[at], self._meant(fence, tape.ends[0])
            end = f"{side} {part}"
            if not side:
                # Of one that is the nearer already, the place is said to be nearer.
                end = self._by_mark(fence, tape, short)[0]
                meant = meant.replace(", ", ", the place ")
            yield self._line(tape.word, f"{start} to {end}{meant}", read[0])
        else:
            sides = self._by_side(fence, tape.ends)
            if not sides[0]:
                sides = self._by_mark(fence, tape, short)
                part = ""
            crossed = fence.how == "rail" and tape.word == "square"
            places = [self._meant(fence, end) if crossed else "" for end in tape.ends]
            over = OVER if any(self.crew.joined(metres) for metres in read) else ""
            pair = f"{start} to {', '.join(sides)} {part}".rstrip() + f"{places[0]}{over}"
            one, other = (f"{side} {part}".rstrip() for side in sides)
            first = self._line(tape.word, f"{start} to {one}{places[0]}", read[0])
            yield replace(first, pair=pair if len(set(places)) == 1 else "")
            yield self._line("", f"to {other}{places[1]}", read[1])

    def _by_mark(self, fence: Taped, tape: Reading, short: bool) -> tuple[str, ...]:
        """The ends of a tape by the mark that the tape over both feet is held to: to a tape from
        elsewhere another one could be the near one."""
        out = next((r for r in fence.readings if r.word == "out"), tape)
        part, mark = _part(fence), self.mark(out.start, short)
        near = min(out.ends, key=lambda end: out.read_m[out.ends.index(end)])
        return tuple(f"{part} {'near' if e == near else 'far from'} {mark}" for e in tape.ends)

    def _by_side(self, fence: Taped, ends: tuple[str, ...]) -> tuple[str, ...]:
        """The sides that the ends of a fence point to, shortened; empty where they are the same."""
        sides = [shortened(self.sides[fence.sides[fence.feet.index(end)]]) for end in ends]
        return tuple(sides) if len(set(sides)) == len(sides) > 1 else ("",) * len(ends)

    def _meant(self, fence: Taped, end: str) -> str:
        """Which of two crossings is meant, where a crew could set out the other as well."""
        side = fence.towards.get(end, "") if end in fence.twice else ""
        called = self.sides.get(side, side)
        called = called.removesuffix(" side") if self.pressed else called
        return f", nearer the {called}" if side else ""

    def check_ends(self, check: Check) -> str:
        """``hub to birch``."""
        return f"{check.start.fence} to {check.end.fence}"

    def check_strides(self, check: Check) -> str:
        """``5 strides``, ``5 strides, bend``."""
        if check.strides is None:
            return ""
        count = counted(check.strides, "stride")
        said = count if check.strides else "no stride"
        return f"{said}, bend" if check.bend else said

    def check_off(self, check: Check) -> str:
        """What to do when it does not read so."""
        twice = "in two lays; " if self.crew.joined(check.exact_m) else ""
        if check.is_line:
            return f"{twice}off: move {check.off}"
        last = max(check.start.fence, check.end.fence, key=self._order)
        fence = self.leaf.fences[self._order(last)]
        if fence.how == "on the tape" and fence.hung.beyond:
            # Its direction is that of the tape, which lies to the last of the combination.
            last = fence.hung.beyond.fence
        said = "out and square" if fence.how == "rail" else "the direction"
        return f"{twice}off: tape {said} of {last} again"

    def within(self, metres: float) -> str:
        """An error, never said too small: ``2½"``, ``7 cm``."""
        if self.crew.units == "metres":
            return f"{math.ceil(metres * 100 - 1e-9)} cm"
        return feet_inches(math.ceil(metres / INCH * 2 - 1e-9) / 2 * INCH, 0.5)

    def _order(self, name: str) -> int:
        return next((n for n, fence in enumerate(self.leaf.fences) if fence.name == name), -1)


def shortened(side: str) -> str:
    """``hedge`` for the hedge side: what a standard is called that points to it. ``far-end`` where
    the one word would also be said of a tape, a horse or a fence."""
    *most, last = side.split()
    if not most or last not in ("side", "end", "corner"):
        return side
    return "-".join([*most, last]) if most[0] in OF_A_FENCE else " ".join(most)


def _part(fence: Taped) -> str:
    """What a tape is read at; an end alone could be one of the arena."""
    return STANDARD if fence.placed.fence.parts.planes else POLE_END


def words_for(plan: Plan, leaf: Leaf, crew: Crew) -> LeafWords:
    """The words of a leaf. Sides without names of their own get those that a crew sees."""
    return LeafWords(plan, leaf, crew, side_names(plan))


def side_names(plan: Plan) -> dict[str, str]:
    """The sides as printed: the file's names, or those seen from the end where the ride starts."""
    names = tuple(plan.arena.sides)
    if names != RECTANGLE_SIDES:
        return {name: name for name in names}
    x0, _, x1, _ = plan.arena.region.bounds
    begin = plan.legs[0].curve.start.x if plan.legs else x0
    if abs(begin - x0) <= abs(begin - x1):
        seen = ("right side", "far end", "left side", "start end")
    else:
        seen = ("left side", "start end", "right side", "far end")
    return dict(zip(names, seen, strict=True))
