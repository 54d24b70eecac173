"""Shapes of several fences said in one breath, as relations between them.

A circle, a box, a fan and a serpentine with their sizes are rigid: every fence stands at a known
pose seen from the first. An S, and a circle with no size said, only tell how fences are turned.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from diagram.exercise.arena import Arena
from diagram.exercise.arena_lines import UnknownNameError, lines_of
from diagram.geometry.pose import Pose
from diagram.model.said import ArrangedSaid, OnSaid
from diagram.placing.designer.carriers import LIKED_INSET_M
from diagram.solver.relations import Angled, Beyond, FacingIs, OnLine, Path, Relation

FAN_RAD = math.radians(20)
"""Between neighbours of a fan: no more than a horse is asked to meet a fence off straight
(common practice, no source)."""
FAN_M = 22.0
"""Metres from the first fence of a fan to the others where none are said: five strides."""
LOOP_OVER_LEAST = 2.5
"""A loop of a serpentine is as wide as a liked turn: its radius a quarter over the least."""
BOX_M = 18.0
"""Metres from side to side of a box where none are said: four strides over it."""


def shaped(
    said: ArrangedSaid, bodies: Sequence[int], left: bool, arena: Arena, least_radius: float,
    path: Path,
) -> list[Relation]:  # fmt: skip
    """The relations of a shape; `left` is the hand of the first turn between its fences."""
    hand = 1.0 if left else -1.0
    names = ", ".join(said.fences)
    words = f"{names} stand {said.how}"
    match said.how:
        case "on a circle":
            return _circle(said, bodies, hand, words, path)
        case "in a box":
            half = (said.size or BOX_M) / 2
            places = [Pose(0.0, 0.0, 0.0)] + [
                _round(n * math.pi / 2, half, hand, outward=True) for n in range(1, len(bodies))
            ]
            return _fixed(bodies, places, words, path)
        case "in a serpentine":
            wide = said.size or least_radius * LOOP_OVER_LEAST
            places, aside, side = [], 0.0, hand
            for n in range(len(bodies)):
                places.append(Pose(0.0, aside, math.pi * (n % 2)))
                aside += side * wide
            return _fixed(bodies, places, words, path)
        case "in a fan":
            far = said.size or FAN_M
            others = len(bodies) - 1
            places = [Pose(0.0, 0.0, 0.0)]
            for n in range(others):
                angle = (n - (others - 1) / 2) * FAN_RAD
                places.append(Pose(far * math.cos(angle), far * math.sin(angle), angle))
            return _fixed(bodies, places, words, path)
        case "in an s":
            turned = [(bodies[n], bodies[n + 2]) for n in range(len(bodies) - 2)]
            return [Angled(one, other, 0.0, path, words) for one, other in turned]
        case _:
            return _on_line(said, bodies, arena, words, path)


def _circle(
    said: ArrangedSaid, bodies: Sequence[int], hand: float, words: str, path: Path
) -> list[Relation]:
    """Evenly round a circle of a diameter; with none said, an even part of the turn for each."""
    step = 2 * math.pi / len(bodies)
    if said.size is None:
        return [
            Angled(bodies[0], body, hand * n * step, path, words)
            for n, body in enumerate(bodies) if n
        ]  # fmt: skip
    places = [_round(n * step, said.size / 2, hand, outward=False) for n in range(len(bodies))]
    return _fixed(bodies, places, words, path)


def _round(angle: float, radius: float, hand: float, outward: bool) -> Pose:
    """A pose on a circle seen from the first one on it, which faces along it or into it."""
    if outward:
        # The first faces the middle, `radius` ahead of it; the others face away from the middle.
        around = -math.pi + hand * angle
        return Pose(radius + radius * math.cos(around), radius * math.sin(around), around)
    return Pose(radius * math.sin(angle), hand * radius * (1 - math.cos(angle)), hand * angle)


def _fixed(bodies: Sequence[int], places: Sequence[Pose], words: str, path: Path) -> list[Relation]:
    pairs = zip(bodies[1:], places[1:], strict=True)
    return [Beyond(bodies[0], body, place, path, words) for body, place in pairs]


def _on_line(
    said: ArrangedSaid, bodies: Sequence[int], arena: Arena, words: str, path: Path
) -> list[Relation]:
    """Along one line of the arena: an outside line of any long side or of the one said."""
    if said.how == "on a diagonal":
        lines = lines_of(OnSaid("diagonal"), arena)
    else:
        long = max(math.dist(*edge) for edge in arena.sides.values())
        sides = [said.side] if said.side else [
            name for name, edge in arena.sides.items() if math.dist(*edge) > 0.99 * long
        ]  # fmt: skip
        lines = tuple(
            line for side in sides for line in lines_of(OnSaid("side", side, LIKED_INSET_M), arena)
        )
    out: list[Relation] = [OnLine(body, lines, True, path, words) for body in bodies]
    if said.rein is not None:
        if len(lines) != 1:
            raise UnknownNameError("rein", {"by bottom, left rein": None})
        # Sides run anticlockwise, so along them the inside of the ring is to the left.
        heading = lines[0][1] + (0.0 if said.rein == "left" else math.pi)
        out += [FacingIs(body, heading, False, path, words) for body in bodies]
    return out
