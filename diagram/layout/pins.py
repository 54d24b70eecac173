"""Where pinned fences stand: at a point, facing something, or so far beyond another fence."""

from __future__ import annotations

import math

from diagram.diagnostics import Diagnostic, Severity, near
from diagram.geometry.bend import bend_of
from diagram.geometry.pose import Point, Pose
from diagram.layout.arena import Arena
from diagram.layout.course import Course, Link, element_names
from diagram.layout.fence import Fence, PlacedFence
from diagram.layout.limits import Limits
from diagram.layout.terms import Terms, aim
from diagram.model.definition import Definition, FenceWritten
from diagram.model.said import PlacedSaid, WaySaid
from diagram.source import Document
from diagram.trade.words import Gait
from diagram.units import UnitError, parse_angle

Path = tuple[str | int, ...]


def place_pinned(
    definition: Definition,
    document: Document,
    arena: Arena,
    fences: dict[str, Fence],
    course: Course,
    terms: Terms,
    limits: Limits,
) -> tuple[dict[str, PlacedFence], list[str], list[Diagnostic]]:
    """Placed fences by name, names of written fences with no place, and every error."""
    pins = _Pins(definition, document, arena, fences, course, terms, limits)
    for name in definition.fences:
        pins.place(name, ())
    return pins.placed, pins.free, pins.problems


