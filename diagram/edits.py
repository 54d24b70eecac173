"""Changes to a person's YAML text that leave every other byte as it is.

Each change replaces the span of one node, or adds or takes out one entry; comments, order, quotes
and wording stay. The result is read again and compared with what the change should have made of
the values: where they differ, nothing is changed and the line that resisted is named.
"""

from __future__ import annotations

import copy
from collections.abc import Sequence
from typing import Any

import yaml
from msgspec import Struct

Path = tuple[str | int, ...]
Value = str | list[Any] | dict[str, Any]
"""Texts, and lists and blocks of them; lists and blocks are written on one line."""

_FAST = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_FLOW_MARKS = set(",[]{}")
_BEGIN_MARKS = set("!&*?|>@`\"'#%-:")


class EditError(ValueError):
    """A change that cannot be made in the text as it is written, and at which line (from 1)."""

    def __init__(self, message: str, line: int) -> None:
        super().__init__(f"line {line}: {message}")
        self.message = message
        self.line = line


class Put(Struct, frozen=True):
    """`value` under `path`, in place of what is there or as a new last entry.

    A new entry goes right behind the entry `after`, if that is there.
    """

    path: Path
    value: Value
    after: str | None = None


class Drop(Struct, frozen=True):
    """The entry at `path` taken out, with its line where it has one of its own."""

    path: Path


Change = Put | Drop


def edited(text: str, changes: Sequence[Change]) -> str:
    """The text with changes made one after another. Raises EditError, and then changes nothing."""
    for change in changes:
        before = _composed(text)
        wanted = _expected(_plain(before), change)
        text = (
            _put(text, before, change) if isinstance(change, Put) else _drop(text, before, change)
        )
        after = _composed(text)
        if _plain(after) != wanted:
            raise EditError("this cannot be changed without rewriting it", _line(before, change))
    return text


def _composed(text: str) -> yaml.Node:
    found = yaml.compose(text, Loader=_FAST)
    if found is None:
        raise EditError("there is nothing to change in an empty file", 1)
    return found


def _plain(node: yaml.Node) -> Any:
    if isinstance(node, yaml.MappingNode):
        return [(_plain(key), _plain(value)) for key, value in node.value]
    if isinstance(node, yaml.SequenceNode):
        return [_plain(item) for item in node.value]
    return str(node.value)


def _as_plain(value: Value) -> Any:
    if isinstance(value, dict):
        return [(key, _as_plain(own)) for key, own in value.items()]
    if isinstance(value, list):
        return [_as_plain(own) for own in value]
    return str(value)


def _expected(plain: Any, change: Change) -> Any:
    """The values as they must be after a change."""
    out = copy.deepcopy(plain)
    if not change.path:
        raise EditError("a whole file is not changed at once", 1)
    above = out
    for step in change.path[:-1]:
        above = above[step] if isinstance(step, int) else dict(above)[step]
    last = change.path[-1]
    if isinstance(last, int):
        if isinstance(change, Drop):
            del above[last]
        else:
            above[last] = _as_plain(change.value)
        return out
    keys = [key for key, _ in above]
    if isinstance(change, Drop):
        del above[keys.index(last)]
    elif last in keys:
        above[keys.index(last)] = (last, _as_plain(change.value))
    else:
        at = keys.index(change.after) + 1 if change.after in keys else len(keys)
        above.insert(at, (last, _as_plain(change.value)))
    return out


def _line(root: yaml.Node, change: Change) -> int:
    node = root
    for step in change.path:
        below = _below(node, step)
        if below is None:
            break
        node = below[-1]
    return int(node.start_mark.line) + 1


def _below(node: yaml.Node, step: str | int) -> tuple[yaml.Node, ...] | None:
    """Key and value under a step, or the item alone."""
    if isinstance(node, yaml.MappingNode):
        return next((pair for pair in node.value if pair[0].value == step), None)
    if isinstance(node, yaml.SequenceNode) and isinstance(step, int) and step < len(node.value):
        return (node.value[step],)
    return None


def _reached(root: yaml.Node, path: Path) -> yaml.Node:
    node = root
    for step in path:
        below = _below(node, step)
        if below is None:
            raise EditError(f"there is no {step!r} here", node.start_mark.line + 1)
        node = below[-1]
    return node


def _put(text: str, root: yaml.Node, change: Put) -> str:
    above = _reached(root, change.path[:-1])
    pair = _below(above, change.path[-1])
    if pair is None:
        return _added(text, above, change)
    old = pair[-1]
    begin, end = old.start_mark.index, old.end_mark.index
    in_flow = _in_flow(root, change.path[:-1])
    if isinstance(old, yaml.ScalarNode) and isinstance(change.value, str):
        if old.style in ("|", ">"):
            raise EditError("a block of text is not changed", old.start_mark.line + 1)
        new = _scalar(change.value, in_flow, old.style)
        return text[:begin] + (" " if begin == end else "") + new + text[end:]
    if isinstance(old, yaml.CollectionNode) and not old.flow_style:
        raise EditError("several lines are not put on one", old.start_mark.line + 1)
    new = (
        _flow(change.value) if not isinstance(change.value, str) else _scalar(change.value, in_flow)
    )
    return text[:begin] + (" " if begin == end else "") + new + text[end:]


