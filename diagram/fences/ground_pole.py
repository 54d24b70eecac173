"""Ground pole: a pole flat on the ground, in canter or trot. No standards."""

from diagram.fences.kind import Kind, Measures, Parts, across


def _build(m: Measures) -> Parts:
    return Parts((across("pole", 0.0, m.width_m, m.height_m),))


KIND = Kind(
    name="ground pole",
    facts="ground pole",
    build=_build,
    measures=frozenset({"poles"}),
    also=("pole", "pole on the ground"),
    seen="A pole on the ground: no standards.",
)
