"""combination-too-hard: fences one after another that are each in order and together a trap.

Fences a stride or two apart are a combination, however the file writes them.
"""

from collections.abc import Iterable, Iterator
from itertools import pairwise

from diagram.checks.rule import Rule, found, horses_text, on_leg, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.rows import Gap, Row, is_spread, rows
from diagram.path.line import Crossing
from diagram.planning import Plan
from diagram.trade.figures import Figure
from diagram.trade.limits import Limit

NAME = "combination-too-hard"
WITHIN = Limit(NAME, "two elements within")
ELEMENTS = Limit(NAME, "elements")
BOUNCES = Limit(NAME, "bounces in a row")
OXER_AFTER_ONE = Limit(NAME, "one stride to an oxer from")
TROTTED_OXERS = Limit(NAME, "trotted oxers in a row")
BOUNCED_SPREAD = Limit(NAME, "spreads in a bounce")
TRIPLE_BAR = Limit(NAME, "triple bars after the first")
TURN_ABOUT = Limit(NAME, "long then short")
EACH = Limit(NAME, "each at least")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for row in rows(plan, WITHIN.value):
        yield from _bounced_spreads(plan, row)
        yield from _too_many(plan, row)
        yield from _triple_bars(plan, row)
        yield from _oxers(plan, row)
        yield from _turned_about(plan, row)


def _bounced_spreads(plan: Plan, row: Row) -> Iterator[Diagnostic]:
    wide = [gap for gap in row.gaps if not gap.strides and (_wide(gap.first) or _wide(gap.second))]
    if wide:
        gap = wide[0]
        fence = gap.second if _wide(gap.second) else gap.first
        how = "into" if fence is gap.second else "out of"
        message = f"a bounce {how} {fence.fence.name}, which is a spread"
        hint = "build verticals in a bounce, or give the oxer a stride"
        yield _at(plan, gap, Severity.STOP, message, hint, BOUNCED_SPREAD.of())


def _too_many(plan: Plan, row: Row) -> Iterator[Diagnostic]:
    if len(row.fences) > ELEMENTS.value:
        message = f"{len(row.fences)} fences in one row; {ELEMENTS.value:.0f} are enough"
        yield _at(plan, row.gaps[-1], Severity.CAUTION, message, "leave some out", ELEMENTS.of())
    most, run = BOUNCES.of(plan.terms.horses.experience), 0
    for gap in row.gaps:
        run = 0 if gap.strides else run + 1
        if run == int(most.value) + 1:
            message = f"more than {most.value:.0f} bounces one after another"
            severity = Severity.CAUTION
            yield _at(plan, gap, severity, message, "give every third gap a stride", most)


def _triple_bars(plan: Plan, row: Row) -> Iterator[Diagnostic]:
    for gap in row.gaps:
        if gap.second.fence.fence.facts.group == "triple bar":
            message = f"{gap.second.fence.name} is a triple bar inside a combination"
            hint = "put it first, alone, or four strides before a vertical"
            yield _at(plan, gap, Severity.STOP, message, hint, TRIPLE_BAR.of())


def _oxers(plan: Plan, row: Row) -> Iterator[Diagnostic]:
    experience = plan.terms.horses.experience
    from_m = OXER_AFTER_ONE.of(experience)
    for gap in row.gaps:
        if gap.strides != 1 or not _wide(gap.second):
            continue
        both = _wide(gap.first)
        if row.trotted and both:
            message = f"{gap.first.fence.name} and {gap.second.fence.name}: oxer to oxer from trot"
            severity = Severity.STOP if experience == "green" else Severity.CAUTION
            hint = "build the first of them as a vertical"
            yield _at(plan, gap, severity, message, hint, TROTTED_OXERS.of())
        elif not row.trotted and gap.second.fence.fence.measures.height_m >= from_m.value:
            kinds = "oxer to oxer" if both else f"{gap.second.fence.name}, an oxer,"
            message = f"{kinds} on one stride for {horses_text(plan)}"
            severity = Severity.STOP if both and experience == "green" else Severity.CAUTION
            hint = "make it two strides, or the second a vertical"
            yield _at(plan, gap, severity, message, hint, from_m)


def _turned_about(plan: Plan, row: Row) -> Iterator[Diagnostic]:
    """A long distance and then a short one: the horse is asked to open and at once to wait."""
    if row.trotted:
        return
    for one, other in pairwise(row.gaps):
        if not one.strides or not other.strides:
            continue
        apart = one.off_m - other.off_m
        if one.off_m < EACH.value or other.off_m > -EACH.value:
            continue
        for word, severity in (("stop", Severity.STOP), ("caution", Severity.CAUTION)):
            limit = TURN_ABOUT.of(word)
            if apart >= limit.value:
                message = (
                    f"a long distance to {one.second.fence.name} "
                    f"({say(plan, one.off_m)} over) and a short one after it "
                    f"({say(plan, -other.off_m)} under)"
                )
                yield _at(plan, other, severity, message, "set both alike", limit, apart)
                break


def _wide(crossing: Crossing) -> bool:
    return is_spread(crossing) and crossing.fence.fence.depth_m > 0


def _at(
    plan: Plan, gap: Gap, severity: Severity, message: str, hint: str, limit: Figure,
    figure: float | None = None,
) -> Diagnostic:  # fmt: skip
    return found(
        plan, NAME, severity, message, gap.leg.path, hint, figure=figure, limit=limit.value,
        source=limit.source, at=on_leg(gap.leg),
    )  # fmt: skip


RULE = Rule(NAME, _check)
