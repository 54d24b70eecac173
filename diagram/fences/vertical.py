"""Vertical: poles one above the other in a single plane.

May be jumped from either side when it has a ground line on each.
"""

from diagram.fences.kind import Kind, Measures, Parts, across, filler_box, ground_lines


def _build(m: Measures) -> Parts:
    bars = (across("pole", 0.0, m.width_m, m.height_m), *ground_lines(m, 0.0, 0.0))
    return Parts(bars, filler_box(m, 0.0, 0.4), planes=(0.0,))


KIND = Kind(
    name="vertical",
    facts="vertical",
    build=_build,
    measures=frozenset({"height", "filler", "poles", "ground line"}),
    seen="One plane of poles between two standards; their feet reach along the track.",
)
