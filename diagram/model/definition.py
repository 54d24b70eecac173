"""The definition of an exercise, as written: every key that a file may have.

Tags of unions are written in brackets, so that they cannot be mistaken for keys of the file.
Frozen, and free of judgement: whether a fence can be jumped from behind, or a line can be as
long as it says, is decided further on. Keys are written with spaces (``passed when``).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Annotated, Any, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    Tag,
    model_validator,
)

from diagram.model import said, standing_said
from diagram.model.as_phrase import as_phrase
from diagram.model.fence_words import fence_in_words, with_place
from diagram.model.fields import (
    Count,
    KindText,
    Length,
    Name,
    Size,
    Speed,
    Text,
    YesNo,
    refused,
)
from diagram.model.fields import said as phrase
from diagram.model.library_keys import Group, Heights, Minutes, Stem, Suits
from diagram.model.nudge import Nudge, read_nudge
from diagram.model.phrases import PhraseError
from diagram.model.ride_said import (
    read_bend,
    read_circle,
    read_finish,
    read_jump,
    read_line,
    read_rollback,
    read_start,
    read_turn,
)
from diagram.plain import spaced
from diagram.trade.words import Gait

FORMAT = 1
"""Version of the format that this program writes. Older files are migrated by rule."""

MOST_FENCES = 40
MOST_STEPS = 120
MOST_WAYS = 3
MOST_RIDES = 4
MOST_TAUGHT = 3
MOST_LINKED = 12


def keys_of(block: type[BaseModel]) -> dict[str, Any]:
    """The keys that may stand in a block, in their order, with the type of each.

    An alias that is made from the name is not there before the schema is, in some versions.
    """
    return {f.alias or spaced(name): f.annotation for name, f in block.model_fields.items()}


class Written(BaseModel):
    """Base of all blocks: frozen, unknown keys refused, spaces in keys."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        alias_generator=spaced,
        validate_by_name=False,
        validate_by_alias=True,
        # One schema is built for the whole file instead of one for every block: half the
        # time of a cold start.
        defer_build=True,
        arbitrary_types_allowed=True,
    )


def listed(value: Any) -> Any:
    """One text stands for a list of one."""
    return [value] if isinstance(value, str) else value


def _phrases(reader: Callable[[str], object]) -> BeforeValidator:
    """A list of phrases; one text stands for a list of one, and a block is told as a phrase."""

    def read(value: Any) -> Any:
        if isinstance(value, dict) and (phrase := as_phrase(value, reader)):
            raise refused("a list of phrases is wanted here", f"write `- {phrase}`, as one phrase")
        return listed(value)

    return BeforeValidator(read)


Texts = Annotated[tuple[Text, ...], BeforeValidator(listed)]
Groups = Annotated[tuple[Group, ...], BeforeValidator(listed), Field(max_length=MOST_TAUGHT)]
Stems = Annotated[tuple[Stem, ...], BeforeValidator(listed), Field(max_length=MOST_LINKED)]
Names = Annotated[tuple[Name, ...], BeforeValidator(listed), Field(max_length=MOST_FENCES)]


def _two_lengths(value: Any) -> Any:
    """A place as it is; one length alone, or three, are told as what they are."""
    one = isinstance(value, str) and value[:1].isdigit()
    if one or (isinstance(value, list) and len(value) != 2):
        raise refused("a place has two lengths", "write [10 m, 5 m]: along the arena, then across")
    return value


Place = Annotated[tuple[Length, Length], BeforeValidator(_two_lengths)]


Moved = Annotated[
    Nudge | None, *phrase(read_nudge, "a label moved by hand, mm on paper", "5 mm right, 3 mm up")
]


def _point_or_name(value: Any) -> str:
    one_length = isinstance(value, str) and value[:1].isdigit()
    return "[point]" if one_length or isinstance(value, list) else "[name]"


def _block_or_name(value: Any) -> str:
    return "[name]" if isinstance(value, str) else "[block]"


At = Annotated[
    Annotated[Place, Tag("[point]")] | Annotated[Name, Tag("[name]")],
    Discriminator(_point_or_name),
]


class Gate(Written):
    """Where horses come in: a side and how far along it the middle of the gate stands."""

    side: Name
    at: Length | None = None
    width: Length | None = None


class ArenaWritten(Written):
    """An arena: a size, or corners anticlockwise; its gate, the names of its sides, its posts."""

    name: Text | None = None
    size: Size | None = None
    corners: Annotated[tuple[Place, ...], Field(max_length=40)] | None = None
    gate: Gate | None = None
    sides: dict[Name, Name] = {}
    letters: YesNo = False
    posts: dict[Name, Place] = {}


