"""The arena of an exercise: from a name, a size or a block in a file to a region with marks."""

from __future__ import annotations

import math
import re

from msgspec import Struct, field

from diagram.diagnostics import Diagnostic, RejectedError, Severity, near
from diagram.exercise.kept_arenas import own_arenas
from diagram.geometry.pose import Point, unit_towards
from diagram.geometry.region import Region, signed_area
from diagram.model.definition import ArenaWritten, Gate
from diagram.model.fields import read_size
from diagram.source import Document
from diagram.trade import arenas as trade_arenas
from diagram.units import UnitError, metres_text

RECTANGLE_SIDES = ("bottom", "right", "top", "left")
"""Sides as they lie on the printed plan: bottom and top are the long ones."""

SMALLEST, LARGEST = 10.0, 400.0
"""Metres along a side. Ten metres is a lunge pen; four hundred a racecourse."""


class GatePlace(Struct, frozen=True):
    """The gate: the middle of it, its width in metres and the side it is in."""

    middle: Point
    width: float
    side: str
    direction: Point

    def spans(self, point: Point, beyond: float = 0.0) -> bool:
        """Whether a point of the rail lies in the opening, or within `beyond` metres of it."""
        return math.dist(self.middle, point) < self.width / 2 + beyond


IN_RAIL_M = 0.5
"""A post nearer to the rail than this is a part of it."""
POST_M = 0.1
"""Half the thickness of a post (common practice, no source)."""


class Arena(Struct, frozen=True):
    """An arena in its own frame: origin in a corner, x along a long side, y to its left."""

    name: str
    region: Region
    sides: dict[str, tuple[Point, Point]]
    gate: GatePlace | None = None
    letters: dict[str, Point] = field(default_factory=dict)
    posts: dict[str, Point] = field(default_factory=dict)
    source: str = ""

    @property
    def size(self) -> tuple[float, float]:
        """Extent along x and y in metres."""
        x0, y0, x1, y1 = self.region.bounds
        return x1 - x0, y1 - y0

    @property
    def is_rectangle(self) -> bool:
        """Whether it has four square corners along the axes."""
        x0, y0, x1, y1 = self.region.bounds
        return set(self.region.corners) == {(x0, y0), (x1, y0), (x1, y1), (x0, y1)}

    @property
    def obstacles(self) -> dict[str, Point]:
        """Posts that stand out in the arena, where a horse may come past on every side."""
        return {
            name: post for name, post in self.posts.items() if self.region.depth(post) > IN_RAIL_M
        }

    def marks(self) -> dict[str, Point]:
        """Every named point a file may refer to."""
        x0, y0, x1, y1 = self.region.bounds
        centre = {"centre": ((x0 + x1) / 2, (y0 + y1) / 2)}
        gate = {"gate": self.gate.middle} if self.gate else {}
        return {**centre, **gate, **self.letters, **self.posts}

    def side_at(self, point: Point) -> str:
        """Name of the side whose line is nearest to a point."""
        return _nearest_side(self.sides, point)

    def outward(self, side: str) -> float:
        """Heading in radians straight out over a side."""
        (ax, ay), (bx, by) = self.sides[side]
        return math.atan2(-(bx - ax), by - ay)


def _nearest_side(sides: dict[str, tuple[Point, Point]], point: Point) -> str:
    def gap(name: str) -> float:
        (ax, ay), (bx, by) = sides[name]
        cross = (bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)
        return abs(cross) / math.dist((ax, ay), (bx, by))

    return min(sides, key=gap)


