"""What a library knows of one exercise: the figures that it is listed, found and chosen by.

An entry holds plain values only, so that it can be kept beside the library and read again
without planning the exercise anew. Lengths in metres.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from diagram.diagnostics import Severity
from diagram.library.fits import Rectangle, rectangles
from diagram.library.folding import fold

if TYPE_CHECKING:
    # An entry that is read again needs none of what plans one.
    from diagram.exercise.arena import Arena
    from diagram.exercise.equipment import Equipment
    from diagram.path.line import Crossing
    from diagram.planning import Plan


class Pieces(Struct, frozen=True):
    """What is carried out for an exercise, as the builder's leaf counts it: the name in
    `store.yaml`, the length in millimetres (0 for what has none), the number; `lines` of the
    poles, by length, are ground lines."""

    listed: tuple[tuple[str, int, int], ...]
    lines: tuple[tuple[int, int], ...] = ()

    def of(self, what: str) -> int:
        """How many of a thing, of all lengths."""
        return sum(number for name, _, number in self.listed if name == what)

    @property
    def poles(self) -> int:
        """Poles, ground lines among them."""
        return self.of("poles")

    @property
    def pairs(self) -> int:
        """Pairs of standards, an odd one counted as a pair."""
        return -(-self.of("standards") // 2)


class Entry(Struct, frozen=True, forbid_unknown_fields=True):
    """One exercise as a library lists it.

    `heights` are the lowest and the highest fence, 0 for poles alone; `jumps` counts every
    fence jumped in one round, `fences` those that stand. `fits` are the smallest rectangles it
    fits (`diagram.library.fits`). `rides` is how many it has, `stands` a key of where its fences
    stand. `stops` and `cautions` are what the checks found. `words` is what a search looks
    through, folded.
    """

    stem: str
    title: str
    purpose: str
    teaches: tuple[str, ...]
    skills: tuple[str, ...]
    suits: tuple[str, ...]
    heights: tuple[float, float]
    fences: int
    jumps: int
    spreads: int
    minutes: int | None
    rounds: int | None
    minutes_per_round: float | None
    riders: int | None
    two_groups: bool
    horses: str
    scenario: str
    arena: str
    arena_size: Rectangle
    fits: tuple[Rectangle, ...]
    pieces: Pieces
    after: tuple[str, ...]
    before: tuple[str, ...]
    authors: tuple[str, ...]
    licence: str
    rides: int
    stands: str
    stops: int
    cautions: int
    allowed: tuple[str, ...]
    words: str

    @property
    def main(self) -> str:
        """The group it is filed under; empty where the exercise says none."""
        return self.teaches[0] if self.teaches else ""


def entry_of(plan: Plan, stem: str, others: Sequence[Plan] = ()) -> Entry:
    """The entry of a planned exercise whose file is called `stem`; `others` are its rides after
    the first. Of several rides that with most jumps is counted, and the longest."""
    from diagram.exercise.equipment import equipment_of, in_all

    said, rides = plan.definition, (plan, *others)
    jumped = max((_jumped(ride) for ride in rides), key=len)
    return Entry(
        stem=stem,
        title=said.title,
        purpose=said.purpose,
        teaches=said.teaches,
        skills=said.skills,
        suits=said.suits or _suits(plan),
        heights=said.heights or heights_of(plan),
        fences=len({fence.fence.whole or fence.name for fence in plan.fences}),
        jumps=len(jumped),
        spreads=sum(crossing.fence.fence.depth_m > 0 for crossing in jumped),
        minutes=said.minutes,
        rounds=said.rounds,
        minutes_per_round=said.minutes_per_round,
        riders=said.riders,
        two_groups=said.two_groups,
        horses=plan.terms.horses.size,
        scenario=said.scenario or "",
        arena=arena_name(plan.arena),
        arena_size=plan.arena.size,
        fits=rectangles(plan, others),
        pieces=pieces_of(in_all(equipment_of(placed.fence) for placed in plan.fences)),
        after=said.comes_after,
        before=said.comes_before,
        authors=said.authors,
        licence=said.licence or "",
        rides=len(rides),
        stands=stands_key(plan),
        stops=_count(rides, Severity.STOP),
        cautions=_count(rides, Severity.CAUTION),
        allowed=tuple(said.allow),
        words=_words(plan),
    )


def arena_name(arena: Arena) -> str:
    """The name without what stands behind a comma: ``Summer field``."""
    return arena.name.partition(",")[0]


def heights_of(plan: Plan) -> Rectangle:
    """Lowest and highest fence in metres; poles on the ground count only where nothing else is."""
    high = [f.fence.measures.height_m for f in plan.fences if not f.fence.kind.ridden_over]
    return (round(min(high), 4), round(max(high), 4)) if high else (0.0, 0.0)


def stands_key(plan: Plan) -> str:
    """A key of where the fences stand, to a centimetre: layout code that places them otherwise
    gives another."""
    places = [
        (f.name, *(round(value, 2) + 0.0 for value in (*f.pose.point, *f.pose.direction)))
        for f in plan.fences
    ]
    return hashlib.sha256(repr(places).encode()).hexdigest()[:16]


def pieces_of(equipment: Equipment) -> Pieces:
    """The count of the leaf as an entry keeps it."""
    listed = tuple(item for item in equipment.listed() if item[2])
    return Pieces(listed, tuple(sorted(equipment.ground_lines.items())))


def _suits(plan: Plan) -> tuple[str, ...]:
    horses = plan.terms.horses
    kind = "ponies" if "pony" in horses.size else "horses"
    return (kind, "green horses") if horses.experience == "green" else (kind,)


def _count(rides: Sequence[Plan], severity: Severity) -> int:
    found = {finding for ride in rides for finding in ride.findings}
    return sum(finding.severity is severity for finding in found)


def _jumped(plan: Plan) -> list[Crossing]:
    return [c for c in plan.crossings if not c.fence.fence.kind.ridden_over]


def _words(plan: Plan) -> str:
    """Title, purpose, skills, groups, fences and arena as one folded text."""
    said = plan.definition
    kinds = [f"{f.name} {f.fence.kind.name} {f.fence.measures.filler or ''}" for f in plan.fences]
    parts = [
        said.title, said.purpose, *said.skills, *said.teaches, *dict.fromkeys(kinds),
        arena_name(plan.arena),
    ]  # fmt: skip
    return fold(" ".join(" ".join(parts).split()))
