"""Types of single values: how the text of a field becomes a length, an angle, a phrase."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Annotated, Any, TypeVar

from pydantic import BeforeValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from diagram.model.as_phrase import as_phrase
from diagram.model.meant import in_digits, length_meant
from diagram.model.phrases import PhraseError
from diagram.source import COLON, QUOTED
from diagram.units import HOW_TO_WRITE, UnitError, parse_length, parse_speed

T = TypeVar("T")
LONGEST_TEXT = 2000
A_TEXT = "a text"
A_SIZE = "a size"
LONGEST_NAME = 60


def refused(message: str, hint: str = "", start: int = 0, length: int = 0) -> PydanticCustomError:
    """A validation error that carries what to write instead and which characters are meant."""
    context = {"message": message, "hint": hint, "start": start, "length": length}
    return PydanticCustomError("refused", "{message}", context)


def _reading(reader: Callable[[str], T], what: str) -> BeforeValidator:
    def read(value: Any) -> T | Any:
        if not isinstance(value, str):
            if isinstance(value, dict) and what == A_TEXT:
                raise refused(COLON, QUOTED)
            if isinstance(value, (dict, list)):
                phrase = as_phrase(value, reader)
                if what == A_SIZE and isinstance(value, list) and len(value) == 2:
                    phrase = " x ".join(str(side) for side in value)
                hint = f"write `{phrase}`, as one phrase" if phrase else f"write {what}"
                raise refused("a list or a block cannot stand here", hint)
            return value
        try:
            return reader(value)
        except UnitError as problem:
            hint = length_meant(value) if problem.hint == HOW_TO_WRITE else ""
            raise refused(problem.message, hint or problem.hint, 0, len(value)) from None
        except PhraseError as problem:
            raise refused(problem.message, problem.hint, problem.start, problem.length) from None

    return BeforeValidator(read)


def _schema(description: str, example: str) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "description": description, "examples": [example]})


def said(reader: Callable[[str], Any], what: str, example: str) -> tuple[Any, Any]:
    """Annotations for a phrase: how it is read, and how a schema describes it."""
    return _reading(reader, f"a phrase like {example!r}"), _schema(what, example)


def read_size(text: str) -> tuple[float, float]:
    """Long and short side in metres of ``60 x 30 m``. Raises UnitError."""
    match = re.fullmatch(r"(.+?)\s*[x×]\s*(.+)", text.strip())
    meant = _SIZE_MEANT.fullmatch(text.strip())
    if meant and not (match and (meant["unit"] or meant["first"]) and "-" not in text):
        raise _size_meant(text, meant)
    if not match:
        raise UnitError(f"{text!r} is not a size", "write 60 x 30 m or 100 x 200 ft")
    first, second = match[1], match[2]
    if meant and not meant["unit"]:
        raise _size_meant(text, meant)
    unit = re.search(r"[a-zA-Z']+$", second)
    if re.fullmatch(r"\d+(\.\d+)?", first) and unit:
        first += f" {unit[0]}" if unit[0] != "'" else "'"
    sides = sorted((parse_length(first), parse_length(second)), reverse=True)
    return sides[0], sides[1]


_SIZE_MEANT = re.compile(
    r"-?(?P<one>\d+(?:\.\d+)?) ?(?P<first>m|ft|feet|')? ?(?:x|X|×|\*|/|by|on|-) ?"
    r"-?(?P<other>\d+(?:\.\d+)?) ?(?P<unit>m|ft|feet|')?"
)
"""A size with a unit at neither end, at the wrong one, or with another sign between."""


def _size_meant(text: str, match: re.Match[str]) -> UnitError:
    sides = f"{match['one']} x {match['other']}"
    unit = match["unit"] or match["first"]
    if unit is None:
        return UnitError(f"'{sides}' has no unit", f"write {sides} m or {sides} ft")
    what = "has a unit at one end only" if match["first"] and not match["unit"] else "is not a size"
    return UnitError(f"{text!r} {what}", f"write {sides} {unit.replace(chr(39), 'ft')}")


def _count(text: str) -> int:
    if not re.fullmatch(r"\d{1,6}", text):
        digits = re.search(r"\d+", in_digits(text))
        hint = f"write {digits[0]}" if digits else "write digits only"
        raise UnitError(f"{text!r} is not a whole number", hint)
    return int(text)


def _yes_no(text: str) -> bool:
    words = {"yes": True, "true": True, "no": False, "false": False}
    if text.lower() not in words:
        raise UnitError(f"{text!r} is neither yes nor no", "write yes or no")
    return words[text.lower()]


def _text(text: str) -> str:
    cleaned = " ".join(text.split())
    if not cleaned:
        raise UnitError("this is empty", "write something or leave the key out")
    if len(cleaned) > LONGEST_TEXT:
        raise UnitError(f"this is longer than {LONGEST_TEXT} characters", "shorten it")
    return cleaned


_NAME = re.compile(r"[^\W\d_][\w' -]*", re.UNICODE)


def _name(text: str) -> str:
    if not _NAME.fullmatch(text) or len(text) > LONGEST_NAME:
        hint = "use letters, digits, spaces and dashes"
        if text.isdigit():
            hint = "name it, like birch: jumps get their numbers in the order they are ridden"
        raise UnitError(f"{text!r} is not a name", hint)
    return text


Length = Annotated[float, _reading(parse_length, "a length"), _schema("a length", "12'6\"")]
Speed = Annotated[float, _reading(parse_speed, "a speed"), _schema("a speed", "350 m/min")]
Size = Annotated[
    tuple[float, float],
    _reading(read_size, A_SIZE),
    _schema("long side x short side", "60 x 30 m"),
]
Count = Annotated[int, _reading(_count, "a whole number"), _schema("a whole number", "45")]
YesNo = Annotated[bool, _reading(_yes_no, "yes or no"), _schema("yes or no", "yes")]
Text = Annotated[str, _reading(_text, A_TEXT), _schema(A_TEXT, "Keep one canter.")]
KindText = Annotated[str, _reading(_text, A_TEXT), _schema("a kind of fence", "vertical")]
Name = Annotated[str, _reading(_name, "a name"), _schema("a name", "birch")]