def _added(text: str, above: yaml.Node, change: Put) -> str:
    key = change.path[-1]
    if not isinstance(above, yaml.MappingNode) or not isinstance(key, str):
        raise EditError("nothing can be added here", above.start_mark.line + 1)
    inside = bool(above.flow_style)
    value = change.value if isinstance(change.value, str) else None
    said = _scalar(value, inside) if value is not None else _flow(change.value)
    entry = f"{_scalar(key, inside)}: {said}"
    before = next((p for p in above.value if p[0].value == change.after), None)
    last = before or (above.value[-1] if above.value else None)
    if inside:
        if last is None:
            at = above.end_mark.index - 1
            return text[:at] + entry + text[at:]
        at = last[1].end_mark.index
        return f"{text[:at]}, {entry}{text[at:]}"
    assert last is not None
    indent = " " * last[0].start_mark.column
    at = _line_end(text, _last_index(last[1]))
    newline = "\r\n" if "\r\n" in text else "\n"
    return f"{text[:at]}{newline}{indent}{entry}{text[at:]}"


def _drop(text: str, root: yaml.Node, change: Drop) -> str:
    above = _reached(root, change.path[:-1])
    pair = _below(above, change.path[-1])
    if pair is None:
        raise EditError(f"there is no {change.path[-1]!r} here", above.start_mark.line + 1)
    assert isinstance(above, yaml.CollectionNode)
    items = [p if isinstance(p, tuple) else (p,) for p in above.value]
    place = next(n for n, p in enumerate(items) if p[-1] is pair[-1])
    if above.flow_style:
        begin, end = pair[0].start_mark.index, pair[-1].end_mark.index
        if place + 1 < len(items):
            return text[:begin] + text[items[place + 1][0].start_mark.index :]
        if place:
            return text[: items[place - 1][-1].end_mark.index] + text[end:]
        return text[:begin] + text[end:]
    if len(items) == 1:
        raise EditError("the only entry is not taken out", pair[0].start_mark.line + 1)
    begin = text.rfind("\n", 0, pair[0].start_mark.index) + 1
    end = _line_end(text, _last_index(pair[-1]))
    lead = text[begin : pair[0].start_mark.index]
    if lead.strip():
        # The first key of a list item stands behind its dash: the next one moves up to it.
        following = items[place + 1][0].start_mark.index
        return text[: pair[0].start_mark.index] + text[following:]
    while end < len(text) and text[end] in "\r\n":
        end += 1
        if text[end - 1] == "\n":
            break
    return text[:begin] + text[end:]


def _last_index(node: yaml.Node) -> int:
    """Where the last thing written of a node ends: the mark of a block lies on a later line."""
    if not isinstance(node, yaml.CollectionNode) or node.flow_style or not node.value:
        return int(node.end_mark.index)
    last = node.value[-1]
    return _last_index(last[1] if isinstance(last, tuple) else last)


def _line_end(text: str, index: int) -> int:
    """The end of the line that a character stands on, its comment included."""
    found = text.find("\n", max(index - 1, 0) if text[index - 1 : index] == "\n" else index)
    end = len(text) if found < 0 else found
    return end - 1 if text[end - 1 : end] == "\r" else end


def _in_flow(root: yaml.Node, path: Path) -> bool:
    node, flow = root, bool(getattr(root, "flow_style", False))
    for step in path:
        below = _below(node, step)
        assert below is not None
        node = below[-1]
        flow = flow or bool(getattr(node, "flow_style", False))
    return flow


def _flow(value: Any) -> str:
    """A value on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_scalar(k, True)}: {_flow(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_flow(item) for item in value) + "]"
    return _scalar(str(value), True)


def _scalar(text: str, in_flow: bool, style: str | None = None) -> str:
    """A text as it is written: quoted as it was, or where it has to be."""
    if style == "'" or (style != '"' and _needs_quotes(text, in_flow)):
        return "'" + text.replace("'", "''") + "'"
    if style == '"':
        return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
    return text


def _needs_quotes(text: str, in_flow: bool) -> bool:
    if not text or text != text.strip() or "\n" in text:
        return True
    plain_dash = text[0] in "-:?" and text[1:2] not in ("", " ") and not in_flow
    if text[0] in _BEGIN_MARKS and not plain_dash:
        return True
    if ": " in text or " #" in text or text.endswith(":"):
        return True
    return text[0] in _FLOW_MARKS or (in_flow and bool(_FLOW_MARKS & set(text)))
