"""An exercise from a sentence: ``plank, 3 strides, cross-rail, bend right 6, vertical``.

Between commas stand fences and the ways between them, in the order ridden. A fence said once has
a name of its own; ``the first again`` and ``back over the second`` jump one once more. Before all
may stand the gait and lead to begin in, behind all how it ends and how the fences stand:
``in a serpentine``, ``first, fourth, second, third in a box``.
"""

from __future__ import annotations

import re

from msgspec import Struct

from diagram.diagnostics import near
from diagram.fences import kind_names
from diagram.fences.kind import with_article
from diagram.model.phrases import COUNT, count_said
from diagram.source import written
from diagram.units import UnitError, parse_length

NAMES = (
    "alder", "birch", "cedar", "dogwood", "elm", "fir", "gorse", "hazel", "ivy", "juniper",
    "larch", "maple", "oak", "pine", "rowan", "sorrel", "thorn", "willow",
)  # fmt: skip
"""Names for fences, in the order in which they are said."""
ORDINALS = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
)  # fmt: skip

_COUNT = rf"(?P<count>{COUNT})"
_PACE = r"(?:(?P<pace>quiet|steady|forward|long) )?"
_LINE = re.compile(rf"(?:line (?:of )?)?{_COUNT} {_PACE}strides?", re.IGNORECASE)
_BEND = re.compile(
    rf"bend (?P<hand>left|right)(?: (?P<angle>\d+) ?°)?(?: (?:in )?{_COUNT}(?: strides?)?)",
    re.IGNORECASE,
)
_TURN = re.compile(r"(?P<word>turn|rollback|roll back) (?P<hand>left|right)", re.IGNORECASE)
_AGAIN = re.compile(
    rf"(?P<back>back over )?the (?P<which>{'|'.join(ORDINALS)})(?: (?:again|once more))?",
    re.IGNORECASE,
)
_BEHIND = re.compile(rf"the (?P<which>{'|'.join(ORDINALS)}) from behind", re.IGNORECASE)
_START = re.compile(
    r"(?P<gait>walk|trot|canter)(?:,? (?P<lead>left|right)(?: lead)?)?", re.IGNORECASE
)
_ENDS = {
    "halt": "halt on the line", "straight on": "straight on, walk",
    "circle left": "circle left, walk", "circle right": "circle right, walk",
}  # fmt: skip
_LANDING = re.compile(r"(?P<fence>.+?),? land(?:ing)?(?: on the)? (?P<hand>left|right)(?: lead)?",
                      re.IGNORECASE)  # fmt: skip
_ANGLED = re.compile(
    r"(?P<fence>.+?),? angled (?P<hand>left|right) (?P<angle>\d{1,2}(?:\.\d)?) ?°?", re.IGNORECASE
)
_ARRANGED = re.compile(
    r"(?:(?P<which>(?:(?:" + "|".join(ORDINALS) + r")[, ]+)+)|all |the fences )?"
    r"(?P<how>on an? circle|in an? (?:box|serpentine|fan|s)|on an? outside line"
    r"|on (?:a|the) diagonal)(?P<more>[^,]*)",
    re.IGNORECASE,
)
SAID = "a fence (plank, oxer 2'6\"), 3 strides, bend right 6, turn left, the first again"


class SentenceError(ValueError):
    """A part of a sentence that is not understood, with what to say instead."""

    def __init__(self, part: str, hint: str) -> None:
        super().__init__(f'"{part}" is not understood; {hint}')


class Said(Struct, frozen=True):
    """The fences and the ride as plain values of a file, and what each part became."""

    fences: dict[str, dict[str, str]]
    ride: list[dict[str, str]]
    explained: tuple[str, ...]
    arrange: str = ""


class Head(Struct, frozen=True):
    """What stands over the fences of a new file."""

    title: str
    purpose: str
    level: str
    arena: str
    horses: str


