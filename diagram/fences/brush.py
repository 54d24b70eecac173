"""Brush: a box of brush with a pole over it. Looks the same from both sides."""

from functools import partial

from diagram.fences.kind import Kind, one_plane

KIND = Kind(
    name="brush",
    facts="brush",
    build=partial(one_plane, "pole", 0.5),
    measures=frozenset({"height", "poles", "ground line"}),
    also=("brush box",),
    filler="brush box",
    seen="A box of brush under one pole, shaded.",
)
