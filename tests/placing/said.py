"""Sixty exercises as a trainer says them over the rail, and what each is ridden in.

The ride is written short: ``ash -5- birch`` is a line of five strides, ``<`` and ``>`` turns to the
left and right, ``<<`` a rollback, ``(L6)`` a bend to the left in six, ``ash'`` a fence from behind,
``birch*`` an oxer, ``cedar+1`` an in-and-out of one stride, ``larch=`` a fence with no more said.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

RECTANGLES = ("20 x 40 m", "20 x 60 m", "25 x 50 m", "60 x 30 m", "70 x 45 m", "80 x 60 m")
FIELD_L = (
    "{corners: [[0 m, 0 m], [70 m, 0 m], [70 m, 30 m], [32 m, 30 m], [32 m, 60 m], [0 m, 60 m]],"
    " gate: {side: side 6, at: 15 m}}"
)
FIELD_POSTS = (
    "{size: 70 x 45 m, gate: {side: left, at: 10 m},"
    " posts: {oak post: [25 m, 20 m], water: [50 m, 28 m]}}"
)
SMALL = "jumper ring 100 x 200 ft"
NARROW = "{size: 200 x 70 ft, gate: {side: left}}"


@dataclass(frozen=True, slots=True)
class Said:
    """One exercise; `apart` from those on which weights were tuned."""

    name: str
    arena: str
    horses: str
    ride: str
    apart: bool = False

    @property
    def text(self) -> str:
        """The file that says it."""
        return text_of(self)


def gate(size: str, side: str = "left") -> str:
    """A ring of a size with its gate in the middle of a side."""
    return f"{{size: {size}, gate: {{side: {side}}}}}"


M30, M20, M25, M40 = gate("60 x 30 m"), gate("60 x 20 m"), gate("50 x 25 m"), gate("40 x 20 m")
M45, M60, B30 = gate("70 x 45 m"), gate("80 x 60 m"), gate("60 x 30 m", "bottom")

SIXTY = (
    Said("a single fence", M20, "horse", "ash"),
    Said("one line", M20, "horse", "ash -4- birch"),
    Said("one line on a pony", M40, "small pony", "ash -3- birch"),
    Said("one line and back", M30, "horse", "ash -5- birch < ash -5- birch"),
    Said("two outside lines", M30, "horse", "ash -5- birch < cedar -6- elm"),
    Said("two outside lines to the right", M30, "horse", "ash -5- birch > cedar -6- elm"),
    Said("two outside lines, gate on the long side", B30, "horse", "ash -5- birch < cedar -5- elm"),
    Said("two lines in a small ring", M25, "horse", "ash -3- birch < cedar -3- elm*"),
    Said("two lines, ponies, 20 x 60", M20, "medium pony", "ash -5- birch < cedar -5- elm"),
    Said("two lines, small ponies, 20 x 40", M40, "small pony", "ash -3- birch < cedar -3- elm"),
    Said("two fences and a change of rein", M30, "horse", "ash < birch > cedar"),
    Said("line, turn, single", M20, "horse", "ash -4- birch < cedar"),
    Said("three singles", M30, "horse", "ash < birch < cedar"),
    Said("line, diagonal", SMALL, "horse", "ash -5- birch < cedar -4- elm"),
    Said("outside, diagonal, single", SMALL, "horse", "ash -6- birch* < cedar -5- elm* > fir"),
    Said("twice around", SMALL, "horse",
         "ash -5- birch < cedar -4- elm > fir -5- hazel > holly -4- larch"),
    Said("full lines with a single", SMALL, "horse",
         "ash > birch -5- cedar < elm -6- fir < hazel -4- holly -1- larch"),
    Said("five fences round the ring", M45, "horse",
         "ash -5- birch* < cedar -6- elm* < fir"),
    Said("five in a field with posts", FIELD_POSTS, "horse",
         "ash -5- birch* < cedar -6- elm* < fir"),
    Said("five in an L", FIELD_L, "horse", "ash -5- birch < cedar < elm -4- fir"),
    Said("line in an L", FIELD_L, "horse", "ash -4- birch > cedar"),
    Said("lines and an oxer in a big field", M60, "horse",
         "ash -6- birch* < cedar* -4- elm < fir* -5- hazel < holly*"),
    Said("twelve in a big field", M60, "horse",
         "ash -5- birch < cedar -6- elm > fir -4- hazel > holly -5- larch < oak < rowan -4- plane"),
    Said("double on the long side", M30, "horse", "ash+1 < birch -5- cedar"),
    Said("line to a double", M45, "horse", "ash -4- birch+1 < cedar -5- elm"),
    Said("grid down the centre", M20, "horse", "ash -1- birch -1- cedar -2- elm*"),
    Said("one bend", M30, "horse", "ash (L6) birch"),
    Said("bend to the right on a pony", M20, "medium pony", "ash (R5) birch"),
    Said("bend and line", M45, "horse", "ash (L5) birch -4- cedar"),
    Said("serpentine of three", M45, "horse", "ash (L5) birch (R5) cedar"),
    Said("circle of four", M45, "large pony",
         "ash (L6) birch (L6) cedar (L6) elm (L6) ash"),
    Said("eight over one fence", M30, "horse", "ash < ash' > ash"),
    Said("cross of two lines", M60, "horse", "ash -4- birch < cedar -4- elm"),
    Said("rollback", SMALL, "horse", "ash -5- birch << cedar"),
    Said("change of rein each fence", M45, "horse", "ash < birch > cedar < elm > fir"),
    Said("six, two changes", SMALL, "horse", "ash -4- birch < cedar > elm -4- fir > hazel"),
    Said("eight on ponies", SMALL, "medium pony",
         "ash -5- birch < cedar -5- elm > fir -5- hazel > holly -5- larch"),
    Said("seven in 70 x 45", M45, "horse",
         "ash < birch -5- cedar < elm -4- fir > hazel* > holly"),
    Said("home to the gate", M30, "horse", "ash -4- birch < cedar < elm"),
    Said("young horse, few fences", M60, "horse", "ash -6- birch < cedar -7- elm"),
    # From here on kept apart: no weight was changed on account of any of these.
    Said("single on a pony", M40, "small pony", "ash", True),
    Said("line of six", M30, "horse", "ash -6- birch*", True),
    Said("two lines to the right, small ring", M25, "large pony",
         "ash -4- birch > cedar -3- elm", True),
    Said("line then single, right", M30, "horse", "ash -4- birch > cedar", True),
    Said("four singles", M45, "horse", "ash > birch > cedar > elm", True),
    Said("outside, diagonal, outside", SMALL, "horse",
         "ash -5- birch > cedar -4- elm < fir -5- hazel", True),
    Said("twice around to the right", SMALL, "horse",
         "ash -5- birch > cedar -4- elm < fir -5- hazel < holly -4- larch", True),
    Said("ponies twice around", SMALL, "large pony",
         "ash -5- birch < cedar -5- elm > fir -6- hazel > holly -5- larch", True),
    Said("three lines in a field", M60, "horse",
         "ash -5- birch > cedar -5- elm* > fir -4- hazel", True),
    Said("ten in a field", M60, "horse",
         "ash < birch -5- cedar < elm > fir -4- hazel+1 > holly -6- larch", True),
    Said("posts, right-handed", FIELD_POSTS, "horse", "ash -4- birch > cedar > elm -5- fir", True),
    Said("L, four fences", FIELD_L, "horse", "ash < birch -5- cedar < elm", True),
    Said("bend right in seven", M45, "horse", "ash (R7) birch", True),
    Said("bend then turn", M45, "horse", "ash (L5) birch > cedar", True),
    Said("line, bend, line", M60, "horse", "ash -4- birch (L6) cedar -4- elm", True),
    Said("circle of four, right", M45, "horse",
         "ash (R6) birch (R6) cedar (R6) elm (R6) ash", True),
    Said("double and back", M30, "horse", "ash+1 > birch", True),
    Said("line both ways", M30, "horse", "ash -5- birch > birch' -5- ash'", True),
    Said("hunter six", SMALL, "horse", "ash > birch -5- cedar < elm -5- fir < hazel", True),
    Said("eight in 80 x 60", M60, "horse",
         "ash -5- birch > cedar -4- elm < fir -5- hazel < holly -6- larch", True),
)  # fmt: skip

_STEP = re.compile(
    r"-(?P<line>\d+)-|\((?P<hand>[LR])(?P<bend>\d+)\)|(?P<roll><<|>>)|(?P<turn>[<>])"
    r"|(?P<fence>[a-z]+)(?P<oxer>\*?)(?:\+(?P<double>\d))?(?P<behind>'?)"
)
_HANDS = {"<": "left", ">": "right", "L": "left", "R": "right"}


def text_of(said: Said) -> str:
    """The file of an exercise, with every place left out."""
    fences: dict[str, str] = {}
    ride: list[str] = []
    hand = lead = ""
    for step in _STEP.finditer(said.ride):
        if step["line"]:
            ride.append(f"line: {step['line']} {'stride' if step['line'] == '1' else 'strides'}")
        elif step["bend"]:
            hand = hand or _HANDS[step["hand"]]
            ride.append(f"bend: {_HANDS[step['hand']]}, {step['bend']} strides")
        elif step["roll"]:
            hand = hand or _HANDS[step["roll"][0]]
            ride.append(f"rollback: {_HANDS[step['roll'][0]]}")
        elif step["turn"]:
            new = _HANDS[step["turn"]]
            if lead and new != lead:
                ride[-1] += f", land on the {new} lead"
            hand, lead = hand or new, new
            ride.append(f"turn: {new}")
        else:
            name = step["fence"]
            kind = "oxer" if step["oxer"] else "vertical"
            if step["double"]:
                stride = "1 stride" if step["double"] == "1" else f"{step['double']} strides"
                after = f"{{kind: vertical, after: {stride}}}"
                body = f"{{kind: combination, elements: [{{kind: vertical}}, {after}]}}"
            else:
                both = ", ground line: both sides" if f"{name}'" in said.ride else ""
                body = f"{{kind: {kind}{both}}}"
            fences.setdefault(name, body)
            ride.append(f"jump: {name}{' from behind' if step['behind'] else ''}")
    lines = [
        "tapeline: 1", f"title: {said.name}", "purpose: Trial.", "level: 2'6\"",
        f"arena: {said.arena}", f"horses: {said.horses}", "fences:",
        *(f"  {name}: {body}" for name, body in fences.items()), "ride:",
        f"  - start: canter, {hand or 'left'} lead",
    ]  # fmt: skip
    for step_text in ride:
        lines.append(f"  - {step_text}")
        if step_text.startswith("jump"):
            lines.append("    purpose: Said.")
    lines.append("  - finish: straight on, walk")
    return "\n".join(lines) + "\n"
