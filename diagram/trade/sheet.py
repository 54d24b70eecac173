"""A data file of the trade as a frozen value: the one way that all of them are read.

A file is described by a `Sheet`, whose fields are its keys; the types below read a figure with
its source and say in what it is measured. What is wrong in a file is told with its line.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Annotated, Any, TypeVar, cast

from pydantic import BaseModel, BeforeValidator, ConfigDict, PlainValidator, ValidationError
from pydantic_core import PydanticCustomError

from diagram.diagnostics import Diagnostic, RejectedError, Severity
from diagram.plain import spaced
from diagram.source import Document
from diagram.trade.figures import Figure, Range, data_file
from diagram.units import UnitError, parse_angle, parse_length, parse_length_range, parse_speed

Read = Callable[[str], Any]
"""Reads one text as a number in SI units; raises UnitError."""

MOST = 10_000.0


class Sheet(BaseModel):
    """Base of what stands in a data file: frozen, every key known, keys written with spaces."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        alias_generator=spaced,
        validate_by_name=False,
        validate_by_alias=True,
        defer_build=True,
        arbitrary_types_allowed=True,
    )


S = TypeVar("S", bound=Sheet)


def load(name: str, shape: type[S]) -> S:
    """A data file, read once. Raises RejectedError with everything that is wrong in it."""
    return cast(S, _loaded(name, shape))


@cache
def _loaded(name: str, shape: type[Sheet]) -> Sheet:
    return read_sheet(data_file(name), shape)


def read_sheet(document: Document, shape: type[S]) -> S:
    """`document` as a sheet. Raises RejectedError with everything that is wrong in it."""
    try:
        return shape.model_validate(document.plain())
    except ValidationError as failure:
        found = [
            Diagnostic(
                "data-file", Severity.ERROR, error["msg"], document.span_at(error["loc"]), ""
            )
            for error in failure.errors()
        ]
        raise RejectedError(found, {document.name: document.text}) from None


def number(text: str) -> float:
    """A plain count or share. Raises UnitError for anything else."""
    try:
        value = float(text)
    except ValueError:
        raise UnitError(f"{text!r} is not a number", "write it like 3") from None
    if not 0 <= value <= MOST:
        raise UnitError(f"{text!r} is not between 0 and {MOST:.0f}")
    return value


def _text_by(read: Read) -> BeforeValidator:
    def reading(value: Any) -> Any:
        return _read(read, value) if isinstance(value, str) else value

    return BeforeValidator(reading)


def _read(read: Read, text: str) -> Any:
    try:
        return read(text)
    except UnitError as problem:
        raise PydanticCustomError("unit", "{message}", {"message": problem.message}) from None


_MEASURED = ("value", "low", "typical", "high")


def measured_by(read: Read, shape: type[Figure] | type[Range]) -> PlainValidator:
    """A block of figures read by `read`, with its source. What has no `high` goes no further.

    Built directly: a schema for every figure of every file would double the time of reading.
    """

    def reading(block: Any) -> Figure | Range:
        if not isinstance(block, dict):
            raise PydanticCustomError("figure", "a figure and its source are wanted here")
        found = {
            key: _read(read, text) if key in _MEASURED and isinstance(text, str) else text
            for key, text in block.items()
        }
        if "low" in found:
            found.setdefault("typical", found["low"])
            found.setdefault("high", found["typical"])
        try:
            return shape(**found)
        except TypeError as problem:
            raise PydanticCustomError("figure", "{message}", {"message": str(problem)}) from None

    return PlainValidator(reading)


def keyed(value: Any) -> Any:
    """Blocks under their names, each of which is told its name."""
    if not isinstance(value, dict):
        return value
    named = {key: {"name": key, **below} for key, below in value.items() if isinstance(below, dict)}
    return {**value, **named}


def listed(value: Any) -> Any:
    """Blocks under their names as a list in the order of the file, each told its name."""
    return list(keyed(value).values()) if isinstance(value, dict) else value


Metres = Annotated[float, _text_by(parse_length)]
MetreRange = Annotated[tuple[float, float], _text_by(parse_length_range)]
Number = Annotated[float, _text_by(number)]

Length = Annotated[Figure, measured_by(parse_length, Figure)]
Count = Annotated[Figure, measured_by(number, Figure)]
Angle = Annotated[Figure, measured_by(parse_angle, Figure)]
Speed = Annotated[Figure, measured_by(parse_speed, Figure)]
Lengths = Annotated[Range, measured_by(parse_length, Range)]
Counts = Annotated[Range, measured_by(number, Range)]
Speeds = Annotated[Range, measured_by(parse_speed, Range)]

Named = BeforeValidator(keyed)
Listed = BeforeValidator(listed)
