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
SHORT_THEN_LONG = Limit(NAME, "short then long")
SHORT = 2
"""Strides. Up to here there is no room to mend a distance."""
RELATED = Limit(NAME, "related within")
FROM = Limit(NAME, "long then short from")
AFTER_A_TRIPLE_BAR = Limit(NAME, "strides after a triple bar")
SOLID = Limit(NAME, "solid fences in a bounce")
OXERS_IN_A_ROW = Limit(NAME, "three oxers from")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for row in rows(plan, WITHIN.value):
        yield from _bounced_spreads(plan, row)
        yield from _bounced_walls(plan, row)
        yield from _too_many(plan, row)
        yield from _triple_bars(plan, row)
        yield from _oxers(plan, row)
        yield from _three_oxers(plan, row)
    for row in rows(plan, RELATED.value):
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


def _bounced_walls(plan: Plan, row: Row) -> Iterator[Diagnostic]:
    for gap in row.gaps:
        ends = gap.first, gap.second
        solid = [end for end in ends if end.fence.fence.is_solid]
        flat = [end for end in ends if end.fence.fence.facts.parts.flat_cups]
        if not gap.strides and (solid or flat):
            how = "which is solid" if solid else "which lies in flat cups"
            message = f"a bounce with {(solid or flat)[-1].fence.name}, {how}"
            hint = "build bounces of poles that fall"
            yield _at(plan, gap, Severity.CAUTION, message, hint, SOLID.of())
            return


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

        elif gap.first.fence.fence.facts.group == "triple bar":
            message = (
                f"{gap.first.fence.name} is a triple bar with {gap.second.fence.name} close behind"
            )
            green = plan.terms.horses.experience == "green"
            severity = Severity.STOP if green else Severity.CAUTION
            hint = "give it four strides, or build an oxer in its place"
            yield _at(plan, gap, severity, message, hint, AFTER_A_TRIPLE_BAR.of())


def _three_oxers(plan: Plan, row: Row) -> Iterator[Diagnostic]:
    from_m = OXERS_IN_A_ROW.of(plan.terms.horses.experience)
    for one, other in pairwise(row.gaps):
        ends = (one.first, one.second, other.second)
        low = min(end.fence.fence.measures.height_m for end in ends)
        if one.strides == other.strides == 1 and all(map(_wide, ends)) and low >= from_m.value:
            message = f"three oxers on one stride each for {horses_text(plan)}"
            hint = "build the middle one as a vertical"
            yield _at(plan, other, Severity.CAUTION, message, hint, from_m)


def _oxers(plan: Plan, row: Row) -> Iterator[Diagnostic]:
    experience = plan.terms.horses.experience
    from_m = OXER_AFTER_ONE.of(experience, plan.terms.horses.size)
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
    if row.trotted or row.height_m < FROM.value:
        return
    for one, other in pairwise(row.gaps):
        if not one.strides or not other.strides:
            continue
        apart = one.off_a_stride_m - other.off_a_stride_m
        if one.off_a_stride_m < -EACH.value and other.off_a_stride_m > EACH.value:
            yield from _short_then_long(plan, one, other)
        if one.off_a_stride_m < EACH.value or other.off_a_stride_m > -EACH.value:
            continue
        # Over three strides and more there is room to mend it.
        line = max(one.strides, other.strides) > SHORT
        for word, severity in (("stop", Severity.STOP), ("caution", Severity.CAUTION)):
            limit = TURN_ABOUT.of(word)
            if apart >= limit.value and not (line and severity is Severity.STOP):
                message = (
                    f"a long distance to {one.second.fence.name} "
                    f"({say(plan, one.off_m)} over) and a short one after it "
                    f"({say(plan, -other.off_m)} under)"
                )
                yield _at(plan, other, severity, message, "set both alike", limit, apart)
                break


def _short_then_long(plan: Plan, one: Gap, other: Gap) -> Iterator[Diagnostic]:
    """A horse that has come back must stretch where there is no room to begin it."""
    apart = other.off_a_stride_m - one.off_a_stride_m
    if other.strides <= SHORT and apart >= SHORT_THEN_LONG.value:
        message = (
            f"a short distance to {one.second.fence.name} ({say(plan, -one.off_m)} under) "
            f"and a long one after it ({say(plan, other.off_m)} over)"
        )
        limit = SHORT_THEN_LONG.of()
        yield _at(plan, other, Severity.CAUTION, message, "set both alike", limit, apart)


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
