"""Steps and phrases that were written in another shape, put as they are written here.

A block where a phrase is wanted, words where a step is wanted, a step under another key: each is
tried in the shapes that it may have, and what can be read is what to write.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from typing import Any

from diagram.model import ride_said
from diagram.model.meant import in_digits
from diagram.model.phrases import PhraseError
from diagram.units import UnitError

STEPS: dict[str, Callable[[str], object]] = {
    "turn": ride_said.read_turn, "bend": ride_said.read_bend, "line": ride_said.read_line,
    "circle": ride_said.read_circle, "finish": ride_said.read_finish,
}  # fmt: skip
"""Steps that words may be, in the order they are tried in."""
_KEYS_OF_FENCES = ("fences", "jumps", "names", "fence", "of", "with")
_KEYS_OF_SHAPES = ("shape", "how", "size", "diameter", "type", "kind", "by", "width", "way")
_OFFERED = re.compile(r"write `(?P<words>[^`-][^`]*)`")


def as_step(texts: Iterable[str], fences: Iterable[str]) -> str:
    """``- line: 5 strides``: a step that one of the texts is; nothing where none is one."""
    names = set(fences)
    for text in texts:
        if text in names:
            return f"- jump: {text}"
        for word, reader in STEPS.items():
            if read := _readable(text, reader):
                return f"- {word}: {read}"
    return ""


def under_another_key(key: str, value: Any) -> list[str]:
    """What a step may be that stands under a key of none: ``strides: 5`` is 5 strides."""
    if not isinstance(value, str):
        return []
    texts = [value, f"{key}, {value}", f"{value} {key}"]
    if key in ("left", "right"):
        texts = [texts[1], value]
    elif re.fullmatch(r"\d+", in_digits(value)):
        texts.reverse()
    return texts if value else [key]


def as_phrase(block: Any, reader: Callable[[str], object]) -> str:
    """A block, or a list of names, as the phrase that it means; nothing where none is found."""
    return next((read for text in _said(block) if (read := _readable(text, reader))), "")


def _said(block: Any) -> Iterator[str]:
    if not isinstance(block, dict):
        return
    names, words = [], []
    for key, value in block.items():
        texts = value if isinstance(value, list) else [value]
        if not all(isinstance(text, str) for text in texts):
            return
        if key in _KEYS_OF_FENCES:
            names += texts
        elif isinstance(value, list):
            words.append(key)
            names += texts
        else:
            words += texts if key in _KEYS_OF_SHAPES else [key, *texts]
    shape, fences = " ".join(filter(None, words)), ", ".join(names)
    if fences:
        yield from (f"{fences} {shape}", f"{fences} on a {shape}", f"{shape} {fences}")
    else:
        yield shape
        yield " ".join(reversed(words))


def _readable(text: str, reader: Callable[[str], object]) -> str:
    """The text if it can be read, or what is offered for it if that can; else nothing."""
    try:
        reader(text)
    except UnitError:
        return ""
    except PhraseError as problem:
        offered = _OFFERED.match(problem.hint)
        # What is offered for a part of a phrase is no whole one.
        if offered is None or problem.length not in (0, len(text)):
            return ""
        try:
            reader(offered["words"])
        except (UnitError, PhraseError):
            return ""
        return offered["words"]
    return text