class HorsesWritten(Written):
    """The horses the exercise is set for."""

    size: Text | None = None
    stride: Length | None = None
    experience: Text | None = None
    shows_at: Length | None = None


class Teaching(Written):
    """What a trainer says about one element."""

    purpose: Text | None = None
    watch: Texts = ()
    passed_when: Text | None = None
    on_the_sheet: Text | None = None
    if_it_goes_wrong: Texts = ()


def _raised(value: Any) -> Any:
    if value not in ("both ends", "left", "right"):
        raise refused(f"{value!r} is no end of a pole", "write left, right or both ends")
    return value


Raised = Annotated[Literal["both ends", "left", "right"], BeforeValidator(_raised)]


class Built(Written):
    """What any fence is built of. `front` is the height of the front pole of a spread.

    A text stands for a block: ``oxer 3' x 3'6"``.
    """

    kind: KindText
    height: Length | None = None
    front: Length | None = None
    spread: Length | None = None
    filler: Text | None = None
    poles: Length | None = None
    ground_line: Text | None = None
    raised: Raised | None = None

    @model_validator(mode="before")
    @classmethod
    def _of_words(cls, value: Any) -> Any:
        try:
            element = "after" in cls.model_fields
            said = fence_in_words(value, element) if isinstance(value, str) else value
            return with_place(said) if isinstance(said, dict) else said
        except PhraseError as problem:
            raise refused(problem.message, problem.hint, problem.start, problem.length) from None


class ElementWritten(Teaching, Built):
    """One fence of a combination. `after` is the distance from the one before it."""

    after: Annotated[said.WaySaid, *phrase(read_line, "strides or a length", "1 stride")] | None = (
        None
    )


class FenceWritten(Built):
    """A fence: its kind and measures, and where it stands if the file says so."""

    at: At | None = None
    facing: Text | None = None
    on: (
        Annotated[said.OnSaid, *phrase(standing_said.read_on, "a line in the arena", "centre line")]
        | None
    ) = None
    label: Moved = None
    placed: (
        Annotated[
            said.PlacedSaid,
            *phrase(
                standing_said.read_placed, "a place from another fence", "5 strides beyond birch"
            ),
        ]
        | None
    ) = None
    elements: Annotated[tuple[ElementWritten, ...], Field(min_length=1, max_length=12)] | None = (
        None
    )


class StartStep(Teaching):
    """Begin of the ride."""

    start: Annotated[said.StartSaid, *phrase(read_start, "gait and lead", "canter, left lead")]


class JumpStep(Teaching):
    """A fence, jumped."""

    jump: Annotated[said.JumpSaid, *phrase(read_jump, "a fence", "birch from behind")]
    label: Moved = None


class LineStep(Teaching):
    """A straight line to the next fence."""

    line: Annotated[said.WaySaid, *phrase(read_line, "strides or a length", "5 strides")]
    label: Moved = None


class BendStep(Teaching):
    """A bending line to the next fence. `ways` are stride counts shown beside each other."""

    bend: Annotated[said.WaySaid, *phrase(read_bend, "hand and strides", "left, 6 strides")]
    ways: Annotated[tuple[Count, ...], Field(max_length=MOST_WAYS)] = ()
    label: Moved = None


class TurnStep(Teaching):
    """A turn to the next fence that uses the arena."""

    turn: Annotated[said.WaySaid, *phrase(read_turn, "hand", "left")]


class RollbackStep(Teaching):
    """A turn back to the next fence no wider than it must be."""

    rollback: Annotated[said.WaySaid, *phrase(read_rollback, "hand", "left")]


class CircleStep(Teaching):
    """A circle on the way to the next fence."""

    circle: Annotated[said.CircleSaid, *phrase(read_circle, "hand and width", "left, 20 m")]


class PhaseStep(Written):
    """From here on the ride belongs to another phase, drawn in another colour and line."""

    phase: Text


class FinishStep(Teaching):
    """End of the ride."""

    finish: Annotated[said.FinishSaid, *phrase(read_finish, "the end", "circle left, walk")]


def _ride_gait(value: Any) -> Any:
    if value not in ("walk", "trot", "canter"):
        raise refused(f"{value!r} is no gait to begin in", "write walk, trot or canter")
    return value


def _times(value: Any) -> Any:
    if value not in ("at once", "in turn"):
        raise refused(f"{value!r} is not understood here", "write at once, or in turn")
    return value


