"""What a phrase that is not understood is likely to mean: the same in the words of the format.

Nothing of this is read: it becomes the hint of an error. Texts are put into other words by the
tables below and offered only if they are understood there, so that no hint leads to the next error.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from diagram.model.counting import LARGER_NUMBERS, NUMBER_WORDS
from diagram.units import UnitError, parse_length

Rule = tuple[str, tuple[str, ...]]
"""A pattern of a whole text, and what it may mean, likeliest first: all that are understood are
offered."""
MOST_OFFERED = 2

_NUMBER = r"(?:\d|1[0-5]|one|two|three|four|five|six|seven|eight|nine|ten)"
_PACE = r"(?:quiet|steady|normal|forward|long)"
_GAIT = r"(?:walk|trot|canter|halt)"

PLAINLY: tuple[tuple[str, str], ...] = (
    *((rf"\b{word}\b", str(count)) for word, count in LARGER_NUMBERS.items()),
    (r"\bfoot\b", "ft"),
    (r"\bcms\b|\bcentimet(?:er|re)s?\b", "cm"),
    (r"\b(\d+) ?m ?(\d\d)\b", r"\1.\2 m"),
    (r"\b(?:ca\.|about|approx\.?|roughly) ?", ""),
    (r"\bsecs?\b", "seconds"),
    (r"\b(?:canter )?(?:str|strds?)\b|(?<=\d)st\b|\bcanter strides?\b", " strides"),
    (r"\bcent(?:er|re)[ -]?line\b|\bmiddle line\b", "centre line"),
    (r"\b(?:half[ -]?way|in between|(?:at|in) the (?:middle|centre))\b", "in the middle"),
    (r"\bhalt for\b", "halt"),
    (r"\b(?:rising|sitting|normal|slow|medium) (?=(?:walk|trot|canter)\b)", ""),
    (r"\b(?:stop|pull up)\b", "halt"),
    (r"\bsecond gate\b", "gate"),
    (r"[()]|\b\s*=\s*|–|\+", " "),
    (r" {2,}", " "),
)
"""Words that mean the same wherever they stand."""

_FROM_SIDE = r"(\d[^,]*?) (?:from|off|away from|inside|in of)(?: the)? "
CLAUSES: tuple[Rule, ...] = (
    (rf"({_NUMBER}) ?(?:to|/|-) ?({_NUMBER})(?: strides?)?", (r"\1 or \2 strides",)),
    (rf"({_NUMBER})", (r"\1 strides",)),
    (r"(\d{2,3})", (r"\1°", r"\1'", r"\1 m")),
    (rf"({_NUMBER} strides?),? (?:at )?(\d.*)", (r"\1 at \2",)),
    (rf"(\d.*?)[:, ]+({_NUMBER} strides?)", (r"\2 at \1",)),
    (rf"(?:an? )?({_PACE}) ({_NUMBER})(?: strides?)?", (r"\2 \1 strides",)),
    (r"bending (?:line )?(?:to the )?(.+)", (r"\1",)),
    (rf"(left|right) ({_NUMBER})", (r"\1, \2 strides",)),
    (r"(left|right) (\d{2,3})", (r"\1 \2°", r"angled \1 \2°")),
    (r"(?:on |at )?(?:angled?|slice[d]?|at|an angle|diagonal(?:ly)?)(?: of)? (\d+) ?°?",
     (r"angled left \1°", r"angled right \1°")),
    (r"(?:on |at )?(?:an )?(?:angled?|slice[d]?|diagonal(?:ly)?|oblique)",
     ("angled left 20°", "angled right 20°")),
    (r"(?:slice[d]?|angled?|on an angle|at an angle) (?:to the )?(left|right)", (r"angled \1 "
    r"20°",)),
    (r"angled? (left|right) (\d+)", (r"angled \1 \2°",)),
    (r"(\d+) ?°? (?:to the )?(left|right)", (r"angled \1° \2",)),
    (r"l", ("left",)), (r"r", ("right",)),
    (r"(left|right) (walk|trot|canter)", (r"\2, \1 lead",)),
    (r"(walk|trot|canter)(?: on)?(?: the)? (left|right)(?: leg| hand)?", (r"\1, \2 lead",)),
    (r"(?:(walk|trot|canter) )lead (left|right)", (r"\1, \2 lead",)),
    (r"(?:from|off|lead|on) ?(?:the )?(left|right)(?: leg| hand)?", (r"\1 lead", r"along \1")),
    (r"(left|right)(?: leg| hand| rein)?",
     (r"\1", r"land on the \1 lead", r"angled \1 20°", r"\1 lead", r"circle \1")),
    (r"lands? (?:on )?(?:the )?(left|right)(?: leg)?", (r"land on the \1 lead",)),
    (r"(?:inside|inner|correct|true|right|outside) (?:lead|leg)", ("left lead", "right lead")),
    (r"turn (left|right)", (r"circle \1", r"along \1")),
    (r"(?:a )?circle (\d.*?) (?:to the )?(left|right)", (r"circle \2 \1",)),
    (r"(?:a )?(?:large |big |small )?circle (left|right) (\d+)", (r"circle \1 \2 m",)),
    (r"(?:a )?(?:large |big )circle (left|right)", (r"circle \1 20 m",)),
    (r"(?:a )?small circle (left|right)", (r"circle \1 10 m",)),
    (rf"(?:({_GAIT})[ ,]+)?(?:on )?(?:an? )?(\d+ ?m)(?:et(?:er|re)s?)? circle",
     (r"\1, circle left \2", r"\1, circle right \2")),
    (rf"(?:({_GAIT})[ ,]+)?(?:on )?(?:an? )?circle", (r"\1, circle left", r"\1, circle right")),
    (r"(?:long|short|wide|tight|sharp|inside|outside|sweeping|slow) (left|right)", (r"\1",)),
    (r"(left|right) (?:around|round|past|behind|before|in front of|to|over) .+", (r"\1",)),
    (r"(left|right) \d+ ?°?", (r"\1",)),
    (rf"(?:an? )?({_NUMBER}) (?:steps? (?:of )?(walk|trot)|(walk|trot)(?: steps?)?)",
     (r"\2\3 \1 steps in the middle",)),
    (rf"({_NUMBER}) canter", (r"\1 strides",)),
    (rf"(walk|trot|halt)(?: {_NUMBER} ?(?:m|steps|seconds)?)? (?:at|over|near|by|for) .+",
     (r"\1 in the middle",)),
    (r"halt", ("walk",)),
    (r"reversed?|in reverse|the wrong way(?: round)?|back to front", ("from behind",)),
    (r"(?:lead )?changes?(?: lead)?|change of lead|new lead", ("flying change", "simple change")),
    (r"(?:walk|trot|canter) (?:a )?half halt|half[ -]halt", ("canter",)),
)  # fmt: skip
"""Clauses of a ride."""

LINES: tuple[Rule, ...] = (
    (r"(?:down |along )?(?:the )?(?:middle|centre)(?: of .+)?", ("centre line",)),
    (r"(?:the )?(centre line|quarter line|diagonal) (?:at|by|near|in) .+", (r"\1",)),
    (rf"{_FROM_SIDE}(.+)", (r"\1 in from \2",)),
    (r"(?:the )?(?:3/4|three[ -]?quarters?)[ -]?line", ("quarter line",)),
    (r"(?:the )?quarter line (?:on |by |at |to )?(?:the )?(.+)", (r"quarter line near \1",)),
    (r"(?:(?:along|down|on|across) )?(?:an? |the )?diagonals?(?: lines?)?", ("diagonal",)),
    (r"(?:(?:along|on) )?(?:the )?(short )?cent(?:er|re)[ -]?lines?", (r"\1centre line",)),
    (r"(?:(?:along|down|on) )?(?:an? |the )?quarter[ -]?lines?", ("quarter line",)),
    (r"(?:(?:along|down|on|around|round|by|near|beside|next to|close to|against) )?(?:the )?"
     r"(left|right|top|bottom)(?:[ -]?hand)?(?: long| short)?(?: side| wall| rail| track)?",
     (r"5 m in from \1",)),
    (r"(?:the )?(?:long side|(?:second|inside|outside|inner) track|rail|track|wall|fence line)",
     ("5 m in from bottom",)),
    (r"(?:from |between )?(\w+) ?(?:-|–|to|and) ?(\w+)", (r"line \1 to \2",)),
)  # fmt: skip
"""Lines in the arena that a fence stands on."""

PLACES: tuple[Rule, ...] = (
    (rf"({_NUMBER}) (beyond|after|past) (.+)", (r"\1 strides \2 \3",)),
    (r"(\d+) (beyond|after|past) (.+)", (r"\1' \2 \3", r"\1 m \2 \3")),
    (r"(.+?) (?:before|in front of|ahead of) (.+)", (r"\1 beyond \2 from behind",)),
    (r"(?:beyond|after|past|behind) (.+)", (r"5 strides beyond \1",)),
    (r"([a-z][\w -]*?),? (\d.*|" + _NUMBER + r" strides?)", (r"\2 beyond \1",)),
)
"""Places of a fence told from another."""

MOVES: tuple[Rule, ...] = (
    (r"(?:move )?(.+?) (?:by )?(\d.*?) (?:to |towards )?(?:the |its )?(left|right|forward|back)"
     r"(?:wards?|s)?", (r"\1 \2 \3", r"\1 \2 steps \3", r"\1 \2 m \3")),
    (r"(?:move )?(.+?) (?:to )?(?:the )?(left|right|forward|back)(?:wards?|s)?(?: by)? (\d.*)",
     (r"\1 \3 \2", r"\1 \3 steps \2", r"\1 \3 m \2")),
    (r"(?:move )?(.+?) (?:by )?(\d.*?) (?:further|farther|ahead|up|on|away)",
     (r"\1 \2 forward", r"\1 \2 m forward")),
    (r"(?:move )?(.+?) (?:by )?(\d.*?) (?:down|nearer|closer)", (r"\1 \2 back", r"\1 \2 m back")),
)  # fmt: skip
"""Fences moved from where they stand."""

_LENGTH = r"\d[^a-z]*(?:['\"]|(?:feet|ft|cm|m|in)\b)[^a-z ]*"
FENCES: tuple[Rule, ...] = (
    (rf"(.+?),? (?:of |height |high )({_LENGTH})(?: high)?(,.*)?", (r"\1 \2\3",)),
    (rf"(.+?)[,:] ({_LENGTH})(,.*)?", (r"\1 \2\3",)),
    (
        rf"(.+?) ({_LENGTH})(?: high)?(?: and|,)? (?:spread |wide )?({_LENGTH})(?: wide| "
        rf"spread)?(,.*)?",
        (r"\1 \2 x \3\4",),
    ),
    (
        rf"({_LENGTH})(?: high)? (.+?) (?:spread |wide )?({_LENGTH})(?: wide| spread)?(,.*)?",
        (r"\2 \1 x \3\4",),
    ),
    (
        rf"({_NUMBER}) (.*?poles|cavaletti)(?: at| with| every| spaced)? ({_LENGTH})(?: "
        rf"spacing)?(,.*)?",
        (r"\1 \2, \3 apart\4",),
    ),
    (rf"(.*?poles|cavaletti) x ?({_NUMBER})(,.*)?", ("\\2 \\1, 4'6\" apart\\3",)),
    (r"oxer, (square|ascending|descending)(,.*)?", (r"\1 oxer\2",)),
)
"""Fences in words."""

_SHAPE = r"(circle|box|serpentine|fan)"
ARRANGED: tuple[Rule, ...] = (
    (r"(.+?)(?:,| and|, and) (.+?) (?:are |stand )?(?:parallel|alongside each other)",
     (r"\1 parallel to \2",)),
    (r"(.+?) (?:is |stands )?(?:parallel|alongside|beside|next to)(?: with| to)? (.+)",
     (r"\1 parallel to \2",)),
    (r"(.+?) (?:is |stands )?(?:at )?(?:square|perpendicular|90°?|right angles?|at right angles)"
     r"(?: to| with)? (.+)", (r"\1 square to \2",)),
    (r"(.+?)(?:,| and|, and) (.+?) (?:are )?mirror(?:ed|s)?(?: over| in| across)? (.+)",
     (r"\1 mirrors \2 over \3",)),
    (r"(.+?) (?:is )?mirror(?:ed|s)? (.+?) (?:in|across|on|along) (.+)", (r"\1 mirrors \2 over "
    r"\3",)),
    (r"(.+?) (?:on|in|round|around) an? circle (?:of )?(\d+)",
     (r"\1 on a circle \2 m", r"\1 on a circle \2'")),
    (rf"(.+?) (?:(?:on|in|round|around) )?an? (\d.*?)[ -]{_SHAPE}",
     (r"\1 on a \3 \2", r"\1 in a \3 \2")),
    (rf"(.+?) (?:(?:on|in|round|around) )?(?:an? |the )?{_SHAPE}(?: of| with)? (\d.*)",
     (r"\1 on a \2 \3", r"\1 in a \2 \3")),
    (rf"(?:an? |the )?{_SHAPE}(?: of)? (\d.*?) (?:with|of|:|from) (.+)",
     (r"\3 on a \1 \2", r"\3 in a \1 \2")),
    (rf"(?:an? |the )?{_SHAPE}(?: of| with|:)? (.+)", (r"\2 on a \1", r"\2 in a \1")),
    (rf"(.+?),? (?:(?:on|in|round|around|as) )?(?:an? |the )?{_SHAPE}",
     (r"\1 on a \2", r"\1 in a \2")),
    (r"(.+?) (?:on|along) (?:an? |the )?(?:outside line|long side|rail)s?(?: by| on| at)?"
     r" (?:the )?(left|right|top|bottom)", (r"\1 on an outside line by \2",)),
    (r"(.+?) (?:on|along) (?:an? |the )?(left|right|top|bottom)(?: side| rail| wall)?",
     (r"\1 on an outside line by \2",)),
    (r"(.+?) (?:on|along) (?:an? |the )?(?:outside line|long side|rail|outside|outside track)",
     (r"\1 on an outside line",)),
    (r"(.+?),? (?:across|over|along|on) (?:an? |the )?diagonals?", (r"\1 on a diagonal",)),
    (r"(.+?) ?- ?(.+?) as far as (.+?) ?- ?(.+)", (r"\1 to \2 as far as \3 to \4",)),
)  # fmt: skip
"""How fences stand to each other."""

_FEET = "\\1'\\2\""
LENGTHS: tuple[Rule, ...] = (
    (r"(\d+)[ -](\d{1,2})", (_FEET,)),
    (r"(\d+) ?(?:'|ft|feet)[ -]*(\d{1,2}) ?(?:\"|in(?:ch(?:es)?)?)?", (_FEET,)),
    (r"(\S+?)(?:-| to | - | or )\S.*", (r"\1",)),
)  # fmt: skip
"""Lengths."""


def put_plainly(text: str) -> str:
    """`text` with words that mean the same wherever they stand put as the format has them."""
    for pattern, instead in PLAINLY:
        text = re.sub(pattern, instead, text, flags=re.IGNORECASE)
    return text.strip(" ,")


def meant(
    text: str, rules: Sequence[Rule], understood: Callable[[str], bool], digits: bool = False
) -> str:
    """``write `5 strides` `` where `text` in other words is `understood`; else nothing.

    With `digits` numbers in words count as digits; names of fences may be such words.
    """
    plain = put_plainly(in_digits(text) if digits else text)
    if plain != text and understood(plain):
        return f"write `{plain}`"
    for pattern, instead in rules:
        match = re.fullmatch(pattern, plain, re.IGNORECASE)
        tried = (match.expand(words).strip(" ,") for words in instead) if match else ()
        fits = [words for words in tried if words != text and understood(words)]
        if fits:
            return "write " + " or ".join(f"`{words}`" for words in fits[:MOST_OFFERED])
    return ""


def length_meant(text: str) -> str:
    """What to write for a length in other words; else nothing."""
    return meant(text, LENGTHS, reads_as_length, digits=True)


def in_digits(text: str) -> str:
    """`text` with its small numbers in digits."""
    for word, count in NUMBER_WORDS.items():
        if count:
            text = re.sub(rf"\b{word}\b", str(count), text, flags=re.IGNORECASE)
    return text


def reads_as_length(text: str) -> bool:
    """Whether `text` is a length with its unit."""
    try:
        parse_length(text)
    except UnitError:
        return False
    return True
