"""What the builder's leaf says, in a crew's words: sides, marks, tapes, checks, expected errors."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from diagram.exercise.arena import RECTANGLE_SIDES
from diagram.exercise.equipment import Equipment
from diagram.geometry.pose import Point
from diagram.plain import counted
from diagram.planning import Plan
from diagram.stakeout.crew import Crew
from diagram.stakeout.leaf import Check, Leaf
from diagram.stakeout.pegs import Peg
from diagram.stakeout.points import fixed_points
from diagram.stakeout.sides import gap_to
from diagram.stakeout.taped import Reading, Taped
from diagram.stakeout.texts import reading
from diagram.units import INCH, Units, feet_inches, metres_text

MOVE = (
    "Move both standards alike, along the line, and square the fence again. If all lines of a "
    "fence are off alike, move that fence and nothing else."
)
OVER = ", over the tape"
"""Where nothing nearer is to be had; the foot of the leaf says what to do."""
RATHER = "Over the tape: rather along a side and out, by the second leaf."
BENDS = " The length of a bend is that of the straight tape."
TAPE_WORDS = (
    ("out", "Out: one tape from the mark over both standards."),
    ("line", "Line and direction: two tapes that meet in the middle of the fence."),
    ("square", "Square: turns the fence till it reads so."),
)
"""What the words of the rows mean, in the order of the rows."""


@dataclass(frozen=True, slots=True)
class TapeLine:
    """One line of a fence's row: what the tape is for, from where to where, what it reads.

    `small` is the same in metres where both units are wanted, `large` the length of a line.
    """

    word: str
    text: str
    figure: str
    small: str = ""
    large: bool = False


@dataclass(frozen=True)
class LeafWords:
    """The leaf's words for one plan and crew. `sides` are the names of the sides as printed."""

    plan: Plan
    leaf: Leaf
    crew: Crew
    sides: dict[str, str]

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
        texts = [line.text for fence in self.leaf.fences for line in self.tapes(fence)]
        side = next((s for s in self.sides.values() if any(_at(s) in t for t in texts)), "")
        if side:
            said.append(f"“{shortened(side)} standard”: the one towards the {side}.")
        return " ".join(said)

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

    def mark(self, name: str, short: bool = False) -> str:
        """A mark as a crew calls it: corners by the sides that meet there."""
        if name.startswith("corner "):
            one, other = (self.sides[s] for s in name.removeprefix("corner ").split(" / "))
            if short:
                one, other = shortened(one), shortened(other)
            return f"{one} / {other} corner"
        if name.startswith("gate post "):
            side = self.sides[name.removeprefix("gate post ")]
            return f"{shortened(side)} gate post" if short else f"gate post towards {side}"
        return name

    @property
    def _near_far(self) -> tuple[str, str]:
        """How the two standards on one tape are told apart; where a side is called far, a standard
        is called after it, and is not the farther one."""
        taken = {shortened(side) for side in self.sides.values()}
        return ("nearer", "farther") if taken & {"near", "far"} else ("near", "far")

    def tapes(self, fence: Taped, short: bool = False) -> list[TapeLine]:
        """Every line of a fence's row, in the order in which the tapes are laid; with `short`
        both feet on one tape are one line, and sides and corners are called shorter."""
        out = [self._along(peg) for peg in fence.pegs]
        for tape in fence.readings:
            if tape.word != "along":
                out += self._tape(fence, tape, short)
        return out

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
        part = "standard" if fence.placed.fence.parts.planes else "end"
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
            if short and self.crew.units != "both":
                figures = "  ".join(self.figure(metres) for metres in read)
                over = OVER if any(self.crew.joined(metres) for metres in read) else ""
                yield TapeLine("out", f"{start} to both {part}s{over}", figures)
                return
            yield self._line("out", f"{start} to {near} {part}", read[0])
            yield self._line("", f"same tape, to {far} {part}", read[1])
        elif len(tape.ends) == 1:
            out = next((r for r in fence.readings if r.word == "out"), tape)
            which = near if tape.ends[0] == out.ends[0] else far
            end = f"{which} one" if short else f"that {which} {part}"
            # Of a standard that is the nearer one already, the place is said to be nearer.
            meant = self._meant(fence, tape.ends[0]).replace(", ", ", the place ")
            yield self._line(tape.word, f"{start} to {end}{meant}", read[0])
        else:
            for n, end in enumerate(tape.ends):
                side = shortened(self.sides[fence.sides[fence.feet.index(end)]])
                text = f"to {side} {part}" if n else f"{start} to {side} {part}"
                crossed = fence.how == "rail" and tape.word == "square"
                meant = self._meant(fence, end) if crossed else ""
                yield self._line("" if n else tape.word, text + meant, read[n])

    def _meant(self, fence: Taped, end: str) -> str:
        """Which of two crossings is meant, where a crew could set out the other as well."""
        side = fence.towards.get(end, "") if end in fence.twice else ""
        return f", nearer the {self.sides.get(side, side)}" if side else ""

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
        return f"{twice}off: the direction of {last}"

    def within(self, metres: float) -> str:
        """An error, never said too small: ``2½"``, ``7 cm``."""
        if self.crew.units == "metres":
            return f"{math.ceil(metres * 100 - 1e-9)} cm"
        return feet_inches(math.ceil(metres / INCH * 2 - 1e-9) / 2 * INCH, 0.5)

    def _order(self, name: str) -> int:
        return next((n for n, fence in enumerate(self.leaf.fences) if fence.name == name), -1)

    def errors(self) -> str:
        """How well it comes out; how far a line may be off stands with the checks only."""
        return (
            f"With readings right to {self.within(self.leaf.reading_m)}, every standard comes out "
            f"within {self.within(self.leaf.places_m)} in 95 of 100."
        )

    def tape_words(self) -> str:
        """What the words of the rows ask for, those that are used."""
        used = {reading.word for fence in self.leaf.fences for reading in fence.readings}
        said = [text for word, text in TAPE_WORDS if word in used]
        lengths = [
            read for fence in self.leaf.fences for tape in fence.readings for read in tape.read_m
        ]
        if any(self.crew.joined(metres) for metres in lengths):
            said.append(RATHER)
        return " ".join(said)

    def where_marks_are(self) -> str:
        """Where gate posts, letters and posts stand that tapes are held to: along a side from its
        corner, and out from it."""
        used = {r.start for fence in self.leaf.fences for r in fence.readings}
        field = fixed_points(self.plan.arena)
        names = [name for name in field if name in used and not name.startswith("corner ")]
        return "; ".join(self._where(name, field[name]) for name in names)

    def _where(self, name: str, at: Point) -> str:
        arena = self.plan.arena
        side = min(arena.sides, key=lambda s: gap_to(arena.sides[s], at))
        if name.startswith("gate post ") and arena.gate:
            side = arena.gate.side
        begin, end = arena.sides[side]
        length = math.dist(begin, end)
        along = ((at[0] - begin[0]) * (end[0] - begin[0])
                 + (at[1] - begin[1]) * (end[1] - begin[1])) / length  # fmt: skip
        names = list(arena.sides)
        turn = names.index(side)
        corner = names[turn - 1]
        if along > length / 2:
            along, corner = length - along, names[(turn + 1) % len(names)]
        out = gap_to(arena.sides[side], at)
        said = f"{self.mark(name)}: {self.sides[side]}, {self.sides[corner]}, {self.figure(along)}"
        return f"{said}, {self.figure(out)} out" if out > self.crew.rounding / 2 else said

    def middles(self) -> str:
        """What is meant by the middle and by the length of a line."""
        width = {f.placed.fence.measures.width_m for f in self.leaf.fences}
        half = f" {self.figure(width.pop() / 2)} from either standard," if len(width) == 1 else ""
        backs = any(
            name.startswith("back of ")
            for fence in self.leaf.fences
            for tape in fence.readings
            for name in (tape.start, *tape.ends)
        )
        back = " Back: the same in the back row." if backs else ""
        return f"Middle:{half} front row.{back}"

    def rail(self) -> str:
        """The arena as the leaf takes it to be."""
        arena = self.plan.arena
        long = ", ".join(
            f"{self.sides[name]} {self.figure(math.dist(a, b))}"
            for name, (a, b) in arena.sides.items()
        )
        if arena.is_rectangle:
            sides = sorted((math.dist(a, b) for a, b in arena.sides.values()), reverse=True)
            long = f"long side {self.figure(sides[0])}, short side {self.figure(sides[-1])}"
        return f"tape the rail inside: {long}. If it differs, stop: no reading holds."

    def people(self) -> str:
        """With what it is set, and by how many: one holds, one reads."""
        pegs = len(self.leaf.pegs)
        said = [counted(pegs, "peg")] if pegs else []
        return ", ".join([*said, f"two {self.figure(self.crew.tape_length)} tapes", "two people"])


def shortened(side: str) -> str:
    """``hedge`` for the hedge side: what a standard is called that points to it."""
    *most, last = side.split()
    return " ".join(most) if most and last in ("side", "end", "corner") else side


def _at(side: str) -> str:
    return f"to {shortened(side)} standard"


def equipment_words(pieces: Equipment, poles_m: float | None) -> str:
    """``2 standards, 3 poles, plain rails, 4 cups``; the length of poles only where it is not
    `poles_m`, that of all of them."""
    usual = round((poles_m or 0.0) * 1000)
    poles = sum(pieces.poles.values())
    said = [_some(pieces.standards, "standard"), _some(pieces.blocks, "block")]
    if set(pieces.poles) == {usual}:
        said.append(_some(poles, "pole"))
    else:
        said += [w for w in pieces.words("feet") if " pole" in w]
    said += [
        _some(sum(pieces.planks.values()), "plank"), _some(pieces.gates, "gate"),
        _some(pieces.walls, "wall"), *sorted(pieces.fillers),
        _some(pieces.cups, "cup"), _some(pieces.safety_cups, "safety cup"),
    ]  # fmt: skip
    return ", ".join(word for word in said if word)


def _some(number: int, noun: str) -> str:
    return counted(number, noun) if number else ""


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
