"""What every constraint knows of the file, and of mirrors."""

from diagram.geometry.pose import Point

Path = tuple[str | int, ...]


def reflected(at: Point, total: float) -> Point:
    """A point in the mirror half way up, `total` metres being its height and that of its image."""
    return at[0], total - at[1]
