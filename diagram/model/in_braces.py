"""A piece of a value in braces that is no key with a value: what was meant by it."""

from __future__ import annotations

import re
from collections.abc import Iterable

from diagram.diagnostics import Diagnostic, Severity
from diagram.model.bare_numbers import bare_hint
from diagram.model.meant import reads_as_length
from diagram.source import Document, Mapping, Scalar


def alone(
    document: Document, path: tuple[str | int, ...], keys: Iterable[str]
) -> Diagnostic | None:
    """A piece of a value in braces: a key with no colon, ``{kind: oxer, height 2'6"}``, or what a
    comma has cut off from the value before it, ``{spread: 0,80 m}``."""
    node, _ = document.node_at(path)
    key = document.key_at(path)
    above, _ = document.node_at(path[:-1])
    if not (isinstance(node, Scalar) and key and isinstance(above, Mapping)):
        return None
    if node.text or node.quoted:
        return None
    place = above.place[key.text]
    name, before = above.entries[place - 1] if place else (key, node)
    decimal = ""
    if isinstance(before, Scalar) and right_behind(above, place):
        decimal = before.text or name.text
    if not decimal:
        more = above.entries[place + 1][0].text if right_behind(above, place + 1) else ""
        text = f"{key.text}.{more}" if more else key.text
        if hint := _as_key(text, keys, document):
            message = f'a colon is missing in "{key.text}"'
            return Diagnostic("unknown-key", Severity.ERROR, message, key.span, hint)
    if not isinstance(before, Scalar) or before.span.end_line != key.span.line:
        return None
    message = f'"{key.text}" is cut off from what stands before the comma'
    if name.text == "at":
        hint = "a place stands in brackets: write at: [10 m, 5 m]"
    elif decimal:
        hint = f"write {decimal.split()[-1]}.{key.text}"
    elif not before.text:
        hint = "a piece in braces is a key and its value: write `height: 2'6\"`"
    else:
        hint = f'put quotes round the whole: "{before.text}, {key.text}"'
    return Diagnostic("unknown-key", Severity.ERROR, message, key.span, hint)


def right_behind(block: Mapping, place: int) -> bool:
    """Whether a piece in braces is what stands behind a comma for a decimal point: ``0,80 m``."""
    if not 0 < place < len(block.entries):
        return False
    (name, before), (key, value) = block.entries[place - 1], block.entries[place]
    if not isinstance(before, Scalar) or not isinstance(value, Scalar) or value.text:
        return False
    last = before if before.text else name
    close = (last.span.end_line, last.span.end_column + 1) == (key.span.line, key.span.column)
    return close and last.text[-1:].isdigit() and key.text[:1].isdigit()


def _as_key(text: str, keys: Iterable[str], document: Document) -> str:
    """``write `height: 2'6"` `` for a piece that begins with a key, or is plainly the value of one;
    nothing for another."""
    known = sorted(keys, key=len, reverse=True)
    name = next((key for key in known if text.lower().startswith(f"{key} ")), "")
    value = text[len(name) :].strip()
    if "kind" in known and not name:
        if reads_as_length(text):
            name = "height"
        elif not re.search(r"\d", text) and text.lower() not in known:
            name = "kind"
    if not name or not value:
        return ""
    bare = re.fullmatch(r"\d+(?:\.\d+)?", value) and bare_hint(value, name, document)
    if bare:
        return re.sub(r"(\d\S*(?: [a-z]+)?)", rf"`{name}: \1`", bare)
    return f"write `{name}: {value}`"
