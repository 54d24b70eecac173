"""Roll-top: half a barrel of boards with a pole over it. Looks the same from both sides."""

from functools import partial

from diagram.fences.kind import Kind, one_plane

KIND = Kind(
    name="roll-top",
    facts="roll-top",
    build=partial(one_plane, "pole", 0.8),
    measures=frozenset({"height", "poles", "ground line"}),
    also=("rolltop", "roll top"),
    filler="roll-top",
    seen="A rounded body under one pole, shaded, deeper than a wall.",
)
