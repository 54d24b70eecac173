"""What each phrase of a ride or a placing says, as values; those of a ride are read here."""

from __future__ import annotations

import re
from typing import Any, Literal

from msgspec import Struct
from msgspec.structs import replace

from diagram.model.meant import CLAUSES, meant
from diagram.model.phrases import (
    COUNT,
    NUMBER,
    Grammar,
    PhraseError,
    clauses,
    count_said,
    hand,
    length,
    number,
    read_phrase,
    reads,
    respelt,
    said_otherwise,
    signed_angle,
)
from diagram.model.ride_otherwise import (
    FINISH_OTHERWISE,
    JUMP_OTHERWISE,
    LINE_OTHERWISE,
    START_OTHERWISE,
    TURN_OTHERWISE,
    WAY_OTHERWISE,
)
from diagram.trade.words import Gait, GateWay, Slope

Lead = Literal["left", "right"]
Pace = Literal["quiet", "normal", "forward"]

STRIDES = (
    rf"(?:{NUMBER} (?:(?P<pace>quiet|steady|normal|forward|long) )?strides?|(?P<bounce>bounce))"
)
LENGTH = r"(?P<length>\d[^a-z]*(?:'|\"|ft|feet|m|metres?|meters?|cm|in|steps?)[^a-z]*(?:in)?)"
ANGLE = r"(?P<angle>\d+(?:\.\d+)?\s*(?:°|deg|degrees?))"
SIDE = r"(?P<side>left|right)"
PACES: dict[str, Pace] = {"steady": "quiet", "quiet": "quiet", "forward": "forward",
                          "long": "forward", "normal": "normal"}  # fmt: skip


class Transition(Struct, frozen=True):
    """A change of gait inside a line: to `gait` for some steps or seconds.

    It stands in the middle of the line, or begins `after` strides from landing. `sides` are the
    canter strides on each side of it, where they are said.
    """

    gait: Gait
    steps: int | None = None
    seconds: float | None = None
    after: int | None = None
    sides: int | None = None


class WhereSaid(Struct, frozen=True):
    """A part of the arena: along a side, through the gate, out of a corner (of two sides, or near
    a mark), near a mark or side, or at the end of the arena that one lies at."""

    kind: Literal["along", "gate", "corner", "near", "end"]
    names: tuple[str, ...] = ()


class CircleSaid(Struct, frozen=True):
    """A circle ridden on the way. `diameter` metres, or as large as fits; `where`, if said."""

    left: bool
    diameter: float | None = None
    where: WhereSaid | None = None


class StartSaid(Struct, frozen=True):
    """How the ride begins: gait and lead, where from, and on which circle before.

    In trot and walk, which have no lead, `lead` is the rein.
    """

    gait: Gait = "canter"
    lead: Lead | None = None
    where: WhereSaid | None = None
    circle: CircleSaid | None = None


class JumpSaid(Struct, frozen=True):
    """A fence jumped: which, from which side, how far off straight, and the landing lead."""

    fence: str
    from_behind: bool = False
    angle: float = 0.0
    land: Lead | None = None


class WaySaid(Struct, frozen=True):
    """The way to the next fence, or round to it.

    `left` is None for a straight line; `turn` radians (left positive) if the angle is given;
    `tight` for a rollback. One of `strides` and `length` gives the distance of a line or bend;
    where both do, the length is built and the strides are what it is meant to ride in.
    `ways` are other counts of strides that the same way may be ridden in, `paces` how each of
    them is ridden (as the first one where nothing is said). `gait` is the one to come to the next
    fence in, and to every fence after it until another is said. A `round` bend is an arc from
    fence to fence; `radius` in metres, if that is said. `slope` and `gate` are how it lies, where
    that differs from the conditions of the exercise.
    """

    shape: Literal["line", "bend", "turn"]
    left: bool | None = None
    strides: int | None = None
    pace: Pace = "normal"
    length: float | None = None
    turn: float | None = None
    tight: bool = False
    transition: Transition | None = None
    change: Literal["flying", "simple"] | None = None
    counter: bool = False
    ways: tuple[int, ...] = ()
    paces: tuple[Pace, ...] = ()
    gait: Gait | None = None
    round: bool = False
    radius: float | None = None
    slope: Slope | None = None
    gate: GateWay | None = None


