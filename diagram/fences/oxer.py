"""Oxer: two verticals with a spread between, level on top (square).

A square oxer with a ground line on each side may be jumped either way; the back pole always
lies in safety cups, and with it jumped both ways, both do.
"""

from diagram.fences.kind import Kind, Measures, Parts, across, filler_box, ground_lines


def _build(m: Measures) -> Parts:
    front, back = -m.spread_m / 2, m.spread_m / 2
    bars = (
        across("pole", front, m.width_m, m.front_m),
        across("pole", back, m.width_m, m.height_m),
        *ground_lines(m, front, back),
    )
    cups = (front, back) if m.ground_line == "both sides" else (back,)
    return Parts(bars, filler_box(m, front, 0.4), planes=(front, back), safety_cups=cups)


KIND = Kind(
    name="oxer",
    facts="square oxer",
    build=_build,
    measures=frozenset({"height", "front", "spread", "filler", "poles", "ground line"}),
    also=("square oxer",),
    seen="Two planes; the spread between them is to scale.",
)
