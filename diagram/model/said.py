"""What each phrase of a ride or a placing says, as values."""

from __future__ import annotations

import re
from typing import Any, Literal

from msgspec import Struct
from msgspec.structs import replace

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
    signed_angle,
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


def _strides(match: re.Match[str]) -> dict[str, Any]:
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
    return {**_strides(match), "length": length(match), "counted": True}


OTHER = rf"(?P<other>{COUNT})"
OR = rf" or {OTHER}(?: (?P<other_pace>quiet|steady|normal|forward|long))?(?: strides?)?"
EITHER = rf"{NUMBER} or {OTHER} strides?"


def _either(match: re.Match[str]) -> dict[str, Any]:
    """Two counts for one way, each with how it is ridden."""
    return _in_two(_strides(match), match["other"], match["other_pace"] or "normal")


def _in_two(said: dict[str, Any], text: str, pace: str) -> dict[str, Any]:
    """What is said of one count, and of another in the same words."""
    other = count_said(text)
    if other in (0, said["strides"]):
        raise PhraseError("two counts that differ are wanted", "write 5 strides or 4 forward")
    return {**said, "ways": (other,), "paces": (PACES[pace.lower()],)}


def _either_at(match: re.Match[str]) -> dict[str, Any]:
    return {**_either(match), "length": length(match), "counted": True}