class _Pins:
    def __init__(
        self,
        definition: Definition,
        document: Document,
        arena: Arena,
        fences: dict[str, Fence],
        course: Course,
        terms: Terms,
        limits: Limits,
    ) -> None:
        self.definition = definition
        self.document = document
        self.arena = arena
        self.fences = fences
        self.course = course
        self.terms = terms
        self.limits = limits
        self.placed: dict[str, PlacedFence] = {}
        self.free: list[str] = []
        self.done: set[str] = set()
        self.problems: list[Diagnostic] = []

    def refuse(
        self, message: str, path: Path, hint: str = "", key: bool = False, word: str = ""
    ) -> None:
        at = self.document.span_at(path, key=key)
        span = self.document.span_of(path, word) if word else at
        self.problems.append(Diagnostic("place", Severity.ERROR, message, span, hint))

    def place(self, name: str, waiting: tuple[str, ...]) -> None:
        """Place a written fence, and before it the one it is placed from."""
        if name in self.done or name in waiting:
            return
        written = self.definition.fences[name]
        path: Path = ("fences", name)
        self._one_way_only(written, path)
        pose: Pose | None = None
        if written.placed is not None:
            pose = self._beyond(name, written.placed, (*waiting, name), path)
        elif written.at is not None:
            pose = self._pinned(written, path)
        elif written.facing is not None:
            self.refuse("a fence that faces somewhere stands somewhere", path, "add at:", key=True)
        else:
            self.free.append(name)
        self.done.add(name)
        if pose is not None:
            self._stand(name, written, pose)

    def _one_way_only(self, written: FenceWritten, path: Path) -> None:
        if written.placed is not None and (written.at is not None or written.facing is not None):
            hint = "keep placed:, or at: and facing:"
            self.refuse("this fence is placed twice", (*path, "placed"), hint, key=True)

    def _pinned(self, written: FenceWritten, path: Path) -> Pose | None:
        point = self._point(written, path)
        if written.facing is None:
            hint = "add facing: 0° (along the long side), a side, or a letter"
            self.refuse("which way is this fence jumped first?", path, hint, key=True)
            return None
        if point is None:
            return None
        heading = self._heading(written.facing, point, (*path, "facing"))
        return None if heading is None else Pose(*point, heading)

    def _point(self, written: FenceWritten, path: Path) -> Point | None:
        at = written.at
        if isinstance(at, str):
            marks = self.arena.marks()
            if at not in marks:
                hint = near(at, marks)
                self.refuse(f'"{at}" is no place in this arena', (*path, "at"), hint)
            return marks.get(at)
        assert at is not None
        if self.arena.region.depth(at) < 0:
            wide, high = self.arena.size
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
        if text in self.arena.sides:
            return self.arena.outward(text)
        marks = self.arena.marks()
        if text in marks:
            x, y = marks[text]
            if math.dist((x, y), point) > 0.01:
                return math.atan2(y - point[1], x - point[0])
        known = [*self.arena.sides, *marks]
        self.refuse(f'"{text}" is no direction here', path, near(text, known) or "write 90°")
        return None

    def _beyond(
        self, name: str, said: PlacedSaid, waiting: tuple[str, ...], path: Path
    ) -> Pose | None:
        path = (*path, "placed")
        origin = self._origin(said.fence, name, waiting, path)
        if origin is None:
            return None
        forward = not said.from_behind
        from_name = origin[-1] if forward else origin[0]
        first = self.placed.get(from_name)
        second = self._first_element(name)
        if first is None or second is None:
            return None
        pose = first.pose if forward else first.pose.reversed()
        start = pose.ahead(first.fence.depth_m / 2)
        length = self._length(said, first.fence, second)
        canter = self.limits.canter
        straight = min(canter.manner.out, length / 4)
        way = bend_of(start, said.turn, length, straight, canter.manner.least_radius)
        return way.end.ahead(second.depth_m / 2)

    def _origin(
        self, fence: str, name: str, waiting: tuple[str, ...], path: Path
    ) -> list[str] | None:
        """Names of the single fences of the fence that another is placed from."""
        known = self.definition.fences
        if fence not in known:
            self.refuse(f'no fence is called "{fence}"', path, near(fence, known), word=fence)
            return None
        if fence in waiting:
            chain = " from ".join((*waiting[waiting.index(fence) :], fence))
            self.refuse(
                f"these fences are placed in a ring: {chain}", path, "pin one with at: and facing:"
            )
            return None
        self.place(fence, waiting)
        if fence in self.free:
            hint = f"give {fence} a place with at: and facing:"
            self.refuse(f"{name} is placed from {fence}, which has no place", path, hint)
            return None
        return element_names(fence, known[fence])

    def _first_element(self, name: str) -> Fence | None:
        names = element_names(name, self.definition.fences[name])
        return self.fences.get(names[0])

    def _length(self, said: PlacedSaid, first: Fence, second: Fence) -> float:
        if said.length is not None:
            return said.length
        gait: Gait = "canter"
        for link in self.course.links:
            ends = (link.first and link.first.fence, link.second and link.second.fence)
            if ends == (first.name, second.name):
                gait = link.gait
                break
        found = self.terms.distance(said.strides or 0, first, second, gait, None)
        return aim(found, said.pace)

    def _stand(self, name: str, written: FenceWritten, pose: Pose) -> None:
        """Put up a fence, or the elements of a combination one beyond the other."""
        names = [n for n in element_names(name, written) if n in self.fences]
        if not names or (written.elements and len(names) < len(written.elements)):
            return
        self.placed[names[0]] = self.fences[names[0]].at(pose)
        for index in range(1, len(names)):
            first, second = self.fences[names[index - 1]], self.fences[names[index]]
            assert written.elements is not None
            after = written.elements[index].after or WaySaid("line")
            length = after.length
            if length is None:
                length = self._gap(names[index], first, second, after)
            half = (first.depth_m + second.depth_m) / 2
            pose = pose.ahead(half + length)
            self.placed[names[index]] = second.at(pose)

    def _gap(self, name: str, first: Fence, second: Fence, after: WaySaid) -> float:
        """The distance inside a combination, in the gait that the ride comes to it first."""
        gait: Gait = "canter"
        gap: int | None = None
        for link in self.course.links:
            if (
                link.inner
                and link.second
                and link.second.fence == name
                and not (link.second.from_behind)
            ):
                gait, gap = link.gait, grid_gap(link, self.course, self.fences)
                break
        found = self.terms.distance(after.strides or 0, first, second, gait, gap)
        return aim(found, after.pace)


def grid_gap(link: Link, course: Course, fences: dict[str, Fence]) -> int | None:
    """Number of a gap among the fences of a grid ridden from trot, poles not counted.

    None outside a grid, and in a combination that is cantered into.
    """
    if not link.inner or link.second is None or link.gait == "canter":
        return None
    whole = link.second.whole
    count = 0
    for jump in course.jumps:
        if (
            jump.whole == whole
            and jump.number <= link.second.number
            and (jump.path == link.second.path)
        ):
            fence = fences.get(jump.fence)
            count += bool(fence and not fence.for_distances.is_pole)
    return max(count - 1, 1)
