"""Ascending oxer: the front pole lower than the back one, by two holes unless said.

From behind it hides its far pole and shows a false ground line, so it is jumped one way only.
"""

from diagram.fences.kind import Kind, Measures, Parts, across, filler_box, ground_lines


def _build(m: Measures) -> Parts:
    front, back = -m.spread_m / 2, m.spread_m / 2
    bars = (
        across("low pole", front, m.width_m, m.front_m),
        across("pole", back, m.width_m, m.height_m),
        *ground_lines(m, front, back),
    )
    return Parts(bars, filler_box(m, front, 0.4), planes=(front, back), safety_cups=(back,))


KIND = Kind(
    name="ascending oxer",
    facts="ascending oxer",
    build=_build,
    measures=frozenset({"height", "front", "spread", "filler", "poles", "ground line"}),
    seen="As an oxer, higher behind. The dart points the only way to jump it.",
)