def read_sentence(text: str) -> Said:
    """What a sentence says. Raises SentenceError for the first part that is not understood."""
    fences: dict[str, dict[str, str]] = {}
    ride: list[dict[str, str]] = []
    told: list[str] = []
    order: list[str] = []
    finish = "straight on, walk"
    text, arranged = _arranged(text)
    parts = [part for piece in text.split(",") if (part := piece.strip(" ."))]
    if parts and (match := _START.fullmatch(parts[0])):
        lead = f", {match['lead'].lower()} lead" if match["lead"] else ""
        ride.append({"start": f"{match['gait'].lower()}{lead}"})
        told.append(f"{parts.pop(0)}: start {ride[0]['start']}")
    else:
        ride.append({"start": "canter"})
    if parts and order_said(parts[-1]) in _ENDS:
        finish = _ENDS[order_said(parts[-1])]
        parts.pop()
    for part in parts:
        ends_in_fence = "jump" in ride[-1]
        if step := _way(part):
            if not order:
                raise SentenceError(part, "begin with a fence")
            if not ends_in_fence:
                raise SentenceError(part, "name a fence before the next way")
            ride.append(step)
            key, phrase = next(iter(step.items()))
            told.append(f"{part}: {key} {phrase}")
            continue
        if ends_in_fence:
            raise SentenceError(part, f"say how to get there from {order[-1]}, like turn left")
        name, jump, said = _fence(part, fences)
        ride.append({"jump": jump})
        order.append(name)
        told.append(f"{part}: {said}")
    if not order:
        raise SentenceError(text, f"say {SAID}")
    if "jump" not in ride[-1]:
        raise SentenceError(parts[-1], "end with a fence")
    ride.append({"finish": finish})
    stand = _standing(arranged, list(fences)) if arranged else ""
    return Said(fences, ride, (*told, f"arrange: {stand}") if stand else tuple(told), stand)


def order_said(part: str) -> str:
    """A part in lower case with single blanks."""
    return " ".join(part.lower().split())


def _arranged(text: str) -> tuple[str, re.Match[str] | None]:
    """The sentence without the phrase at its end that tells how its fences stand; and that."""
    ends = [0, *(match.end() for match in re.finditer(r",\s*", text))]
    for end in ends:
        if match := _ARRANGED.fullmatch(text[end:].strip(" .")):
            return text[:end].rstrip(", "), match
    return text, None


def _standing(said: re.Match[str], names: list[str]) -> str:
    """``alder, birch, cedar in a serpentine``."""
    which = re.findall("|".join(ORDINALS), (said["which"] or "").lower())
    places = [ORDINALS.index(word) for word in which]
    if any(place >= len(names) for place in places):
        raise SentenceError(said[0], f"there are {len(names)} fences")
    chosen = [names[place] for place in places] or names
    how = re.sub(r" s$", " S", said["how"].lower())
    return f"{', '.join(chosen)} {how}{said['more'].rstrip()}"


def _way(part: str) -> dict[str, str] | None:
    if part.lower() == "bounce":
        return {"line": "bounce"}
    if match := _LINE.fullmatch(part):
        pace = f"{match['pace'].lower()} " if match["pace"] else ""
        return {"line": f"{count_said(match['count'])} {pace}stride{_s(match['count'])}"}
    if match := _BEND.fullmatch(part):
        angle = f" {match['angle']}°" if match["angle"] else ""
        count = f"{count_said(match['count'])} stride{_s(match['count'])}"
        return {"bend": f"{match['hand'].lower()}{angle}, {count}"}
    if match := _TURN.fullmatch(part):
        return {match["word"].lower().replace(" ", ""): match["hand"].lower()}
    return None


def _s(text: str) -> str:
    return "" if count_said(text) == 1 else "s"


