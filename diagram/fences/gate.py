"""Gate: a vertical with a hanging gate in flat cups. Jumped either way."""

from functools import partial

from diagram.fences.kind import Kind, one_plane

KIND = Kind(
    name="gate",
    facts="gate",
    build=partial(one_plane, "plank", 0.2),
    measures=frozenset({"height", "poles", "ground line"}),
    filler="gate",
    seen="A solid body under the poles, shaded, thinner than a wall.",
)
