"""Wall: a vertical filled with solid blocks, a pole on top. Looks the same from both sides."""

from functools import partial

from diagram.fences.kind import Kind, one_plane

KIND = Kind(
    name="wall",
    facts="wall",
    build=partial(one_plane, "pole", 0.6),
    measures=frozenset({"height", "poles", "ground line"}),
    filler="wall",
    seen="A solid body under the poles, shaded.",
)
