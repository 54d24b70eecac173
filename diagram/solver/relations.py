"""What a file asks of the places of its fences, as values.

A body is a written fence, or a whole combination, that is carried about in one piece. A relation
ties the poses of one body or more, and knows where in the file it is written. Lengths in metres,
headings in radians, all in the arena's frame or in that of a body.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from diagram.exercise.fence import Fence
from diagram.geometry.pose import Point, Pose
from diagram.geometry.region import Region
from diagram.path.limits import Limits

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Body:
    """What is placed in one piece: single fences, each with its pose in the body's frame."""

    name: str
    parts: tuple[tuple[Fence, Pose], ...]


@dataclass(frozen=True, slots=True)
class End:
    """Where a track leaves a body or comes to it: a pose in the body's frame, facing as ridden."""

    body: int
    pose: Pose
    fence: str


@dataclass(frozen=True, slots=True)
class PlaceIs:
    """The middle of a body is given."""

    body: int
    point: Point
    path: Path
    words: str


@dataclass(frozen=True, slots=True)
class FacingIs:
    """The heading of a body is given; `either` if it may as well face the other way."""

    body: int
    heading: float
    either: bool
    path: Path
    words: str


@dataclass(frozen=True, slots=True)
class FacesMark:
    """A body faces a point."""

    body: int
    point: Point
    path: Path
    words: str


@dataclass(frozen=True, slots=True)
class OnLine:
    """The middle of a body lies on one of some straight lines, each a point and a heading.

    With `along` the body is jumped along the line, one way or the other.
    """

    body: int
    lines: tuple[tuple[Point, float], ...]
    along: bool
    path: Path
    words: str


@dataclass(frozen=True, slots=True)
class Beyond:
    """`second` stands at a fixed pose seen from `first`."""

    first: int
    second: int
    offset: Pose
    path: Path
    words: str


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight line from one end to the next, `length` long if that is said.

    Where both bodies are pinned it is `given`: asked of nobody, and only kept clear.
    """

    first: End
    second: End
    length: float | None
    least: float
    path: Path
    words: str
    given: bool = False


@dataclass(frozen=True, slots=True)
class Bending:
    """One bend from one end to the next, to the `left` or the right.

    Straight for `straight` metres at both ends, no tighter than `radius`; `turn` (positive) and
    `length` if they are said. A second way through the same two fences has instead a range of
    lengths to lie `between`. A `round` bend is all arc, from end to end; `exact` is its radius, or
    that of any bend, if it is said; `liked` are the radius and the straights that a bend of which
    less is said comes to where there is room.
    """

    first: End
    second: End
    left: bool
    turn: float | None
    length: float | None
    straight: float
    radius: float
    path: Path
    words: str
    between: tuple[float, float] | None = None
    given: bool = False
    round: bool = False
    exact: float | None = None
    liked: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Turning:
    """A turn through the arena. Only its hand is asked for; the rest is room."""

    first: End
    second: End
    left: bool
    straight: float
    radius: float
    path: Path
    words: str


@dataclass(frozen=True, slots=True)
class Angled:
    """Two bodies whose headings differ by `turn`, or by that and half a turn."""

    first: int
    second: int
    turn: float
    path: Path
    words: str


@dataclass(frozen=True, slots=True)
class Mirrored:
    """Each of two bodies stands where the other would be seen in a mirror along a line."""

    first: int
    second: int
    point: Point
    heading: float
    path: Path
    words: str


@dataclass(frozen=True, slots=True)
class AsFar:
    """Two pairs of bodies stand equally far apart, middle to middle."""

    bodies: tuple[int, int, int, int]
    path: Path
    words: str


Relation = (
    PlaceIs | FacingIs | FacesMark | OnLine | Beyond | Straight | Bending | Turning | Angled
    | Mirrored | AsFar
)  # fmt: skip

TIES = (Straight, Bending, Beyond)
"""Relations that say where one body stands when the other stands."""


@dataclass(frozen=True, slots=True)
class Open:
    """The way to the first fence (an `approach`, its end turned round) or from the last one.

    Straight, or with a quarter turn to the `left` or right, or a circle of `radius`.
    """

    end: End
    approach: bool
    left: bool | None
    radius: float
    circle: bool
    path: Path
    words: str


@dataclass(frozen=True, slots=True)
class Problem:
    """Everything that decides where the bodies of one exercise stand."""

    bodies: tuple[Body, ...]
    relations: tuple[Relation, ...]
    opens: tuple[Open, ...]
    region: Region
    limits: Limits
    posts: tuple[Point, ...] = ()

    @property
    def size(self) -> int:
        """Number of unknowns: three for each body and turn, one for each bend."""
        bends = sum(isinstance(r, Bending) for r in self.relations)
        turns = sum(isinstance(r, Turning) for r in self.relations)
        return 3 * len(self.bodies) + bends + 3 * turns

    def indices_of(self, relation: Relation) -> tuple[int, ...]:
        """Numbers of the bodies that a relation speaks of."""
        match relation:
            case PlaceIs() | FacingIs() | FacesMark() | OnLine():
                return (relation.body,)
            case Beyond() | Angled() | Mirrored():
                return (relation.first, relation.second)
            case AsFar():
                return relation.bodies
            case Straight() | Bending() | Turning():
                return (relation.first.body, relation.second.body)


def renumbered(relation: Relation, numbers: Mapping[int, int]) -> Relation:
    """The relation with other numbers for its bodies."""

    def end(old: End) -> End:
        return replace(old, body=numbers[old.body])

    match relation:
        case PlaceIs() | FacingIs() | FacesMark() | OnLine():
            return replace(relation, body=numbers[relation.body])
        case Beyond() | Angled() | Mirrored():
            return replace(relation, first=numbers[relation.first], second=numbers[relation.second])
        case AsFar(bodies=(a, b, c, d)):
            return replace(relation, bodies=(numbers[a], numbers[b], numbers[c], numbers[d]))
        case Straight() | Bending() | Turning():
            return replace(relation, first=end(relation.first), second=end(relation.second))


def posed_by(relation: Relation) -> bool:
    """Whether a relation says anything of where bodies stand; a turn only wants room."""
    if isinstance(relation, Straight | Bending):
        return not relation.given
    return not isinstance(relation, Turning)