def _fence(part: str, fences: dict[str, dict[str, str]]) -> tuple[str, str, str]:
    """The name of the fence, the phrase of the jump, and what it became; a new one is added."""
    if match := _LANDING.fullmatch(part):
        name, jump, said = _fence(match["fence"], fences)
        return name, f"{jump}, land on the {match['hand'].lower()} lead", said
    if match := _ANGLED.fullmatch(part):
        name, jump, said = _fence(match["fence"], fences)
        return name, f"{jump}, angled {match['hand'].lower()} {match['angle']}°", said
    for match, behind in ((_BEHIND.fullmatch(part), True), (_AGAIN.fullmatch(part), False)):
        if match:
            place = ORDINALS.index(match["which"].lower())
            known = list(fences)
            if place >= len(known):
                raise SentenceError(part, f"there are {len(known)} fences so far")
            name = known[place]
            back = behind or bool(match.groupdict().get("back"))
            if back:
                fences[name]["ground line"] = "both sides"
            return name, f"{name} from behind" if back else name, f"{name} once more"
    behind = part.lower().endswith(" from behind")
    kind, height = _kind(part[: -len(" from behind")] if behind else part)
    if len(fences) == len(NAMES):
        raise SentenceError(part, f"a sentence has room for {len(NAMES)} fences")
    name = NAMES[len(fences)]
    fences[name] = {"kind": kind} | ({"height": height} if height else {})
    said = f"{name}, {with_article(kind)}" + (f" of {height}" if height else "")
    if behind:
        fences[name]["ground line"] = "both sides"
        return name, f"{name} from behind", f"{said}, from behind"
    return name, name, said


def _kind(part: str) -> tuple[str, str]:
    """``plank``, ``a 2'6" oxer``, ``oxer 2'6"``: the kind and the height, if there is one."""
    words = re.sub(r"^(?:an?|the|over)\s+", "", part.strip(), flags=re.IGNORECASE)
    height = ""
    for pattern in (r"^(\d\S*)\s+(.+)$", r"^(.+?)\s+(\d\S*)$"):
        if match := re.match(pattern, words):
            first, second = match.groups()
            height, words = (first, second) if first[0].isdigit() else (second, first)
            break
    if height:
        try:
            parse_length(height)
        except UnitError as problem:
            raise SentenceError(part, problem.hint or problem.message) from None
    kind = words.lower()
    known = {name for name in kind_names() if name != "combination"}
    known -= {"grid", "double", "treble"}
    if kind not in known:
        raise SentenceError(part, near(kind, known) or f"say {SAID}")
    return kind, height


def exercise_text(head: Head, said: Said) -> str:
    """The whole file as a person would write it, a step to a line."""
    values = {
        "tapeline": "1", "title": head.title, "purpose": head.purpose, "level": head.level,
        "arena": head.arena, "horses": head.horses,
    }  # fmt: skip
    lines = ["# Lengths need a unit: 12', 12'6\", 3.5 m. Each step may have purpose:, watch: and"]
    lines.append("# passed when:, below it and indented like it. Said in one sentence:")
    lines += [f"#   {text}" for text in said.explained]
    lines += [f"{key}: {_plain(text)}" for key, text in values.items()]
    lines += [f"arrange: {said.arrange}"] * bool(said.arrange)
    lines += ["", "fences:"]
    lines += [f"  {name}: {_block(block)}" for name, block in said.fences.items()]
    lines += ["", "ride:"]
    lines += [f"  - {key}: {text}" for step in said.ride for key, text in step.items()]
    return "\n".join(lines) + "\n"


def _block(values: dict[str, str]) -> str:
    return "{" + ", ".join(f"{key}: {_plain(text)}" for key, text in values.items()) + "}"


def _plain(text: str) -> str:
    """A text as it stands, or in quotes where it would be read as something else."""
    if re.fullmatch(r"\w[\w '\"-]*", text) and len(text) < MOST_PLAIN:
        return text
    return re.sub(r"\n\s*", " ", written([text]).strip()[1:-1])


MOST_PLAIN = 90
"""Letters. A longer text may be broken, and is left to the writer of YAML."""
