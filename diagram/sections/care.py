"""What to be careful of tonight, in a rider's words: what the checks found, what was accepted."""

from __future__ import annotations

import re

from diagram.diagnostics import Diagnostic, Severity
from diagram.drawing.furniture import STOPPED as STOPPED
from diagram.fences.kind import with_article
from diagram.plain import capital
from diagram.planning import Plan, PlanLeg

_STRAIGHT = re.compile(r"(.+? strides?|half a stride) straight (before|after) ([^;]+)")

COMMAND = "tapeline "
"""What a hint begins with that is for the keyboard: of no use on paper."""


def care_texts(plan: Plan) -> tuple[str, ...]:
    """All to be careful of, then the notes of the file."""
    notes = (_sentence(note) for note in plan.definition.notes)
    return tuple(dict.fromkeys((*warnings_of(plan), *filter(None, notes))))


def warnings_of(plan: Plan) -> tuple[str, ...]:
    """What stops first, then cautions, angles, spreads jumped both ways, accepted risks."""
    worst = sorted(plan.findings, key=lambda one: (one.severity.rank, one.order()))
    stops = [found for found in worst if found.severity in (Severity.STOP, Severity.ERROR)]
    others = [one for one in worst if "allowed" not in dict(one.facts) and one not in stops]
    texts = [STOPPED, *(_said(plan, one) for one in stops)] if stops else []
    texts += [_said(plan, one) for one in others if one.rule != "too-little-straight"]
    texts += [*_straights(others), *_angles(plan), *_both_ways(plan)]
    texts += [_accepted(plan, rule, why) for rule, why in plan.definition.allow.items()]
    return tuple(dict.fromkeys(text for text in texts if text))


def placed(plan: Plan, finding: Diagnostic) -> str:
    """What was found, with the way or the fence where that is, unless it names one itself."""
    said = finding.message.split(";")[0]
    names = {name for fence in plan.fences for name in (fence.name, fence.fence.whole) if name}
    if finding.span is None or any(re.search(rf"\b{re.escape(n)}\b", said) for n in names):
        return said
    for leg in plan.legs:
        if plan.document.span_at(leg.path).line == finding.span.line:
            return f"{_way_words(leg)}: {said}"
    for fence in plan.fences:
        if plan.document.span_at(("fences", fence.name)).line == finding.span.line:
            return f"{fence.name}: {said}"
    return said


def _way_words(leg: PlanLeg) -> str:
    """``1 alder to 2 birch``, ``start to 1 alder``, ``4 alder to finish``."""
    ends = [
        " ".join(word for word in (end.jump.label, end.jump.whole or end.jump.fence) if word)
        if end else other
        for end, other in ((leg.first, "start"), (leg.second, "finish"))
    ]  # fmt: skip
    return " to ".join(ends)


def _said(plan: Plan, finding: Diagnostic) -> str:
    """A finding without its limit, its letter and its source; nothing that only notes a wish.

    What to write instead is told of what stops: the rest is for the ride, not for the file.
    """
    if finding.severity is Severity.NOTE:
        return ""
    said = placed(plan, finding)
    told = finding.severity in (Severity.STOP, Severity.ERROR) and finding.hint
    if told and finding.hint.startswith(COMMAND):
        told = ""
    return _sentence(said) + (f" {_sentence(finding.hint)}" if told else "")


def _accepted(plan: Plan, rule: str, reason: str) -> str:
    """What the trainer accepts, as it was found, and why; the reason alone where it is not met.

    What would only have been a note needs no telling beyond the reason.
    """
    met = [one for one in plan.findings if one.rule == rule and "allowed" in dict(one.facts)]
    grave = [one for one in met if dict(one.facts)["was"] != str(Severity.NOTE)]
    if not grave:
        return _sentence(reason)
    more = f", and {len(grave) - 1} more like it" if len(grave) > 1 else ""
    return f"{capital(placed(plan, grave[0]))}{more}. Accepted: {_sentence(reason)}"


def _straights(findings: list[Diagnostic]) -> list[str]:
    """``One stride straight before and after birch, before linden: ride the turns wide.``"""
    places: dict[str, dict[str, list[str]]] = {}
    out = []
    for finding in findings:
        if finding.rule != "too-little-straight":
            continue
        match = _STRAIGHT.search(finding.message)
        if not match:
            out.append(_sentence(finding.message))
            continue
        where = places.setdefault(match[1], {}).setdefault(match[3].strip(), [])
        if match[2] not in where:
            where.append(match[2])
    for words, fences in places.items():
        told: dict[str, list[str]] = {}
        for fence, where in fences.items():
            told.setdefault(" and ".join(sorted(where, reverse=True)), []).append(fence)
        said = ", ".join(f"{where} {_all_of(names)}" for where, names in told.items())
        turns = "turns" if sum(map(len, fences.values())) > 1 else "turn"
        out.append(f"{capital(words)} straight {said}: ride the {turns} wide.")
    return out


def _all_of(names: list[str]) -> str:
    """``alder, birch and cedar``."""
    return " and ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)


def _angles(plan: Plan) -> list[str]:
    out: dict[str, dict[str, list[str]]] = {}
    for leg in plan.legs:
        if leg.angled and leg.second:
            jump = leg.second.jump
            sides = out.setdefault(jump.fence, {})
            sides.setdefault(leg.angled.run_out, []).append(jump.label)
    return [_run_out(fence, sides) for fence, sides in out.items()]


def _run_out(fence: str, sides: dict[str, list[str]]) -> str:
    """``Hub on the angle: a run-out goes to the left at 3, to the right at 5.``"""
    if len(sides) == 1 or not all(label for labels in sides.values() for label in labels):
        where = " or ".join(f"to the {side}" for side in sides)
    else:
        where = ", ".join(f"to the {side} at {_all_of(labels)}" for side, labels in sides.items())
    return f"{capital(fence)} on the angle: a run-out goes {where}."


def _both_ways(plan: Plan) -> list[str]:
    """A spread that is met from both sides is named, so that nobody need wonder whether it may."""
    out = []
    for placed in plan.fences:
        told = any(
            placed.name in note.lower() and "both ways" in note for note in plan.definition.notes
        )
        if placed.name in plan.spreads_both_ways and not told:
            kind = with_article(placed.fence.kind.facts)
            out.append(f"{capital(placed.name)} is {kind}: it may be jumped both ways.")
    return out


def _sentence(text: str) -> str:
    """`text` with a capital and a full stop."""
    plain = text.strip()
    if not plain:
        return ""
    return capital(plain) + ("" if plain[-1] in ".!?" else ".")
