"""What the pages of the record say, in whole sentences a parent would understand.

Never said: ready, fit for, passed, failed, weak, talent, per cent, a rank, another child's name
on a page for a parent.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from diagram.plain import capital, counted
from diagram.records.contrasts import NEARLY_SURE, Contrast
from diagram.records.rates import Rate
from diagram.records.readiness import Readiness, Shown
from diagram.records.step_file import DAYS_IN_A_WEEK, Ask, By
from diagram.units import INCH, Units, length_text, metres_text

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
BYS: tuple[By, ...] = ("horse", "rider", "pair")
DECIDES = "This page does not say when to go up: the trainer does."
INCHES_IN_A_FOOT = 12


def day_text(day: date, year: bool = False) -> str:
    """``28 Mar`` or ``28 Mar 2026``."""
    text = f"{day.day} {MONTHS[day.month - 1]}"
    return f"{text} {day.year}" if year else text


def height_text(height_mm: int, units: Units) -> str:
    """A height of fences: ``2'9"`` or ``0.84 m``."""
    return length_text(height_mm / 1000, "metres" if units == "metres" else "feet")


def spoken_height(height_mm: int, units: Units) -> str:
    """A height as one says it: ``3 feet``, ``2 feet 9``, ``0.9 m``."""
    if units == "metres":
        return metres_text(height_mm / 1000)
    inches = round(height_mm / 1000 / INCH)
    feet, rest = divmod(inches, INCHES_IN_A_FOOT)
    if not feet:
        return f"{rest} inches"
    return f"{feet} feet {rest}" if rest else f"{feet} {'foot' if feet == 1 else 'feet'}"