def resolve_arena(
    written: ArenaWritten | str, document: Document, path: tuple[str | int, ...] = ("arena",)
) -> Arena:
    """The arena meant. Raises RejectedError with the place in the file."""
    if isinstance(written, ArenaWritten):
        return _from_block(written, document, path)
    own = own_arenas(document)
    if own and written in own[1]:
        return _from_block(own[1][written], own[0], (written,), written)
    named = trade_arenas.find_arena(written)
    if named is not None:
        return _from_trade(named)
    if gated := _GATED.fullmatch(written.strip()):
        side = _SIDE_WORDS.get(gated["side"].lower(), gated["side"].lower())
        said = {"size": gated["size"], "gate": {"side": side}}
        try:
            return _from_block(ArenaWritten.model_validate(said), document, path)
        except ValueError:
            raise _refused(document, path, f'"{written}" is not understood', _BLOCK_HINT) from None
    try:
        size = read_size(written)
    except UnitError as problem:
        if _SIZE.fullmatch(written.strip()):
            raise _refused(document, path, problem.message, problem.hint) from None
    else:
        _sane_size(size, document, path)
        return from_size(*size)
    known = [*(own[1] if own else ()), *trade_arenas.arena_names()]
    hint = near(written, known) if known else "write a size like 60 x 30 m"
    if _GATE.search(written):
        hint = _BLOCK_HINT
    elif sized := _SIZE.search(written):
        hint = f"write the size alone: {sized[0]}"
    raise _refused(document, path, f'no arena is called "{written}"', hint)


_GATED = re.compile(
    r"(?P<size>\d[^,]*?(?:m|ft|feet|'))(?: ring| arena)?,?(?: with)?(?: an?| the)? gate"
    r" (?:in|at|on)(?: the)?(?: middle of)?(?: the| an?)? (?P<side>[a-z]+(?: (?:side|end))?)",
    re.IGNORECASE,
)
_GATE = re.compile(r"\bgate\b", re.IGNORECASE)
_SIDE_WORDS = {
    **{f"{side} side": side for side in RECTANGLE_SIDES},
    "short side": "left", "short end": "left", "end": "left", "long side": "bottom",
}  # fmt: skip
"""Sides as they are said of a ring that has no names for them yet."""
_BLOCK_HINT = (
    "write 60 x 30 m, gate in the short side; or a block with size: and gate: {side: left}"
)
_SIZE = re.compile(r"\d\S*\s*(?:x|by|×)\s*\d\S*(?:\s*(?:m|ft|feet|')(?!\w))?$")


def _sane_size(size: tuple[float, float], document: Document, path: tuple[str | int, ...]) -> None:
    for side in size:
        if not SMALLEST <= side <= LARGEST:
            message = f"a side is {metres_text(side, 1)} long"
            hint = f"an arena is between {SMALLEST:g} and {LARGEST:g} m long and wide"
            raise _refused(document, path, message, hint)


def from_size(length: float, width: float) -> Arena:
    """A plain rectangle with no gate marked."""
    corners = ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))
    region = Region(corners)
    return Arena(f"{length:g} x {width:g} m", region, _sides(region, RECTANGLE_SIDES, {}))


def _sides(
    region: Region, names: tuple[str, ...], renamed: dict[str, str]
) -> dict[str, tuple[Point, Point]]:
    pairs = zip(names, region.edges, strict=True)
    return {renamed.get(name, name): edge for name, edge in pairs}


def _from_trade(named: trade_arenas.ArenaFacts) -> Arena:
    plain_one = from_size(named.length_m, named.width_m)
    gate = named.gate
    place = None
    if gate is not None:
        side, direction = _side_of(plain_one, gate.at)
        place = GatePlace(gate.at, gate.width_m, side, direction)
    return Arena(
        named.name, plain_one.region, plain_one.sides, place, dict(named.letters), {}, named.source
    )


def _side_of(arena: Arena, point: Point) -> tuple[str, Point]:
    name = arena.side_at(point)
    begin, end = arena.sides[name]
    return name, unit_towards(begin, end)


def _from_block(
    written: ArenaWritten, document: Document, path: tuple[str | int, ...], name: str = ""
) -> Arena:
    if (written.size is None) == (written.corners is None):
        hint = "write size: 60 x 30 m, or corners: [[0 m, 0 m], ...]"
        message = "an arena has a size or corners, one of them"
        raise _refused(document, path, message, hint, key=True)
    if written.size is not None:
        _sane_size(written.size, document, (*path, "size"))
        region = from_size(*written.size).region
        names: tuple[str, ...] = RECTANGLE_SIDES
    else:
        region = _polygon(written, document, path)
        names = tuple(f"side {n + 1}" for n in range(len(region.corners)))
    for span in region.edges:
        if not SMALLEST / 20 <= math.dist(*span) <= LARGEST:
            raise _refused(document, path, f"a side is {metres_text(math.dist(*span), 1)} long", "")
    unknown = [side for side in written.sides if side not in names]
    if unknown:
        hint = near(unknown[0], names)
        at = (*path, "sides", unknown[0])
        raise _refused(document, at, f'there is no side "{unknown[0]}"', hint, key=True)
    called = [written.sides.get(side, side) for side in names]
    if twice := next((side for side in called if called.count(side) > 1), None):
        message = f'two sides are called "{twice}"'
        hint = "give each side a name of its own"
        raise _refused(document, (*path, "sides"), message, hint, key=True)
    sides = _sides(region, names, dict(written.sides))
    letters = _letters(written, document, path)
    gate = _gate(written.gate, sides, letters, document, path) if written.gate else None
    return Arena(
        written.name or name or _described(region), region, sides, gate, letters,
        dict(written.posts),
    )  # fmt: skip


