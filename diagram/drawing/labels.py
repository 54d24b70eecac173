"""Placing words: candidates in a fixed order, the first free one taken.

Every label is a wish: its size, where it would like to stand, best first, and how it is painted
once it has a place. Nothing is random and nothing is moved afterwards, so a small change of a
file moves few labels. A wish for which no place is free is not painted but reported.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cache

from diagram.drawing.crowd import Crowd
from diagram.geometry.pose import Point
from diagram.model.nudge import Nudge
from diagram.scene import Box, Group, Item, Stroke, Text
from diagram.style import INK, LEADER, Weight, text_width

LINE_GAP = 1.12
"""Baseline to baseline, as a share of the type size."""
PADDING = 0.5
LEADER_FROM = 4.5
"""Millimetres from the thing meant beyond which a label gets a leader line."""
LEADER_CLEAR = 0.4
SHORT = 1.0 + LEADER_CLEAR
"""Millimetres before the thing meant at which a leader ends, which is an obstacle to it as well."""
LINE_CLEAR = 0.5
AT_ONCE = 12
"""Candidates looked at in one go: most labels need no more."""
CROSSABLE = frozenset(("track", "rail", "stride"))
"""What a leader line may run across, if it must."""
CHAINED = frozenset(("dimension",))
"""Dimensions of one fence after the other share the line up from the fence between them."""
ACROSS_PRICE = 6.0
GRID_STEP = 3.5
GRID_REACH = 60.0
GRID_PRICE = 30.0
OTHER_TARGET, MOST_TARGETS = 4.0, 4
"""Millimetres further away that a label would go rather than point at another place of a leg."""

Segment = tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a label."""

    text: str
    size: float
    weight: Weight = "regular"
    colour: str = INK


@dataclass(frozen=True, slots=True)
class Candidate:
    """A place for the middle of a label, what it points at, and what being there costs.

    `lines` are drawn with it and must be free as well; `led` says that it may need a leader,
    which ends `short` mm before the target.
    """

    centre: Point
    target: Point
    price: float
    lines: tuple[Segment, ...] = ()
    led: bool = True
    short: float = SHORT


@dataclass(frozen=True, slots=True)
class Tried:
    """A place that was looked at, and what spoke against it; nothing for the one taken."""

    box: Box
    reason: str


@dataclass(frozen=True, slots=True)
class Place:
    """Where a label went: its box, what it points at, and all places looked at in order.

    `covers` says what it lies on: only a label moved by hand ever lies on anything.
    """

    box: Box
    target: Point
    tried: tuple[Tried, ...] = ()
    chosen: Candidate | None = None
    covers: str = ""

    @property
    def centre(self) -> Point:
        """The middle of the box."""
        return ((self.box.left + self.box.right) / 2, (self.box.top + self.box.bottom) / 2)


@dataclass(frozen=True, slots=True)
class Wish:
    """A label before it has a place.

    `says` is what it says in one line, for where it cannot be drawn. `nudge` moves it from its
    first candidate, by hand. Raises nothing; without candidates it is never placed.
    """

    name: str
    says: str
    size: tuple[float, float]
    candidates: tuple[Candidate, ...]
    paint: Callable[[Place], Group]
    nudge: Nudge | None = None


@dataclass(frozen=True, slots=True)
class Label:
    """A label with its marks and its place."""

    name: str
    marks: Group
    place: Place


@dataclass(frozen=True, slots=True)
class Unplaced:
    """A label for which the drawing has no room, and the places looked at."""

    name: str
    says: str
    tried: tuple[Tried, ...]


def place_all(wishes: Iterable[Wish], crowd: Crowd) -> tuple[list[Label], list[Unplaced]]:
    """Every wish in order, those moved by hand first; labels come back in the order given."""
    every = list(wishes)
    labels: dict[int, Label] = {}
    unplaced: list[Unplaced] = []
    for n, wish in sorted(enumerate(every), key=lambda pair: pair[1].nudge is None):
        place, tried = _nudged(wish, crowd) if wish.nudge else _choose(wish, crowd)
        if place is None:
            unplaced.append(Unplaced(wish.name, wish.says, tried))
            continue
        labels[n] = Label(wish.name, wish.paint(place), place)
        crowd.add_box(place.box, "label")
        leader = leader_of(place)
        if leader:
            crowd.add_line(leader, "leader", LEADER.width)
        for line in place.chosen.lines if place.chosen else ():
            crowd.add_line(line, "dimension", 0.4)
    return [labels[n] for n in sorted(labels)], unplaced


