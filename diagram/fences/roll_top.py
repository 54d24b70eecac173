"""Roll-top: half a barrel of boards with a pole over it. Looks the same from both sides."""

from diagram.fences.kind import Kind, Measures, Parts, across, filler_box, ground_lines


def _build(m: Measures) -> Parts:
    bars = (across("pole", 0.0, m.width_m, m.height_m), *ground_lines(m, 0.0, 0.0))
    return Parts(bars, filler_box(m, 0.0, 0.8), planes=(0.0,))


KIND = Kind(
    name="roll-top",
    facts="roll-top",
    build=_build,
    measures=frozenset({"height", "poles", "ground line"}),
    also=("rolltop", "roll top"),
    filler="roll-top",
    seen="A rounded body under one pole, shaded, deeper than a wall.",
)
