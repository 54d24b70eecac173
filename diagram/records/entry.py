"""One round typed in, a key at a time: which box is asked, what a key does, what goes back.

No screen and no file here: a value and a key give the next value. The order of the boxes is
that of the sheet, element by element, and within one: the mark, whose miss, strides, strides
out, seconds, lead.
"""

from __future__ import annotations

from typing import Literal

from msgspec import Struct, field
from msgspec.structs import replace

from diagram.records.sheets import TickBox, doubtful
from diagram.records.values import Element, ExerciseVersion, Hand, Mark, Whose

MARK_KEYS: dict[str, Mark] = {
    "a": "as asked", "w": "with work", "n": "not as asked", "x": "not jumped",
}  # fmt: skip
WHOSE_KEYS: dict[str, Whose] = {"h": "horse", "r": "rider", "b": "both", "u": "unknown"}
LEAD_KEYS: dict[str, Hand] = {"l": "left", "r": "right"}
BACK, ENTER, REST, NOTE, NEXT_PAIR, STOP = "\x7f", "\r", "=", ";", ".", "q"

Field = Literal["mark", "whose", "strides", "out", "seconds", "lead"]
Box0 = tuple[int, Field]


class RoundEntry(Struct, frozen=True):
    """A round being typed in.

    `done` are the boxes answered, in order, so that Backspace knows what comes back; `typed`
    are the figures of a number not yet ended; `asking` is a question about what does not agree,
    and `offered` that the rest was filled and waits for Enter.
    """

    exercise: ExerciseVersion
    timed: frozenset[int] = frozenset()
    boxes: dict[int, TickBox] = field(default_factory=dict)
    done: tuple[Box0, ...] = ()
    at: Box0 | None = None
    typed: str = ""
    asking: str = ""
    offered: bool = False
    heard: bool = True

    @property
    def finished(self) -> bool:
        """Whether every box has been answered and nothing is in question."""
        return self.at is None and not self.asking and not self.offered


def begin(exercise: ExerciseVersion, timed: frozenset[int] = frozenset()) -> RoundEntry:
    """A round with nothing typed in yet."""
    return RoundEntry(exercise, timed, at=(exercise.elements[0].place, "mark"))


def reopened(entry: RoundEntry) -> RoundEntry:
    """A finished round with its last box open again."""
    return _back(replace(entry, asking="", offered=False))


def press(entry: RoundEntry, key: str) -> RoundEntry:
    """What one key makes of a round. A key that means nothing here is not `heard`."""
    now = replace(entry, heard=True)
    if key in (BACK, "\b"):
        return _back(now)
    if now.asking:
        # Enter: what stands holds. Anything else is taken for a better answer to the mark.
        if key in (ENTER, "\n"):
            return _after_element(replace(now, asking=""))
        return replace(now, heard=False)
    if now.offered:
        if key in (ENTER, "\n"):
            return replace(now, offered=False, at=None)
        return replace(now, heard=False)
    if now.at is None:
        return replace(now, heard=False)
    if key == REST and now.at[1] == "mark":
        return _rest_as_asked(now)
    return _answer(now, key)


def _element(entry: RoundEntry, place: int) -> Element:
    return next(e for e in entry.exercise.elements if e.place == place)


def _answer(entry: RoundEntry, key: str) -> RoundEntry:
    assert entry.at is not None
    place, asked = entry.at
    enter = key in (ENTER, "\n")
    match asked:
        case "mark":
            if enter:
                return _to_next_element(entry, place)
            mark = MARK_KEYS.get(key)
            if mark is None:
                return replace(entry, heard=False)
            return _step(_with(entry, place, TickBox(mark)))
        case "whose":
            whose = WHOSE_KEYS.get(key)
            if whose is None:
                return replace(entry, heard=False)
            return _step(_with(entry, place, replace(entry.boxes[place], whose=whose)))
        case "lead":
            lead = LEAD_KEYS.get(key)
            if lead is None and not enter:
                return replace(entry, heard=False)
            return _step(_with(entry, place, replace(entry.boxes[place], lead=lead)))
        case "seconds":
            return _typing_seconds(entry, place, key, enter)
        case _:
            return _typing_strides(entry, place, key, enter)


