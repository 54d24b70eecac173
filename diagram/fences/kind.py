"""What every kind of fence says about itself, and what one fence of a kind is made of.

A fence is seen from above in its own frame: x runs the way it is first jumped, y to the left,
the origin in the middle of its footprint. Metres.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from msgspec import Struct

from diagram.trade.fence_facts import kind_facts
from diagram.trade.words import POLES

GroundLine = Literal["front", "both sides", "none"]
Raised = Literal["both ends", "left", "right"]
BarKind = Literal["pole", "low pole", "plank", "ground line"]


class Bar(Struct, frozen=True):
    """A pole or plank from end to end, and how high it lies."""

    kind: BarKind
    start: tuple[float, float]
    end: tuple[float, float]
    height_m: float


class FillerBox(Struct, frozen=True):
    """A solid filler: a wall, a gate, boxes. Corner to opposite corner."""

    kind: str
    near: tuple[float, float]
    far: tuple[float, float]


class Measures(Struct, frozen=True):
    """The measures of one fence, all settled.

    `front_m` is the height of the front pole, `width_m` the length of the poles, `pole_m` their
    thickness, `ground_line_m` how far before the fence its ground line lies. `raised` are the
    ends of a pole that lie off the ground, as the horse comes.
    """

    height_m: float
    front_m: float
    spread_m: float
    width_m: float
    pole_m: float
    ground_line_m: float
    filler: str | None = None
    ground_line: GroundLine = "front"
    raised: Raised = "both ends"


class Parts(Struct, frozen=True):
    """What stands and lies there. `planes` are the x of each pair of standards, front to back."""

    bars: tuple[Bar, ...]
    boxes: tuple[FillerBox, ...] = ()
    planes: tuple[float, ...] = ()
    safety_cups: tuple[float, ...] = ()


class Kind(Struct, frozen=True):
    """A kind of fence.

    `facts` is its name in the trade's figures, where its group, its angle limit, its usual
    spread and whether it may be jumped from behind are kept. `measures` are the keys a file may
    give it, `also` other names for it, `filler` what always fills it. `front` is the height of
    its front pole as a share of its height where the trade's figures say nothing of it. `seen`
    says what an eye over it sees, for the page of marks; `measured` where its height is taken
    if that is not along the whole top. A kind that is `composed` is a row of other fences; one
    that `places_only` brings a horse to its fence and is none itself.
    """

    name: str
    facts: str
    build: Callable[[Measures], Parts]
    measures: frozenset[str] = frozenset()
    also: tuple[str, ...] = ()
    filler: str | None = None
    front: float | None = None
    seen: str = ""
    measured: str = ""
    composed: bool = False
    places_only: bool = False

    @property
    def ridden_over(self) -> bool:
        """A pole, ridden over in the gait of the approach and counted as no effort."""
        return kind_facts(self.facts).group in POLES


def with_article(word: str) -> str:
    """``an oxer``, ``a vertical``."""
    return f"{'an' if word[:1] in 'aeiou' else 'a'} {word}"


def across(kind: BarKind, x: float, width: float, height: float) -> Bar:
    """A bar square across the track at `x`."""
    return Bar(kind, (x, -width / 2), (x, width / 2), height)


def ground_lines(measures: Measures, front: float, back: float) -> tuple[Bar, ...]:
    """The ground lines asked for, before the front plane and behind the back one."""
    lines = []
    if measures.ground_line != "none":
        lines.append(across("ground line", front - measures.ground_line_m, measures.width_m, 0.0))
    if measures.ground_line == "both sides":
        lines.append(across("ground line", back + measures.ground_line_m, measures.width_m, 0.0))
    return tuple(lines)


def filler_box(measures: Measures, x: float, depth: float) -> tuple[FillerBox, ...]:
    """The filler under a fence, narrower than its poles, if it has one."""
    if not measures.filler:
        return ()
    half = measures.width_m / 2 - 0.2
    return (FillerBox(measures.filler, (x - depth / 2, -half), (x + depth / 2, half)),)


def one_plane(top: BarKind, depth: float, m: Measures) -> Parts:
    """A fence with one plane of standards: what lies on top, a filler so many metres deep."""
    bars = (across(top, 0.0, m.width_m, m.height_m), *ground_lines(m, 0.0, 0.0))
    return Parts(bars, filler_box(m, 0.0, depth), planes=(0.0,))