DISTANCE: Grammar = {
    STRIDES: ("5 strides", _strides),
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


_NO_GALLOP = "nothing is galloped here; "
_REIN = (
    r"the rein is that of the way there: write `- turn: \g<side>` before the jump; of the lead to "
    r"land on, `land on the \g<side> lead`"
)
START_OTHERWISE = {r"\bgallop": f"{_NO_GALLOP}write `- start: canter`"}
JUMP_OTHERWISE = {
    r"\b(?:off|on|from) (?:the )?(?P<side>left|right) (?:rein|hand|lead)\b": _REIN,
}
WAY_OTHERWISE = {
    r"\b(?:timers|finish line)\b": "what comes after the last fence is said at the end: "
    "`- finish: straight on, canter`",
    r"\bgallop": f"{_NO_GALLOP}say it of the strides: `- line: 5 forward strides`",
}
FINISH_OTHERWISE = {
    r"\bgallop": f"{_NO_GALLOP}write `- finish: straight on, canter`",
    r"\b(?:timers|finish line|flags)\b": "write `- finish: straight on, canter`",
}
"""What riders say where the tables have no word for it, and what to write."""


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


def why_not_named(rest: str) -> str:
    """What to write for what stands behind the name of a fence with no comma, if that is known."""
    for pattern, hint in JUMP_OTHERWISE.items():
        if match := re.search(pattern, rest, re.IGNORECASE):
            return match.expand(hint)
    return ""


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
    said = read_phrase(text, grammar, otherwise=WAY_OTHERWISE)
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
        raise PhraseError("both strides and a length are given", hint, 0, len(text))
    return WaySaid(shape=shape, tight=tight, **said)


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


_BEYOND = re.compile(
    rf"(?:{STRIDES}(?: at (?=\d)|(?= (?:beyond|after|past))))?(?:{LENGTH})?"
    r" (?:beyond|after|past) (?P<fence>.+)$",
    re.IGNORECASE,
)

_FROM = re.compile(
    r"(?P<far>.+?) (?:away )?(?:from|off|behind|out of|on from) (?P<fence>.+)$", re.IGNORECASE
)
"""How far a fence stands from another, in words that do not say on which side."""


def read_placed(text: str) -> PlacedSaid:
    """``5 strides beyond birch``, ``21 m beyond birch from behind, turned left 45°``."""
    first = clauses(text)[:1]
    match = _BEYOND.fullmatch(first[0].text) if first else None
    counted = match is not None and bool(match["number"] or match["bounce"])
    if match is None or not (counted or match["length"]):
        far = _FROM.fullmatch(first[0].text) if first else None
        hint = "write: 5 strides beyond birch, turned left 45°"
        if far is not None and _BEYOND.fullmatch(beyond := f"{far['far']} beyond {far['fence']}"):
            hint = f"write: {beyond}"
        raise PhraseError(f'"{text}" is not understood here', hint)
    name, behind = match["fence"], False
    if name.endswith(" from behind"):
        name, behind = name.removesuffix(" from behind"), True
    measured = _strides(match) if counted else {}
    measured |= {"length": length(match)} if match["length"] else {}
    end = first[0].start + len(first[0].text)
    rest = " " * end + text[end:]
    more = read_phrase(rest, TURNED) if rest.strip(" ,") else {}
    return PlacedSaid(name, **{"from_behind": behind, **measured, **more})


_IN = re.compile(rf"{LENGTH} in(?:side)?(?: from)?(?: the)? (?P<side>.+)", re.IGNORECASE)
_BETWEEN = re.compile(
    r"(?:the )?(?:diagonal|line)(?: from)? (?P<one>.+?) to (?P<other>.+)", re.IGNORECASE
)
_QUARTER = re.compile(
    r"(?:the )?quarter line(?: (?:near|by) (?:the )?(?P<side>.+))?", re.IGNORECASE
)
_NAMED = re.compile(r"(?:the )?(?P<line>(?:short )?centre line|diagonal)", re.IGNORECASE)
ON_EXAMPLES = (
    "centre line; short centre line; quarter line; quarter line near bottom; diagonal; "
    "diagonal K to M; 5 m in from bottom"
)


def read_on(text: str) -> OnSaid:
    """``centre line``, ``quarter line near bottom``, ``diagonal K to M``, ``5 m in from left``."""
    said = text.strip()
    if match := _NAMED.fullmatch(said):
        return OnSaid(match["line"].lower())  # type: ignore[arg-type]
    if match := _QUARTER.fullmatch(said):
        return OnSaid("quarter line", side=match["side"])
    if match := _BETWEEN.fullmatch(said):
        return OnSaid("marks", marks=(match["one"], match["other"]))
    if match := _IN.fullmatch(said):
        return OnSaid("side", side=match["side"], inset=length(match))
    hint = f"you may say: {ON_EXAMPLES}"
    if re.search(r"\boutside\b", said, re.IGNORECASE):
        hint = "write on: 5 m in from bottom; or beside fences: arrange: birch on an outside line"
    raise PhraseError(f'"{said}" is no line to stand on', hint)


_TURNED_TO = re.compile(r"(?P<one>.+) (?P<how>parallel|square) to (?P<other>.+)", re.IGNORECASE)
_MIRRORS = re.compile(r"(?P<one>.+) mirrors (?P<other>.+?) over (?P<line>.+)", re.IGNORECASE)
_AS_FAR = re.compile(r"(?P<a>.+?) to (?P<b>.+?) as far as (?P<c>.+?) to (?P<d>.+)", re.IGNORECASE)
_SHAPED = re.compile(
    r"(?P<names>.+?) (?P<how>on an? circle|in an? (?:box|serpentine|fan|s)|on an? outside line"
    rf"|on (?:a|the) diagonal)(?: {LENGTH})?(?: by (?:the )?(?P<side>[^,]+))?"
    r"(?:, (?:on the )?(?P<rein>left|right) rein)?",
    re.IGNORECASE,
)
FEWEST = {"in an s": 3, "in a box": 4, "in a serpentine": 2, "in a fan": 3, "on a circle": 2}
"""Fewest fences that make a shape."""
ARRANGED_EXAMPLES = (
    "birch parallel to elm; birch square to elm; birch mirrors elm over the centre line; "
    "birch to hazel as far as elm to oak; birch, elm, ash, oak on a circle 20 m; "
    "birch, elm, ash in a serpentine; birch, elm on an outside line by left, left rein"
)


def read_arranged(text: str) -> ArrangedSaid:
    """``birch parallel to elm``, ``birch mirrors elm over the centre line``, and so on."""
    said = text.strip()
    if match := _SHAPED.fullmatch(said):
        return _shape(match)
    if match := _AS_FAR.fullmatch(said):
        return ArrangedSaid("as far", (match["a"], match["b"], match["c"], match["d"]))
    if match := _MIRRORS.fullmatch(said):
        over = read_on(match["line"])
        if over.line in ("quarter line", "diagonal"):
            raise PhraseError(
                f"which {over.line} is meant?", "name a line from one mark to another"
            )
        return ArrangedSaid("mirrored", (match["one"], match["other"]), over)
    if match := _TURNED_TO.fullmatch(said):
        how: Any = match["how"].lower()
        return ArrangedSaid(how, (match["one"], match["other"]))
    raise PhraseError(f'"{said}" is not understood here', f"you may say: {ARRANGED_EXAMPLES}")


def _shape(match: re.Match[str]) -> ArrangedSaid:
    how: Any = re.sub(r"^(on|in) (an?|the) ", "", match["how"].lower())
    article = {"s": "in an", "outside line": "on an", "circle": "on a", "diagonal": "on a"}
    how = f"{article.get(how, 'in a')} {how}"
    names = tuple(name for name in re.split(r"\s*,\s*|\s+and\s+", match["names"].strip()) if name)
    on_line = how in ("on an outside line", "on a diagonal")
    if len(set(names)) < len(names):
        raise PhraseError("a fence is named twice", "name each fence once")
    if len(names) < FEWEST.get(how, 1) or (how == "in a box" and len(names) > 4):
        raise PhraseError(f"these are not fences enough {how}", f"you may say: {ARRANGED_EXAMPLES}")
    sized = match["length"] if "length" in match.re.groupindex else None
    if on_line and sized:
        raise PhraseError(f"{how} has no size", "leave the length out")
    if not on_line and (match["side"] or match["rein"]):
        raise PhraseError(f"{how} has no side and no rein", "leave them out")
    rein: Any = match["rein"].lower() if match["rein"] else None
    return ArrangedSaid(how, names, None, length(match) if sized else None, match["side"], rein)


_MOVED = re.compile(
    rf"(?:(?P<fence>.+?) )?{LENGTH} (?P<way>left|right|forward|back)", re.IGNORECASE
)
FURTHEST_MOVED_M = 100.0
MOVED_EXAMPLES = "rowan 2 steps left; rowan 1 m back, 3' right"


def read_moved(text: str) -> MovedSaid:
    """``rowan 2 steps left``, ``rowan 1 m back, 3' right``: as the fence faces."""
    name, ahead, left = "", 0.0, 0.0
    for clause in clauses(text):
        match = _MOVED.fullmatch(clause.text.strip())
        if match is None or bool(match["fence"]) == bool(name):
            raise PhraseError(f'"{text}" is not understood here', f"you may say: {MOVED_EXAMPLES}")
        name = name or match["fence"]
        metres, way = length(match), match["way"].lower()
        if metres > FURTHEST_MOVED_M:
            raise PhraseError(f"{match['length']} is out of any arena", "check the unit")
        ahead += {"forward": metres, "back": -metres}.get(way, 0.0)
        left += {"left": metres, "right": -metres}.get(way, 0.0)
    return MovedSaid(name, ahead, left)
