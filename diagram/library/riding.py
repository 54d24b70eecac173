"""The ride in words, one text for each of its parts.

What is to stand out is between two pairs of stars: ``canter left, **1 alder** — 4 — **2 heart**``.
"""

from __future__ import annotations

from diagram.drawing.parts import parts_of
from diagram.drawing.ride_words import ride_text
from diagram.planning import Plan


def ride_texts(plan: Plan) -> tuple[tuple[int, str, str], ...]:
    """For each part its number, its name (empty where it has none) and its ride."""
    parts = parts_of(plan)
    out = []
    for part in sorted(set(parts.of_leg)):
        name = parts.names[part] if part < len(parts.names) else ""
        out.append((part, name, " ".join(ride_text(plan, part).split())))
    return tuple(out)
