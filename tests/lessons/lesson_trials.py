"""Places and plans to try lessons on."""

from __future__ import annotations

from diagram.geometry.pose import Pose
from diagram.lessons.spots import Build, SharedSpot

LOW, HIGH = Build("vertical", 600, 0, 2, False), Build("vertical", 800, 0, 2, False)
OXER = Build("oxer", 800, 700, 3, True)

ARENA = "arena: 40 x 80 m\nhorses: horse\nlevel: 2'\n"


def spot(name: str, used: dict[int, Build], blocks: set[int] | None = None) -> SharedSpot:
    """A place with the exercises that use it and those that it is in the way of."""
    names = dict.fromkeys(used, name)
    return SharedSpot(name, Pose(0.0, 0.0, 0.0), used, names, frozenset(blocks or ()))


def text(title: str, fences: str, ride: str, more: str = "") -> str:
    """An exercise in the large ring."""
    steps = "".join(f"  - {step}\n" for step in ride.split("; "))
    return (
        f"tapeline: 1\ntitle: {title}\npurpose: To be put into a lesson.\n{more}{ARENA}"
        f"fences:\n{fences}ride:\n{steps}"
    )


def fence(name: str, x: float, y: float, facing: str = "0°", kind: str = "vertical") -> str:
    return (
        f"  {name}: {{kind: {kind}, at: [{x} m, {y} m], facing: {facing}, "
        "ground line: both sides}\n"
    )
