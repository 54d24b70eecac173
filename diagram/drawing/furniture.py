"""What frames a drawing: its title, its caution, the scale bar."""

from __future__ import annotations

from bisect import bisect_right

from diagram.drawing.frame import Frame
from diagram.planning import Plan
from diagram.scene import Group, Item, Stroke, Text
from diagram.style import (
    LOOKED_UP,
    RULE,
    SHEET_TITLE,
    Weight,
    settable,
    text_width,
)
from diagram.units import FOOT, Units

NO_SUBSTITUTE = "Not a substitute for the qualified person in the ring."
STOPPED = "Do not ride this as it stands."


def cut(text: str, width: float, size: float, weight: Weight = "regular") -> str:
    """`text` as it can be printed in `width` mm, with an ellipsis for what is left off."""
    shown = settable(text).text
    if text_width(shown, size, weight) <= width:
        return shown
    fits = bisect_right(
        range(len(shown)), width, key=lambda n: text_width(f"{shown[:n]}…", size, weight)
    )
    return f"{shown[: max(fits - 1, 0)].rstrip()}…"


def title_cut(plan: Plan, width: float) -> str:
    """The title in `width` mm; of a long one the name of the ride is what stays."""
    if text_width(plan.title, SHEET_TITLE, "bold") <= width or not plan.name:
        return cut(plan.title, width, SHEET_TITLE, "bold")
    ride = f": {plan.name}"
    room = width - text_width(ride, SHEET_TITLE, "bold")
    return cut(plan.definition.title, room, SHEET_TITLE, "bold") + ride


def scale_words(denominator: float, units: Units, metres: int = 10) -> str:
    """``1:300   10 m = 33 ft``."""
    feet = "" if units == "metres" else f" = {metres / FOOT:.0f} ft"
    return f"1:{denominator:g}   {metres} m{feet}"


def scale_line(frame: Frame, right: float, baseline: float, units: Units, stated: float) -> Group:
    """A bar to lay a ruler on, ending at `right`, with the scale in words before it."""
    metres = next((m for m in (10, 5, 20) if 20 <= frame.mm(m) <= 62), 10)
    bar = frame.mm(metres)
    x, y = right - bar, baseline - LOOKED_UP * 0.33
    marks: list[Item] = [Stroke(((x, y), (right, y)), RULE, sized="ground")]
    marks += [Stroke(((at, y - 1.0), (at, y + 1.0)), RULE) for at in (x, right)]
    words = scale_words(stated, units, metres)
    marks.append(Text((x - 2.0, baseline), words, LOOKED_UP, anchor="end"))
    return Group("scale-bar", tuple(marks), f"scale 1:{stated:g}")
