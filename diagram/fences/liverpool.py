"""Liverpool: a vertical over a tray of water. Its spread is how wide the water is.

The tray lies half before the pole and half behind it; the ground line lies at its near edge, so
that a horse that looks at the water still has something to judge its take-off by.
"""

from diagram.fences.kind import FillerBox, Kind, Measures, Parts, across, ground_lines


def _build(m: Measures) -> Parts:
    front, back, half = -m.spread_m / 2, m.spread_m / 2, m.width_m / 2
    near = min(front + m.ground_line_m, 0.0)
    bars = (across("pole", 0.0, m.width_m, m.height_m), *ground_lines(m, near, -near))
    tray = FillerBox("water tray", (front, -half), (back, half))
    return Parts(bars, (tray,), planes=(0.0,))


KIND = Kind(
    name="liverpool",
    facts="liverpool",
    build=_build,
    measures=frozenset({"height", "spread", "poles", "ground line"}),
    seen="A vertical; the tray of water under it is shaded, and as wide as it is.",
)
