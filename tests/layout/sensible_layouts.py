"""Random exercises that are known to fit: laid out fence by fence, ridden, checked, kept if clean.

What is kept is the text without a single place, and the poses that it was laid out at.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass, field

from msgspec.structs import replace

from diagram.checks import rules
from diagram.geometry.bend import bend, vertex_distances
from diagram.geometry.corner import reach, run
from diagram.geometry.pose import Pose
from diagram.model import Definition, validate
from diagram.placing.arrange import Layout
from diagram.placing.posing import PosedExercise
from diagram.planning import Plan, plan_of, read_setting
from diagram.source import read_text

ARENAS = ("60 x 30 m", "40 x 80 m", "60 x 25 m", "50 x 30 m", "70 x 35 m", "20 x 60 m", "75 x 45 m")
KINDS = (
    "{kind: vertical, ground line: both sides}",
    "{kind: vertical, ground line: both sides}",
    "{kind: oxer, spread: 2'6\", ground line: both sides}",
    "{kind: cross-rail, ground line: both sides}",
    "{kind: plank, ground line: both sides}",
)
NAMES = ("ash", "birch", "cedar", "elm", "fir", "hazel", "holly", "larch")

TRIES = 24
"""Tries for each fence to be laid out well."""

BROKEN_BY_PLACES = (
    "fence-too-near-the-rail", "fences-collide", "line-not-straight", "bend-to-the-other-hand",
    "distance-off", "does-not-fit", "off-the-arena", "fence-in-the-way", "too-little-straight",
    "turn-too-tight",
)  # fmt: skip
"""Checks whose findings come of where fences stand, the quick ones first."""


@dataclass(frozen=True)
class Sensible:
    """An exercise without places, and places at which it is clean."""

    seed: int
    text: str
    poses: dict[str, Pose]

    @property
    def setting(self) -> PosedExercise:
        """The exercise read."""
        return setting_of(self.text)


def setting_of(text: str, name: str = "trial.yaml") -> PosedExercise:
    """What decides the places in a text."""
    document = read_text(text, name)
    return read_setting(document, validate(document, Definition))


def text_of(arena: str, fences: dict[str, str], ride: list[str]) -> str:
    """The text of an exercise."""
    lines = [
        "tapeline: 1", "title: Laid out", "purpose: To be found again.", "level: 2'9\"",
        f"arena: {arena}", "fences:", *(f"  {name}: {said}" for name, said in fences.items()),
        "ride:",
    ]  # fmt: skip
    for step in ride:
        lines.append(f"  - {step}")
        if step.startswith("jump"):
            lines.append("    purpose: Said.")
    return "\n".join(lines) + "\n"


def broken(plan: Plan) -> Iterator[str]:
    """Names of the checks that find fault with where fences stand; notes left out."""
    every = rules()
    for name in BROKEN_BY_PLACES:
        found = list(every[name].check(plan))
        if any(str(finding.severity) != "note" for finding in found):
            yield name


def clean(text: str, poses: dict[str, Pose]) -> bool:
    """Whether the exercise, ridden with its fences at `poses`, has no fault of place."""
    return not any(broken(plan_of(setting_of(text), Layout("placed as pinned", poses))))


@dataclass
class _Layer:
    """Lays one exercise out."""

    rng: random.Random
    arena: str
    fences: dict[str, str]
    setting: PosedExercise
    poses: dict[str, Pose] = field(default_factory=dict)
    ride: list[str] = field(default_factory=list)

    def keeps_clean(self) -> bool:
        """Whether the last way ridden has no fault, with the fences that stand so far."""
        fences = {name: said for name, said in self.fences.items() if name in self.poses}
        setting = setting_of(text_of(self.arena, fences, self.ride[-3:]))
        plan = plan_of(setting, Layout("placed as pinned", self.poses))
        way = tuple(leg for leg in plan.legs if leg.first and leg.second)
        return not any(broken(replace(plan, legs=way)))

    def facing(self, name: str, behind: bool) -> Pose:
        pose = self.poses[name]
        return pose.reversed() if behind else pose

    def half(self, name: str) -> float:
        return self.setting.fences[name].depth_m / 2

    def length(self, strides: int, first: str, second: str) -> float:
        fences, terms = self.setting.fences, self.setting.terms
        return terms.distance(strides, fences[first], fences[second], "canter", None).aim_m

    def stands_well(self, name: str, pose: Pose) -> bool:
        """Inside the arena with its standards, off the other fences, ground ahead and behind."""
        placed = self.setting.fences[name].at(pose)
        region = self.setting.arena.region
        if min(region.depth(p) for p in placed.outline) < 0.6:
            return False
        if min(region.depth(pose.ahead(way).point) for way in (10.0, -10.0)) < 2.0:
            return False
        return all(
            pose.distance(other.point) > 4.0 for key, other in self.poses.items() if key != name
        )

    def jump(self, name: str, behind: bool) -> None:
        self.ride.append(f"jump: {name}{' from behind' if behind else ''}")

    def anywhere(self, name: str) -> bool:
        """A fresh fence somewhere in the arena, of a few places that with most ground ahead."""
        x0, y0, x1, y1 = self.setting.arena.region.bounds
        places = []
        for _ in range(40):
            heading = self.rng.choice(
                [self.rng.uniform(-math.pi, math.pi), self.rng.randrange(4) * math.pi / 2]
            )
            pose = Pose(self.rng.uniform(x0 + 2, x1 - 2), self.rng.uniform(y0 + 2, y1 - 2), heading)
            if self.stands_well(name, pose):
                places.append(pose)
            if len(places) == 3:
                break
        region = self.setting.arena.region
        if places:
            self.poses[name] = max(places, key=lambda p: region.ray_length(p.point, p.direction))
        return bool(places)

    def by_line(self, first: str, behind: bool, name: str) -> bool:
        strides = self.rng.randint(2, 6)
        away = self.length(strides, first, name) + self.half(first) + self.half(name)
        pose = self.facing(first, behind).ahead(away)
        if not self.stands_well(name, pose):
            return False
        self.poses[name] = pose
        self.ride.append(f"line: {strides} strides")
        return True

    def by_bend(self, first: str, behind: bool, name: str) -> bool:
        """Round a bend, not always evenly, its angle said in half of the cases."""
        rng, manner = self.rng, self.setting.limits.canter.manner
        strides, left = rng.randint(4, 7), rng.random() < 0.5
        degrees = rng.randrange(20, 111, 5)
        turn, length = math.radians(degrees), self.length(strides, first, name)
        straights = length - manner.least_radius * float(run(turn)) - 2 * manner.out
        if straights < 0:
            return False
        radius = manner.least_radius + rng.random() * straights / float(run(turn))
        rest = length - radius * float(run(turn)) - 2 * manner.out
        before = manner.out + rest * rng.uniform(0.2, 0.8)
        after = length - radius * float(run(turn)) - before
        arm, signed = radius * reach(turn), turn if left else -turn
        vertex = self.facing(first, behind).ahead(self.half(first) + before + arm)
        pose = vertex.turned(signed).ahead(arm + after + self.half(name))
        if not self.stands_well(name, pose):
            return False
        self.poses[name] = pose
        angle = f" {degrees}°" if rng.random() < 0.5 else ""
        self.ride.append(f"bend: {'left' if left else 'right'}{angle}, {strides} strides")
        return True

    def by_turn(self, first: str, other: bool, name: str, behind: bool) -> None:
        """A turn to a fence that stands, mostly to the hand where there is more arena."""
        x0, y0, x1, y1 = self.setting.arena.region.bounds
        pose = self.facing(first, other)
        middle = Pose((x0 + x1) / 2, (y0 + y1) / 2, 0.0).seen_from(pose)
        left = (middle.y > 0) == (self.rng.random() < 0.8)
        self.ride.append(f"turn: {'left' if left else 'right'}")
        self.jump(name, behind)

    def closed(self, first: str, behind: bool) -> tuple[str, bool] | None:
        """A bend from the last fence to an earlier one in a count that happens to suit."""
        limits = self.setting.limits.canter
        start = self.facing(first, behind).ahead(self.half(first))
        others = [(n, b) for n in self.poses if n != first for b in (False, True)]
        self.rng.shuffle(others)
        for name, other in others:
            end = self.facing(name, other).ahead(-self.half(name))
            distances = vertex_distances(start, end)
            if distances is None or min(distances) < 0:
                continue
            for strides in range(3, 9):
                length = self.length(strides, first, name)
                found = bend(start, end, limits.manner.out, limits.manner.least_radius, length)
                turn = abs(found.turn) if found else 0.0
                if not found or not math.radians(17) < turn < math.radians(140):
                    continue
                if found.shortest + 0.02 < length < found.longest - 0.02:
                    hand = "left" if found.turn > 0 else "right"
                    self.ride.append(f"bend: {hand}, {strides} strides")
                    self.jump(name, other)
                    return name, other
        return None


def _laid_out(rng: random.Random) -> tuple[str, dict[str, Pose]] | None:
    arena = rng.choice(ARENAS)
    names = NAMES[: rng.choice((2, 3, 4, 4, 5, 5, 6, 6, 7, 8))]
    fences = {name: rng.choice(KINDS) for name in names}
    ride = [step for name in names for step in ("turn: left", f"jump: {name}")][1:]
    read = setting_of(text_of(arena, fences, ride))
    layer = _Layer(rng, arena, fences, read)
    if not layer.anywhere(names[0]):
        return None
    layer.jump(names[0], False)
    last, behind = names[0], False
    for name in names[1:]:
        if not _one_more(layer, last, behind, name):
            break
        last, behind = name, False
        if rng.random() < 0.3:
            last, behind = _one_again(layer, last, behind)
    if rng.random() < 0.7:
        layer.closed(last, behind)
    if len(layer.poses) < min(3, len(names)):
        return None
    fences = {name: fences[name] for name in layer.poses}
    text = text_of(arena, fences, ["start: canter", *layer.ride, "finish: straight on, walk"])
    return text, layer.poses


def _one_more(layer: _Layer, last: str, behind: bool, name: str) -> bool:
    """A fence more, by a line, a bend or a turn, such that the way to it is clean."""
    for _ in range(TRIES):
        length = len(layer.ride)
        way = layer.rng.choice(["line", "line", "bend", "bend", "turn"])
        if way == "turn" and layer.anywhere(name):
            layer.by_turn(last, behind, name, False)
        elif (way == "line" and layer.by_line(last, behind, name)) or (
            way == "bend" and layer.by_bend(last, behind, name)
        ):
            layer.jump(name, False)
        else:
            continue
        if layer.keeps_clean():
            return True
        del layer.ride[length:], layer.poses[name]
    return False


def _one_again(layer: _Layer, last: str, other: bool) -> tuple[str, bool]:
    """A turn back to a fence that stands, if a clean one is found; else the last jump."""
    length = len(layer.ride)
    for _ in range(3):
        again = layer.rng.choice([n for n in layer.poses if n != last])
        behind = layer.rng.random() < 0.5
        layer.by_turn(last, other, again, behind)
        if layer.keeps_clean():
            return again, behind
        del layer.ride[length:]
    return last, other


def sensible(seed: int) -> Sensible | None:
    """The exercise of a seed; None where it comes out with a fault."""
    made = _laid_out(random.Random(seed))
    return Sensible(seed, *made) if made and clean(*made) else None


def sensible_layouts(first_seed: int = 0) -> Iterator[Sensible]:
    """One sensible exercise after another, always the same ones."""
    seed = first_seed
    while True:
        found = sensible(seed)
        if found is not None:
            yield found
        seed += 1
