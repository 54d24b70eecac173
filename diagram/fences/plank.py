"""Plank: a vertical with a plank on top, in flat cups. Easily knocked; jumped either way."""

from functools import partial

from diagram.fences.kind import Kind, one_plane

KIND = Kind(
    name="plank",
    facts="planks",
    build=partial(one_plane, "plank", 0.4),
    measures=frozenset({"height", "filler", "poles", "ground line"}),
    seen="As a vertical, the plank drawn thicker than a pole.",
)
