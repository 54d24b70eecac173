"""The terms of an exercise: horses, stride table and conditions, and the distances they ask for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import cast

from msgspec import Struct, field
from msgspec.structs import replace

from diagram.diagnostics import RejectedError, near
from diagram.exercise.beside import beside
from diagram.exercise.fence import Fence
from diagram.exercise.rides import OwnRide
from diagram.exercise.shared import groups_of_horses, horses_called
from diagram.model.definition import Definition
from diagram.model.said import Pace, WaySaid
from diagram.source import Document, error
from diagram.trade.distances import Distance, RidesAs, distance, rides_as
from diagram.trade.horses import Horses, horses_from_size
from diagram.trade.question import Conditions, condition_words, conditions_from_words
from diagram.trade.riding import riding
from diagram.trade.settings import USUAL, settings
from diagram.trade.stride_tables import StrideTable, load_table, table_names
from diagram.trade.words import EXPERIENCES, SIZES, Experience, Gait, Size, Units
from diagram.units import UnitError, length_text, parse_length

Path_ = tuple[str | int, ...]


class Terms(Struct, frozen=True):
    """What every distance of the exercise is reckoned with."""

    horses: Horses
    table: StrideTable
    conditions: Conditions
    judged_by: Mapping[str, str] = field(default_factory=lambda: USUAL)

    def __hash__(self) -> int:
        # The choices are equal or not in any order; a mapping has no hash.
        return hash((self.horses, self.table, self.conditions))

    def on(self, way: WaySaid | None) -> Terms:
        """The terms of one way: it may lie otherwise than the exercise as a whole."""
        if way is None:
            return self
        slope, gate = way.slope or self.conditions.slope, way.gate or self.conditions.gate
        return replace(self, conditions=replace(self.conditions, slope=slope, gate=gate))

    def distance(
        self, strides: int, first: Fence, second: Fence, gait: Gait, gap: int | None
    ) -> Distance:
        """The distance for `strides` from `first` to `second`, ridden into in `gait`."""
        return distance(
            strides,
            table=self.table,
            horses=self.horses,
            first=first.for_distances,
            second=second.for_distances,
            gait_in=gait,
            gap=gap,
            conditions=self.conditions,
            judged_by=self.judged_by,
        )

    def rides_as(
        self,
        measured_m: float,
        first: Fence,
        second: Fence,
        gait: Gait,
        gap: int | None,
        units: Units = "feet",
    ) -> RidesAs:
        """How a measured distance rides."""
        return rides_as(
            measured_m,
            table=self.table,
            horses=self.horses,
            first=first.for_distances,
            second=second.for_distances,
            gait_in=gait,
            gap=gap,
            conditions=self.conditions,
            judged_by=self.judged_by,
            units=units,
        )


def aim(found: Distance, pace: Pace) -> float:
    """Metres to build: the aim, or the short or long end for a quiet or forward ride."""
    return {"quiet": found.low_m, "normal": found.aim_m, "forward": found.high_m}[pace]


def read_terms(ride: OwnRide, document: Document) -> Terms:
    """The terms of a ride. Raises RejectedError with the place in the file."""
    definition = ride.definition
    table = _table(definition.distances, document, ride.at("distances"))
    horses = _horses(definition, table, document, ride.at("horses"))
    _judged_by(definition, document)
    return Terms(horses, table, _conditions(definition, document), definition.judged_by)


def _judged_by(definition: Definition, document: Document) -> None:
    """Refuse a setting, or a choice for one, that is not known."""
    for setting, choice in definition.judged_by.items():
        path = ("judged by", setting)
        choices = settings().get(setting)
        if choices is None:
            message = f'"{setting}" is nothing that one may choose'
            raise _refused(document, path, message, near(setting, settings()))
        if choice not in choices:
            hint = "choose one of: " + ", ".join(choices)
            raise _refused(document, path, f'"{choice}" is no choice for {setting}', hint)


def _table(name: str, document: Document, path: Path_) -> StrideTable:
    if name in table_names():
        return load_table(name)
    if name.endswith((".yaml", ".yml")):
        file = beside(document, name)
        if file is None:
            message = f"there is no file {name}, seen from this one"
            hint = "name a file beside this one, or a table: " + ", ".join(table_names())
            raise _refused(document, path, message, hint)
        return load_table(file)
    hint = near(name, table_names()) or "write the name of a table or of a file"
    raise _refused(document, path, f'no stride table is called "{name}"', hint)


def _horses(definition: Definition, table: StrideTable, document: Document, path: Path_) -> Horses:
    written = definition.horses
    if isinstance(written, str):
        group = horses_called(written, document)
        if group is None:
            return _from_words(written, table, document, path)
        path = (written,)
        written, document = group
    size = _one_of(written.size or "horse", SIZES, document, (*path, "size"))
    experience = _one_of(
        written.experience or "trained", EXPERIENCES, document, (*path, "experience")
    )
    usual = horses_from_size(cast(Size, size), table, cast(Experience, experience))
    stride = usual.stride_m if written.stride is None else written.stride
    if written.stride is not None:
        _sane_stride(stride, document, (*path, "stride"))
    return Horses(usual.size, stride, usual.experience, written.shows_at)


def _from_words(text: str, table: StrideTable, document: Document, path: Path_) -> Horses:
    """``large pony``, ``12' stride``, ``green small ponies``, ``horse, schooled, 11'6" stride``."""
    said = _HORSES.fullmatch(_SINGULAR.sub(_one_horse, text.strip()))
    if said is None or not any(said.groups()):
        hint = near(text, (*SIZES, *groups_of_horses(document)))
        hint += f"{'' if hint.endswith('?') else ';'} or write green large pony, or 12' stride"
        raise _refused(document, path, f'"{text}" are no horses known here', hint)
    size = cast(Size, (said["size"] or "horse").lower())
    experience = cast(Experience, (said["first"] or said["then"] or "trained").lower())
    if said["stride"] is None:
        return horses_from_size(size, table, experience)
    try:
        stride = parse_length(said["stride"])
    except UnitError as problem:
        raise _refused(document, path, problem.message, problem.hint) from None
    _sane_stride(stride, document, path)
    return Horses(size, stride, experience)