def _typing_strides(entry: RoundEntry, place: int, key: str, enter: bool) -> RoundEntry:
    """One figure is a count; a first 1 waits for a second where ten or more is near."""
    assert entry.at is not None
    name = "strides" if entry.at[1] == "strides" else "strides_out"
    element = _element(entry, place)
    asked = element.strides_asked if name == "strides" else element.strides_out_asked
    if enter and not entry.typed:
        return _step(entry)
    if key.isdigit() and key.isascii():
        typed = entry.typed + key
        if typed == "1" and (asked or 0) >= 6:
            return replace(entry, typed=typed)
    elif enter:
        typed = entry.typed
    else:
        return replace(entry, heard=False)
    box = entry.boxes[place]
    box = replace(box, strides=int(typed)) if name == "strides" else replace(
        box, strides_out=int(typed)
    )  # fmt: skip
    return _step(replace(_with(entry, place, box), typed=""))


def _typing_seconds(entry: RoundEntry, place: int, key: str, enter: bool) -> RoundEntry:
    if enter:
        box = entry.boxes[place]
        if entry.typed.strip("."):
            box = replace(box, seconds=float(entry.typed) or None)
        return _step(replace(_with(entry, place, box), typed=""))
    typed = entry.typed + key.replace(",", ".")
    if typed.count(".") > 1 or not typed.replace(".", "0").isdigit() or len(typed) > 6:
        return replace(entry, heard=False)
    return replace(entry, typed=typed)


def _with(entry: RoundEntry, place: int, box: TickBox) -> RoundEntry:
    return replace(entry, boxes={**entry.boxes, place: box})


def _fields(entry: RoundEntry, place: int) -> list[Field]:
    """The boxes of an element after its mark, given the mark."""
    element, box = _element(entry, place), entry.boxes.get(place)
    if box is None:
        return []
    found: list[Field] = [] if box.mark == "as asked" else ["whose"]
    if box.mark != "not jumped":
        wanted: list[tuple[Field, bool]] = [
            ("strides", element.strides_asked is not None),
            ("out", element.strides_out_asked is not None),
            ("seconds", place in entry.timed),
            ("lead", element.lead_asked is not None),
        ]
        found += [name for name, there in wanted if there]
    return found


def _step(entry: RoundEntry) -> RoundEntry:
    """On to the next box of the element, or out of it."""
    assert entry.at is not None
    place, now = entry.at
    order: list[Field] = ["mark", *_fields(entry, place)]
    entry = replace(entry, done=(*entry.done, entry.at))
    after = order[order.index(now) + 1 :]
    if after:
        return replace(entry, at=(place, after[0]))
    questions = doubtful(_element(entry, place), entry.boxes[place])
    if questions:
        return replace(entry, at=None, asking=f"{questions[0]}: which holds?")
    return _after_element(entry)


def _to_next_element(entry: RoundEntry, place: int) -> RoundEntry:
    boxes = {at: box for at, box in entry.boxes.items() if at != place}
    return _after_element(replace(entry, boxes=boxes, done=(*entry.done, (place, "mark"))))


def _after_element(entry: RoundEntry) -> RoundEntry:
    place = entry.done[-1][0]
    later = [e.place for e in entry.exercise.elements if e.place > place]
    return replace(entry, at=(later[0], "mark") if later else None, typed="")


def _rest_as_asked(entry: RoundEntry) -> RoundEntry:
    """Every box from here on as it was planned; waits for Enter."""
    assert entry.at is not None
    boxes, done = dict(entry.boxes), list(entry.done)
    for element in entry.exercise.elements:
        if element.place >= entry.at[0]:
            boxes[element.place] = TickBox(
                "as asked", None, element.strides_asked, element.strides_out_asked, None,
                element.lead_asked,
            )  # fmt: skip
            done.append((element.place, "mark"))
    return replace(entry, boxes=boxes, done=tuple(done), at=None, offered=True)


def _back(entry: RoundEntry) -> RoundEntry:
    """One figure or one box back; what the box held is taken out."""
    if entry.typed:
        return replace(entry, typed=entry.typed[:-1])
    if not entry.done:
        return replace(entry, heard=False)
    *before, last = entry.done
    place, name = last
    boxes = dict(entry.boxes)
    if name == "mark":
        boxes.pop(place, None)
    elif place in boxes:
        boxes[place] = _emptied(boxes[place], name)
    return replace(
        entry, boxes=boxes, done=tuple(before), at=last, asking="", offered=False, typed=""
    )


def _emptied(box: TickBox, name: Field) -> TickBox:
    match name:
        case "whose":
            return replace(box, whose=None)
        case "strides":
            return replace(box, strides=None)
        case "out":
            return replace(box, strides_out=None)
        case "seconds":
            return replace(box, seconds=None)
        case _:
            return replace(box, lead=None)