class FinishSaid(Struct, frozen=True):
    """How the ride ends: with the rail, straight on or on a circle, where, and in which gaits, one
    after the other."""

    gaits: tuple[Gait, ...] = ()
    circle: CircleSaid | None = None
    straight: bool = False
    rail: bool = False
    where: WhereSaid | None = None


class PlacedSaid(Struct, frozen=True):
    """A fence placed from another: so far beyond it along its line, turned by so much."""

    fence: str
    from_behind: bool = False
    strides: int | None = None
    pace: Pace = "normal"
    length: float | None = None
    turn: float = 0.0


class OnSaid(Struct, frozen=True):
    """A line that a fence stands on: the centre line, a quarter line, a diagonal, along a side
    so far in, or between two marks. `side` is the one that a quarter line is near to."""

    line: Literal["centre line", "short centre line", "quarter line", "diagonal", "side", "marks"]
    side: str | None = None
    inset: float = 0.0
    marks: tuple[str, str] | None = None


class ArrangedSaid(Struct, frozen=True):
    """How fences stand to each other: parallel or square, mirrored over a line, equally far, or
    together in a shape.

    `size` is metres: the diameter of a circle, from side to side of a box, the width of a loop of
    a serpentine, from the first fence of a fan to the others. `side` and `rein` are of a line.
    """

    how: Literal[
        "parallel", "square", "mirrored", "as far", "on a circle", "in a box", "in a serpentine",
        "in a fan", "in an s", "on an outside line", "on a diagonal",
    ]  # fmt: skip
    fences: tuple[str, ...]
    over: OnSaid | None = None
    size: float | None = None
    side: str | None = None
    rein: Lead | None = None


class MovedSaid(Struct, frozen=True):
    """A fence moved from where it stands: metres ahead and to the left, as it faces."""

    fence: str
    ahead_m: float = 0.0
    left_m: float = 0.0


PLACE = r"(?:at|near|by|in) (?:the )?(?P<place>[^,]+?)(?P<end> end)?"


def _place(match: re.Match[str]) -> WhereSaid | None:
    if not match["place"]:
        return None
    return WhereSaid("end" if match["end"] else "near", (match["place"],))


def _circle(match: re.Match[str]) -> CircleSaid:
    diameter = length(match) if match["length"] else None
    return CircleSaid(hand(match["side"]), diameter, _place(match))


def _corner(match: re.Match[str]) -> dict[str, Any]:
    names = tuple(name for name in (match["one"], match["two"]) if name)
    return {"where": WhereSaid("corner", names)}


def strides_of(match: re.Match[str]) -> dict[str, Any]:
    """The count in a match of STRIDES, and how it is ridden."""
    if match["bounce"]:
        return {"strides": 0}
    count = number(match)
    pace = (match["pace"] or "normal").lower()
    return {"strides": count, "pace": PACES[pace]}


def _transition(match: re.Match[str]) -> dict[str, Any]:
    amount = number(match) if match["number"] else None
    seconds = (
        bool(match["unit"])
        and match["unit"].lower().startswith("s")
        and (not match["unit"].lower().startswith("st"))
    )
    gait: Gait = match["gait"].lower()  # type: ignore[assignment]
    if gait == "halt" and amount is not None and not seconds:
        raise PhraseError("a halt has no steps", "write: halt 4 seconds in the middle")
    after = int(match["after"]) if match["after"] else None
    transition = Transition(
        gait,
        steps=amount if not seconds else None,
        seconds=float(amount) if seconds and amount is not None else None,
        after=after,
    )
    return {"transition": transition}


def _counted(match: re.Match[str]) -> dict[str, Any]:
    """A count and the length it is set at: built by the one, judged as the other."""
    return {**strides_of(match), "length": length(match), "counted": True}


OTHER = rf"(?P<other>{COUNT})"
OR = rf" or {OTHER}(?: (?P<other_pace>quiet|steady|normal|forward|long))?(?: strides?)?"
EITHER = rf"{NUMBER} or {OTHER} strides?"


def _either(match: re.Match[str]) -> dict[str, Any]:
    """Two counts for one way, each with how it is ridden."""
    return _in_two(strides_of(match), match["other"], match["other_pace"] or "normal")


def _in_two(said: dict[str, Any], text: str, pace: str) -> dict[str, Any]:
    """What is said of one count, and of another in the same words."""
    other = count_said(text)
    if other in (0, said["strides"]):
        raise PhraseError("two counts that differ are wanted", "write 5 strides or 4 forward")
    return {**said, "ways": (other,), "paces": (PACES[pace.lower()],)}


