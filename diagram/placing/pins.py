"""What a file says of where fences stand: at a point, on a line, facing something, beyond another.

Whatever is said becomes a relation; fences of which everything is said stand at once.
"""

from __future__ import annotations

import math

from msgspec import Struct

from diagram.diagnostics import Diagnostic, Severity, near
from diagram.exercise.arena_lines import UnknownNameError, direction_hint, lines_of, place_hint
from diagram.exercise.course import Path, element_names
from diagram.exercise.exercise import Exercise
from diagram.exercise.fence import Fence, PlacedFence
from diagram.exercise.terms import aim
from diagram.geometry.bend import bend_of
from diagram.geometry.pose import Point, Pose
from diagram.model.definition import FenceWritten
from diagram.model.said import PlacedSaid, WaySaid
from diagram.path.limits import Limits
from diagram.solver.relations import (
    Beyond,
    Body,
    FacesMark,
    FacingIs,
    OnLine,
    PlaceIs,
    Relation,
)
from diagram.trade.words import Gait
from diagram.units import UnitError, parse_angle


class Pinned(Struct, frozen=True):
    """What the file says of places: bodies in its order, relations, and the poses settled by them.

    `poses` are those of bodies of which everything is said.
    """

    bodies: tuple[Body, ...]
    relations: tuple[Relation, ...]
    poses: dict[str, Pose]

    def place(self, poses: dict[str, Pose]) -> dict[str, PlacedFence]:
        """The single fences by name, with their bodies at `poses`."""
        return {
            fence.name: fence.at(offset.placed_in(poses[body.name]))
            for body in self.bodies
            for fence, offset in body.parts
        }


def read_pins(given: Exercise, limits: Limits) -> tuple[Pinned, list[Diagnostic]]:
    """All that is said of places, and every error in it."""
    pins = _Pins(given, limits)
    for name in given.definition.fences:
        pins.place(name, ())
    found = Pinned(tuple(pins.bodies.values()), tuple(pins.relations), pins.poses)
    return found, pins.problems


