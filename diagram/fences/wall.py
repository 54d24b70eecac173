"""Wall: a vertical filled with solid blocks, a pole on top. Looks the same from both sides."""

from diagram.fences.kind import Kind, Measures, Parts, across, filler_box, ground_lines


def _build(m: Measures) -> Parts:
    bars = (across("pole", 0.0, m.width_m, m.height_m), *ground_lines(m, 0.0, 0.0))
    return Parts(bars, filler_box(m, 0.0, 0.6), planes=(0.0,))


KIND = Kind(
    name="wall",
    facts="wall",
    build=_build,
    measures=frozenset({"height", "poles", "ground line"}),
    filler="wall",
    seen="A solid body under the poles, shaded.",
)
