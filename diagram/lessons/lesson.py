"""A lesson put together: its exercises planned, its minutes and jumps counted line by line."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct, field
from msgspec.structs import replace

from diagram.diagnostics import Diagnostic, RejectedError, near
from diagram.lessons.heights import at_height
from diagram.lessons.moves import Order, minutes_to_move, order_of
from diagram.lessons.sharing import shared
from diagram.lessons.spots import FromBehind, SharedSpot, spots_of
from diagram.lessons.yard import exercise_file, stems_near, yard_of
from diagram.model.lesson_file import GroupWritten, LessonWritten, RunStep
from diagram.model.mending import sound
from diagram.model.reading import validate
from diagram.planning import Plan
from diagram.source import Document, content_of, error
from diagram.trade.lessons import lesson_facts

if TYPE_CHECKING:
    from diagram.exercise.arena import Arena
    from diagram.exercise.inventory import Store

OWN_ROUNDS = 1


class SheetLine(Struct, frozen=True):
    """One row of the running sheet. Times in minutes after midnight.

    `exercise` numbers the exercises from 0; `jumps` are those of one horse that leaves nothing
    out, `step` is the place in the file. Before it `moving` minutes go by in which fences are moved
    and nobody rides.
    """

    group: str
    begin: int
    minutes: int
    step: int
    written: RunStep
    exercise: int | None = None
    height_m: float | None = None
    rounds: int = 0
    jumps: int = 0
    moving: int = 0


class AsRidden(Struct, frozen=True):
    """An exercise as it stands for one or more lines: how high, and what of it lies."""

    exercise: int
    height_m: float | None
    lies: frozenset[str]


class Lesson(Struct, frozen=True):
    """Everything that the sheet prints and the refusals look at.

    `moved` are the exercises laid out otherwise than in their files, over fences that stand.
    `ridings` are the exercises with their heights, each once, and `built` their plans at those;
    `spots` and `order` number them.
    `arena` is the one that the file says, `store` what there is to build with.
    """

    document: Document
    written: LessonWritten
    stems: tuple[str, ...]
    plans: tuple[Plan, ...]
    moved: frozenset[int]
    lines: tuple[SheetLine, ...]
    ridings: tuple[AsRidden, ...]
    built: tuple[Plan, ...]
    spots: tuple[SharedSpot, ...]
    behind: tuple[FromBehind, ...]
    order: Order | None
    problems: tuple[Diagnostic, ...] = field(default=())
    arena: Arena | None = None
    store: Store | None = None

    @property
    def title(self) -> str:
        """Its title."""
        return self.written.title

    @property
    def at_lowest(self) -> tuple[Plan, ...]:
        """Every exercise at the lowest height that it is ridden at."""
        heights: dict[int, list[tuple[float, int]]] = {}
        for n, riding in enumerate(self.ridings):
            if riding.height_m:
                heights.setdefault(riding.exercise, []).append((riding.height_m, n))
        return tuple(
            self.built[min(heights[n])[1]] if n in heights else plan
            for n, plan in enumerate(self.plans)
        )

    @property
    def minutes(self) -> int:
        """What all lines take together, and what is moved between them."""
        return sum(line.minutes + line.moving for line in self.lines)

    def jumps_of(self, group: str, place: int) -> int:
        """Jumps of the horse in one place of a group."""
        return sum(
            line.jumps
            for line in self.lines
            if line.group == group and place not in line.written.without
        )


def read_lesson(path: Path) -> Lesson:
    """A lesson with its exercises, found beside it or in the folder above.

    Raises RejectedError with every error of the lesson, or those of an exercise.
    """
    return lesson_of(*read_lesson_file(path))


def lesson_of(document: Document, written: LessonWritten) -> Lesson:
    """The same of a file that was read."""
    stems = tuple(dict.fromkeys(step.exercise for step in written.run if step.exercise))
    file = exercise_file(document, stems[0]) if stems else None
    folder = (file or Path(document.name)).parent
    arena, store = yard_of(written, document, folder)
    plans = _planned(document, written, stems)
    if plans and not written.store:
        # That of its exercises may lie a folder higher.
        store = plans[0].store
    lines, problems = _lines(document, written, stems, plans)
    if problems:
        raise RejectedError(problems, {document.name: document.text})
    ridings = tuple(dict.fromkeys(riding for line in lines if (riding := riding_of(line))))
    best = _together(document, plans, lines, ridings)
    if written.set_up == "one" and any(best.work):
        # Each is laid out for those before it alone; the whole lesson says whether that is less.
        other = _together(document, shared(plans), lines, ridings)
        best = min(best, other, key=lambda one: one.work)
    moved = frozenset(n for n, plan in enumerate(best.plans) if plan is not plans[n])
    return Lesson(
        document, written, stems, best.plans, moved, _timed(lines, best.order), ridings,
        best.built, best.spots, best.behind, best.order, arena=arena, store=store,
    )  # fmt: skip


def in_order(lines: Iterable[SheetLine]) -> Iterator[tuple[SheetLine, int, bool]]:
    """Each line with the place in the order of what stands while it is ridden, -1 before the first,
    and whether that begins with it."""
    place, last = -1, None
    for line in lines:
        riding = riding_of(line)
        begins = riding is not None and riding != last
        if begins:
            place, last = place + 1, riding
        yield line, place, begins


def _timed(lines: Sequence[SheetLine], order: Order | None) -> tuple[SheetLine, ...]:
    """The lines, each begun when what it needs stands."""
    out: list[SheetLine] = []
    late = 0
    for line, place, begins in in_order(lines):
        moving = minutes_to_move(order.changes[place]) if begins and order is not None else 0
        late += moving
        out.append(replace(line, begin=line.begin + late, moving=moving))
    return tuple(out)


class _Together(Struct, frozen=True):
    """The exercises over their places, and what is carried and built for all of them."""

    plans: tuple[Plan, ...]
    built: tuple[Plan, ...]
    spots: tuple[SharedSpot, ...]
    behind: tuple[FromBehind, ...]
    order: Order | None

    @property
    def work(self) -> tuple[int, int]:
        """What may not be first; then fences carried, and fences built beyond those of the
        exercise with most of them."""
        if self.order is None:
            return 0, 0
        beyond = len(self.spots) - max(len(plan.fences) for plan in self.plans)
        return len(self.behind), 2 * self.order.moves.fences + beyond


def _together(
    document: Document, plans: tuple[Plan, ...], lines: Sequence[SheetLine],
    ridings: Sequence[AsRidden],
) -> _Together:  # fmt: skip
    built, problems = _at_their_heights(document, ridings, plans, lines)
    if problems:
        raise RejectedError(problems, {document.name: document.text})
    spots, behind = spots_of(built, [r.exercise + 1 for r in ridings], [r.lies for r in ridings])
    ridden = [ridings.index(riding) for line in lines if (riding := riding_of(line))]
    order = order_of(spots, [n for n, _ in itertools.groupby(ridden)]) if ridden else None
    return _Together(plans, tuple(built), spots, behind, order)


def riding_of(line: SheetLine) -> AsRidden | None:
    """How the exercise of a line stands; None for a warm-up or a cool-down."""
    if line.exercise is None:
        return None
    lies = frozenset((*line.written.as_poles, *line.written.leave_out))
    return AsRidden(line.exercise, line.height_m, lies)


def _at_their_heights(
    document: Document,
    ridings: Sequence[AsRidden],
    plans: Sequence[Plan],
    lines: Sequence[SheetLine],
) -> tuple[list[Plan], list[Diagnostic]]:
    made, problems = [], []
    for riding in ridings:
        plan = plans[riding.exercise]
        try:
            made.append(plan if riding.height_m is None else at_height(plan, riding.height_m))
        except RejectedError as problem:
            step = next(line.step for line in lines if riding_of(line) == riding)
            why = problem.diagnostics[0]
            problems.append(error(document, ("run", step, "height"), why.message, why.hint))
    return made, problems


def _planned(document: Document, written: LessonWritten, stems: Sequence[str]) -> tuple[Plan, ...]:
    from diagram.pipeline import plan

    plans, missing = [], []
    for stem in stems:
        file = exercise_file(document, stem)
        if file is None:
            step = next(n for n, s in enumerate(written.run) if s.exercise == stem)
            missing.append(error(
                document, ("run", step, "exercise"), f'there is no exercise "{stem}" beside this '
                "file or in the folder above",
                near(stem, stems_near(document)) or "write the name of its file without the ending",
            ))  # fmt: skip
        else:
            plans.append(plan(file))
    if missing:
        missing += _steps(document, written)[1]
        raise RejectedError(missing, {document.name: document.text})
    return tuple(plans)


def _lines(
    document: Document, written: LessonWritten, stems: Sequence[str], plans: Sequence[Plan]
) -> tuple[list[SheetLine], list[Diagnostic]]:
    steps, problems = _steps(document, written)
    lines: list[SheetLine] = []
    clock = written.time[0]
    for n, step, group in steps:
        line = _line(n, step, group, written.groups[group], clock, stems, plans)
        problems += _names(document, n, step, written.groups[group], line, plans)
        lines.append(line)
        clock += line.minutes
    return lines, problems


def _steps(
    document: Document, written: LessonWritten
) -> tuple[list[tuple[int, RunStep, str]], list[Diagnostic]]:
    """The steps of the run that are ridden, each with its place and its group; what is wrong."""
    steps: list[tuple[int, RunStep, str]] = []
    problems: list[Diagnostic] = []
    group, told = "", False
    for n, step in enumerate(written.run):
        said = [key for key in ("group", "warm_up", "exercise", "cool_down") if getattr(step, key)]
        if len(said) != 1:
            told = told or bool(step.group)
            problems.append(_no_line(document, n, [key.replace("_", " ") for key in said]))
        elif step.group:
            group = step.group
            if group not in written.groups:
                known, told = ", ".join(written.groups), True
                problems.append(error(document, ("run", n, "group"), f'there is no group "{group}"',
                                      f"groups here: {known}"))  # fmt: skip
        elif group in written.groups:
            steps.append((n, step, group))
        elif not told:
            hint, told = "begin with - group: and a name", True
            problems.append(error(document, ("run", n), "nobody rides yet", hint))
    return steps, problems


def read_lesson_file(path: Path | str) -> tuple[Document, LessonWritten]:
    """A lesson as it is written. Raises RejectedError with every error in it."""
    document = sound(content_of(path), str(path), _errors_of)
    return document, validate(document, LessonWritten)


def _errors_of(document: Document) -> Iterable[Diagnostic]:
    try:
        validate(document, LessonWritten)
    except RejectedError as problem:
        return problem.diagnostics
    return ()


def _no_line(document: Document, n: int, said: Sequence[str]) -> Diagnostic:
    """A line of a lesson that is none of the four, or several of them in one."""
    if not said:
        return error(
            document, ("run", n), "a line of a lesson is one of group, warm up, exercise and "
            "cool down", "begin it with one of them: `- exercise: ` and the name of its file",
        )  # fmt: skip
    return error(
        document, ("run", n), f"{' and '.join(said)} are lines of a lesson each",
        "begin each with a dash of its own: " + ", ".join(f"`- {key}: ...`" for key in said),
    )  # fmt: skip


def _line(
    n: int, step: RunStep, group: str, riders: GroupWritten, clock: int, stems: Sequence[str],
    plans: Sequence[Plan],
) -> SheetLine:  # fmt: skip
    if step.exercise is None:
        minutes = step.minutes or math.ceil(step.warm_up or step.cool_down or 0)
        jumps = (step.jumps or 0) * (step.rounds or 1)
        return SheetLine(group, clock, minutes, n, step, None, step.height, step.rounds or 0, jumps)
    number = stems.index(step.exercise)
    plan = plans[number]
    rounds = step.rounds or plan.definition.rounds or OWN_ROUNDS
    lie = {*step.as_poles, *step.leave_out}
    each = sum(
        not crossing.fence.fence.kind.ridden_over
        and (crossing.jump.whole or crossing.jump.fence) not in lie
        for crossing in plan.crossings
    )
    minutes = step.minutes or minutes_for(plan, rounds, riders.riders - len(step.without))
    height = step.height or plan.definition.level
    return SheetLine(group, clock, minutes, n, step, number, height, rounds, each * rounds)


def minutes_for(plan: Plan, rounds: int, riders: int) -> int:
    """Minutes for an exercise: explained once, then every rider's rounds one after another."""
    facts = lesson_facts()
    own = plan.definition.minutes_per_round
    each = own if own else plan.totals.seconds / 60 + facts.minutes_back.value
    return math.ceil(facts.minutes_to_explain.value + each * rounds * max(1, riders) - 1e-9)


def _names(
    document: Document, n: int, step: RunStep, group: GroupWritten, line: SheetLine,
    plans: Sequence[Plan],
) -> list[Diagnostic]:  # fmt: skip
    """Fences that may not lie as poles or be left out, places that nobody rides in."""
    found = []
    said = plans[line.exercise].definition if line.exercise is not None else None
    for key, names, may in (
        ("as poles", step.as_poles, said.may_be_poles if said else ()),
        ("leave out", step.leave_out, said.may_be_left_out if said else ()),
    ):
        allowed = ", ".join(may) or "none"
        found += [
            error(
                document,
                ("run", n, key),
                f'the exercise does not say that "{name}" may',
                f"fences that may: {allowed}",
            )
            for name in names
            if name not in may
        ]
    found += [
        error(
            document,
            ("run", n, "without"),
            f"nobody rides in place {place}",
            f"places are 1 to {group.riders}",
        )
        for place in step.without
        if not 1 <= place <= group.riders
    ]
    return found
