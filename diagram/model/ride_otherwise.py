"""What riders say where the tables of phrases have no word for it, and what to write.

Patterns of a clause, or of a whole phrase, under which its hint stands.
"""

from __future__ import annotations

_NO_GALLOP = "nothing is galloped here; "
_REIN = (
    r"the rein is that of the way there: write `- turn: \g<side>` before the jump; of the lead to "
    r"land on, `land on the \g<side> lead`"
)
START_OTHERWISE = {
    r"\bgallop": f"{_NO_GALLOP}write `- start: canter`",
    r"\b(?:from|at|by|near) (?:the )?(?!gate\b|corner\b|left\b|right\b)\w+$": "a ride comes along "
    "a side, from the gate or out of a corner: write `- start: canter, along left`; or it comes "
    "off a circle near a mark: `- start: canter, circle left near centre`",
}
JUMP_OTHERWISE = {
    r"\b(?:off|on|from) (?:the )?(?P<side>left|right) (?:rein|hand|lead)\b": _REIN,
    r"\bfrom (?:the )?(?P<side>left|right)\b(?: to (?:the )?(?:left|right)\b)?": "write `from "
    r"behind` for the other side; a fence met at an angle is `angled \g<side> 20°`",
    r"^(?:in |at )?(?:the )?(?P<gait>walk|trot|canter)$": "the gait is said on the way there: "
    r"`- turn: left, \g<gait>`, or at the start: `- start: \g<gait>`",
    r"^(?:twice|again|x ?\d|\d ?(?:x|times))\b": "each time is a step of its own, with the way "
    "back "
    "to it before: `- turn: left`, `- jump: birch`",
    r"^straight$": "leave it out: a fence is met straight where no angle is said",
    r"\d ?(?:'|\"|cm\b|m\b|ft\b|in\b)": "say it of the fence, under fences: `birch: vertical "
    "2'6\"`",
    r"^(?:and|then|to|&|\+) ": "each fence is a step of its own, with the way between: `- jump: "
    "birch`"
    ", `- line: 5 strides`, `- jump: hazel`",
}
_OF_THE_JUMP = r"say it of the jump: `- jump: birch, land on the \g<lead> lead`"
WAY_OTHERWISE = {
    r"\b(?:timers|finish line)\b": "what comes after the last fence is said at the end: "
    "`- finish: straight on, canter`",
    r"\bgallop": f"{_NO_GALLOP}say it of the strides: `- line: 5 forward strides`",
    r"\b(?P<lead>left|right) (?:lead|leg)\b": _OF_THE_JUMP,
    r"^(?P<count>\d+)[.,]\d+ strides?|\bhalf (?:a )?stride|½": "strides are counted whole; a "
    "length "
    "is said with its unit: `- line: 66'`",
}
LINE_OTHERWISE = {
    **WAY_OTHERWISE,
    r"(?P<count>\d+ strides?)\b.*\b(?P<side>left|right)\b": r"what goes to a hand is no straight "
    r"line: write `- bend: \g<side>, \g<count>`",
    r"\b(?P<side>left|right)\b": r"what goes to a hand is no straight line: write `- bend: "
    r"\g<side>, "
    r"6 strides`, or `- turn: \g<side>`",
}
TURN_OTHERWISE = {
    **WAY_OTHERWISE,
    r"\b(?:short|tight|sharp) (?P<side>left|right)\b|\b(?P<other>left|right),? "
    r"(?:short|tight|sharp)\b": r"write `- rollback: \g<side>\g<other>`",
    r"^(?:short|tight|sharp)(?:er|est)?$": "leave it out: a turn is as wide as it has room, a "
    "rollback "
    "as tight as it can be, `- rollback: left`",
    r"^(?:roll ?)?back(?: round)?$": "write `- rollback: left`, or right",
    r"^(?P<count>\d+ strides?)$": r"a turn is as long as the arena lets it be; with its strides "
    r"said "
    r"it is `- bend: left, \g<count>`",
    r"^(?P<side>left|right),? \d{3} ?°?$": r"a turn has no angle, it goes round to the next fence: "
    r"write `- turn: \g<side>`",
    r"^(?P<side>left|right),? (?P<angle>\d+) ?°?$": r"a turn has no angle, it goes round to the "
    r"next "
    r"fence: write `- turn: \g<side>`; a bend has one, `- bend: \g<side> \g<angle>°, 6 strides`",
}
_END = "an end comes where the way there leads; "
_GAIT = r"(?P<gait>walk|trot|halt|canter)"
FINISH_OTHERWISE = {
    r"\bgallop": f"{_NO_GALLOP}write `- finish: straight on, canter`",
    r"\b(?:timers|finish line|flags)\b": "write `- finish: straight on, canter`",
    rf"^{_GAIT} (?:at|near|by|in|on|to) (?:the )?(?P<place>[^,]+)$": f"{_END}"
    r"write `- finish: \g<gait> on the line`; a mark is said of a circle, `- finish: circle left "
    r"at \g<place>, \g<gait>`, and a side is ridden along, `- finish: along left, \g<gait>`",
    rf"^{_GAIT} (?:(?:after|for) )?\d+ ?(?:steps?|strides?|seconds?|s|m|ft|')$": r"how long is not "
    r"said of an end: write `- finish: straight on, \g<gait>`",
    r"^(?:after )?\d+ strides?\b": "how far is not said of an end: write `- finish: straight "
    "on, walk`",
    r"\b(?:leave|out|exit|away|home|gate)\b": "write `- finish: straight on, walk`; out of the "
    "ring is not drawn",
    r"\b(?:wall|fence|rail|side|end|corner)\b": "write `- finish: straight on, walk`, or along "
    "a side: "
    "`- finish: along left, walk`",
    r"\bstrides?\b": "how far is not said of an end: write `- finish: straight on, walk`",
}
ARRANGED_OTHERWISE = {
    r"\bfigure (?:of )?(?:eight|8)\b": "a figure of eight is how fences are ridden: `ride:` "
    "says it, "
    "and they stand `birch on a diagonal`, or `birch, hazel on a circle`",
    r"\bon (?:the )?(?P<line>(?:short )?centre line|quarter line)\b": "say it of each of the "
    "fences: "
    r"`birch: vertical, on \g<line>`",
    r"\bin (?:a |one )?(?:straight )?(?:line|row)\b": "say how far each is beyond the other: "
    "`hazel: vertical, 5 strides beyond birch`, or let a step do it, `- line: 5 strides`",
    r"\bin (?:the )?(?:middle|corner)\b|\bat [A-Z]\b": "a place is said of the fence: `birch: "
    "vertical, "
    "on centre line`",
}
