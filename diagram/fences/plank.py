"""Plank: a vertical with a plank on top, in flat cups. Easily knocked; jumped either way."""

from diagram.fences.kind import Kind, Measures, Parts, across, filler_box, ground_lines


def _build(m: Measures) -> Parts:
    bars = (across("plank", 0.0, m.width_m, m.height_m), *ground_lines(m, 0.0, 0.0))
    return Parts(bars, filler_box(m, 0.0, 0.4), planes=(0.0,))


KIND = Kind(
    name="plank",
    facts="planks",
    build=_build,
    measures=frozenset({"height", "filler", "poles", "ground line"}),
    seen="As a vertical, the plank drawn thicker than a pole.",
)
