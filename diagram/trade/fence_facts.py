"""What fences are made of, how large they may be, and how each kind may be jumped."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Annotated, Literal

from pydantic import Field

from diagram.diagnostics import near
from diagram.trade.figures import Figure, Range
from diagram.trade.settings import USUAL, chosen
from diagram.trade.sheet import Angle, Count, Counts, Length, Lengths, Named, Sheet, load
from diagram.trade.words import Group

FromBehind = Literal["yes", "no", "with a ground line"]


class PartsCount(Sheet):
    """Pieces of one fence besides its poles. `cups` are the ordinary ones.

    `flat_cups` says how many of the cups must be flat, for what is hung and does not roll.
    """

    standards: int
    cups: int
    flat_cups: int = 0
    safety_cups: int
    planks: int
    source: str


class KindFacts(Sheet):
    """One kind of fence.

    `angle` is the largest angle to square that it is jumped at, in radians. `spread` is the
    usual spread as a share of the height, `water` how many metres of it lie under a pole,
    `front_lower` how many metres the front pole lies
    lower than the back one, `height` in metres is that of poles that lie off the ground.
    `poles` counts the ground line in.
    """

    name: str
    group: Group
    from_behind: FromBehind
    why_not: str = ""
    angle: Angle
    spread: Count | None = None
    water: Lengths | None = None
    front_lower: Length | None = Field(default=None, alias="front pole lower")
    height: Lengths | None = None
    poles: Counts
    parts: PartsCount


class _Poles(Sheet):
    lengths: dict[str, Length]
    usual: str
    outdoors: Lengths
    indoors: Lengths
    diameter: Lengths


class _Planks(Sheet):
    height: Length
    thickness: Length


class _Standards(Sheet):
    wing_width: Lengths
    wing_width_of_us_hunters: Length = Field(alias="wing width of US hunters")
    above_the_fence: Length
    foot_depth: Length


class _Cups(Sheet):
    depths: dict[str, Lengths]
    usual: str


class _GroundLine(Sheet):
    at_most: Length


class _CrossRail(Sheet):
    back_pole_above_the_crossing: Length
    height_of_the_ends: Count


class _Fences(Sheet):
    poles: _Poles
    planks: _Planks
    standards: _Standards
    cups: _Cups
    ground_line: _GroundLine
    cross_rail: _CrossRail = Field(alias="cross-rail")
    largest: dict[str, Length]
    kinds: Annotated[dict[str, KindFacts], Named]


@cache
def kind_facts(name: str) -> KindFacts:
    """A kind by its name. Raises KeyError for one that is not known."""
    kinds = _sheet().kinds
    if name not in kinds:
        raise KeyError(f'"{name}" is no kind of fence; {near(name, kinds)}')
    return kinds[name]


def usual_pole_length() -> Figure:
    """Metres of pole where nothing is said."""
    poles = _sheet().poles
    return poles.lengths[poles.usual]


def pole_diameter() -> Range:
    """Metres through a pole."""
    return _sheet().poles.diameter


def wing_width() -> Range:
    """Metres that a standard reaches out sideways from the end of the pole."""
    return _sheet().standards.wing_width


def standard_depth() -> Figure:
    """Metres that the feet of a standard reach along the track, both ways together."""
    return _sheet().standards.foot_depth


def ground_line_distance(judged_by: Mapping[str, str] = USUAL) -> Range:
    """Metres that a ground line lies before the fence: under it, as chosen, and at most."""
    found, most = chosen("ground lines", judged_by), _sheet().ground_line.at_most
    return Range(0.0, found.value, most.value, found.figure.source, f"at most: {most.source}")


def cross_rail_ends() -> Figure:
    """Height of the ends of a cross-rail, as so many times the height of its crossing."""
    return _sheet().cross_rail.height_of_the_ends


def half_way_up(crossing_m: float) -> float:
    """Metres that a cross-rail counts as: half-way from its crossing to the wing [R36]."""
    return crossing_m * (1 + cross_rail_ends().value) / 2


def crossing_of(height_m: float) -> float:
    """Where the poles of a cross-rail cross that counts as so high."""
    return height_m / half_way_up(1.0)


def largest_height() -> Figure:
    """Metres of the highest fence that the rules know."""
    return _sheet().largest["height"]


def largest_spread(facts: KindFacts) -> float:
    """Metres of the widest fence of a kind that the rules know; 0 where it has no spread."""
    if facts.water is not None:
        return facts.water.high
    names: dict[Group, str] = {"spread": "spread", "triple bar": "triple bar spread"}
    return _sheet().largest[names[facts.group]].value if facts.group in names else 0.0


def _sheet() -> _Fences:
    return load("fences", _Fences)
