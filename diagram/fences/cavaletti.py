"""Cavaletti: a pole raised a hand or two off the ground on blocks that let it roll.

Never one whose pole is fixed to its ends: it does not give.
"""

from diagram.fences.kind import Kind, Measures, Parts, across


def _build(m: Measures) -> Parts:
    return Parts((across("pole", 0.0, m.width_m, m.height_m),), planes=(0.0,))


KIND = Kind(
    name="cavaletti",
    facts="raised pole",
    build=_build,
    measures=frozenset({"height", "poles"}),
    also=("raised pole", "cavalletti"),
    seen="A low pole on its own feet.",
)