class _Pins:
    def __init__(self, given: Exercise, limits: Limits) -> None:
        self.given = given
        self.limits = limits
        self.fences = given.fences
        self.bodies = {
            name: self._body(name, written)
            for name, written in given.definition.fences.items()
            if all(n in given.fences for n in element_names(name, written))
        }
        self.number = {name: n for n, name in enumerate(self.bodies)}
        self.relations: list[Relation] = []
        self.poses: dict[str, Pose] = {}
        self.done: set[str] = set()
        self.problems: list[Diagnostic] = []

    def refuse(
        self, message: str, path: Path, hint: str = "", key: bool = False, word: str = ""
    ) -> None:
        at = self.given.document.span_at(path, key=key)
        span = self.given.document.span_of(path, word) if word else at
        self.problems.append(Diagnostic("place", Severity.ERROR, message, span, hint))

    def place(self, name: str, waiting: tuple[str, ...]) -> None:
        """Read a written fence, and before it the one it is placed from."""
        if name in self.done or name in waiting or name not in self.bodies:
            return
        written = self.given.definition.fences[name]
        path: Path = ("fences", name)
        self._one_way_only(written, path)
        if written.placed is not None:
            self._beyond(name, written.placed, (*waiting, name), path)
        else:
            self._stands(name, written, path)
        self.done.add(name)

    def _one_way_only(self, written: FenceWritten, path: Path) -> None:
        elsewhere = [key for key in ("at", "facing", "on") if getattr(written, key) is not None]
        if written.placed is not None and elsewhere:
            hint = f"keep placed:, or {' and '.join(f'{key}:' for key in elsewhere)}"
            self.refuse("this fence is placed twice", (*path, "placed"), hint, key=True)
        if written.at is not None and written.on is not None:
            hint = "keep at: for a point, or on: for a line"
            self.refuse("this fence is placed twice", (*path, "on"), hint, key=True)

    def _stands(self, name: str, written: FenceWritten, path: Path) -> None:
        body = self.number[name]
        point = self._point(written, path) if written.at is not None else None
        if point is not None:
            self.relations.append(PlaceIs(body, point, (*path, "at"), f"{name} stands there"))
        if written.on is not None:
            self._on(body, name, written, path)
        elif written.facing is not None:
            self._faces(body, name, written.facing, point, path)

    def _on(self, body: int, name: str, written: FenceWritten, path: Path) -> None:
        assert written.on is not None
        at = (*path, "on")
        try:
            lines = lines_of(written.on, self.given.arena)
        except UnknownNameError as problem:
            self.refuse(str(problem), at, problem.hint, word=problem.name)
            return
        facing = written.facing
        along = facing in (None, "along")
        self.relations.append(OnLine(body, lines, along, at, f"{name} stands on that line"))
        if facing == "across":
            heading = lines[0][1] + math.pi / 2
            self.relations.append(
                FacingIs(body, heading, True, (*path, "facing"), f"{name} faces across it")
            )
        elif facing not in (None, "along", "any way"):
            self._faces(body, name, facing, None, path)

    def _faces(self, body: int, name: str, facing: str, point: Point | None, path: Path) -> None:
        """A heading, or a mark to face; with a place as well the fence stands."""
        at = (*path, "facing")
        marks = self.given.arena.marks()
        if point is None and facing in marks and facing not in self.given.arena.sides:
            words = f"{name} faces {facing}"
            self.relations.append(FacesMark(body, marks[facing], at, words))
            return
        heading = self._heading(facing, point or (math.inf, math.inf), at)
        if heading is None:
            return
        self.relations.append(FacingIs(body, heading, False, at, f"{name} faces that way"))
        if point is not None:
            self.poses[name] = Pose(*point, heading)

    def _point(self, written: FenceWritten, path: Path) -> Point | None:
        at = written.at
        if isinstance(at, str):
            marks = self.given.arena.marks()
            if at not in marks:
                message = f'"{at}" is no place in this arena'
                self.refuse(message, (*path, "at"), place_hint(at, marks))
            return marks.get(at)
        assert at is not None
        if self.given.arena.region.depth(at) < 0:
            wide, high = self.given.arena.size
            hint = f"the arena runs from 0 to {wide:g} m and from 0 to {high:g} m"
            self.refuse("this place lies outside the arena", (*path, "at"), hint)
        return at

    def _heading(self, text: str, point: Point, path: Path) -> float | None:
        try:
            return parse_angle(text)
        except UnitError as problem:
            if text.replace(".", "").replace("-", "").isdigit():
                self.refuse(problem.message, path, problem.hint)
                return None
        if text in self.given.arena.sides:
            return self.given.arena.outward(text)
        marks = self.given.arena.marks()
        if text in marks:
            x, y = marks[text]
            if math.dist((x, y), point) > 0.01:
                return math.atan2(y - point[1], x - point[0])
        hint = direction_hint(text, self.given.arena)
        self.refuse(f'"{text}" is no direction here', path, hint)
        return None

    def _beyond(self, name: str, said: PlacedSaid, waiting: tuple[str, ...], path: Path) -> None:
        path = (*path, "placed")
        if not self._known(said.fence, waiting, path):
            return
        origin, body = self.bodies[said.fence], self.bodies[name]
        first, within = origin.parts[0 if said.from_behind else -1]
        second = body.parts[0][0]
        if said.from_behind:
            within = within.reversed()
        start = within.ahead(first.depth_m / 2)
        length = self._length(said, first, second)
        canter = self.limits.canter
        straight = min(canter.manner.out, length / 4)
        way = bend_of(start, said.turn, length, straight, canter.manner.least_radius)
        offset = way.end.ahead(second.depth_m / 2)
        one, other = self.number[said.fence], self.number[name]
        words = f"{name} stands that far beyond {said.fence}"
        self.relations.append(Beyond(one, other, offset, path, words))
        if said.fence in self.poses:
            self.poses[name] = offset.placed_in(self.poses[said.fence])

    def _known(self, fence: str, waiting: tuple[str, ...], path: Path) -> bool:
        """Whether the fence that another is placed from is there, and not placed from it."""
        known = self.given.definition.fences
        if fence not in known:
            self.refuse(f'no fence is called "{fence}"', path, near(fence, known), word=fence)
            return False
        if fence in waiting:
            chain = " from ".join((*waiting[waiting.index(fence) :], fence))
            self.refuse(
                f"these fences are placed in a ring: {chain}",
                path,
                "leave placed: out of one of them",
            )
            return False
        self.place(fence, waiting)
        return fence in self.bodies

    def _length(self, said: PlacedSaid, first: Fence, second: Fence) -> float:
        if said.length is not None:
            return said.length
        leg = self.given.leg(first.name, second.name)
        gait: Gait = leg.link.gait if leg else "canter"
        found = self.given.terms.distance(said.strides or 0, first, second, gait, None)
        return aim(found, said.pace)

    def _body(self, name: str, written: FenceWritten) -> Body:
        """A fence, or the elements of a combination one beyond the other."""
        names = element_names(name, written)
        pose = Pose(0.0, 0.0, 0.0)
        parts = [(self.fences[names[0]], pose)]
        for index in range(1, len(names)):
            first, second = self.fences[names[index - 1]], self.fences[names[index]]
            assert written.elements is not None
            after = written.elements[index].after or WaySaid("line")
            length = after.length
            if length is None:
                length = self._gap(first, second, after)
            pose = pose.ahead((first.depth_m + second.depth_m) / 2 + length)
            parts.append((second, pose))
        return Body(name, tuple(parts))

    def _gap(self, first: Fence, second: Fence, after: WaySaid) -> float:
        """The distance inside a combination, in the gait that the ride comes to it first."""
        strides = after.strides or 0
        legs = (leg for leg in self.given.legs if leg.link.inner)
        leg = next((leg for leg in legs if leg.first is first and leg.second is second), None)
        if leg is None:
            found = self.given.terms.distance(strides, first, second, "canter", None)
        else:
            found = leg.distance(strides)
        return aim(found, after.pace)
