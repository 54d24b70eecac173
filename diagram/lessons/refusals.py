"""What a lesson must not teach: refused before anything is printed; and what it should know."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from diagram.diagnostics import Diagnostic, Severity
from diagram.exercise.inventory import missing_from
from diagram.lessons.common import fences_at, stages
from diagram.lessons.heights import HAIR_M
from diagram.lessons.lesson import Lesson, SheetLine, riding_of
from diagram.lessons.others import not_there_yet, standing_behind
from diagram.library.entry import heights_of
from diagram.source import error
from diagram.trade.lessons import lesson_facts
from diagram.trade.schooling import schooling
from diagram.units import feet_inches


def judged(lesson: Lesson) -> Lesson:
    """The lesson with what speaks against it, the worst first."""
    found = [
        *_from_behind(lesson), *_counts(lesson), *_waiting(lesson), *_moving(lesson),
        *_heights(lesson), *_built_so(lesson), *_arenas(lesson), *_store(lesson),
        *_numbers(lesson), *_minutes(lesson), *_behind(lesson), *_warm_ups(lesson),
    ]  # fmt: skip
    order = sorted(set(found), key=lambda f: (f.severity.rank, f.order()))
    return replace(lesson, problems=tuple(order))


def refused(lesson: Lesson) -> tuple[Diagnostic, ...]:
    """What stops it."""
    return tuple(f for f in lesson.problems if f.severity is Severity.STOP)


def _at(lesson: Lesson, step: int, key: str, rule: str, severity: Severity, message: str,
        hint: str) -> Diagnostic:  # fmt: skip
    return error(lesson.document, ("run", step, key), message, hint, rule, severity)


def _first_line(lesson: Lesson, exercise: int) -> SheetLine:
    return next(line for line in lesson.lines if line.exercise == exercise)


def _line_of(lesson: Lesson, place: int) -> SheetLine:
    """The line with which a place of the order begins."""
    riding = lesson.ridings[lesson.order.sequence[place]] if lesson.order else None
    return next(line for line in lesson.lines if riding_of(line) == riding)


def _from_behind(lesson: Lesson) -> Iterator[Diagnostic]:
    for one in lesson.behind:
        first, second = (lesson.ridings[n].exercise for n in (one.first, one.second))
        line = _first_line(lesson, second)
        titles = [lesson.plans[n].definition.title for n in (first, second)]
        yield _at(
            lesson, line.step, "exercise", "spread-from-behind", Severity.STOP,
            f"{one.second_name} of {titles[1]} is {one.first_name} of {titles[0]} met the other "
            "way, and one of the two is a spread",
            "turn one of the exercises round, or take another",
        )  # fmt: skip


def _counts(lesson: Lesson) -> Iterator[Diagnostic]:
    """Ponies and horses do not ride one set of counts."""
    for line in _exercises(lesson):
        group = lesson.written.groups[line.group]
        plan = lesson.plans[line.exercise or 0]
        drawn = plan.terms.horses.size
        if ("pony" in group.horses) != ("pony" in drawn):
            yield _at(
                lesson, line.step, "exercise", "ponies-and-horses", Severity.STOP,
                f"group {line.group} rides {group.horses}, and the distances of "
                f"{plan.definition.title} are for {drawn}",
                "fit it: tapeline fit FILE --horses; or give the group an exercise of its own",
            )  # fmt: skip


def _waiting(lesson: Lesson) -> Iterator[Diagnostic]:
    """Who waits in the ring needs ground of their own."""
    for name, group in lesson.written.groups.items():
        if not group.waits or "ring" not in group.waits.lower():
            continue
        for line in _exercises(lesson):
            plan = lesson.plans[line.exercise or 0]
            if line.group != name and not plan.definition.two_groups:
                yield _at(
                    lesson, line.step, "exercise", "ring-not-safe", Severity.STOP,
                    f"group {name} waits {group.waits} while {plan.definition.title} is ridden, "
                    "which leaves no ground free of its tracks",
                    "let the group wait outside, or take an exercise for two groups",
                )  # fmt: skip


def _moving(lesson: Lesson) -> Iterator[Diagnostic]:
    order = lesson.order
    if order is None or not order.moves.fences or lesson.written.may_move:
        return
    for place, changes in enumerate(order.changes):
        carried = [f"{c.place} {c.what}" for c in changes if c.what in ("in", "out")]
        if carried:
            line = _line_of(lesson, place)
            yield _at(
                lesson, line.step, "exercise", "has-to-move", Severity.STOP,
                f"before this fences are carried: {', '.join(carried)}",
                "write may move: yes, or take exercises that one set-up serves",
            )  # fmt: skip


def _heights(lesson: Lesson) -> Iterator[Diagnostic]:
    for line in _exercises(lesson):
        group = lesson.written.groups[line.group]
        plan = lesson.plans[line.exercise or 0]
        high = line.height_m or heights_of(plan)[1]
        if group.height is not None and high > group.height + HAIR_M:
            yield _at(
                lesson, line.step, "exercise", "too-high-for-the-group", Severity.STOP,
                f"{feet_inches(high)} for group {line.group}, which jumps up to "
                f"{feet_inches(group.height)}", f"add height: {feet_inches(group.height)}",
            )  # fmt: skip
        said = plan.definition.heights
        if line.height_m and said and not said[0] - HAIR_M <= line.height_m <= said[1] + HAIR_M:
            yield _at(
                lesson, line.step, "height", "outside-its-heights", Severity.CAUTION,
                f"the exercise is for {feet_inches(said[0])} to {feet_inches(said[1])}",
                "its distances may not ride as they say",
            )  # fmt: skip


def _built_so(lesson: Lesson) -> Iterator[Diagnostic]:
    """What stops an exercise at the height of the lesson, and what the checks find there that they
    do not find at that of the file."""
    for riding, built in zip(lesson.ridings, lesson.built, strict=True):
        plan, high = lesson.plans[riding.exercise], riding.height_m
        known = {(f.rule, f.severity, f.span) for f in plan.findings}
        line = next(line for line in lesson.lines if riding_of(line) == riding)
        for found in built.findings:
            new = (found.rule, found.severity, found.span) not in known
            if found.severity is Severity.STOP or (found.severity is Severity.CAUTION and new):
                at = f" at {feet_inches(high)}" if high is not None else ""
                key = "height" if line.written.height else "exercise"
                yield _at(
                    lesson, line.step, key, found.rule, found.severity,
                    f"{plan.definition.title}{at}: {found.message}", found.hint,
                )  # fmt: skip


def _arenas(lesson: Lesson) -> Iterator[Diagnostic]:
    """One lesson, one ring: the one it says, or that of its first exercise."""
    for n, plan in enumerate(lesson.plans):
        ring, of = lesson.arena, "the lesson is"
        if ring is None:
            ring, of = lesson.plans[0].arena, f"{lesson.plans[0].definition.title} is drawn"
        if plan.arena.region.corners != ring.region.corners:
            yield _at(
                lesson, _first_line(lesson, n).step, "exercise", "another-arena", Severity.STOP,
                f"{plan.definition.title} is drawn for {plan.arena.name}, and {of} for {ring.name}",
                "fit it: tapeline fit FILE --arena; or take another exercise",
            )  # fmt: skip


def _store(lesson: Lesson) -> Iterator[Diagnostic]:
    """One set-up for several exercises may need more than there is, though each alone does not."""
    told: set[str] = set()
    for place in stages(lesson):
        for short in missing_from(lesson.store, (p.fence for p in fences_at(lesson, place))):
            if short.what not in told:
                told.add(short.what)
                yield _at(
                    lesson, _line_of(lesson, place).step, "exercise", "missing-from-the-store",
                    Severity.CAUTION, f"for what stands then {short.words()}",
                    f"borrow {short.lacking}, or take exercises with more fences in common",
                )  # fmt: skip


def _numbers(lesson: Lesson) -> Iterator[Diagnostic]:
    """Riders and jumps against what the exercise, the trainer and the trade say."""
    facts = lesson_facts()
    for name, group in lesson.written.groups.items():
        path = ("groups", name)
        most = max((lesson.jumps_of(name, place) for place in range(1, group.riders + 1)),
                   default=0)  # fmt: skip
        if group.jumps is not None and most > group.jumps:
            yield error(
                lesson.document, (*path, "jumps"), f"{most} jumps are planned for a horse of group "
                f"{name}, and {group.jumps} is the most", "take a round or an exercise out",
                "too-many-jumps", Severity.STOP,
            )  # fmt: skip
        yield from _efforts(lesson, name, path)
        limit = facts.riders_in_a_group
        if group.riders > limit.value:
            yield error(
                lesson.document, (*path, "riders"), f"{group.riders} ride in group {name}; "
                f"{limit.value:g} is usual: {limit.source}", "part the group, or plan more time",
                "large-group", Severity.CAUTION,
            )  # fmt: skip
        own = sum(line.minutes for line in lesson.lines if line.group == name)
        each, usual = own / group.riders, facts.minutes_a_rider
        if own and each < usual.value:
            yield error(
                lesson.document, (*path, "riders"), f"{each:.0f} minutes for each rider of group "
                f"{name}; {usual.value:g} is usual: {usual.source}", "fewer riders, or more time",
                "little-time", Severity.CAUTION,
            )  # fmt: skip
    for line in _exercises(lesson):
        riders = lesson.plans[line.exercise or 0].definition.riders
        if riders is not None and lesson.written.groups[line.group].riders > riders:
            yield _at(
                lesson, line.step, "exercise", "too-many-riders", Severity.STOP,
                f"the exercise is for {riders} riders at most", "part the group",
            )  # fmt: skip


def _efforts(lesson: Lesson, name: str, path: tuple[str, ...]) -> Iterator[Diagnostic]:
    """Jumps of a horse against what its experience bears in one lesson; a young one is green."""
    group = lesson.written.groups[name]
    ridden = [line.exercise for line in _exercises(lesson) if line.group == name]
    if not ridden:
        return
    horses = lesson.plans[ridden[0] or 0].terms.horses.experience
    told: set[str] = set()
    for place in range(1, group.riders + 1):
        experience = "green" if place in group.young else horses
        most, planned = schooling().efforts.of(experience), lesson.jumps_of(name, place)
        if planned > most.value and experience not in told:
            told.add(experience)
            yield error(
                lesson.document, (*path, "jumps"), f"{planned} jumps are planned for "
                f"{name}{place}, and {most.value:g} are what a horse that is {experience} bears: "
                f"{most.source}",
                "take a round out, or let it leave an exercise out", "too-many-efforts",
                Severity.CAUTION,
            )  # fmt: skip


def _taken(lesson: Lesson) -> str:
    moving = sum(line.moving for line in lesson.lines)
    more = f", {moving} of them to move fences" if moving else ""
    return f"{lesson.minutes} minutes{more}"


def _minutes(lesson: Lesson) -> Iterator[Diagnostic]:
    begin, end = lesson.written.time
    over = lesson.minutes - (end - begin)
    if over > 0:
        yield error(
            lesson.document, ("time",),
            f"the lines take {_taken(lesson)}, {over} more than there are",
            "take a round out, or write minutes: for a line", "too-long",
            Severity.STOP,
        )  # fmt: skip
    facts = lesson_facts()
    for name in lesson.written.groups:
        own = [line for line in lesson.lines if line.group == name]
        if not own:
            continue
        warm = own[0].minutes if own[0].written.warm_up else 0
        if warm < facts.warm_up.value:
            yield error(
                lesson.document, ("groups", name), f"group {name} has {warm} minutes of warm-up; "
                f"{facts.warm_up.value:g} is the least: {facts.warm_up.source}",
                "begin with - warm up: 10 min", "no-warm-up", Severity.CAUTION,
            )  # fmt: skip


def _behind(lesson: Lesson) -> Iterator[Diagnostic]:
    """What stands for another exercise straight ahead of who lands."""
    for one in standing_behind(lesson):
        yield _at(
            lesson, one.step, "exercise", "standing-behind-a-fence", Severity.CAUTION,
            f"{one.words()}, for another exercise", "carry it out for this one, or say it to the "
            "riders: look and turn before it",
        )  # fmt: skip


def _warm_ups(lesson: Lesson) -> Iterator[Diagnostic]:
    """Warm-ups over fences that are carried in later."""
    for step, names in not_there_yet(lesson).items():
        yield _at(
            lesson, step, "warm up", "warm-up-over-nothing", Severity.CAUTION,
            f"an exercise warms up over {', '.join(names)}: not there yet at this warm-up",
            "warm up over what stands, or ride that part when it is built",
        )  # fmt: skip


def _exercises(lesson: Lesson) -> list[SheetLine]:
    return [line for line in lesson.lines if line.exercise is not None]
