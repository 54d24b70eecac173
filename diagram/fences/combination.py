"""Combination: two or more elements in one line with their distances between.

A double, a treble, or a gymnastic grid. It has no parts of its own: each element is a fence.
"""

from diagram.fences.kind import Kind, Measures, Parts


def _build(_: Measures) -> Parts:
    return Parts(())


KIND = Kind(
    name="combination",
    facts="vertical",
    build=_build,
    measures=frozenset({"elements", "poles"}),
    also=("grid", "double", "treble"),
    composed=True,
)
