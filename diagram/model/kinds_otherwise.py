"""What people write as the kind of a fence that is none: which kind, or which other key, is meant.

Fences are named by riders for their look (`skinny`), for what stands under them (`with flower
boxes`) or for what they are together (`in and out`): here those are a key beside the kind, or a
kind with elements.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import Any

from diagram.diagnostics import near
from diagram.model.fence_words import TOGETHER, fence_in_words
from diagram.model.phrases import PhraseError

_THREE = (
    "three fences with strides between are a treble: "
    '`{kind: treble, elements: [vertical, "vertical, after 1 stride", "oxer, after 2 strides"]}`; '
    "one wide fence of three poles is a triple bar: `{kind: triple bar}`"
)
_BOUNCE = (
    "fences a bounce apart are elements: "
    '`{kind: combination, elements: [vertical, "vertical, after bounce"]}`'
)
_NARROW = "a narrow fence has short poles: `{kind: vertical, poles: 6'}`"
_SOLID = "write the solid fence that is nearest, and keep the name: `{kind: roll-top}`, or wall"
_ROW = "poles in a row are said in words: `four trot poles, 4'6\" apart`"
KINDS_OTHERWISE: dict[str, str] = {
    **dict.fromkeys(("triple", "three in a row"), _THREE),
    **dict.fromkeys(("in and out", "in out", "two in a row", "combo", "related line"), TOGETHER),
    "bounce": _BOUNCE,
    **dict.fromkeys(("skinny", "narrow", "narrow fence", "stile"), _NARROW),
    **dict.fromkeys(("x", "cross", "cross poles", "crosspole", "x rail", "cross pole fence",
                     "crossed poles"), "write `{kind: cross-rail}`"),
    **dict.fromkeys(("coop", "chicken coop", "barrel", "barrels", "log", "logs"), _SOLID),
    **dict.fromkeys(("upright", "straight", "single rail", "rails", "post and rails"),
                    "write `{kind: vertical}`"),
    **dict.fromkeys(("spread", "parallel", "parallels", "parallel bars", "square parallel"),
                    "write `{kind: oxer}`, with its spread: if you know it"),
    **dict.fromkeys(("water", "water jump", "water tray"), "write `{kind: liverpool}`: a spread of "
                    "water with no fence over it is not known here"),
    **dict.fromkeys(("ground line", "groundline", "pole in front"), "the ground line is a key of "
                    "its own: `{kind: vertical, ground line: none}`, or front, or both sides"),
    **dict.fromkeys(("1 stride", "one stride", "2 strides", "two strides"), TOGETHER),
    "hedge": "write `{kind: brush}`",
    **dict.fromkeys(("trot poles", "trotting poles", "canter poles", "poles", "walk poles"), _ROW),
    **dict.fromkeys(("box", "flower box", "flower boxes", "filler"), "what stands under the poles "
                    "is its filler: `{kind: vertical, filler: flower boxes}`"),
}  # fmt: skip
"""Words for a fence that are no kind here, as riders say them, in small letters."""

_ARTICLE = re.compile(r"^(?:an?|the) ", re.IGNORECASE)
_MORE = re.compile(r" (?=(?:after|facing|on|at|with|raised|front|filler|in) )", re.IGNORECASE)
_FEET_ALONE = re.compile(r"\d+'\d+")
_UNDER = re.compile(r"^(?:with|over) (?:an? |the )?(?P<filler>.+)$", re.IGNORECASE)


def kind_hint(word: str, kinds: Collection[str], block: bool, element: bool) -> str:
    """What to write for a `word` that is none of the `kinds`; `block` where it stands under
    ``kind:``, and not in a fence said in words; `element` in a combination."""
    plainly = " ".join(_ARTICLE.sub("", word.strip()).lower().replace("-", " ").split())
    if hint := KINDS_OTHERWISE.get(plainly):
        return hint
    said = _spelled_out(word.strip(), kinds)
    if "after" in said and not element:
        return (
            f"write `{said['kind']}, {said['after']} beyond birch`, the fence that it comes after"
        )
    if said:
        return f"write `{_in_keys(said) if block else _in_words(said)}`"
    close = near(word.lower(), kinds)
    known = not close.startswith("did you mean")
    hint = next((h for w, h in KINDS_OTHERWISE.items() if re.search(rf"\b{w}\b", plainly)), "")
    return hint if known and hint and len(plainly) > 1 else close


def _spelled_out(text: str, kinds: Collection[str]) -> dict[str, Any]:
    """The keys of a fence in words that lacks a comma, or names what is under it."""
    head, *more = _MORE.split(text)
    try:
        said = fence_in_words(head)
        if _FEET_ALONE.fullmatch(said.get("height", "")):
            said["height"] += '"'
        for clause in more:
            under = _UNDER.fullmatch(clause)
            words = f"filler {under['filler']}" if under else clause
            said |= {
                k: v for k, v in fence_in_words(f"fence, {words}", True).items() if k != "kind"
            }
    except PhraseError:
        return {}
    return said if said["kind"] in kinds and len(said) > 1 else {}


def _in_keys(said: dict[str, Any]) -> str:
    return "{" + ", ".join(f"{key}: {value}" for key, value in said.items()) + "}"


def _in_words(said: dict[str, Any]) -> str:
    rest = dict(said)
    height, spread = rest.pop("height", None), rest.pop("spread", None)
    head = " x ".join(size for size in (height, spread) if size)
    more = [value if key == "placed" else f"{key} {value}" for key, value in rest.items()
            if key != "kind"]  # fmt: skip
    return ", ".join([f"{said['kind']} {head}".strip(), *more])
