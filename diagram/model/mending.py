"""A text that is no sound YAML, mended line by line so that the rest of it can be read as well.

It is good for one thing: finding what else is wrong. Every line stays where it is.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

from msgspec.structs import replace

from diagram.diagnostics import Diagnostic, RejectedError, Severity, Span
from diagram.model.lining_up import KEY, Mended, lined_up, open_quotes, quotes_run_on
from diagram.source import COLON, LIST_BEHIND_KEY, NEEDS_QUOTES, Document, read_text

MOST_MENDED = 20
"""Errors of YAML that are mended, one after the other."""
_STEP = re.compile(r"(?P<head>\s*- )(?P<word>[a-z]+) (?P<rest>\S.*)$")
_KEY = re.compile(r"\s+[a-z][a-z ]*:(?:\s|$)")
_WORD = re.compile(r"(?P<head>\s*(?:- )?)(?P<word>[a-z]+) ?(?P<rest>.*)$")
_CLOSES = {"[": "]", "{": "}"}


def sound(text: str, name: str, errors_of: Callable[[Document], Iterable[Diagnostic]]) -> Document:
    """The text of a file read.

    Raises RejectedError with what is no sound YAML in it and, where the rest can be read all the
    same, with the `errors_of` that.
    """
    try:
        document = read_text(text, name)
        if not quotes_run_on(document):
            return document
        failure = None
    except RejectedError as problem:
        failure = problem
    rest = read_mended(text, name)
    if rest is None:
        assert failure is not None
        raise failure
    document, found = rest
    mended = {problem.span.line for problem in found if problem.span}
    every = [d for d in errors_of(document) if d.span and d.span.file == name]
    found = [_without_colon(d, document, every, errors_of) for d in found]
    more = [d for d in every if d.span and d.span.line not in mended]
    raise RejectedError([*found, *more], {name: text})


def _without_colon(
    problem: Diagnostic, document: Document, every: Iterable[Diagnostic],
    errors_of: Callable[[Document], Iterable[Diagnostic]],
) -> Diagnostic:  # fmt: skip
    """A colon too many where no comma, which stands for it in `document`, makes sense either, told
    as one to leave out: ``birch: vertical: 2'6"``."""
    span = problem.span
    if problem.message != COLON or span is None:
        return problem
    at, column = span.line - 1, span.column - 1
    lines = document.text.split("\n")
    if lines[at][column : column + 1] != "," or not any(
        d.span and d.span.line == span.line for d in every
    ):
        return problem
    lines[at] = lines[at][:column] + lines[at][column + 1 :]
    try:
        without = read_text("\n".join(lines), document.name)
    except RejectedError:
        return problem
    if any(d.span and d.span.line == span.line for d in errors_of(without)):
        return problem
    return replace(problem, hint=f"leave the colon out: write `{lines[at].strip()}`")


def read_mended(text: str, name: str) -> tuple[Document, list[Diagnostic]] | None:
    """The document as it is with its errors mended, and these; None where one cannot be."""
    found: list[Diagnostic] = []
    lines = text.replace("\r\n", "\n").split("\n")
    found += [_told(mended, name) for mended in open_quotes(lines)]
    for _ in range(MOST_MENDED):
        try:
            return read_text("\n".join(lines), name), found
        except RejectedError as failure:
            for problem in failure.diagnostics:
                told = _mend(lines, problem)
                if told is None or told in found:
                    return None
                found.append(told)
    return None


def _mend(lines: list[str], problem: Diagnostic) -> Diagnostic | None:
    """Mend one error in its line; what to say of it. None where that is not possible."""
    span = problem.span
    if span is None or not 0 < span.line <= len(lines):
        return None
    at, column = span.line - 1, span.column - 1
    line = lines[at]
    if problem.rule == "key-twice":
        lines[at] = re.sub(r"\S", "#", line, count=1)
        return problem
    if problem.rule != "not-yaml":
        return None
    if problem.message == COLON and (deeper := _too_deep(lines, at)):
        return replace(_told(deeper, span.file), rule=problem.rule)
    if problem.message == COLON:
        above = _STEP.fullmatch(lines[at - 1]) if at else None
        if above is not None and _KEY.match(line):
            return _step_mended(lines, at - 1, above, problem)
        if line[column : column + 1] != ":":
            return None
        lines[at] = f"{line[:column]},{line[column + 1 :]}"
        return problem
    opened = line[column : column + 1]
    if "\t" in line:
        lines[at] = line.replace("\t", "  ")
    elif "colon is missing" in problem.message and (match := _WORD.fullmatch(line)):
        said = f"{match['word']}: {match['rest'].lstrip(':;= ')}".strip()
        lines[at] = f"{match['head']}{said}"
        return replace(problem, hint=f"write `{said}`, with a blank after the colon")
    elif "not closed" in problem.message and opened in ("'", '"', *_CLOSES):
        lines[at] = f"{line.rstrip()}{_CLOSES.get(opened, opened)}"
    elif problem.message == LIST_BEHIND_KEY and line[column : column + 2] == "- ":
        lines[at] = f"{line[:column]}  {line[column + 2 :]}"
    elif problem.message == NEEDS_QUOTES and '"' not in line[column:]:
        lines[at] = f'{line[:column]}"{line[column:].rstrip()}"'
        return replace(problem, hint=f"put quotes round the whole: {lines[at][column:]}")
    elif (told := lined_up(lines, at)) is not None:
        return _told(told, span.file)
    else:
        return None
    return problem


def _told(mended: Mended, name: str) -> Diagnostic:
    line, column = mended.at + 1, mended.column
    span = Span(name, line, column, line, column + 1)
    return Diagnostic("not-yaml", Severity.ERROR, mended.message, span, mended.hint)


def _too_deep(lines: list[str], at: int) -> Mended | None:
    """A line with a key of its own below one that has its value already, told as what is likely."""
    match = KEY.fullmatch(lines[at])
    before = [line for line in lines[:at] if line.strip() and line.strip()[:1] != "#"]
    above = KEY.fullmatch(before[-1]) if before else None
    if match is None or match["dash"]:
        return None
    if above is None or not above["value"]:
        return lined_up(lines, at)
    begin, value = len(match["blanks"]), len(above["blanks"]) + len(above["dash"] or "")
    if begin <= value:
        return None
    if value:
        return lined_up(lines, at)
    # The block that it belongs to has lost its key.
    for below in range(at, len(lines)):
        if lines[below].strip() and not lines[below].startswith(" "):
            break
        lines[below] = re.sub(r"^( *)(\S)", r"\1#\2", lines[below])
    hint = "begin it where the line above begins, or write the key of its block above it: `fences:`"
    return Mended(at, begin + 1, f"{above['key']}: has its value already", hint)


def _step_mended(lines: list[str], at: int, step: re.Match[str], problem: Diagnostic) -> Diagnostic:
    """A step with keys below it and no colon of its own."""
    word, rest = step["word"], step["rest"].rstrip()
    begin = len(step["head"]) + 1
    assert problem.span is not None
    span = Span(problem.span.file, at + 1, begin, at + 1, begin + len(word))
    lines[at] = f"{step['head']}{word}: {rest}"
    message = f"a colon is missing after {word}"
    return replace(problem, message=message, span=span, hint=f"write `- {word}: {rest}`")
