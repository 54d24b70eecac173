"""Lines of YAML that do not line up with those above them: what was meant, and the line mended.

Every line stays where it is, so that what is said of the others stays true.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from msgspec import Struct

from diagram.model.definition import STEPS
from diagram.plain import counted
from diagram.source import Document, Mapping, Node, Scalar, Sequence

KEY = re.compile(r"(?P<blanks> *)(?P<dash>- +)?(?P<key>[^\W\d_][\w' -]*?):(?=\s|$) *(?P<value>.*)$")
_NO_BLANK = re.compile(r"(?P<blanks> *)-(?P<rest>[^\W\d_].*)$")
_OTHER_DASH = re.compile(r"(?P<blanks> *)[*•–—+] +(?P<rest>\S.*)$")
_NO_COLON = re.compile(r"(?P<blanks> *)(?P<key>[^\W\d_][\w'-]*) (?P<rest>[^:]+)$")
_QUOTED = re.compile(r"(?P<head>.*?: |.*?- )'(?P<text>.*\w'\w.*)'\s*$")


class Mended(Struct, frozen=True):
    """A line mended: at which place of the list, what is wrong there, what to write."""

    at: int
    column: int
    message: str
    hint: str


def lined_up(lines: list[str], at: int) -> Mended | None:
    """Mend the line `at`, at which the reader stumbled, or the one above that it stumbled over.

    `lines` are changed. None where it is not plain what was meant.
    """
    line = lines[at]
    if match := _QUOTED.fullmatch(line):
        lines[at] = f'{match["head"]}"{match["text"]}"'
        hint = f'leave the quotes out, or use double ones: "{match["text"]}"'
        return Mended(at, match.end("head") + 1, "an apostrophe ends this quote too early", hint)
    if match := _NO_BLANK.fullmatch(line):
        return _written(lines, at, match, f"- {match['rest']}", "a blank is missing after the dash")
    if match := _OTHER_DASH.fullmatch(line):
        return _written(lines, at, match, f"- {match['rest']}", "this is no dash of a list")
    match = KEY.fullmatch(line)
    if match is None:
        return None
    above = _above(lines, at)
    if above is None:
        return None
    if not match["dash"] and match["key"] in STEPS and (dash := _dash_near(lines, at)) is not None:
        lines[at] = f"{' ' * dash}- {line.strip()}"
        hint = f"write `- {line.strip()}`"
        return Mended(at, len(match["blanks"]) + 1, "a dash is missing before this step", hint)
    before = KEY.fullmatch(lines[above])
    if match["dash"] and before and not before["dash"] and before["key"] in STEPS:
        said = lines[above].strip()
        lines[above] = f"{match['blanks']}- {said}"
        column = len(before["blanks"]) + 1
        return Mended(above, column, "a dash is missing before this step", f"write `- {said}`")
    no_colon = _NO_COLON.fullmatch(lines[above])
    if no_colon and no_colon["blanks"] == match["blanks"] and not match["dash"]:
        said = f"{no_colon['key']}: {no_colon['rest']}"
        return _written(lines, above, no_colon, said, f"a colon is missing after {no_colon['key']}")
    return _moved(lines, at, match)


def _written(lines: list[str], at: int, match: re.Match[str], said: str, message: str) -> Mended:
    lines[at] = f"{match['blanks']}{said}"
    return Mended(at, len(match["blanks"]) + 1, message, f"write `{said.strip()}`")


def _moved(lines: list[str], at: int, match: re.Match[str]) -> Mended | None:
    """The line put to the nearest place where a line of its sort may begin."""
    begin = len(match["blanks"])
    if (
        match["dash"]
        and match["key"] in STEPS
        and not any(line.startswith(("ride:", "rides:")) for line in lines[:at])
    ):
        lines[at:] = [f"#{line}" for line in lines[at:]]
        hint = "write `ride:` on a line of its own above it"
        return Mended(at, begin + 1, "a step stands here and no ride is begun", hint)
    places = list(_places(lines, at, bool(match["dash"])))
    if not places or begin in places:
        return None
    to = min(places, key=lambda place: (abs(place - begin), -place))
    way = "further in" if begin > to else "further out"
    message = f"this line begins {way} than those it belongs to"
    hint = f"begin it after {counted(to, 'blank')}, where it has {counted(begin, 'blank')}"
    _shift(lines, at, begin, to, bool(match["dash"]))
    return Mended(at, begin + 1, message, hint)


def _places(lines: list[str], at: int, dash: bool) -> Iterator[int]:
    """Columns at which a line with a dash, or one with a key alone, may begin after those above:
    of every block that is still open, the innermost first."""
    inside = len(lines[at])
    for line in reversed(lines[:at]):
        match = KEY.fullmatch(line)
        if match is None or (len(match["blanks"]) >= inside and not match["dash"]):
            continue
        blanks = len(match["blanks"])
        if match["dash"]:
            if dash and blanks < inside:
                yield blanks
            elif not dash and blanks + len(match["dash"]) <= inside:
                yield blanks + len(match["dash"])
        elif not dash:
            yield blanks
        inside = min(inside, blanks + (1 if match["dash"] else 0))
        if not inside:
            return


def _shift(lines: list[str], at: int, begin: int, to: int, dash: bool) -> None:
    """Move a line from one column to another, and what hangs below it along with it."""
    lines[at] = " " * to + lines[at].lstrip()
    for below in range(at + 1, len(lines)):
        text = lines[below].lstrip()
        blanks = len(lines[below]) - len(text)
        if text and blanks <= begin:
            return
        hangs = blanks == begin + 2 and text[:2] != "- " if dash else blanks <= to
        if text and hangs:
            lines[below] = " " * max(0, blanks + to - begin) + text


def _above(lines: list[str], at: int) -> int | None:
    """The place of the last line above that says something."""
    return next(
        (n for n in range(at - 1, -1, -1) if lines[n].strip() and lines[n].strip()[:1] != "#"), None
    )


def _dash_near(lines: list[str], at: int) -> int | None:
    """The column of the dashes of the steps beside a line, if there are any."""
    near = [*reversed(lines[:at]), *lines[at + 1 :]]
    for line in near:
        match = KEY.fullmatch(line)
        if match and match["dash"] and match["key"] in STEPS:
            return len(match["blanks"])
    return None


def open_quotes(lines: list[str]) -> list[Mended]:
    """Close every quote that is open at the end of its line while the next line says a key of its
    own: a text that is meant to run on is indented. `lines` are changed."""
    found = []
    for at, line in enumerate(lines[:-1]):
        match = _OPENS.match(line)
        below = KEY.fullmatch(lines[at + 1])
        if match is None or below is None or len(below["blanks"]) > len(match["blanks"]):
            continue
        quote, text = match["quote"], match["text"]
        if quote in text.replace("''" if quote == "'" else '\\"', ""):
            continue
        lines[at] = f"{line.rstrip()}{quote}"
        hint = "close it at the end of the line; for inches write 12'6\" without quotes round it"
        found.append(Mended(at, match.start("quote") + 1, OPEN_QUOTE, hint))
    return found


def quotes_run_on(document: Document) -> bool:
    """Whether a quoted text of a sound document runs over lines that say keys of their own."""
    opened = {mended.at + 1 for mended in open_quotes(document.text.split("\n"))}
    return bool(opened) and any(
        scalar.quoted and scalar.span.line in opened and scalar.span.end_line > scalar.span.line
        for scalar in _scalars(document.root)
    )


def _scalars(node: Node) -> Iterator[Scalar]:
    match node:
        case Scalar():
            yield node
        case Sequence(items=items):
            for item in items:
                yield from _scalars(item)
        case Mapping(entries=entries):
            for _, value in entries:
                yield from _scalars(value)


OPEN_QUOTE = "a quote is opened here and not closed"
_OPENS = re.compile(r"(?P<blanks> *)(?:- +)?(?:[^\W\d_][\w' -]*: +)?(?P<quote>[\"'])(?P<text>.*)$")
