"""Placing pole: a pole on the ground that brings the horse to the right spot for a fence.

It belongs to the fence behind it; after a fence it is not for novices.
"""

from diagram.fences.kind import Kind, Measures, Parts, across


def _build(m: Measures) -> Parts:
    return Parts((across("pole", 0.0, m.width_m, 0.0),))


KIND = Kind(
    name="placing pole",
    facts="placing pole",
    build=_build,
    measures=frozenset({"poles"}),
    places_only=True,
)
