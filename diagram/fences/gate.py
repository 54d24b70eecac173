"""Gate: a vertical with a hanging gate in flat cups. Jumped either way."""

from diagram.fences.kind import Kind, Measures, Parts, across, filler_box, ground_lines


def _build(m: Measures) -> Parts:
    bars = (across("plank", 0.0, m.width_m, m.height_m), *ground_lines(m, 0.0, 0.0))
    return Parts(bars, filler_box(m, 0.0, 0.2), planes=(0.0,))


KIND = Kind(
    name="gate",
    facts="gate",
    build=_build,
    measures=frozenset({"height", "poles", "ground line"}),
    filler="gate",
    seen="A solid body under the poles, shaded, thinner than a wall.",
)