def _nudged(wish: Wish, crowd: Crowd) -> tuple[Place | None, tuple[Tried, ...]]:
    """Where the hand that wrote the file wants it, whatever lies there."""
    if not wish.candidates or wish.nudge is None:
        return None, ()
    first = wish.candidates[0]
    (x, y), (dx, dy) = first.centre, (wish.nudge.right_mm, wish.nudge.down_mm)
    box = _box((x + dx, y + dy), *wish.size)
    covers = crowd.covered([box])[0]
    reason = f"moved by hand, onto: {covers}" if covers else "moved by hand"
    return Place(box, first.target, (Tried(box, reason),), covers=covers), ()


def _choose(wish: Wish, crowd: Crowd) -> tuple[Place | None, tuple[Tried, ...]]:
    """The cheapest free candidate; then, with a leader, any free place near enough."""
    tried: list[Tried] = []
    for find, at_once in ((_by_price, AT_ONCE), (_anywhere, 8 * AT_ONCE)):
        places = find(wish)
        across: tuple[float, Place] | None = None
        for begin in range(0, len(places), at_once):
            some = places[begin : begin + at_once]
            if across and some[0].price > across[0]:
                break
            boxes = [_box(candidate.centre, *wish.size) for candidate in some]
            for candidate, box, reason in zip(some, boxes, crowd.covered(boxes), strict=True):
                reason = reason or _lines_covered(candidate, crowd)
                place = Place(box, candidate.target, (), candidate)
                crossed = "" if reason else _leader_covered(place, crowd, frozenset())
                if (
                    crossed
                    and crossed in CROSSABLE
                    and not _leader_covered(place, crowd, CROSSABLE)
                ):
                    price = candidate.price + ACROSS_PRICE
                    if across is None or price < across[0]:
                        across = (price, place)
                reason = reason or (f"leader across {crossed}" if crossed else "")
                tried.append(Tried(box, reason))
                if not reason and (across is None or candidate.price <= across[0]):
                    return Place(box, candidate.target, tuple(tried), candidate), ()
        if across:
            found = across[1]
            return Place(found.box, found.target, tuple(tried), found.chosen), ()
    return None, tuple(tried)


def _by_price(wish: Wish) -> list[Candidate]:
    return sorted(wish.candidates, key=lambda candidate: candidate.price)


def _anywhere(wish: Wish) -> list[Candidate]:
    """A grid of places round what the label means, the nearest first."""
    if not wish.candidates:
        return []
    short = wish.candidates[0].short
    targets = list(dict.fromkeys(candidate.target for candidate in wish.candidates))
    places = [
        Candidate((x + dx, y + dy), (x, y), GRID_PRICE + n * OTHER_TARGET + far, short=short)
        for n, (x, y) in enumerate(targets[:MOST_TARGETS])
        for far, dx, dy in _grid()
    ]
    return sorted(places, key=lambda candidate: candidate.price)


@cache
def _grid() -> tuple[tuple[float, float, float], ...]:
    """Distance and offsets of the places of a square grid, the nearest first."""
    steps = range(-int(GRID_REACH / GRID_STEP), int(GRID_REACH / GRID_STEP) + 1)
    offsets = ((GRID_STEP * i, GRID_STEP * j) for i in steps for j in steps)
    return tuple(sorted((math.hypot(dx, dy), dx, dy) for dx, dy in offsets))


def _lines_covered(candidate: Candidate, crowd: Crowd) -> str:
    for a, b in candidate.lines:
        found = crowd.line_covered(a, b, LINE_CLEAR, CHAINED)
        if found:
            return f"dimension line on {found}"
    return ""