def _described(region: Region) -> str:
    x0, y0, x1, y1 = region.bounds
    return f"{x1 - x0:g} x {y1 - y0:g} m"


def _polygon(written: ArenaWritten, document: Document, path: tuple[str | int, ...]) -> Region:
    corners = tuple(written.corners or ())
    if len(corners) < 3:
        raise _refused(
            document,
            (*path, "corners"),
            "an arena has at least three corners",
            "write corners: [[0 m, 0 m], [60 m, 0 m], [60 m, 20 m], [0 m, 20 m]]",
        )
    large = abs(signed_area(corners)) >= SMALLEST**2
    if large and len(set(corners)) == len(corners) and Region.of(corners).half_planes is not None:
        return Region.of(corners)
    # Only of what is not plainly convex is there more to ask, of a library that takes a while.
    from shapely import Polygon
    from shapely.validation import explain_validity

    shape = Polygon(corners)
    if not shape.is_valid or not large:
        why = re.sub(r"\[.*", "", explain_validity(shape)).lower()
        message = f"these corners make no arena ({why})"
        raise _refused(document, (*path, "corners"), message, "go round it once, corner by corner")
    return Region.of(corners)


def _letters(
    written: ArenaWritten, document: Document, path: tuple[str | int, ...]
) -> dict[str, Point]:
    if not written.letters:
        return {}
    if written.size is not None:
        for name in trade_arenas.arena_names():
            facts = trade_arenas.find_arena(name)
            if facts and facts.letters and written.size == (facts.length_m, facts.width_m):
                return dict(facts.letters)
    message = "letters are known for arenas of 20 x 40 m and 20 x 60 m"
    hint = "write letters: no; or name the points: posts: {A: [0 m, 10 m]}"
    raise _refused(document, (*path, "letters"), message, hint)


def _gate(
    gate: Gate,
    sides: dict[str, tuple[Point, Point]],
    letters: dict[str, Point],
    document: Document,
    path: tuple[str | int, ...],
) -> GatePlace:
    if gate.side not in sides:
        message = f'there is no side "{gate.side}"'
        hint = near(gate.side, sides)
        if gate.side in letters:
            nearest = _nearest_side(sides, letters[gate.side])
            hint = f"write side: {nearest}, where {gate.side} is"
        raise _refused(document, (*path, "gate", "side"), message, hint)
    begin, end = sorted(sides[gate.side])
    length = math.dist(begin, end)
    direction = unit_towards(begin, end)
    usual = trade_arenas.usual_gate_width()
    at, width = length / 2 if gate.at is None else gate.at, gate.width or usual.value
    if not width / 2 <= at <= length - width / 2:
        message = f"the gate does not lie within its side, which is {metres_text(length)} long"
        hint = f"write width: {metres_text(usual.value, 1)}"
        if width < length:
            lowest, highest = math.ceil(width * 5) / 10, math.floor((length - width / 2) * 10) / 10
            inside = min(max(at, lowest), highest)
            hint = f"write at: {metres_text(inside, 1)}, which is the middle of the gate"
        raise _refused(document, (*path, "gate"), message, hint)
    middle = (begin[0] + at * direction[0], begin[1] + at * direction[1])
    return GatePlace(middle, width, gate.side, direction)


def _refused(
    document: Document, path: tuple[str | int, ...], message: str, hint: str, key: bool = False
) -> RejectedError:
    span = document.span_at(path, key=key)
    found = Diagnostic("arena", Severity.ERROR, message, span, hint)
    return RejectedError([found], {document.name: document.text})
