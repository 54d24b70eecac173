"""The ride as a list: fences jumped in order, and the ways between them.

A combination is taken apart here into its elements, so that everything after this knows only
single fences and the links from one to the next.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from msgspec import Struct
from msgspec.structs import replace

from diagram.diagnostics import Diagnostic, Severity, near
from diagram.fences import kind_names
from diagram.fences.kind import Kind
from diagram.model import definition as written
from diagram.model.definition import Definition, Teaching
from diagram.model.ride_said import why_not_named
from diagram.model.said import CircleSaid, FinishSaid, Lead, StartSaid, WaySaid
from diagram.source import Document
from diagram.trade.words import Gait

Path = tuple[str | int, ...]

UNKNOWN_FENCE = "unknown-fence"
"""What is wrong with a jump over a fence that is not there, whatever else the ride says."""


class ElementLesson(Struct, frozen=True):
    """What is said about one element: its purpose, what to watch, when it is passed, what to do if
    it goes wrong, and its pass mark in the few words that an observation sheet has room for."""

    purpose: str = ""
    watch: tuple[str, ...] = ()
    passed_when: str = ""
    if_it_goes_wrong: tuple[str, ...] = ()
    on_the_sheet: str = ""

    @classmethod
    def of(cls, teaching: Teaching) -> ElementLesson:
        """The texts of a step."""
        return cls(
            teaching.purpose or "",
            teaching.watch,
            teaching.passed_when or "",
            teaching.if_it_goes_wrong,
            teaching.on_the_sheet or "",
        )

    def with_(self, other: ElementLesson) -> ElementLesson:
        """Both, one after the other."""

        def both(first: str, second: str) -> str:
            return " ".join(text for text in (first, second) if text)

        return ElementLesson(
            both(self.purpose, other.purpose),
            self.watch + other.watch,
            both(self.passed_when, other.passed_when),
            self.if_it_goes_wrong + other.if_it_goes_wrong,
            both(self.on_the_sheet, other.on_the_sheet),
        )


class Jump(Struct, frozen=True):
    """A fence jumped once. `number` counts from 1 over the whole ride; `phase` from 0.

    `label` is its number as it is called and printed: ``3``, or ``7a`` for an element; nothing
    for poles that only place the horse or are trotted over, which count as no jump. What a step
    says of a combination is read before its first part (`lesson`) and can be judged only after its
    last (`judged`).
    """

    number: int
    fence: str
    from_behind: bool
    angle: float
    land: Lead | None
    phase: int
    path: Path
    lesson: ElementLesson = ElementLesson()
    judged: ElementLesson = ElementLesson()
    whole: str = ""
    label: str = ""


class Link(Struct, frozen=True):
    """The way to a jump, from the jump before it or from the start; or out to the finish.

    `inner` links lie inside a combination; `gap` counts them from 1. `gait` is the gait in
    which the first fence was approached, or that of the start; `arrives` the one in which the
    second fence is come to.
    """

    first: Jump | None
    second: Jump | None
    way: WaySaid | None
    circles: tuple[CircleSaid, ...]
    phase: int
    path: Path
    gait: Gait
    lesson: ElementLesson = ElementLesson()
    inner: bool = False
    gap: int | None = None
    arrives: Gait = "canter"


class Course(Struct, frozen=True):
    """The whole ride."""

    start: StartSaid
    finish: FinishSaid
    jumps: tuple[Jump, ...]
    links: tuple[Link, ...]
    phases: tuple[str, ...]


def called(jumps: Iterable[Jump]) -> str:
    """What one jump or a row of them is called: ``3``, ``7a–7c``; nothing for placing poles."""
    labels = [jump.label for jump in jumps if jump.label]
    return "–".join(dict.fromkeys((labels[0], labels[-1]))) if labels else ""


def element_names(name: str, fence: written.FenceWritten) -> list[str]:
    """Names of the single fences that a written fence stands for: ``grid a``, ``grid b``.

    The letters are those of the jumps, as on the discs: a pole between fences takes none and is
    ``grid pole``, or ``grid pole 1`` where there are several. A row of poles alone has letters.
    """
    if fence.elements is None:
        return [name]
    kinds = [kind_names().get(element.kind) for element in fence.elements]
    poles = [kind is not None and kind.ridden_over for kind in kinds]
    if all(poles):
        poles = [False] * len(poles)
    several = sum(poles) > 1
    return [
        f"{name} pole{f' {sum(poles[: n + 1])}' if several else ''}" if pole
        else f"{name} {chr(ord('a') + n - sum(poles[:n]))}"
        for n, pole in enumerate(poles)
    ]  # fmt: skip


def read_course(
    definition: Definition, document: Document, at: Path = ("ride",), gait: Gait = "canter"
) -> tuple[Course, list[Diagnostic]]:
    """The ride in order, and every error in it.

    Its steps are written at `at`; `gait` is the one it begins in where they do not say.
    """
    reader = _Reader(definition, document, at, gait)
    for index, step in enumerate(definition.ride):
        reader.take(step, (*at, index))
    return reader.finish(), reader.problems


class _Reader:
    """Walks the steps once, remembering what has been said since the last fence."""

    def __init__(self, definition: Definition, document: Document, at: Path, gait: Gait) -> None:
        self.at = at
        self.fences = definition.fences
        self.document = document
        self.problems: list[Diagnostic] = []
        self.start = StartSaid(gait)
        self.started = False
        self.ending = FinishSaid()
        self.ended = False
        self.jumps: list[Jump] = []
        self.links: list[Link] = []
        self.phases: list[str] = []
        self.way: WaySaid | None = None
        self.way_path: Path = at
        self.way_at: Path = at
        self.unknown = False
        self.circles: list[CircleSaid] = []
        self.lesson = ElementLesson()
        self.gait: Gait = gait
        self.held: Gait = gait

    def refuse(
        self, message: str, path: Path, hint: str = "", word: str = "", key: bool = False,
        rule: str = "ride",
    ) -> None:  # fmt: skip
        at = self.document.span_at(path, key=key)
        span = self.document.span_of(path, word) if word else at
        self.problems.append(Diagnostic(rule, Severity.ERROR, message, span, hint))

    @property
    def phase(self) -> int:
        return max(len(self.phases) - 1, 0)

    def take(self, step: written.Step, path: Path) -> None:
        if self.ended:
            self.refuse("the ride has already finished", path, "move finish: to the end")
            return
        match step:
            case written.StartStep():
                self._start(step, path)
            case written.PhaseStep(phase=name):
                if not self.phases and self.jumps:
                    self.phases.append("")
                self.phases.append(name)
            case written.CircleStep(circle=circle):
                self.circles.append(circle)
                self._say(step, path)
            case written.JumpStep():
                self._jump(step, path)
            case written.FinishStep(finish=ending):
                self.ending, self.ended = ending, True
                self._say(step, path)
            case written.LineStep(line=way):
                self._go(way, step, path)
            case written.BendStep(bend=way, ways=ways):
                self._go(self._with_ways(way, ways, path), step, path)
            case written.TurnStep(turn=way) | written.RollbackStep(rollback=way):
                self._go(way, step, path)

    def _say(self, step: Teaching, path: Path) -> None:
        self.lesson = self.lesson.with_(ElementLesson.of(step))
        self.way_path = path

    def _start(self, step: written.StartStep, path: Path) -> None:
        if self.started:
            self.refuse("the ride starts twice", path, "keep one start:")
        elif self.jumps or self.way is not None or self.circles:
            self.refuse("start: comes first", path, "move it to the top of the ride")
        self.started = True
        self.start, self.gait, self.held = step.start, step.start.gait, step.start.gait
        self._say(step, path)

    def _go(self, way: WaySaid, step: Teaching, path: Path) -> None:
        if self.way is not None:
            hint = "write the jump between them"
            self.refuse("two ways follow each other without a fence", path, hint)
        if not self.jumps and way.shape == "bend" and not self.unknown:
            self.refuse("a bend needs a fence before it", path, "write turn: left")
        self.way, self.way_at = way, path
        self._say(step, path)

    def _with_ways(self, way: WaySaid, ways: tuple[int, ...], path: Path) -> WaySaid:
        """The bend with its other counts. Ridden in the most strides where it says none."""
        if not ways:
            return way
        if way.length is not None:
            self.refuse("ways: counts strides, and this bend is measured", path, "leave one out")
            return way
        strides = max(ways) if way.strides is None else way.strides
        others = tuple(sorted(set(ways) - {strides}))
        if not others:
            self.refuse("ways: needs two counts of strides", (*path, "ways"), "write ways: [5, 6]")
        return replace(way, strides=strides, ways=others)

    def _jump(self, step: written.JumpStep, path: Path) -> None:
        said = step.jump
        fence = self.fences.get(said.fence)
        name = said.fence
        names = element_names(name, fence) if fence else []
        for whole, other in self.fences.items():
            # "grid b" is one element of a combination, jumped on its own.
            if fence is None and said.fence in element_names(whole, other):
                fence, names = other, [said.fence]
        if fence is None:
            known = [
                n for whole, f in self.fences.items() for n in {whole, *element_names(whole, f)}
            ]
            begun = [fence for fence in known if name.startswith(f"{fence} ")]
            hint = near(name, known)
            if begun:
                hint = why_not_named(begun[0], name.removeprefix(begun[0]))
            message = f'no fence is called "{name}"'
            self.refuse(message, (*path, "jump"), hint, word=name, rule=UNKNOWN_FENCE)
            # What led here led to a fence, even if nobody knows which.
            self.way, self.circles, self.lesson, self.unknown = None, [], ElementLesson(), True
            return
        if said.from_behind:
            names = names[::-1]
        first_of_ride = not self.jumps
        if not first_of_ride and self.way is None:
            before = self.jumps[-1].fence
            hint = "write line:, bend:, turn: or rollback: between them"
            self.refuse(f"how does one get from {before} to {name}?", path, hint)
        for last, single in enumerate(names):
            of_step, own = ElementLesson.of(step), ElementLesson()
            if fence.elements is not None and len(names) > 1:
                at = len(names) - 1 - last if said.from_behind else last
                own = ElementLesson.of(fence.elements[at])
            lesson = of_step.with_(own) if last == 0 else own
            judged = of_step.with_(own) if last == len(names) - 1 else own
            jump = Jump(
                number=len(self.jumps) + 1,
                fence=single,
                from_behind=said.from_behind,
                angle=said.angle,
                land=said.land if last == len(names) - 1 else None,
                phase=self.phase,
                path=path,
                lesson=lesson,
                judged=judged,
                whole=name if len(names) > 1 else "",
            )
            self._link(jump, fence, gap=last if last else None)
            self.jumps.append(jump)

    def _link(self, jump: Jump, fence: written.FenceWritten, gap: int | None) -> None:
        way, path, inner = self.way, self.way_path, gap is not None
        if gap is not None and fence.elements is not None:
            at = len(fence.elements) - gap if jump.from_behind else gap
            way = fence.elements[at].after or WaySaid("line")
            path = ("fences", jump.whole, "elements", at)
        self.links.append(
            Link(
                first=self.jumps[-1] if self.jumps else None,
                second=jump,
                way=way,
                circles=() if inner else tuple(self.circles),
                phase=self.phase,
                path=path,
                gait=self.gait,
                lesson=ElementLesson() if inner else self.lesson,
                inner=inner,
                gap=gap,
                arrives=self.gait if inner else self._arrives(way),
            )
        )
        if not inner:
            self.gait = self.links[-1].arrives
            self.way, self.circles, self.lesson = None, [], ElementLesson()

    def _arrives(self, way: WaySaid | None) -> Gait:
        """The gait into the next fence.

        What was said last holds: a horse that lands in canter canters on along a line or a bend,
        and comes back to the gait said in a turn. Over poles it keeps the gait it has.
        """
        if way is not None and way.gait is not None:
            self.held = way.gait
            return way.gait
        if all(self._is_pole(jumped) for jumped in self.jumps):
            return self.gait
        if way is not None and way.shape == "turn":
            return self.held
        return self.gait if self._is_pole(self.jumps[-1]) else "canter"

    def _is_pole(self, jump: Jump) -> bool:
        kind = self._kind(jump)
        return kind is not None and kind.ridden_over

    def _kind(self, jump: Jump) -> Kind | None:
        whole = self.fences.get(jump.whole or jump.fence)
        if whole is None or whole.elements is None:
            return kind_names().get(whole.kind) if whole else None
        names = element_names(jump.whole, whole)
        at = names.index(jump.fence) if jump.fence in names else 0
        return kind_names().get(whole.elements[at].kind)

    def _labels(self) -> dict[int, str]:
        """What each jump is called, by its number."""
        rows: dict[Path, list[Jump]] = {}
        for jump, link in zip(self.jumps, self.links, strict=False):
            if not self._only_places(jump, link):
                rows.setdefault(jump.path, []).append(jump)
        return {
            jump.number: f"{n}{chr(ord('a') + at) if len(row) > 1 else ''}"
            for n, row in enumerate(rows.values(), start=1)
            for at, jump in enumerate(row)
        }

    def _only_places(self, jump: Jump, link: Link) -> bool:
        """A pole that brings a horse to a fence, or is walked or trotted over."""
        kind = self._kind(jump)
        if kind is None or not kind.ridden_over:
            return False
        mates = [other for other in self.jumps if other.path == jump.path]
        placing = kind.places_only or any(not self._is_pole(other) for other in mates)
        return placing or link.arrives != "canter"

    def finish(self) -> Course:
        if not self.jumps and not self.unknown:
            hint = "write - jump: and a name"
            self.refuse("the ride has no fence in it", self.at, hint, key=True)
        if self.way is not None and self.way.shape != "turn":
            self.refuse("this way leads to no fence", self.way_at, "add - jump: after it")
        last = self.jumps[-1] if self.jumps else None
        circles = [*self.circles, *([self.ending.circle] if self.ending.circle else [])]
        self.links.append(
            Link(
                last,
                None,
                self.way,
                tuple(circles),
                self.phase,
                self.way_path,
                self.gait,
                self.lesson,
            )
        )
        phases = tuple(name or "first part" for name in self.phases) or ("",)
        labels = self._labels()
        called = {
            jump.number: replace(jump, label=labels.get(jump.number, "")) for jump in self.jumps
        }
        links = tuple(
            replace(
                link,
                first=called[link.first.number] if link.first else None,
                second=called[link.second.number] if link.second else None,
            )
            for link in self.links
        )
        return Course(self.start, self.ending, tuple(called.values()), links, phases)


def unused_fences(jumped: Collection[str], definition: Definition) -> list[str]:
    """Names of written fences of which no part is among those jumped."""
    return [
        name
        for name, fence in definition.fences.items()
        if not set(jumped) & set(element_names(name, fence))
    ]
