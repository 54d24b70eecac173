"""A file put in order: its parts in the order of the format, its lines clean and under each other,
its words kept.

Every comment stays with the line it stands over. The result is read again and must say the same;
where it does not, the file stays as it is.
"""

from __future__ import annotations

import re

from msgspec import Struct

from diagram.diagnostics import RejectedError
from diagram.model.definition import Definition, keys_of
from diagram.source import Mapping, plain, read_text
from diagram.writing.indents import reindented

BLOCKS = ("fences", "ride", "rides", "arrange")
"""Parts with an empty line over and under them."""
_KEY = re.compile(r"^([A-Za-z][^:#]*?)\s*:(?=\s|$)")


class NotTidiedError(ValueError):
    """A file that cannot be put in order without changing what it says."""


class _Part(Struct, frozen=True):
    """One key at the left edge with all its lines and the comments over it."""

    key: str
    lines: tuple[str, ...]


def tidied(text: str) -> str:
    """The text in order. Raises NotTidiedError, and RejectedError for what is no YAML."""
    before = read_text(text)
    if not isinstance(before.root, Mapping):
        raise NotTidiedError("there are no keys in it")
    clean = [
        line.rstrip() for line in text.replace("\r\n", "\n").removeprefix("\ufeff").split("\n")
    ]
    if "|" in text or ">" in text:
        clean = _as_written(text, clean)
    head, parts, tail = _parted(clean)
    if not parts:
        raise NotTidiedError("no key stands at the left edge")
    order = list(keys_of(Definition))
    known = {key: n for n, key in enumerate(order)}
    parts.sort(key=lambda part: known.get(part.key, len(order)))
    out = _joined(head, parts, tail)
    after = read_text(out)
    if plain(after.root) != plain(before.root) or _comments(out) != _comments(text):
        raise NotTidiedError("putting it in order would change what it says")
    return _in_columns(out)


def _in_columns(text: str) -> str:
    """The text with its lines under each other, or as it is where that would change it."""
    out = reindented(text)
    try:
        same = plain(read_text(out).root) == plain(read_text(text).root)
    except RejectedError:
        return text
    return out if same and _comments(out) == _comments(text) else text


def _as_written(text: str, clean: list[str]) -> list[str]:
    """Lines that a block of text may hold keep their ends: there blanks may mean something."""
    if re.search(r":\s*[|>][+-]?\d*\s*(?:#.*)?$", text, re.MULTILINE):
        return text.replace("\r\n", "\n").removeprefix("\ufeff").split("\n")
    return clean


def _parted(lines: list[str]) -> tuple[list[str], list[_Part], list[str]]:
    """Comments at the very top, the parts, and what stands below the last one."""
    head: list[str] = []
    parts: list[_Part] = []
    waiting: list[str] = []
    key, own = "", list[str]()
    for line in lines:
        if match := _KEY.match(line):
            if key:
                parts.append(_Part(key, tuple(own)))
            elif waiting and "" in waiting:
                # A comment with an empty line below it is about the file, not about its first key.
                last = len(waiting) - 1 - waiting[::-1].index("")
                head, waiting = waiting[:last], waiting[last + 1 :]
            key, own, waiting = match[1], [*waiting, line], []
        elif not line or line.startswith("#"):
            waiting.append(line)
        else:
            own += [*waiting, line]
            waiting = []
    if key:
        parts.append(_Part(key, tuple(own)))
    return head, parts, waiting


def _joined(head: list[str], parts: list[_Part], tail: list[str]) -> str:
    lines = [*_single(head)]
    if lines:
        lines.append("")
    before = ""
    for part in parts:
        own = _single(list(part.lines))
        while own and not own[0]:
            own.pop(0)
        apart = part.key in BLOCKS or before in BLOCKS
        if apart and lines and lines[-1]:
            lines.append("")
        lines += own
        before = part.key
    rest = list(_single(tail))
    lines += rest if not rest or not lines[-1] or rest[0] == "" else ["", *rest]
    while lines and not lines[-1]:
        lines.pop()
    return "\n".join(lines) + "\n"


def _single(lines: list[str]) -> list[str]:
    """Without more than one empty line together."""
    return [line for n, line in enumerate(lines) if line or n == 0 or lines[n - 1]]


def _comments(text: str) -> list[str]:
    return sorted(line.strip() for line in text.splitlines() if line.lstrip().startswith("#"))
