"""A drawing with every kind of mark, and where each mark shows."""

from __future__ import annotations

from diagram.scene import Disc, Fill, Group, Scene, Stroke, Text
from diagram.style import Pen

PIXELS_PER_MM = 10
"""Of all pictures in these tests: 254 dots per inch."""

BLUE, RED, GREY, BLACK, WHITE = "#0072b2", "#d55e00", "#d9d9d9", "#000000", "#ffffff"

# A star drawn in one go: its middle is wound about twice.
STAR = ((50.0, 5.0), (55.0, 19.0), (43.0, 10.0), (57.0, 10.0), (45.0, 19.0))

EVERY_MARK = Scene(
    60,
    60,
    (
        Stroke(((5, 5), (25, 5)), Pen(BLUE, 1)),
        Stroke(((5, 10), (25, 10)), Pen(RED, 1, (4, 2))),
        Stroke(((10, 15), (20, 15)), Pen(BLACK, 4, (), "round")),
        Stroke(((30, 5), (38, 5), (38, 15)), Pen(BLACK, 2), closed=True, sized="ground"),
        Fill(STAR, GREY, sized="ground"),
        Fill(((5, 20), (15, 20), (15, 30), (5, 30)), GREY, Pen(RED, 1)),
        Disc((25, 25), 4, BLUE, Pen(BLACK, 1)),
        Disc((37, 25), 4, None, Pen(BLACK, 1)),
        Text((5, 45), "■", 10, "bold"),
        Text((40, 45), "■", 10, "bold", "middle"),
        Text((58, 45), "■", 10, "bold", "end", 0, RED),
        Text((30, 58), "■", 10, "bold", angle=90),
        Group("deeper", (Group("still", (Disc((50, 25), 2, RED),)),), "Two groups, one disc"),
        Stroke(((55, 55), (75, 55)), Pen(BLACK, 1)),
    ),
    title="Every mark",
    description="Each kind of mark once.",
    scale_denominator=200,
)

PROBES = {
    "stroke": (15, 5, BLUE),
    "a stroke ends where its last point is": (25.5, 5, WHITE),
    "dash": (7, 10, RED),
    "gap": (10, 10, WHITE),
    "next dash": (13, 10, RED),
    "round end": (8.5, 15, BLACK),
    "round end is round": (8.3, 13.3, WHITE),
    "closing line": (34, 10, BLACK),
    "round corner": (38.5, 4.5, BLACK),
    "corner is round": (38.9, 4.1, WHITE),
    "middle of a star": (50, 12, GREY),
    "fill": (10, 25, GREY),
    "outline of a fill": (5, 25, RED),
    "disc": (25, 25, BLUE),
    "outline of a disc": (29, 25, BLACK),
    "hollow disc": (37, 25, WHITE),
    "outline of a hollow disc": (41, 25, BLACK),
    "text from its anchor": (8, 42, BLACK),
    "text about its anchor": (40, 42, BLACK),
    "text up to its anchor": (55, 42, RED),
    "text turned to read upwards": (27, 55, BLACK),
    "nothing to the right of turned text": (33, 55, WHITE),
    "group in a group": (50, 25, RED),
}
"""What is seen where: x and y in mm, and the colour."""
