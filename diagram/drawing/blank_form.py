"""An empty form for what was really built: tapes to be read once everything stands."""

from __future__ import annotations

from diagram.drawing.leaf_rows import broken
from diagram.scene import Item, Scene, Stroke, Text
from diagram.stakeout.leaf_words import words_for
from diagram.stakeout.setting import SettingOut
from diagram.style import INK, Pen, points
from diagram.survey.form import form_tapes

TITLE, TEXT, HEAD = points(20), points(10.5), points(8.5)
ROW, TOP, GAP = 8.0, 24.0, 8.0
RULE, THIN = Pen(INK, 0.7), Pen(INK, 0.25)
SAID = (
    "Read as many as you can, in any order; leave out what is in the way. Left and right are as "
    "the horse sees them when it first jumps the fence. What the tapes should read is on the other "
    "pages: do not look."
)
READS = {"feet": "reads (feet, inches)", "metres": "reads (m)", "both": "reads (write the unit)"}


def blank_form(setting: SettingOut, width: float, height: float) -> tuple[Scene, ...]:
    """Pages of `width` by `height` mm with an empty place for each reading, in two columns."""
    crew = setting.crew
    pairs = form_tapes(setting.plan, crew.tape_length, crew.tape_error)
    words = words_for(setting.plan, setting.leaf, setting.crew)
    each = max(1, int((height - TOP - 8.0) / ROW))
    half = (width - GAP) / 2
    pages: list[Scene] = []
    while pairs or not pages:
        marks: list[Item] = [
            Text((0.0, 5.6), f"As built: {setting.plan.definition.title}", TITLE, "bold")
        ]
        marks += [
            Text((0.0, 11.2 + 4.4 * n), line, TEXT)
            for n, line in enumerate(broken(SAID, TEXT, width))
        ]
        for left in (0.0, half + GAP):
            y = TOP
            heads = (("from", 0.0), ("to", 0.44), (READS[setting.crew.units], 0.72))
            marks += [Text((left + s * half, y - 1.6), h, HEAD, "semibold") for h, s in heads]
            marks.append(Stroke(((left, y), (left + half, y)), RULE))
            for start, end in pairs[:each]:
                for text, share in ((words.mark(start), 0.0), (end, 0.44)):
                    marks.append(Text((left + share * half, y + 5.4), text, TEXT))
                y += ROW
                marks.append(Stroke(((left, y), (left + half, y)), THIN))
            marks.append(Stroke(((left + 0.71 * half, TOP), (left + 0.71 * half, y)), THIN))
            pairs = pairs[each:]
        title = f"As built: {setting.plan.definition.title}"
        pages.append(Scene(width, height, tuple(marks), title, "An empty form for tapes.", "en"))
    return tuple(pages)
