"""Placing words and signs: each has its own list of places, the first free one is taken.

Every label is a wish: its size, where it would like to stand, best first, and how it is painted
once it has a place. Nothing is random and nothing is moved afterwards, so a small change of a
file moves few labels; the lists are short, so that many fences take no longer than they are
many. A wish for which no place is free is not painted but reported.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import islice

from msgspec import Struct
from msgspec.structs import replace

from diagram.drawing.candidates import Candidate, Ranked, Surcharge, cheapest_first
from diagram.drawing.crowd import Crowd, round_boxes
from diagram.geometry.pose import Point
from diagram.model.nudge import Nudge
from diagram.scene import Box, Group, Text
from diagram.style import INK, Weight, text_width

LINE_GAP = 1.12
"""Baseline to baseline, as a share of the type size."""
PADDING = 0.5
POORLY, NOWHERE = 50.0, 500.0
"""What standing where it seems to belong to something else costs a label, and not standing at all,
where one order of placing is held against another."""
AT_ONCE = 6
"""Candidates looked at in one go: most labels need no more."""

CROSSED = ("track", "stride", "bar", "other way")
"""What the pole of a flag may cross."""

PARTING = ("rail", "track")
"""What parts a label from what it belongs to."""


class LabelLine(Struct, frozen=True):
    """One line of a label."""

    text: str
    size: float
    weight: Weight = "regular"
    colour: str = INK


class Tried(Struct, frozen=True):
    """A place that was looked at, and what spoke against it; nothing for the one taken."""

    box: Box
    reason: str


class Place(Struct, frozen=True):
    """Where a label went: its box, what it points at, and all places looked at in order.

    `covers` says what it lies on: only a label moved by hand ever lies on anything. `apart` is
    whether a rail or another track lies between it and what it points at.
    """

    box: Box
    target: Point
    tried: tuple[Tried, ...] = ()
    chosen: Candidate | None = None
    covers: str = ""
    apart: bool = False

    @property
    def poor(self) -> bool:
        """Whether saying less would be better than standing here."""
        return self.apart or bool(self.chosen and self.chosen.over)

    @property
    def centre(self) -> Point:
        """The middle of the box."""
        return ((self.box.left + self.box.right) / 2, (self.box.top + self.box.bottom) / 2)

    @property
    def angle(self) -> float:
        """Degrees by which words turn here."""
        return self.chosen.angle if self.chosen else 0.0


class Wish(Struct, frozen=True):
    """A label before it has a place.

    `says` is what it says in one line, for where it cannot be drawn. `nudge` moves it from its
    first candidate, by hand. It may lie on what is of a kind in `passing`. A round sign of
    `radius` mm leaves the corners of its box to others. What finds no place says less, if there
    is something to say `instead`. Without candidates it is never placed. A `surcharge` is added to
    the price of each candidate when it comes to that.
    """

    name: str
    says: str
    size: tuple[float, float]
    candidates: Iterable[Candidate]
    paint: Callable[[Place], Group]
    nudge: Nudge | None = None
    passing: frozenset[str] = frozenset()
    radius: float = 0.0
    instead: Wish | None = None
    surcharge: Surcharge | None = None


class Label(Struct, frozen=True):
    """A label with its marks and its place."""

    name: str
    marks: Group
    place: Place


class Unplaced(Struct, frozen=True):
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
        found = place(wish, crowd)
        if isinstance(found, Unplaced):
            unplaced.append(found)
        else:
            labels[n] = found
            take(wish, found, crowd)
    return [labels[n] for n in sorted(labels)], unplaced


def place_close(wishes: list[Wish], crowd: Crowd) -> tuple[list[Label], list[Unplaced]]:
    """Wishes that stand close together: from the first of them on or from the last, whichever
    comes to better places in all."""
    begin = len(crowd)
    back = _cost(place_all(wishes[::-1], crowd))
    crowd.cut_back(begin)
    there = place_all(wishes, crowd)
    if back >= _cost(there) - 1e-9:
        return there
    crowd.cut_back(begin)
    return place_all(wishes[::-1], crowd)


def _cost(placed: tuple[list[Label], list[Unplaced]]) -> float:
    labels, unplaced = placed
    prices = [label.place.chosen.price for label in labels if label.place.chosen]
    return sum(prices) + POORLY * sum(one.place.poor for one in labels) + NOWHERE * len(unplaced)


def place(wish: Wish, crowd: Crowd) -> Label | Unplaced:
    """The cheapest free place, or where the hand that wrote the file wants it."""
    found, tried = _nudged(wish, crowd) if wish.nudge else _choose(wish, crowd)
    if wish.instead and (found is None or found.poor):
        less = place(wish.instead, crowd)
        if found is None or (isinstance(less, Label) and not less.place.poor):
            return less
    if found is None:
        return Unplaced(wish.name, wish.says, tried)
    return Label(wish.name, wish.paint(found), found)


def take(wish: Wish, label: Label, crowd: Crowd) -> None:
    """Keep everything that comes later off a label."""
    chosen = label.place.chosen
    if wish.radius:
        crowd.add_disc(label.place.centre, wish.radius, "label")
    else:
        crowd.add_box(label.place.box, "label")
    for line in chosen.lines if chosen else ():
        crowd.add_line(line, "label", 2 * chosen.clear if chosen else 0.0)


def _nudged(wish: Wish, crowd: Crowd) -> tuple[Place | None, tuple[Tried, ...]]:
    """Where the hand that wrote the file wants it, whatever lies there."""
    first = next(iter(wish.candidates), None)
    if first is None or wish.nudge is None:
        return None, ()
    (x, y), (dx, dy) = first.centre, (wish.nudge.right_mm, wish.nudge.down_mm)
    box = box_at((x + dx, y + dy), *wish.size)
    covers = crowd.covered([box], wish.passing)[0]
    reason = f"moved by hand, onto: {covers}" if covers else "moved by hand"
    return Place(box, first.target, (Tried(box, reason),), covers=covers), ()


def _choose(wish: Wish, crowd: Crowd) -> tuple[Place | None, tuple[Tried, ...]]:
    tried: list[Tried] = []
    apart: Place | None = None
    places = cheapest_first(wish.candidates, wish.surcharge)
    while some := list(islice(places, AT_ONCE)):
        boxes = [box_at(one.centre, *(one.size or wish.size)) for one in some]
        over = [one.over for one in some]
        reasons = _covered(boxes, over, wish, crowd)
        for candidate, box, reason in zip(some, boxes, reasons, strict=True):
            reason = reason or _lines_covered(candidate, crowd, wish.passing)
            between = "" if reason else _between(candidate, box, crowd)
            tried.append(Tried(box, reason or (between and f"beyond {between}")))
            if not reason and not between:
                return Place(box, candidate.target, tuple(tried), candidate), ()
            if between and apart is None:
                apart = Place(box, candidate.target, (), candidate, apart=True)
    if apart:
        return replace(apart, tried=tuple(tried)), ()
    return None, tuple(tried)


def _between(candidate: Candidate, box: Box, crowd: Crowd) -> str:
    """The rail or track that parts a label from what it points at; empty if nothing does."""
    if candidate.near is None:
        return ""
    others = candidate.near.union(kind for kind in crowd.kinds if not kind.startswith(PARTING))
    return crowd.line_covered(box.nearest(candidate.target), candidate.target, 0.0, others)


def _covered(boxes: list[Box], over: list[bool], wish: Wish, crowd: Crowd) -> list[str]:
    """What each place would lie on; a round sign is tested as several boxes."""
    passing = wish.passing
    if any(over):
        # Candidates of one price step are all of a kind, so a mixed handful is tested apart.
        if not all(over):
            return [
                _covered([box], [one], wish, crowd)[0] for box, one in zip(boxes, over, strict=True)
            ]
        passing = passing | frozenset(k for k in crowd.kinds if k.startswith(("track", "stride")))
    if not wish.radius:
        return crowd.covered(boxes, passing)
    parts = [part for box in boxes for part in round_boxes(_middle(box), wish.size[0] / 2)]
    every = crowd.covered(parts, passing)
    each = len(parts) // len(boxes)
    return [next((r for r in every[n : n + each] if r), "") for n in range(0, len(every), each)]


def _middle(box: Box) -> Point:
    return (box.left + box.right) / 2, (box.top + box.bottom) / 2


def _lines_covered(candidate: Candidate, crowd: Crowd, passing: frozenset[str]) -> str:
    if candidate.poled:
        passing = passing | frozenset(k for k in crowd.kinds if k.startswith(CROSSED))
    for a, b in candidate.lines:
        found = crowd.line_covered(a, b, candidate.clear, passing)
        if found:
            return found
    return ""


def label_size(lines: Iterable[LabelLine]) -> tuple[float, float]:
    """Width and height in mm of lines of text, with padding."""
    rows = list(lines)
    width = max(text_width(row.text, row.size, row.weight) for row in rows)
    height = sum(row.size * LINE_GAP for row in rows)
    return width + 2 * PADDING, height + 2 * PADDING


def text_wish(
    name: str,
    lines: tuple[LabelLine, ...],
    candidates: Iterable[Candidate],
    nudge: Nudge | None = None,
    meaning: str = "",
    passing: frozenset[str] = frozenset(),
) -> Wish:
    """Lines of text under each other."""
    says = ", ".join(line.text for line in lines)
    says = f"{says} ({meaning})" if meaning else says

    def paint(place: Place) -> Group:
        return Group(f"label-{name}", tuple(text_marks(lines, place)))

    if not isinstance(candidates, Ranked):
        candidates = tuple(candidates)
    return Wish(name, says, label_size(lines), candidates, paint, nudge, passing)


def box_at(centre: Point, width: float, height: float) -> Box:
    """A box round its middle."""
    x, y = centre
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def text_marks(lines: Iterable[LabelLine], place: Place) -> Iterator[Text]:
    """The lines of a label under each other, centred in its box."""
    top = place.box.top + PADDING
    for line in lines:
        # The middle of the capitals lies in the middle of the row.
        baseline = top + line.size * (LINE_GAP / 2 + 0.33)
        at = (place.centre[0], baseline)
        yield Text(at, line.text, line.size, line.weight, "middle", 0.0, line.colour)
        top += line.size * LINE_GAP


def around_point(
    point: Point,
    size: tuple[float, float],
    gaps: tuple[float, ...] = (1.5, 3.5, 6.0, 10.0),
) -> Iterator[Candidate]:
    """Candidates in eight directions round a point, nearest first."""
    width, height = size
    for gap in gaps:
        for n, (dx, dy) in enumerate(_DIRECTIONS):
            reach_x, reach_y = dx * (width / 2 + gap), dy * (height / 2 + gap)
            centre = (point[0] + reach_x, point[1] + reach_y)
            yield Candidate(centre, point, gap + n * 0.05)


_DIRECTIONS = ((1, 0), (-1, 0), (0, -1), (0, 1), (1, -1), (-1, -1), (1, 1), (-1, 1))