def _leader_covered(place: Place, crowd: Crowd, passing: frozenset[str]) -> str:
    leader = leader_of(place)
    if leader is None:
        return ""
    # The thing meant is an obstacle itself: the leader stops short of it.
    return crowd.line_covered(*leader, LEADER_CLEAR, passing)


def leader_of(place: Place) -> Segment | None:
    """From the edge of the label to just before what it means, where that is far away."""
    if place.chosen is not None and not place.chosen.led:
        return None
    (x, y), box = place.target, place.box
    near = (min(max(x, box.left), box.right), min(max(y, box.top), box.bottom))
    far = math.dist(near, (x, y))
    short = place.chosen.short if place.chosen else SHORT
    if far - short <= LEADER_FROM - 1.0:
        return None
    share = 1 - short / far
    return near, (near[0] + (x - near[0]) * share, near[1] + (y - near[1]) * share)


def label_size(lines: Iterable[Line]) -> tuple[float, float]:
    """Width and height in mm of lines of text, with padding."""
    rows = list(lines)
    width = max(text_width(row.text, row.size, row.weight) for row in rows)
    height = sum(row.size * LINE_GAP for row in rows)
    return width + 2 * PADDING, height + 2 * PADDING


def text_wish(
    name: str,
    lines: tuple[Line, ...],
    candidates: Iterable[Candidate],
    nudge: Nudge | None = None,
    meaning: str = "",
) -> Wish:
    """Lines of text, with a leader where they end up far away."""
    says = ", ".join(line.text for line in lines)
    says = f"{says} ({meaning})" if meaning else says

    def paint(place: Place) -> Group:
        leader = leader_of(place)
        marks: list[Item] = [Stroke(leader, LEADER)] if leader else []
        return Group(f"label-{name}", (*marks, *text_marks(lines, place)))

    return Wish(name, says, label_size(lines), tuple(candidates), paint, nudge)


def _box(centre: Point, width: float, height: float) -> Box:
    x, y = centre
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def text_marks(lines: Iterable[Line], place: Place) -> Iterator[Text]:
    """The lines of a label under each other, centred in its box."""
    top = place.box.top + PADDING
    for line in lines:
        # The middle of the capitals lies in the middle of the row.
        baseline = top + line.size * (LINE_GAP / 2 + 0.33)
        at = (place.centre[0], baseline)
        yield Text(at, line.text, line.size, line.weight, "middle", 0.0, line.colour)
        top += line.size * LINE_GAP


def beside_curve(
    poses: Iterable[tuple[Point, Point, float]],
    size: tuple[float, float],
    gaps: tuple[float, ...] = (1.2, 2.6, 5.0, 9.0, 14.0),
    short: float = SHORT,
) -> Iterator[Candidate]:
    """Candidates on both sides of places along a line.

    `poses` are (place, unit vector across the line, price); a label stands off the line by
    each of `gaps` mm, measured to its nearest corner or edge.
    """
    places = list(poses)
    width, height = size
    for gap in gaps:
        for (x, y), (nx, ny), price in places:
            half = (abs(nx) * width + abs(ny) * height) / 2
            for side in (1, -1):
                reach = side * (half + gap)
                centre = (x + nx * reach, y + ny * reach)
                more = gap * 0.6 + (0.1 if side < 0 else 0.0)
                yield Candidate(centre, (x, y), price + more, short=short)


def around_point(
    point: Point,
    size: tuple[float, float],
    gaps: tuple[float, ...] = (1.5, 3.5, 6.0, 10.0),
    short: float = SHORT,
) -> Iterator[Candidate]:
    """Candidates in eight directions round a point, nearest first."""
    width, height = size
    for gap in gaps:
        for n, (dx, dy) in enumerate(_DIRECTIONS):
            reach_x, reach_y = dx * (width / 2 + gap), dy * (height / 2 + gap)
            centre = (point[0] + reach_x, point[1] + reach_y)
            yield Candidate(centre, point, gap + n * 0.05, short=short)


_DIRECTIONS = ((1, 0), (-1, 0), (0, -1), (0, 1), (1, -1), (-1, -1), (1, 1), (-1, 1))
