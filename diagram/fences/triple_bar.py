"""Triple bar: three planes rising away from the horse. Jumped one way only."""

from diagram.fences.kind import Kind, Measures, Parts, across, filler_box, ground_lines


def _build(m: Measures) -> Parts:
    front, back = -m.spread_m / 2, m.spread_m / 2
    middle = (m.front_m + m.height_m) / 2
    bars = (
        across("low pole", front, m.width_m, m.front_m),
        across("low pole", 0.0, m.width_m, middle),
        across("pole", back, m.width_m, m.height_m),
        *ground_lines(m, front, back),
    )
    planes = (front, 0.0, back)
    return Parts(bars, filler_box(m, front, 0.4), planes=planes, safety_cups=(back,))


KIND = Kind(
    name="triple bar",
    facts="triple bar",
    build=_build,
    measures=frozenset({"height", "front", "spread", "filler", "poles", "ground line"}),
    front=0.5,
    seen="Three planes, each higher. The dart points the only way to jump it.",
)
