"""Vertical: poles one above the other in a single plane.

May be jumped from either side when it has a ground line on each.
"""

from functools import partial

from diagram.fences.kind import Kind, one_plane

KIND = Kind(
    name="vertical",
    facts="vertical",
    build=partial(one_plane, "pole", 0.4),
    measures=frozenset({"height", "filler", "poles", "ground line"}),
    seen="One plane of poles between two standards; their feet reach along the track.",
)
