"""Cross-rail: two poles crossed, low in the middle. It brings horse and rider to the centre.

The height is measured at the crossing. From above the poles rest on opposite sides of the
standards, which is how the symbol shows them.
"""

from diagram.fences.kind import Bar, Kind, Measures, Parts, ground_lines


def _build(m: Measures) -> Parts:
    half = m.width_m / 2
    apart = 2 * m.pole_m
    bars = (
        Bar("pole", (-apart, -half), (apart, half), m.height_m),
        Bar("pole", (apart, -half), (-apart, half), m.height_m),
        *ground_lines(m, -apart, apart),
    )
    return Parts(bars, planes=(0.0,))


KIND = Kind(
    name="cross-rail",
    facts="cross-rail",
    build=_build,
    measures=frozenset({"height", "poles", "ground line"}),
    also=("crossrail", "cross-pole", "cross rail"),
    measured="in the middle",
    seen="Two poles that cross in the middle, each high at one end.",
)