def _either_at(match: re.Match[str]) -> dict[str, Any]:
    return {**_either(match), "length": length(match), "counted": True}


DISTANCE: Grammar = {
    STRIDES: ("5 strides", strides_of),
    rf"{STRIDES}{OR}": ("5 strides or 4 forward", _either),
    EITHER: (
        "5 or 4 strides",
        lambda m: _in_two({"strides": number(m)}, m["other"], "normal"),
    ),
    rf"{STRIDES}{OR} at {LENGTH}": ("5 strides or 4 forward at 66'", _either_at),
    rf"{STRIDES} at {LENGTH}": ("5 strides at 70'", _counted),
    LENGTH: ("72'", lambda m: {"length": length(m)}),
}
ON_THE_WAY: Grammar = {
    rf"(?P<gait>walk|halt|trot)(?: {NUMBER} (?P<unit>steps?|strides?|seconds?|s))?"
    r" (?:in the middle|after (?P<after>\d+) strides?)": (
        "walk 5 steps in the middle",
        _transition,
    ),
    rf"halt(?: {NUMBER} (?:seconds?|s))?": (
        "halt 4 seconds",
        lambda m: {
            "transition": Transition("halt", None, float(number(m)) if m["number"] else None)
        },
    ),
    r"(?P<kind>flying|simple) change": (
        "flying change",
        lambda m: {"change": m["kind"].lower()},
    ),
    r"counter-?canter": ("counter-canter", lambda _: {"counter": True}),
}
HAND: Grammar = {SIDE: ("left", lambda m: {"left": hand(m["side"])})}
COMING: Grammar = {
    r"(?:in )?(?P<gait>walk|trot|canter)": ("trot", lambda m: {"gait": m["gait"].lower()})
}
LIES: Grammar = {
    r"(?P<slope>uphill|downhill|level)": ("uphill", lambda m: {"slope": m["slope"].lower()}),
    r"(?P<gate>(?:towards|away from|across) the gate)": (
        "towards the gate",
        lambda m: {"gate": " ".join(m["gate"].lower().split())},
    ),
}
LINE: Grammar = {**DISTANCE, **ON_THE_WAY, **COMING, **LIES}
BEND: Grammar = {
    rf"{SIDE} {ANGLE}": (
        "left 45°",
        lambda m: {"left": hand(m["side"]), "turn": signed_angle(m["side"], m["angle"])},
    ),
    **HAND,
    ANGLE: ("45°", lambda m: {"turn": signed_angle(None, m["angle"])}),
    r"round": ("round", lambda _: {"round": True}),
    rf"radius {LENGTH}": ("radius 9 m", lambda m: {"radius": length(m)}),
    rf"round (?:on )?(?:an? )?{LENGTH} circle": (
        "round on an 18 m circle",
        lambda m: {"round": True, "radius": length(m) / 2},
    ),
    **LINE,
}
TURN: Grammar = {**HAND, **ON_THE_WAY, **COMING}
CIRCLE: Grammar = {
    **HAND,
    rf"(?:circle )?(?:{SIDE} )?{LENGTH}(?: circle)?(?: {PLACE})?": (
        "left 20 m at the gate end",
        lambda m: {
            "diameter": length(m),
            **({"left": hand(m["side"])} if m["side"] else {}),
            **({"where": _place(m)} if m["place"] else {}),
        },
    ),
    PLACE: ("near the gate", lambda m: {"where": _place(m)}),
}
ALONG: Grammar = {
    r"(?:along|with) (?:the )?(?P<place>[^,]+)": (
        "along left",
        lambda m: {"where": WhereSaid("along", (m["place"],))},
    ),
}
START: Grammar = {
    **ALONG,
    r"(?:from|through) the gate": ("from the gate", lambda _: {"where": WhereSaid("gate")}),
    r"(?:from|out of) the corner (?:of |at |by |near )?(?:the )?(?P<one>[^,]+?)"
    r"(?: and (?P<two>[^,]+))?": ("from the corner of left and top", _corner),
    rf"circle {SIDE}(?: {LENGTH})?(?: {PLACE})?": (
        "circle left 20 m near the gate",
        lambda m: {"circle": _circle(m)},
    ),
    r"(?P<gait>walk|trot|canter)": ("canter", lambda m: {"gait": m["gait"].lower()}),
    rf"(?:on )?(?:the )?{SIDE} (?:lead|rein)": (
        "left lead",
        lambda m: {"lead": m["side"].lower()},
    ),
}
BEHIND = r"(?:from behind|backwards|from the other side|(?:the )?other way(?: round)?)"
JUMP: Grammar = {
    rf"(?:angled|angle|at) {SIDE} {ANGLE}": (
        "angled left 20°",
        lambda m: {"angle": signed_angle(m["side"], m["angle"])},
    ),
    rf"(?:angled|angle|at|(?:on|at) an angle of) {ANGLE} (?:to the )?{SIDE}": (
        "angled 20° left",
        lambda m: {"angle": signed_angle(m["side"], m["angle"])},
    ),
    rf"land(?:ing)? (?:on )?(?:the )?{SIDE}(?: lead)?|(?:on )?(?:the )?(?P<led>left|right) lead": (
        "land on the left lead",
        lambda m: {"land": (m["side"] or m["led"]).lower()},
    ),
    BEHIND: ("from behind", lambda _: {"from_behind": True}),
}


