"""What fences are made of, how large they may be, and how each kind may be jumped."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from diagram.diagnostics import near
from diagram.source import Node
from diagram.trade.figures import Figure, Range, data_file
from diagram.trade.reading import Reader, number
from diagram.trade.words import GROUPS, Group
from diagram.units import parse_angle

FromBehind = Literal["yes", "no", "with a ground line"]
FROM_BEHIND: tuple[FromBehind, ...] = ("yes", "no", "with a ground line")


@dataclass(frozen=True, slots=True)
class PartsCount:
    """Pieces of one fence besides its poles. `cups` are the ordinary ones."""

    standards: int
    cups: int
    safety_cups: int
    planks: int
    source: str


@dataclass(frozen=True, slots=True)
class KindFacts:
    """One kind of fence.

    `angle` is the largest angle to square that it is jumped at, in radians. `spread` is the
    usual spread as a share of the height, `front_lower` how many metres the front pole lies
    lower than the back one, `height` in metres is that of poles that lie off the ground.
    `poles` counts the ground line in.
    """

    name: str
    group: Group
    from_behind: FromBehind
    why_not: str
    angle: Figure
    spread: Figure | None
    front_lower: Figure | None
    height: Range | None
    poles: Range
    parts: PartsCount


@dataclass(frozen=True, slots=True)
class _Measures:
    pole_lengths: dict[str, Figure]
    usual_pole: str
    outdoors: Range
    indoors: Range
    diameter: Range
    plank_height: Figure
    plank_thickness: Figure
    wing_width: Range
    above_fence: Figure
    foot_depth: Figure
    cup_depths: dict[str, Range]
    usual_cup: str
    ground_line: Range
    back_pole_above_crossing: Figure
    cross_rail_ends: Figure
    largest: dict[str, Figure]


@dataclass(frozen=True, slots=True)
class _Facts:
    measures: _Measures
    kinds: dict[str, KindFacts]


def kind_facts(name: str) -> KindFacts:
    """A kind by its name. Raises KeyError for one that is not known."""
    kinds = _facts().kinds
    if name not in kinds:
        raise KeyError(f'"{name}" is no kind of fence; {near(name, kinds)}')
    return kinds[name]


def kind_names() -> tuple[str, ...]:
    """All kinds, in the order of the data file."""
    return tuple(_facts().kinds)


def pole_lengths() -> tuple[tuple[str, Figure], ...]:
    """Lengths of pole in metres, by the name the trade gives them."""
    return tuple(_facts().measures.pole_lengths.items())


def usual_pole_length() -> Figure:
    """Metres of pole where nothing is said."""
    measures = _facts().measures
    return measures.pole_lengths[measures.usual_pole]


def pole_length_for(where: Literal["indoors", "outdoors"]) -> Range:
    """Metres of pole that the rules have indoors or outdoors."""
    measures = _facts().measures
    return measures.indoors if where == "indoors" else measures.outdoors


def pole_diameter() -> Range:
    """Metres through a pole."""
    return _facts().measures.diameter


def plank_size() -> tuple[Figure, Figure]:
    """Height and thickness of a plank in metres."""
    measures = _facts().measures
    return measures.plank_height, measures.plank_thickness


def wing_width() -> Range:
    """Metres that a standard reaches out sideways from the end of the pole."""
    return _facts().measures.wing_width


def standard_above_fence() -> Figure:
    """Metres that a standard stands higher than its fence, at least."""
    return _facts().measures.above_fence


def standard_depth() -> Figure:
    """Metres that the feet of a standard reach along the track, both ways together."""
    return _facts().measures.foot_depth


def cup_depths() -> tuple[tuple[str, Range], ...]:
    """Depth of cups in metres by body. The bodies do not agree."""
    return tuple(_facts().measures.cup_depths.items())


def usual_cup_depth() -> Range:
    """Depth of a cup in metres where no body is named."""
    measures = _facts().measures
    return measures.cup_depths[measures.usual_cup]


def ground_line_distance() -> Range:
    """Metres that a ground line lies before the fence."""
    return _facts().measures.ground_line


def back_pole_above_crossing() -> Figure:
    """Metres that a level pole behind a cross lies above its crossing, at least."""
    return _facts().measures.back_pole_above_crossing


def cross_rail_ends() -> Figure:
    """Height of the ends of a cross-rail, as so many times the height of its crossing."""
    return _facts().measures.cross_rail_ends


def largest_height() -> Figure:
    """Metres of the highest fence that the rules know."""
    return _facts().measures.largest["height"]


def largest_spread(group: Group) -> float:
    """Metres of the widest fence of a group that the rules know; 0 where it has no spread."""
    names: dict[Group, str] = {"spread": "spread", "triple bar": "triple bar spread"}
    return _facts().measures.largest[names[group]].value if group in names else 0.0


def allowed_over() -> tuple[Figure, Figure]:
    """Metres that height and spread may come out over what was asked."""
    largest = _facts().measures.largest
    return largest["allowed over height"], largest["allowed over spread"]


@lru_cache(maxsize=1)
def _facts() -> _Facts:
    document = data_file("fences")
    reader = Reader(document)
    names = (
        "poles", "planks", "standards", "cups", "ground line", "cross-rail", "largest", "kinds",
    )  # fmt: skip
    top = reader.fields(document.root, "the file", names, names)
    kinds = {name: _kind(reader, name, node) for name, node in _named(reader, top["kinds"])}
    found = _Facts(_measures(reader, top), kinds)
    reader.finish()
    return found


def _measures(reader: Reader, top: dict[str, Node]) -> _Measures:
    poles = dict(_named(reader, top["poles"]))
    planks = dict(_named(reader, top["planks"]))
    standards = dict(_named(reader, top["standards"]))
    cups = dict(_named(reader, top["cups"]))
    cross = dict(_named(reader, top["cross-rail"]))
    ground = dict(_named(reader, top["ground line"]))
    return _Measures(
        pole_lengths={n: reader.figure(node, n) for n, node in _named(reader, poles["lengths"])},
        usual_pole=reader.text(poles["usual"]),
        outdoors=reader.range(poles["outdoors"], "poles outdoors"),
        indoors=reader.range(poles["indoors"], "poles indoors"),
        diameter=reader.range(poles["diameter"], "diameter"),
        plank_height=reader.figure(planks["height"], "height"),
        plank_thickness=reader.figure(planks["thickness"], "thickness"),
        wing_width=reader.range(standards["wing width"], "wing width"),
        above_fence=reader.figure(standards["above the fence"], "above the fence"),
        foot_depth=reader.figure(standards["foot depth"], "foot depth"),
        cup_depths={n: reader.range(node, n) for n, node in _named(reader, cups["depths"])},
        usual_cup=reader.text(cups["usual"]),
        ground_line=reader.range(ground["ahead of the fence"], "ground line"),
        back_pole_above_crossing=reader.figure(cross["back pole above the crossing"], "crossing"),
        cross_rail_ends=reader.figure(cross["height of the ends"], "ends", number),
        largest={n: reader.figure(node, n) for n, node in _named(reader, top["largest"])},
    )


def _named(reader: Reader, node: Node) -> list[tuple[str, Node]]:
    return [(key.text, value) for key, value in reader.entries(node, "this part of the file")]


_KIND = (
    "group", "from behind", "why not", "angle", "spread", "front pole lower", "height", "poles",
    "parts",
)  # fmt: skip


def _kind(reader: Reader, name: str, node: Node) -> KindFacts:
    needed = ("group", "from behind", "angle", "poles", "parts")
    found = reader.fields(node, name, _KIND, needed)
    lower, spread, height = found.get("front pole lower"), found.get("spread"), found.get("height")
    return KindFacts(
        name=name,
        group=reader.word(found["group"], "group of fences", GROUPS) or "vertical",
        from_behind=reader.word(found["from behind"], "answer", FROM_BEHIND) or "no",
        why_not=reader.text(found.get("why not")),
        angle=reader.figure(found["angle"], "angle", parse_angle),
        spread=reader.figure(spread, "spread", number) if spread else None,
        front_lower=reader.figure(lower, "front pole") if lower else None,
        height=reader.range(height, "height") if height else None,
        poles=reader.range(found["poles"], "poles", number),
        parts=_parts(reader, found["parts"]),
    )


def _parts(reader: Reader, node: Node) -> PartsCount:
    names = ("standards", "cups", "safety cups", "planks", "source")
    found = reader.fields(node, "parts", names, names)
    standards, cups, safety, planks = (
        int(reader.measure(found[name], number, 0.0)) for name in names[:4]
    )
    return PartsCount(standards, cups, safety, planks, reader.text(found["source"]))
