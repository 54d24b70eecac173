"""What the builder's leaf says beside its rows: pieces, what is taped first, its foot."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from diagram.exercise.equipment import Equipment, some
from diagram.geometry.pose import Point, unit_towards
from diagram.plain import counted
from diagram.stakeout.diagonals import Diagonal, diagonals
from diagram.stakeout.known import TWO_SIGMA
from diagram.stakeout.leaf_words import LeafWords
from diagram.units import FOOT

RATHER = "Over the tape: rather along a side and out, by the second leaf."
TAPE_WORDS = (
    ("out", "Out: one tape over both."),
    ("line", "Line, direction: two tapes meet there."),
    ("square", "Square: turn till it reads so."),
)
"""What the words of the rows mean, in the order of the rows."""
MEASURED = "Tape to the pole's end on the ground, to the middle of peg and post."
"""The geometry knows a standard by the end of the pole that lies in its cups."""
RIGHT_ANGLE = 1e-6
"""The cosine of a corner up to which it is square."""
LEAST_SHARE = 0.5
"""A triangle that uses less than this of the tape, on walls too short for more, says too little."""


def errors(words: LeafWords) -> str:
    """How well it comes out; how far a line may be off stands with the checks only."""
    leaf = words.leaf
    return (
        f"With tapes read right within {words.within(leaf.reading_m)}, 95 standards of 100 stand "
        f"within {words.within(leaf.places_m)} of their place."
    )


def middles(words: LeafWords) -> str:
    """What is meant by the middle and by the length of a line; where back rows stand."""
    fences = words.leaf.fences
    width = {f.placed.fence.measures.width_m for f in fences}
    half = f" {words.figure(width.pop() / 2)} from either end," if len(width) == 1 else ""
    names = [n for f in fences for tape in f.readings for n in (tape.start, *tape.ends)]
    back = " (back: back row)" if any(name.startswith("back of ") for name in names) else ""
    spread = any(len(f.placed.fence.parts.planes) > 1 for f in fences)
    behind = " Back row: both standards the spread behind." if spread else ""
    return f"Middle:{half} front row{back}.{behind}"


def tape_words(words: LeafWords) -> str:
    """What the words of the rows ask for, those that are used."""
    readings = [reading for fence in words.leaf.fences for reading in fence.readings]
    used = {reading.word for reading in readings}
    said = [text for word, text in TAPE_WORDS if word in used]
    if any(words.crew.joined(metres) for reading in readings for metres in reading.read_m):
        said.append(RATHER)
    return " ".join(said)


def rail(words: LeafWords) -> str:
    """The arena as the leaf takes it to be, in pieces that can be taped, and how much off is
    right: what so many readings come to in 95 of 100."""
    arena, crew = words.plan.arena, words.crew
    lengths = {name: math.dist(a, b) for name, (a, b) in arena.sides.items()}
    sides = {words.sides[name]: metres for name, metres in lengths.items()}
    if arena.is_rectangle:
        ordered = sorted(lengths.values(), reverse=True)
        sides = {"long sides": ordered[0], "short sides": ordered[-1]}
    # Of many sides the pieces alone: they are what is taped.
    told = _in_pieces if arena.is_rectangle else LeafWords.pieces
    said = ", ".join(f"{name} {told(words, metres)}" for name, metres in sides.items())
    square, proven = next(iter(_square_corner(words)), ("", None))
    across = diagonals(arena, proven)
    error = max(crew.reading_error(m) for m in [*sides.values(), *(one.metres for one in across)])
    if square:
        # Of sides 3, 4 and 5 the last is off by the last reading and by 3/5 and 4/5 of the others.
        error = max(error, crew.tape_error * math.sqrt(2))
    within = words.within(TWO_SIGMA * error)
    proof = f"{square}{_across(words, across)}"
    return f"tape the rail inside: {said}.{proof} Right within {within}; else stop."


def _across(words: LeafWords, across: Sequence[Diagonal]) -> str:
    """The lengths from corner to corner that prove the rest of a field with other corners."""
    if not across:
        return ""
    said = "; ".join(
        f"{words.mark(one.start, short=True).removesuffix(' corner')} to "
        f"{words.mark(one.end, short=True)} {words.pieces(one.metres)}"
        for one in across
    )
    return f" Corner to corner: {said}."


def _in_pieces(words: LeafWords, metres: float) -> str:
    whole = words.figure(metres)
    return f"{whole} = {words.pieces(metres)}" if words.crew.joined(metres) else whole


def _square_corner(words: LeafWords) -> Iterator[tuple[str, Point]]:
    """How it is seen that a corner is square: 3 to 4 along its rails is 5 across, as large as the
    tape and the rails allow; of the square corner that has the most room."""
    arena, tape = words.plan.arena, words.crew.tape_length
    step = 1.0 if words.units == "metres" else FOOT
    sides = list(arena.sides.items())
    found = []
    for (before, (a, corner)), (after, (_, b)) in zip(sides[-1:] + sides[:-1], sides, strict=True):
        legs = sorted((math.dist(a, corner), math.dist(corner, b)))
        (ux, uy), (vx, vy) = unit_towards(corner, a), unit_towards(corner, b)
        if abs(ux * vx + uy * vy) < RIGHT_ANGLE:
            unit = math.floor(min(tape / 5, legs[0] / 3, legs[1] / 4) / step + 1e-9) * step
            found.append((unit, before, after, corner))
    none = (0.0, "", "", (0.0, 0.0))
    unit, before, after, at = max(found, key=lambda one: one[0], default=none)
    if 5 * unit >= LEAST_SHARE * tape:
        one, other, across = (words.round_figure(share * unit) for share in (3, 4, 5))
        where = "At a corner"
        if not arena.is_rectangle:
            where = f"At the {words.sides[before]} / {words.sides[after]} corner"
        yield f" {where} {one} and {other} along the rails are {across} across.", at


def earlier_pegs(count: int) -> str:
    """Pegs of leaves before, which may still be in the ground: ``1 to 7 are``."""
    return f"1 to {count} are" if count > 1 else "1 is"


def people(words: LeafWords) -> str:
    """With what it is set, and by how many: one holds, one reads."""
    pegs = len(words.leaf.pegs)
    said = [counted(pegs, "peg")] if pegs else []
    return ", ".join([*said, f"two {words.tape} tapes", "two people"])


def equipment_words(pieces: Equipment, poles_m: float | None) -> str:
    """``2 standards, 3 poles, plain rails, 4 cups``; the length of poles only where it is not
    `poles_m`, that of all of them."""
    usual = round((poles_m or 0.0) * 1000)
    poles = sum(pieces.poles.values())
    said = [some(pieces.standards, "standard"), some(pieces.blocks, "block")]
    if set(pieces.poles) == {usual}:
        said.append(some(poles, "pole"))
    else:
        said += [w for w in pieces.words("feet") if " pole" in w]
    said += [
        some(sum(pieces.planks.values()), "plank"), some(pieces.gates, "gate"),
        some(pieces.walls, "wall"), *sorted(pieces.fillers),
        some(pieces.cups, "cup"), some(pieces.safety_cups, "safety cup"),
    ]  # fmt: skip
    return ", ".join(word for word in said if word)