_SINGULAR = re.compile(r"\b(pony|ponies|horses?)\b", re.IGNORECASE)
_HORSES = re.compile(
    rf"(?:(?P<first>{'|'.join(EXPERIENCES)})\b,? ?)?(?P<size>{'|'.join(SIZES)})?"
    rf"(?:,? ?\b(?P<then>{'|'.join(EXPERIENCES)}))?(?:,? ?\b(?P<stride>\d.*) stride)?",
    re.IGNORECASE,
)


def _one_horse(match: re.Match[str]) -> str:
    return "pony" if match[0].lower().startswith("pon") else "horse"


def _sane_stride(stride: float, document: Document, path: Path_) -> None:
    usual = riding().stride_between
    if not usual.low <= stride <= usual.high:
        said = length_text(stride, "both")
        message = f"a canter stride of {said} is not to be had from a horse or pony"
        raise _refused(document, path, message, "a horse's is about 12', a small pony's 10'")


def _one_of(word: str, known: tuple[str, ...], document: Document, path: Path_) -> str:
    if word not in known:
        raise _refused(document, path, f'"{word}" is not known here', near(word, known))
    return word


def _conditions(definition: Definition, document: Document) -> Conditions:
    known = [name for name, _ in condition_words()]
    unknown = [
        error(document, ("conditions", index), f'"{word}" is no condition', near(word, known))
        for index, word in enumerate(definition.conditions)
        if word not in known
    ]
    if unknown:
        raise RejectedError(unknown, {document.name: document.text})
    try:
        return conditions_from_words(definition.conditions)
    except ValueError as problem:
        raise _refused(document, ("conditions",), str(problem), "keep one of them") from None


def _refused(document: Document, path: Path_, message: str, hint: str) -> RejectedError:
    return RejectedError([error(document, path, message, hint)], {document.name: document.text})