def listed(parts: Sequence[str]) -> str:
    """``a, b and c``."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} and {parts[-1]}"


def asked_text(ask: Ask, look_back: int, since: date | None) -> str:
    """``8 in 10, 8 tries, 3 days``, with the look-back where it is not the step's own.

    `since` is where a break or a new beginning cut it short.
    """
    text = f"{ask.right} in {ask.of}, {counted(ask.tries, 'try')}, {counted(ask.days, 'day')}"
    if since is not None:
        text += f", since {day_text(since)}"
    elif ask.look_back != look_back and ask.look_back % DAYS_IN_A_WEEK == 0:
        text += f", {ask.look_back // DAYS_IN_A_WEEK} weeks back"
    return text


def others_text(shown: Shown, parent: bool) -> str:
    """``under Tess 4 of 4``, ``on Comet 7 of 9``, ``only under Tess``.

    A page for a parent has no other name, and nothing of what others showed on the horse but that
    it was others."""
    if not shown.others or shown.requirement.counts.another_horse:
        return ""
    word = "under" if shown.requirement.by == "horse" else "on"
    if parent and shown.requirement.by == "rider":
        return f"on other horses {_summed(shown)}"
    if parent:
        return "under others only" if shown.only_with_others else ""
    if shown.only_with_others:
        names = [name for name, _, _ in shown.others]
        return f"only {word} {names[0] if len(names) == 1 else f'{len(names)} others'}"
    if len(shown.others) == 1:
        name, x, n = shown.others[0]
        return f"{word} {name} {x} of {n}"
    return f"{word} {len(shown.others)} others {_summed(shown)}"


def _summed(shown: Shown) -> str:
    x, n = sum(x for _, x, _ in shown.others), sum(n for _, _, n in shown.others)
    return f"{x} of {n}"


def seen_line(page: Readiness) -> str:
    """``106 rounds on 40 days, 10 Oct 2024 to 28 Mar 2026.``"""
    if not page.rounds:
        return "No round seen yet."
    days = sorted({one.day.on for one in page.rounds})
    rounds, on = counted(len(page.rounds), "round"), counted(len(days), "day")
    if len(days) == 1:
        return f"{rounds} on {day_text(days[0], year=True)}."
    return f"{rounds} on {on}, {day_text(days[0], True)} to {day_text(days[-1], True)}."


def plain_words(page: Readiness, units: Units) -> tuple[str, str]:
    """The first sentence, and the rest, for somebody who does not teach riding."""
    if page.step is None:
        return (
            "No step file begins at the height these two ride.",
            f"Heights, strides and counts are below. {DECIDES}",
        )
    horse, rider = page.pair.horse.name, page.pair.person.name
    parts: list[str] = []
    names: dict[By, str] = {"horse": horse, "rider": rider, "pair": "both together"}
    for by, name in names.items():
        there = len(page.by(by))
        if there:
            count = page.count(by) or ("none" if by == "pair" else 0)
            parts.append(f"{name} {'has shown ' if not parts else ''}{count} of {there}")
    first = (
        f"Before fences go up to {spoken_height(page.step.to_mm, units)} we look for "
        f"{counted(len(page.shown), 'thing')}. {capital(', '.join(parts))}."
    )
    return first, " ".join([*_done(page), *_not_done(page), DECIDES])


def _done(page: Readiness) -> list[str]:
    found = []
    names = {"horse": page.pair.horse.name, "rider": page.pair.person.name, "pair": "Together they"}
    for by in BYS:
        verbs = [
            one.requirement.verb.format(n=_share(one.rate))
            for one in page.by(by)
            if one.state == "shown"
        ]
        if verbs:
            found.append(f"{names[by]} {listed(verbs)}.")
    return found


def _share(rate: Rate) -> str:
    """How many, and of how many where some were not as asked: parents read this."""
    return str(rate.n) if rate.x == rate.n else f"{rate.x} of {rate.n}"


GROUPS = (
    ("Not steady yet", ("not often enough",)),
    ("Just short of it", ("just short",)),
    (
        "Seen too seldom, on too few days or too long ago",
        ("seen too seldom", "too few days", "too long ago"),
    ),
    ("Not seen since it is counted anew", ("begun anew",)),
)


def _not_done(page: Readiness) -> list[str]:
    found = []
    for head, whys in GROUPS:
        nouns = [
            one.requirement.noun for one in page.shown if one.state == "not yet" and one.why in whys
        ]
        if nouns:
            found.append(f"{head}: {listed(nouns)}.")
    untried = [one for one in page.shown if one.state == "never tried"]
    for head, lower in (("Tried only lower so far", True), ("Never tried", False)):
        nouns = [one.requirement.noun for one in untried if bool(one.months) is lower]
        if nouns:
            found.append(f"{head}: {listed(nouns)}.")
    elsewhere = [
        one.requirement.noun
        for one in page.by("horse")
        if one.only_with_others and not one.requirement.counts.another_horse
    ]
    if elsewhere:
        found.append(
            f"Seen under other riders only, never {page.pair.person.name}: {listed(elsewhere)}."
        )
    return found


def apart_words(page: Readiness, parent: bool) -> tuple[str, ...]:
    """What may be said of horse and rider apart. Nothing of others on a page for a parent."""
    horse, rider = page.pair.horse.name, page.pair.person.name
    if parent:
        return (
            "Whether it is the horse or the rider is told by looking at other pairs. That is "
            "other people's, so it is not on this page: ask the trainer.",
        )
    if page.fitted is None:
        return ("There are too few tries in the record to tell horse and rider apart.",)
    if not page.linked:
        return (
            f"They cannot be told apart: {horse} was seen under {rider} only, and {rider} on "
            f"{horse} only. More rounds will not change that. Three rounds of {rider} on another "
            f"horse, and three of another rider on {horse}, would begin to.",
        )
    said = [_contrast_words(one) for one in page.contrasts]
    if any(one.marks_disagree for one in page.contrasts):
        said.append("The trainer's marks and the model do not agree here.")
    return tuple(said)


def _contrast_words(one: Contrast) -> str:
    where = "Under" if one.what == "horse" else "On"
    if not one.told:
        return f"{where} {one.shared}, {one.better} and {one.other} cannot be told apart."
    sure = "more than 95" if one.sure > NEARLY_SURE else f"{100 * one.sure:.0f}"
    return (
        f"{where} {one.shared}, {one.better} does better than {one.other} (sure in {sure} of 100)."
    )


def misses_words(page: Readiness) -> str:
    """Whose the misses were by the trainer's own mark: a second witness, never mixed in."""
    misses = dict(page.misses)
    total = sum(misses.values())
    if not total:
        return ""
    text = (
        f"The trainer marked {misses['rider']} of {counted(total, 'miss')} as "
        f"{page.pair.person.name}'s, {misses['horse']} as {page.pair.horse.name}'s"
    )
    rest = [
        f"{misses['both']} as both's" if misses["both"] else "",
        f"{misses['unknown']} as nobody's in particular" if misses["unknown"] else "",
    ]
    return ", ".join([text, *(part for part in rest if part)]) + "."


def missing_text(one: Shown) -> str:
    """What is asked and not seen so far: ``on 2 days of 3``, ``3 tries of 6``; else nothing."""
    ask, found = one.requirement.ask, one.rate
    if one.state == "never tried":
        return "tried only lower so far" if one.months else "never tried"
    if one.why == "too long ago" and one.last is not None:
        weeks, days = divmod(ask.last_within, DAYS_IN_A_WEEK)
        within = counted(ask.last_within, "day") if days else counted(weeks, "week")
        return f"last on {day_text(one.last, True)}, asked within {within}"
    if one.why == "begun anew" and one.since is not None:
        return f"none since {day_text(one.since, True)}"
    if found.n < ask.tries:
        return f"{counted(found.n, 'try')} of {ask.tries}"
    if one.why == "too few days":
        return f"on {counted(found.days, 'day')} of {ask.days}"
    return ""
