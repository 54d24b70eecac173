"""A crew that has nothing but the CSV: feet found again by code of its own.

Nothing here is imported from the package: circles are met by solving for both crossings, and
the words "towards ..." are taken as a crew takes them, by which crossing lies nearer.
"""

from __future__ import annotations

import csv
import io
import math
from typing import Literal

Point = tuple[float, float]
Row = dict[str, str]


def rows(data: bytes) -> list[Row]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8"))))


def of(table: list[Row], record: str) -> list[Row]:
    return [row for row in table if row["record"] == record]


def points(table: list[Row]) -> dict[str, Point]:
    rows = of(table, "point") + of(table, "standing")
    return {row["name"]: (float(row["x_m"]), float(row["y_m"])) for row in rows}


def with_pegs(table: list[Row]) -> dict[str, Point]:
    """The points and the pegs, each peg taped along its side as it reads."""
    marks, stretches = points(table), landmarks(table)
    for row in of(table, "peg"):
        marks[row["name"]] = peg(row, float(row["along_m"]), marks, stretches)
    return marks


def peg(
    row: Row, metres: float, marks: dict[str, Point], stretches: dict[str, tuple[Point, Point]]
) -> Point:
    """Where a peg stands so many metres on from what it is taped from."""
    zero, start = marks[row["from"]], marks[row["along_from"]]
    a, b = stretches[row["along_side"]]
    far = b if math.dist(a, zero) < math.dist(b, zero) else a
    share = metres / math.dist(zero, far)
    return start[0] + share * (far[0] - zero[0]), start[1] + share * (far[1] - zero[1])


def both_crossings(a: Point, from_a: float, b: Point, from_b: float) -> tuple[Point, Point]:
    """Both places where two tapes meet, by the angle at the first from the law of cosines."""
    base = math.hypot(b[0] - a[0], b[1] - a[1])
    cosine = (from_a**2 + base**2 - from_b**2) / (2 * from_a * base)
    toward = math.atan2(b[1] - a[1], b[0] - a[0])
    turn = math.acos(max(-1.0, min(1.0, cosine)))
    one, other = (
        (a[0] + from_a * math.cos(toward + s * turn), a[1] + from_a * math.sin(toward + s * turn))
        for s in (1, -1)
    )
    return one, other


def gap(stretch: tuple[Point, Point], at: Point) -> float:
    """From a place to the nearest point of a stretch of rail."""
    (x, y), (x2, y2) = stretch
    share = ((at[0] - x) * (x2 - x) + (at[1] - y) * (y2 - y)) / ((x2 - x) ** 2 + (y2 - y) ** 2)
    share = max(0.0, min(1.0, share))
    return math.hypot(at[0] - x - share * (x2 - x), at[1] - y - share * (y2 - y))


def landmarks(table: list[Row]) -> dict[str, tuple[Point, Point]]:
    return {
        row["name"]: (
            (float(row["x_m"]), float(row["y_m"])),
            (float(row["x2_m"]), float(row["y2_m"])),
        )
        for row in of(table, "landmark")
    }


def by_tapes(table: list[Row], column: Literal["", "exact_"] = "") -> dict[str, Point]:
    """Every foot from its two tapes, in the order of work; rounded readings or exact ones."""
    known, marks = with_pegs(table), landmarks(table)
    found: dict[str, Point] = {}
    for row in of(table, "foot"):
        ends = {**known, **found}
        crossings = both_crossings(
            ends[row["tape_1_from"]], float(row[f"tape_1_{column}m"]),
            ends[row["tape_2_from"]], float(row[f"tape_2_{column}m"]),
        )  # fmt: skip
        stretch = marks[row["towards"]]
        found[row["name"]] = min(crossings, key=lambda at: gap(stretch, at))
    return found


def by_offset(table: list[Row], column: Literal["", "exact_"] = "") -> dict[str, Point]:
    """Every foot from its side: along it from a corner, then square into the arena."""
    known, marks = points(table), landmarks(table)
    middle = (
        sum(x for x, _ in known.values()) / len(known),
        sum(y for _, y in known.values()) / len(known),
    )
    found: dict[str, Point] = {}
    for row in of(table, "foot"):
        if not row["along_side"]:
            continue
        a, b = marks[row["along_side"]]
        zero = known[row["along_from"]]
        far = b if math.dist(a, zero) < math.dist(b, zero) else a
        length = math.dist(zero, far)
        ux, uy = (far[0] - zero[0]) / length, (far[1] - zero[1]) / length
        nx, ny = -uy, ux
        if (middle[0] - zero[0]) * nx + (middle[1] - zero[1]) * ny < 0:
            nx, ny = -nx, -ny
        t, h = float(row[f"along_{column}m"]), float(row[f"out_{column}m"])
        found[row["name"]] = (zero[0] + t * ux + h * nx, zero[1] + t * uy + h * ny)
    return found


def line_length(line: Row, feet: dict[str, Point]) -> float:
    """Shortest distance between the middles of the rows of standards of two fences."""

    def middles(fence: str) -> list[Point]:
        rows_of: dict[str, list[Point]] = {}
        for name, at in feet.items():
            for side in ("left", "right"):
                if name == f"{fence} {side}" or name.startswith(f"{fence} {side} "):
                    rows_of.setdefault(name.removeprefix(f"{fence} {side}"), []).append(at)
        return [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in rows_of.values()]

    return min(math.dist(p, q) for p in middles(line["from"]) for q in middles(line["to"]))