STEPS: dict[str, type[BaseModel]] = {
    "start": StartStep, "jump": JumpStep, "line": LineStep, "bend": BendStep,
    "turn": TurnStep, "rollback": RollbackStep, "circle": CircleStep, "phase": PhaseStep,
    "finish": FinishStep,
}  # fmt: skip


def _step_word(value: Any) -> str | None:
    if isinstance(value, dict):
        return next((f"[{word}]" for word in STEPS if word in value), None)
    return next((f"[{word}]" for word, kind in STEPS.items() if isinstance(value, kind)), None)


Step = Annotated[
    Annotated[StartStep, Tag("[start]")]
    | Annotated[JumpStep, Tag("[jump]")]
    | Annotated[LineStep, Tag("[line]")]
    | Annotated[BendStep, Tag("[bend]")]
    | Annotated[TurnStep, Tag("[turn]")]
    | Annotated[RollbackStep, Tag("[rollback]")]
    | Annotated[CircleStep, Tag("[circle]")]
    | Annotated[PhaseStep, Tag("[phase]")]
    | Annotated[FinishStep, Tag("[finish]")],
    Discriminator(_step_word),
]

Arena = Annotated[
    Annotated[ArenaWritten, Tag("[block]")] | Annotated[Text, Tag("[name]")],
    Discriminator(_block_or_name),
]
Horses = Annotated[
    Annotated[HorsesWritten, Tag("[block]")] | Annotated[Text, Tag("[name]")],
    Discriminator(_block_or_name),
]


Steps = Annotated[tuple[Step, ...], Field(max_length=MOST_STEPS)]


class RideWritten(Written):
    """One of several rides over the same fences. What it does not say holds for all of them."""

    name: Name
    horses: Horses | None = None
    gait: Annotated[Gait, BeforeValidator(_ride_gait)] | None = None
    height: Length | None = None
    distances: Text | None = None
    ride: Steps


def _level(value: Any) -> Any:
    if isinstance(value, str) and re.search(r"\bpoles?\b", value):
        raise refused(
            "poles on the ground have no height", "leave level: out, or say heights: poles - 1'6\""
        )
    return value


Level = Annotated[Length, BeforeValidator(_level)]
Arranged = Annotated[
    said.ArrangedSaid,
    *phrase(standing_said.read_arranged, "how fences stand to each other", "birch parallel to elm"),
]
MovedFence = Annotated[
    said.MovedSaid,
    *phrase(standing_said.read_moved, "a fence moved from where it stands", "rowan 2 steps left"),
]
Rounds = Annotated[Count, Field(ge=1, le=50)]
Riders = Annotated[Count, Field(ge=1, le=30)]


def _version(value: Any) -> Any:
    if value != str(FORMAT):
        raise refused(f"format version {value!r} is not known here", f"write tapeline: {FORMAT}")
    return FORMAT


class Definition(Written):
    """A whole exercise as written."""

    tapeline: Annotated[int, BeforeValidator(_version)]
    title: Text
    purpose: Text
    level: Level | None = None
    heights: Heights | None = None
    teaches: Groups = ()
    skills: Texts = ()
    suits: Annotated[tuple[Suits, ...], BeforeValidator(listed)] = ()
    comes_after: Stems = ()
    comes_before: Stems = ()
    minutes: Count | None = None
    minutes_per_round: Minutes | None = None
    rounds: Rounds | None = None
    riders: Riders | None = None
    two_groups: YesNo = False
    scenario: Text | None = None
    arena: Arena
    horses: Horses = "horse"
    distances: Text = "us chart"
    conditions: Texts = ()
    judged_by: dict[Name, Name] = {}
    poles: Length | None = None
    speed: Speed | None = None
    arrange: Annotated[
        tuple[Arranged, ...], _phrases(standing_said.read_arranged), Field(max_length=MOST_FENCES)
    ] = ()
    move: Annotated[
        tuple[MovedFence, ...], _phrases(standing_said.read_moved), Field(max_length=MOST_FENCES)
    ] = ()
    fences: Annotated[dict[Name, FenceWritten], Field(max_length=MOST_FENCES)]
    ride: Steps = ()
    rides: Annotated[tuple[RideWritten, ...], Field(min_length=2, max_length=MOST_RIDES)] = ()
    rides_go: Annotated[Literal["at once", "in turn"], BeforeValidator(_times)] = "at once"
    if_it_goes_wrong: Texts = ()
    warm_up: Texts = ()
    easier: Texts = ()
    harder: Texts = ()
    may_be_poles: Names = ()
    may_be_left_out: Names = ()
    leads_to: Texts = ()
    notes: Texts = ()
    authors: Texts = ()
    licence: Text | None = None
    allow: dict[Name, Text] = {}