def _gait(match: re.Match[str]) -> dict[str, Any]:
    return {"gaits": (match["gait"].lower(),)}


FINISH: Grammar = {
    r"(?:in )?(?P<gait>walk|trot|canter|halt)": ("walk, trot or halt", _gait),
    r"(?P<gait>canter|trot|walk)(?: and| then|, then| and then) (?P<then>trot|walk|halt)": (
        "trot then walk",
        lambda m: {"gaits": (m["gait"].lower(), m["then"].lower())},
    ),
    rf"circle {SIDE}(?: {LENGTH})?(?: {PLACE})?": (
        "circle left 20 m",
        lambda m: {"circle": _circle(m)},
    ),
    r"straight(?: on)?": ("straight on", lambda _: {"straight": True}),
    r"(?:along|with) the (?:rail|track|wall)": (
        "with the rail",
        lambda _: {"rail": True},
    ),
    r"(?P<gait>walk|trot|halt) (?:on (?:the|its)|in an?(?: straight)?) line": (
        "halt on the line",
        lambda m: {**_gait(m), "straight": True},
    ),
    **ALONG,
}
TURNED: Grammar = {
    rf"turned {SIDE} {ANGLE}": (
        "turned left 45°",
        lambda m: {"turn": signed_angle(m["side"], m["angle"])},
    ),
    r"from behind": ("from behind", lambda _: {"from_behind": True}),
}


def read_start(text: str) -> StartSaid:
    """``canter, left lead``."""
    return StartSaid(**read_phrase(text, START, otherwise=START_OTHERWISE))


def read_jump(text: str) -> JumpSaid:
    """``birch``, ``birch from behind``, ``birch, angled left 20°, land right``."""
    name, rest = _name_first(text)
    if not rest.strip(" ,"):
        return JumpSaid(name)
    return JumpSaid(name, **read_phrase(rest, JUMP, otherwise=JUMP_OTHERWISE))


def _name_first(text: str) -> tuple[str, str]:
    """The fence named at the head of `text`; the rest padded so that places still agree."""
    first = clauses(text)[:1]
    if not first:
        raise PhraseError("no fence is named", "write the name of a fence")
    name = re.split(rf"\s+(?:{BEHIND}$|(?:angled|(?:at|on) an angle)\b)", first[0].text)[0]
    end = first[0].start + len(name)
    return name, " " * end + text[end:]


def why_not_named(name: str, rest: str) -> str:
    """What to write for the `name` of a fence and what stands behind it with no comma."""
    words = rest.strip(" -()")
    if hint := said_otherwise(words, JUMP_OTHERWISE):
        return hint
    if reads(words, JUMP):
        return f"write `{name}, {words}`, with a comma"
    if hint := respelt(words, JUMP):
        return f'did you mean "{name}, {hint}"?'
    if hint := meant(words, CLAUSES, lambda text: reads(text, JUMP), True):
        return hint.replace(" `", f" `{name}, ")
    return (
        f"write `{name}` alone; what is said of a jump comes after a comma: `{name}, from behind`"
    )


def read_line(text: str) -> WaySaid:
    """``5 strides``, ``72'``, ``8 strides, halt in the middle``."""
    return _sided(_way("line", _with_its_sides(text), LINE), text)


def read_bend(text: str) -> WaySaid:
    """``left, 6 strides``, ``right 45°, 5 strides``."""
    return _sided(_way("bend", _with_its_sides(text), BEND), text)


