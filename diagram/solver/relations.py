"""What a file asks of the places of its fences, as values.

A body is a written fence, or a whole combination, that is carried about in one piece. A relation
ties the poses of one body or more, and knows where in the file it is written. Lengths in metres,
headings in radians, all in the arena's frame or in that of a body.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Self

from msgspec import Struct
from msgspec.structs import replace

from diagram.exercise.fence import Fence
from diagram.geometry.pose import Point, Pose
from diagram.geometry.region import Region
from diagram.path.limits import Limits
from diagram.solver.constraints.angled import Angled
from diagram.solver.constraints.as_far import AsFar
from diagram.solver.constraints.beyond import Beyond
from diagram.solver.constraints.faces_mark import FacesMark
from diagram.solver.constraints.facing import FacingIs
from diagram.solver.constraints.mirror import Mirrored
from diagram.solver.constraints.on_line import OnLine
from diagram.solver.constraints.place import PlaceIs
from diagram.solver.constraints.said import Path

__all__ = [
    "TIES",
    "Angled",
    "AsFar",
    "Bending",
    "Beyond",
    "Body",
    "End",
    "FacesMark",
    "FacingIs",
    "Mirrored",
    "OnLine",
    "Open",
    "Path",
    "PlaceIs",
    "Problem",
    "Relation",
    "Straight",
    "Turning",
    "posed_by",
    "renumbered",
]


class Body(Struct, frozen=True):
    """What is placed in one piece: single fences, each with its pose in the body's frame."""

    name: str
    parts: tuple[tuple[Fence, Pose], ...]


class End(Struct, frozen=True):
    """Where a track leaves a body or comes to it: a pose in the body's frame, facing as ridden."""

    body: int
    pose: Pose
    fence: str

    def renumbered(self, numbers: Mapping[int, int]) -> End:
        """With another number for its body."""
        return replace(self, body=numbers[self.body])

    def mirrored(self) -> End:
        """As it is seen in a mirror."""
        return replace(self, pose=self.pose.mirrored())


class Track(Struct, frozen=True):
    """A way from one end to the next."""

    first: End
    second: End

    @property
    def bodies(self) -> tuple[int, ...]:
        """Numbers of the bodies at both ends."""
        return (self.first.body, self.second.body)

    def renumbered(self, numbers: Mapping[int, int]) -> Self:
        """With other numbers for its bodies."""
        first, second = self.first.renumbered(numbers), self.second.renumbered(numbers)
        return replace(self, first=first, second=second)

    def mirrored(self, total: float) -> Self:  # noqa: ARG002
        """As it is seen in a mirror."""
        first, second = self.first.mirrored(), self.second.mirrored()
        return replace(self, first=first, second=second)


class TrackToAHand(Track, frozen=True):
    """A way that goes to the `left`, or to the right."""

    left: bool

    def mirrored(self, total: float) -> Self:  # noqa: ARG002
        """As it is seen in a mirror, to its other hand."""
        first, second = self.first.mirrored(), self.second.mirrored()
        return replace(self, first=first, second=second, left=not self.left)


class Straight(Track, frozen=True):
    """A straight line from one end to the next, `length` long if that is said.

    Where both bodies are pinned it is `given`: asked of nobody, and only kept clear.
    """

    length: float | None
    least: float
    path: Path
    words: str
    given: bool = False


class Bending(TrackToAHand, frozen=True):
    """One bend from one end to the next, to the `left` or the right.

    Straight for `straight` metres at both ends, no tighter than `radius`; `turn` (positive) and
    `length` if they are said. A second way through the same two fences has instead a range of
    lengths to lie `between`. A `round` bend is all arc, from end to end; `exact` is its radius, or
    that of any bend, if it is said; `liked` are the radius and the straights that a bend of which
    less is said comes to where there is room.
    """

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


class Turning(TrackToAHand, frozen=True):
    """A turn through the arena. Only its hand is asked for, and of a `tight` one that it is short;
    the rest is room."""

    straight: float
    radius: float
    path: Path
    words: str
    tight: bool = False


Relation = (
    PlaceIs | FacingIs | FacesMark | OnLine | Beyond | Straight | Bending | Turning | Angled
    | Mirrored | AsFar
)  # fmt: skip

TIES = (Straight, Bending, Beyond)
"""Relations that say where one body stands when the other stands."""


class Open(Struct, frozen=True):
    """The way to the first fence (an `approach`, its end turned round) or from the last one.

    Straight, or with a quarter turn to the `left` or right, or a circle of `radius`. What goes
    `back` comes round to the left or right and over the same fence again: it opens out first, and
    is on its line again before the fence. A straight one may be `short`, of one stride, where no
    more can be had, which is a matter for a caution. A ride that comes in where the file says has a
    place to `begin` at, and the hand that it turns to on its `lead` (True for left).
    """

    end: End
    approach: bool
    left: bool | None
    radius: float
    circle: bool
    path: Path
    words: str
    back: bool = False
    begin: Pose | None = None
    lead: bool | None = None
    short: bool = False


class Problem(Struct, frozen=True):
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
        return relation.bodies


def renumbered(relation: Relation, numbers: Mapping[int, int]) -> Relation:
    """The relation with other numbers for its bodies."""
    return relation.renumbered(numbers)


def posed_by(relation: Relation) -> bool:
    """Whether a relation says anything of where bodies stand; a turn only wants room."""
    if isinstance(relation, Straight | Bending):
        return not relation.given
    return not isinstance(relation, Turning)
