"""What people write where the format has another word or another place, and what to write."""

from __future__ import annotations

from pydantic import BaseModel

from diagram.model.definition import (
    ArenaWritten,
    BendStep,
    Definition,
    ElementWritten,
    FenceWritten,
    FinishStep,
    HorsesWritten,
    JumpStep,
    LineStep,
    RollbackStep,
    StartStep,
    TurnStep,
)

STEPS_OTHERWISE = {
    "round": "say it of a bend: `- bend: left 90°, 4 strides, round`",
    "walk": "say it of a way: `- line: 10 strides, walk 5 steps in the middle`",
    "halt": "say it of a way, `- line: 10 strides, halt in the middle`, or of the finish",
    "trot": "say it of a way, `- turn: left, trot`, or of the start",
    "canter": "say it of a way, `- turn: left, canter`, or of the start",
    "fence": "write `- jump: birch`",
    "change the rein": "write `- turn: left`, to the new hand; the rein changes with it",
    "change rein": "write `- turn: left`, to the new hand; the rein changes with it",
    "trot over": "write `- jump: birch`; the gait is said before: `- turn: left, trot`",
    "canter over": "write `- jump: birch`; the gait is said before: `- turn: left, canter`",
    "walk over": "write `- jump: birch`; the gait is said before: `- start: walk`",
    **dict.fromkeys(
        ("gallop", "timers", "finish line"),
        "nothing is galloped here; write `- finish: straight on, canter`",
    ),
    **dict.fromkeys(
        ("closing circle", "final circle", "last circle"), "write `- finish: circle right, walk`"
    ),
    **dict.fromkeys(("opening circle", "courtesy circle"), "write `- start: canter, circle left`"),
    "jump": "write `- jump: birch`, with a colon",
    "turn": "write `- turn: left`, with a colon",
    "line": "write `- line: 5 strides`, with a colon",
    "curve": "write `- bend: left, 6 strides`",
    "end": "write `- finish: straight on, walk`",
    "stop": "write `- finish: straight on, halt`",
    "finish": "write `- finish: straight on, walk`",
    "start": "write `- start: canter, left lead`",
    "bend": "write `- bend: left, 6 strides`",
    "rollback": "write `- rollback: left`",
    "roll back": "write `- rollback: left`",
    "circle": "write `- circle: left, 20 m`",
    "phase": "write `- phase: homeward`",
}
"""Steps that are said elsewhere."""

_ROW = "say it of the row, in words: `reed: four trot poles, 4'6\" apart`"
_PLACE = "write at: [18 m, 8 m], along the arena and then across"
_FACING = "write facing: 90°, or facing: left; 0° looks along the arena"
_LEAD = "say it of the jump: `- jump: birch, land on the right lead`"
_BEHIND = "say it of the jump: `- jump: birch from behind`"
_STRIDES = "say it of the way: `- line: 5 strides`, or `- bend: right, 6 strides`"
_GAIT = (
    "say it of the way: `- line: 10 strides, walk 5 steps in the middle`, or `- turn: left, trot`"
)
_WORDS = "write purpose:, or watch: and passed when:"
_FENCE = {
    **dict.fromkeys(("count", "number", "how many", "spacing", "apart", "gap", "distance"), _ROW),
    **dict.fromkeys(("x", "y", "position", "pos", "place", "location"), _PLACE),
    **dict.fromkeys(("direction", "heading", "rotation", "orientation", "angle"), _FACING),
    **dict.fromkeys(("width", "length", "pole length"), "how long its poles are: poles: 12'"),
    **dict.fromkeys(("colour", "color", "colours"), "no colours are drawn; leave it out"),
    **dict.fromkeys(("type", "fence"), "write kind: vertical"),
    **dict.fromkeys(("lead", "land"), _LEAD),
}
_TAUGHT = dict.fromkeys(("purpose", "watch", "passed when"), "say it under `- jump: birch`")
_JUMP = {
    **dict.fromkeys(("land", "landing", "lead"), _LEAD),
    **dict.fromkeys(("angle", "angled", "slice"), "say it behind the name: "
                    "`- jump: birch, angled left 10°`"),
    **dict.fromkeys(("from", "direction", "reverse", "reversed", "backwards", "side"), _BEHIND),
    **dict.fromkeys(("height", "kind", "spread", "at", "facing"), "say it of the fence, under "
                    "fences: `birch: vertical 2'6\"`"),
    **dict.fromkeys(("strides", "distance"), _STRIDES),
    **dict.fromkeys(("trot", "walk", "halt", "canter", "gait", "pace"), _GAIT),
    **dict.fromkeys(("note", "notes", "comment", "text", "tip", "focus", "goal", "aim", "cue"),
                    _WORDS),
}  # fmt: skip
_WAY = {
    **dict.fromkeys(("strides", "distance", "hand", "angle"), _STRIDES),
    **dict.fromkeys(("trot", "walk", "halt", "canter", "gait", "pace"), _GAIT),
    **dict.fromkeys(("lead", "change"), "say it of the way: `- turn: left, simple change`"),
    **dict.fromkeys(("note", "notes", "comment", "text", "tip", "focus", "goal", "aim", "cue"),
                    _WORDS),
}  # fmt: skip
_WHOLE = {
    "name": "write title:",
    "version": "write tapeline: 1",
    **dict.fromkeys(("stride", "strides", "stride length"), "write horses: 12' stride"),
    **dict.fromkeys(("description", "goal", "aim", "about"), "write purpose:"),
    **dict.fromkeys(("horse", "pony", "ponies"), "write horses: large pony"),
    **dict.fromkeys(("ring", "school", "size", "field"), "write arena: 60 x 30 m"),
    **dict.fromkeys(("height", "fence height", "difficulty"), "write level: 2'6\""),
    **dict.fromkeys(("jumps", "course", "steps", "track", "route"), "write ride:, and below it "
                    "`- start: canter`, `- jump: birch`"),
    **dict.fromkeys(("obstacles", "elements"), "write fences:"),
    **dict.fromkeys(("store", "equipment", "material"), "what a yard owns stands in store.yaml "
                    "beside the exercise"),
    **dict.fromkeys(("note", "comment"), _WORDS),
}  # fmt: skip
_ARENA = {
    **dict.fromkeys(("length", "width", "dimensions", "long side", "short side"),
                    "write `arena: {size: 60 x 30 m}`"),
    **dict.fromkeys(("markers", "marks"), "write `arena: {size: 60 x 20 m, letters: yes}`"),
}  # fmt: skip
_HORSES = dict.fromkeys(
    (
        "pony",
        "ponies",
        "horse",
        "horses",
        "small pony",
        "medium pony",
        "large pony",
        "kind",
        "breed",
    ),
    "write the one that the distances are for: `horses: large pony`",
)
KEYS_OTHERWISE: dict[type[BaseModel], dict[str, str]] = {
    Definition: _WHOLE, FenceWritten: _FENCE | _TAUGHT, ElementWritten: _FENCE, JumpStep: _JUMP,
    ArenaWritten: _ARENA, HorsesWritten: _HORSES,
    **dict.fromkeys((StartStep, LineStep, BendStep, TurnStep, RollbackStep, FinishStep), _WAY),
}  # fmt: skip
"""Keys of a block that are called otherwise or said elsewhere."""