def _sided(way: WaySaid, text: str) -> WaySaid:
    """The way with the canter strides on each side of its transition, if it is said by those."""
    match = _SIDES.search(text)
    if match is None or way.transition is None:
        return way
    sides = count_said(match["in"])
    return replace(way, transition=replace(way.transition, sides=sides))


_SIDES = re.compile(
    rf"(?P<in>{COUNT})(?: strides?)?, ?(?P<gait>walk|trot|halt)"
    rf"(?: {NUMBER}(?: (?:steps?|strides?|seconds?|s))?)?"
    rf", ?(?P<out>{COUNT})(?: strides?)?",
    re.IGNORECASE,
)


def _with_its_sides(text: str) -> str:
    """``5, walk 5, 5``, as a drawing says it, in the words for it: ``10 strides, walk 5 steps in
    the middle``. Raises PhraseError where the two sides differ."""
    match = _SIDES.search(text)
    if match is None:
        return text
    into, out = (count_said(match[side]) for side in ("in", "out"))
    gait = match["gait"].lower()
    unit = "seconds" if gait == "halt" else "steps"
    middle = f"{gait} {match['number']} {unit}" if match["number"] else gait
    if into != out:
        hint = f"write {into + out} strides, {middle} after {into} strides"
        message = "how many strides are left after it follows from the line"
        raise PhraseError(message, hint, match.start(), len(match[0]))
    said = f"{into + out} strides, {middle} in the middle"
    return text[: match.start()] + said + text[match.end() :]


def read_turn(text: str) -> WaySaid:
    """``left``, ``right, flying change``."""
    return _way("turn", text, TURN)


def read_rollback(text: str) -> WaySaid:
    """``left``: a turn no wider than it must be."""
    return _way("turn", text, TURN, tight=True)


def _way(
    shape: Literal["line", "bend", "turn"], text: str, grammar: Grammar, tight: bool = False
) -> WaySaid:
    otherwise = {"line": LINE_OTHERWISE, "turn": TURN_OTHERWISE}.get(shape, WAY_OTHERWISE)
    said = read_phrase(text, grammar, otherwise=otherwise)
    if shape != "line" and said.get("left") is None:
        word = "rollback" if tight else shape
        hint = f"write {word}: left, {text.strip()}"
        raise PhraseError("left or right is missing", hint, 0, len(text))
    if shape == "bend" and said.get("turn") is not None:
        said["turn"] = abs(said["turn"]) * (1 if said["left"] else -1)
    if shape == "bend" and len(said.get("ways", ())) == 1:
        said |= _round_way_first(said)
    if not said.pop("counted", False) and "strides" in said and "length" in said:
        hint = "give one, or write 5 strides at 70'"
        gait = said["transition"].gait if "transition" in said else said.get("gait")
        if gait and (steps := _STEPS.search(text)):
            hint = f"say the steps with the {gait}: write `{gait} {steps[1]} steps in the middle`"
        raise PhraseError("both strides and a length are given", hint, 0, len(text))
    return WaySaid(shape=shape, tight=tight, **said)


_STEPS = re.compile(r"(\d+) ?(?:m|steps?)\b")


def _round_way_first(said: dict[str, Any]) -> dict[str, Any]:
    """Of two counts round a bend the larger is the bend, and the smaller cuts it."""
    (other,), (pace,) = said["ways"], said["paces"]
    if other < said["strides"]:
        return {}
    return {"strides": other, "pace": pace, "ways": (said["strides"],),
            "paces": (said.get("pace", "normal"),)}  # fmt: skip


def read_circle(text: str) -> CircleSaid:
    """``left, 20 m``."""
    said = read_phrase(text, CIRCLE)
    if "left" not in said:
        hint = f"write circle: left, {text.strip()}"
        raise PhraseError("left or right is missing", hint, 0, len(text))
    return CircleSaid(**said)


def read_finish(text: str) -> FinishSaid:
    """``circle left, walk``, ``straight on, halt``, ``straight on, trot, walk``."""
    said = FinishSaid(**read_phrase(text, FINISH, "gaits", FINISH_OTHERWISE))
    before, circle, _ = text.lower().partition("circle")
    early = re.search(r"\b(walk|trot|halt)\b", before)
    if said.circle and circle and early:
        hint = f"write the circle first, then {early[0]}: a circle to finish on is cantered"
        message = f"a {early[0]} before the circle is not ridden"
        raise PhraseError(message, hint, early.start(), len(early[0]))
    return said
