"""A definition with its refused values taken out, so that the rest of the file can be read as well.

It is good for one thing: finding what else is wrong. Nothing is planned from it.
"""

from __future__ import annotations

import difflib
from typing import Any

from pydantic import ValidationError

from diagram.model.definition import FORMAT, Definition, keys_of
from diagram.source import Document, plain

STAND_INS: dict[str, Any] = {
    "tapeline": str(FORMAT),
    "title": "untitled",
    "purpose": "not said",
    "level": "3'",
    "arena": "40 x 80 m",
    "kind": "vertical",
}
"""What stands for a value that was refused or is missing and that nothing can be read without."""
NO_STEP = {"phase": "a step that cannot be read"}
TRIES = 3
ALIKE = 0.8
"""How like a key another must be to be that, misspelt."""

Path = tuple[str | int, ...]


def repaired(document: Document) -> tuple[Definition, bool] | None:
    """The definition without its refused values, and whether its ride is still whole.

    None where so much is wrong that nothing is left to read.
    """
    values, whole_ride = plain(document.root), True
    for _ in range(TRIES):
        try:
            return Definition.model_validate(values), whole_ride
        except ValidationError as failure:
            renamed = _called_by_their_names(values, failure)
            for error in failure.errors():
                if error["loc"][:1] in renamed:
                    continue
                path = tuple(s for s in error["loc"] if not (isinstance(s, str) and s[:1] == "["))
                taken_out = _take_out(values, path)
                if taken_out is None:
                    return None
                whole_ride = whole_ride and taken_out
    return None


def _called_by_their_names(values: Any, failure: ValidationError) -> set[tuple[Any, ...]]:
    """Keys of the whole that are only misspelt, put right in `values`; the errors of these."""
    renamed: set[tuple[Any, ...]] = set()
    for error in failure.errors():
        if error["type"] != "extra_forbidden" or len(error["loc"]) != 1:
            continue
        key = str(error["loc"][0])
        close = difflib.get_close_matches(key.lower(), keys_of(Definition), n=1, cutoff=ALIKE)
        if close and close[0] not in values and key in values:
            values[close[0]] = values.pop(key)
            renamed |= {(key,), (close[0],)}
    return renamed


def _take_out(values: Any, path: Path) -> bool | None:
    """Take one value out; whether the ride is still whole, None where that cannot be done.

    A step of a ride is not taken out of its list but stood in for, or those after it would be
    looked for in the wrong lines.
    """
    above, block = list[tuple[Any, Any]](), values
    for step in path[:-1]:
        above.append((block, step))
        try:
            block = block[step]
        except (LookupError, TypeError):
            return _take_out(values, path[:-1]) if len(path) > 1 else None
    last: Any = path[-1] if path else None
    if _is_fence(path) and isinstance(_held(block, last), str | list):
        # A fence in words that were refused; what is said of it elsewhere may still be right.
        block[last] = {"kind": STAND_INS["kind"]}
        return True
    if isinstance(block, dict) and last in STAND_INS:
        block[last] = STAND_INS[str(last)]
        return True
    if isinstance(block, dict) and last in block:
        del block[last]
        if above and isinstance(above[-1][0], list) and not block:
            above[-1][0][above[-1][1]] = dict(NO_STEP)
            return False
        return last not in ("ride", "rides")
    if isinstance(block, list) and isinstance(last, int) and path[0] in ("ride", "rides"):
        block[last] = dict(NO_STEP)
        return False
    if isinstance(block, dict) and above and isinstance(above[-1][0], list):
        above[-1][0][above[-1][1]] = dict(NO_STEP)
        return False
    return None


def _held(block: Any, key: Any) -> Any:
    """What a block or list has under a key, None where that was taken out before."""
    try:
        return block[key]
    except (LookupError, TypeError):
        return None


def _is_fence(path: Path) -> bool:
    """Whether a fence stands at a path, or an element of one."""
    return path[:1] == ("fences",) and (len(path) == 2 or path[2:3] == ("elements",) == path[2:-1])
