"""A pass mark in the few words that a column of an observation sheet has room for."""

from __future__ import annotations

import re
import textwrap

from msgspec import Struct

from diagram.exercise.course import Path
from diagram.planning import PlanLeg


class PassMark(Struct, frozen=True):
    """What is to be passed at the fence of a leg: of the way first, then of the fence.

    `passed` is the pass mark as it is said, `short` what the file wants on the sheet instead;
    either may be empty. `path` and `key` say where the text that is printed first is written.
    """

    passed: str
    short: str
    path: Path
    key: str


def pass_mark(leg: PlanLeg) -> PassMark:
    """The pass mark of the fence that a leg leads to; that of a combination at its last part."""
    jump = leg.link.second
    said = [(leg.link.lesson, leg.link.path)]
    said += [(jump.judged, jump.path)] if jump is not None else []
    short = [(lesson.on_the_sheet, path) for lesson, path in said if lesson.on_the_sheet]
    passed = [(lesson.passed_when, path) for lesson, path in said if lesson.passed_when]
    (_, path), key = (short or passed or [("", ())])[0], "on the sheet" if short else "passed when"
    return PassMark(_joined(passed), _joined(short), path, key)


def _joined(said: list[tuple[str, Path]]) -> str:
    return " ".join(text for text, _ in said)


def on_the_sheet(passed: str | None, short: str | None) -> tuple[str, ...]:
    """What a sheet prints of a pass mark, from its first clause to all of it; empty without one."""
    return clauses(short or passed or "")


def clauses(text: str) -> tuple[str, ...]:
    """A pass mark from its first clause to the whole, each one clause longer than the last.

    Without full stops at the end, and with a small first letter, since a box stands before it.
    """
    whole = text.strip().rstrip(".")
    ends = [m.start() for m in re.finditer(r"[.;:,]\s|\s(?:and|with|without)\s", whole)]
    cuts = [*(whole[:end] for end in ends), whole]
    return tuple(f"{cut[:1].lower()}{cut[1:]}" for cut in cuts if cut)


def lines_of(text: str, characters: int) -> int:
    """Lines of so many characters that a text takes, broken between words."""
    return len(textwrap.wrap(text, characters))
