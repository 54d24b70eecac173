"""What each fence is built of, counted in pieces: for the check, the crew and the store."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from msgspec import Struct, field

from diagram.exercise.fence import Fence
from diagram.plain import counted
from diagram.trade.crew import crew_facts
from diagram.units import INCH, Units, feet_inches, length_text, metres_text

BLOCKS = "raised pole"
"""Fences of this kind lie on blocks in place of standards."""

STORED_APART = ("gate", "wall")
"""Fillers that a store counts in rows of their own, whatever fence they fill."""


class Equipment(Struct, frozen=True):
    """Pieces of one fence or of many. Poles and planks by their length in millimetres.

    `standards` are single ones. `ground_lines`, by their length, are counted in with the poles
    as well; `flat` are cups that a plank or a gate hangs in, counted in with the cups.
    """

    poles: dict[int, int] = field(default_factory=dict)
    planks: dict[int, int] = field(default_factory=dict)
    fillers: dict[str, int] = field(default_factory=dict)
    standards: int = 0
    gates: int = 0
    walls: int = 0
    blocks: int = 0
    cups: int = 0
    flat: int = 0
    safety_cups: int = 0
    ground_lines: dict[int, int] = field(default_factory=dict)

    def __add__(self, other: Equipment) -> Equipment:
        return Equipment(
            _sum(self.poles, other.poles),
            _sum(self.planks, other.planks),
            _sum(self.fillers, other.fillers),
            self.standards + other.standards,
            self.gates + other.gates,
            self.walls + other.walls,
            self.blocks + other.blocks,
            self.cups + other.cups,
            self.flat + other.flat,
            self.safety_cups + other.safety_cups,
            _sum(self.ground_lines, other.ground_lines),
        )

    @property
    def loads(self) -> int:
        """Walks of one person that it takes to carry everything once."""
        each = {name: figure.value for name, figure in crew_facts().loads.items()}
        total = (
            self.standards * each["standard"]
            + sum(self.poles.values()) * each["pole"]
            + sum(self.planks.values()) * each["plank"]
            + sum(self.fillers.values()) * each["filler"]
            + self.gates * each["gate"]
            + self.walls * each["wall"]
            + self.blocks * each["block"]
        )
        return round(total)

    def listed(self) -> Iterator[tuple[str, int, int]]:
        """Every thing of which a store may have too few: its name in `store.yaml`, its length in
        millimetres (0 for what has none), and the number; no spread without its cups first."""
        yield "safety cups", 0, self.safety_cups
        yield "standards", 0, self.standards
        yield "cups", 0, self.cups
        for what, pieces in (("poles", self.poles), ("planks", self.planks)):
            for length, number in _long(pieces):
                yield what, length, number
        yield "gates", 0, self.gates
        yield "walls", 0, self.walls
        for name, number in sorted(self.fillers.items()):
            yield name, 0, number

    def words(self, units: Units) -> list[str]:
        """``2 standards``, ``3 poles of 12'``, ... in the order in which they are carried out."""
        out = [some(self.standards, "standard"), some(self.blocks, "block")]
        out += [f"{some(n, 'pole')} of {pole_text(mm, units)}" for mm, n in _long(self.poles)]
        out += [f"{some(n, 'plank')} of {pole_text(mm, units)}" for mm, n in _long(self.planks)]
        out += [some(self.gates, "gate"), some(self.walls, "wall")]
        out += [f"{name} × {n}" for name, n in sorted(self.fillers.items())]
        flat = f" ({self.flat} flat)" if self.flat else ""
        out.append(some(self.cups, "cup") + flat if self.cups else "")
        out.append(some(self.safety_cups, "safety cup"))
        return [text for text in out if text]


def _sum(one: dict[str, int] | dict[int, int], other: dict) -> dict:  # type: ignore[type-arg]
    return dict(Counter(one) + Counter(other))


def _long(pieces: dict[int, int]) -> list[tuple[int, int]]:
    return sorted(pieces.items(), reverse=True)


def some(number: int, noun: str) -> str:
    """``3 poles``; nothing where there are none."""
    return counted(number, noun) if number else ""


def pole_text(length_mm: int, units: Units) -> str:
    """``12'`` or ``3.66 m``: the length by which a pole is called."""
    metres = length_mm / 1000
    if units == "metres":
        return metres_text(metres)
    if units == "both":
        return length_text(metres, units)
    whole = abs(metres / INCH - round(metres / INCH)) < 0.1
    return feet_inches(metres) if whole else metres_text(metres)


def equipment_of(fence: Fence) -> Equipment:
    """The pieces of one fence.

    The trade's count of poles for the kind has one ground line in it. A spread has one pole in
    each row but the front one, and safety cups for every pole of a row that horses may meet
    last. Fillers are counted in sets, one for a fence.
    """
    facts = fence.facts
    width = round(fence.measures.width_m * 1000)
    parts = fence.parts
    lines = sum(bar.kind == "ground line" for bar in parts.bars)
    if fence.kind.ridden_over:
        ends = 2 if fence.measures.raised == "both ends" else 1
        blocks = ends if facts.group == BLOCKS else 0
        return Equipment(poles={width: round(facts.poles.typical)}, blocks=blocks)
    above = max(0, round(facts.poles.typical) - 1)
    in_row = poles_in_rows(fence)
    safety = sum(2 * in_row[plane] for plane in parts.safety_cups)
    all_cups = facts.parts.cups + facts.parts.safety_cups
    gates, walls = (sum(box.kind == apart for box in parts.boxes) for apart in STORED_APART)
    fillers = {box.kind: 1 for box in parts.boxes if box.kind not in STORED_APART}
    planks = {width: facts.parts.planks} if facts.parts.planks else {}
    return Equipment(
        poles={width: above + lines} if above + lines else {},
        planks=planks,
        fillers=fillers,
        standards=2 * len(parts.planes),
        gates=gates,
        walls=walls,
        cups=max(0, all_cups - safety),
        flat=facts.parts.flat_cups,
        safety_cups=safety,
        ground_lines={width: lines} if lines else {},
    )


def poles_in_rows(fence: Fence) -> dict[float, int]:
    """Poles above the ground in each row, by the x of its standards."""
    planes = fence.parts.planes
    in_row = dict.fromkeys(planes, 1)
    if planes:
        above = max(0, round(fence.facts.poles.typical) - 1)
        in_row[planes[0]] = max(0, above - (len(planes) - 1))
    return in_row


def in_all(pieces: Iterable[Equipment]) -> Equipment:
    """Everything together."""
    total = Equipment()
    for one in pieces:
        total = total + one
    return total
