"""A crew that has nothing but the table of the builder's leaf: the fences set by code of its own.

Nothing here is imported from the package. A peg is taped along its side, a foot or a middle is
found where two tapes meet, and a fence is turned until the tapes to its feet read as they should.
"""

from __future__ import annotations

import cmath
import math

import rebuilt
from rebuilt import Point, Row

MIDDLES = {"": "middle", "front": "middle", "middle": "middle row", "back": "back"}
ROWS_BEHIND = {"front": 0.0, "middle": 0.5, "back": 1.0, "": 0.0}


class Crew:
    """What stands so far: marks by name, and the feet of the fences."""

    def __init__(self, table: list[Row], column: str = "reads_m") -> None:
        self.table, self.column = table, column
        self.marks = rebuilt.points(table)
        self.landmarks = rebuilt.landmarks(table)
        self.feet: dict[str, Point] = {}
        for fence in rebuilt.of(table, "fence"):
            rows = [row for row in table if row["order"] == fence["order"] and row is not fence]
            for peg in rows:
                if peg["record"] == "peg":
                    self.peg(peg)
            self.fence(fence, [row for row in rows if row["record"] == "tape"])

    def peg(self, row: Row) -> None:
        metres = float(row["along_m"])
        self.marks[row["name"]] = rebuilt.peg(row, metres, self.marks, self.landmarks)

    def meet(self, one: Row, other: Row) -> Point:
        both = rebuilt.both_crossings(
            self.marks[one["from"]], float(one[self.column]),
            self.marks[other["from"]], float(other[self.column]),
        )  # fmt: skip
        return self.nearer(both, one["towards"])

    def nearer(self, both: tuple[Point, Point], landmark: str) -> Point:
        return min(both, key=lambda at: rebuilt.gap(self.landmarks[landmark], at))

    def fence(self, fence: Row, tapes: list[Row]) -> None:
        poles = float(fence["poles_m"])
        by_word: dict[str, list[Row]] = {}
        for tape in tapes:
            by_word.setdefault(tape["word"], []).append(tape)
        if "line" in by_word:
            left, right = self.by_line(by_word, poles)
        elif len(by_word["square"]) == 2:
            pairs = zip(by_word["out"], by_word["square"], strict=True)
            left, right = (self.meet(one, other) for one, other in pairs)
        else:
            left, right = self.from_the_rail(fence["fence"], by_word)
        self.stand(fence, left, right, poles)

    def from_the_rail(self, name: str, by_word: dict[str, list[Row]]) -> tuple[Point, Point]:
        [square] = by_word["square"]
        [held] = [row for row in by_word["out"] if row["to"] == square["to"]]
        [other] = [row for row in by_word["out"] if row["to"] != square["to"]]
        at, peg = self.meet(held, square), self.marks[held["from"]]
        share = float(other[self.column]) / math.dist(peg, at)
        feet = {
            held["to"]: at,
            other["to"]: (peg[0] + share * (at[0] - peg[0]), peg[1] + share * (at[1] - peg[1])),
        }
        left = next(foot for foot in feet if foot.startswith(f"{name} left"))
        right = next(foot for foot in feet if foot.startswith(f"{name} right"))
        return feet[left], feet[right]

    def by_line(self, by_word: dict[str, list[Row]], poles: float) -> tuple[Point, Point]:
        [line], squares = by_word["line"], by_word["square"]
        start = self.marks[line["from"]]
        if "direction" in by_word:
            [direction] = by_word["direction"]
            middle = self.meet(direction, line)
        else:
            # On the tape of a combination: it runs to the middle of the element set before.
            beyond = self.marks[self.last_end]
            share = float(line[self.column]) / math.dist(start, beyond)
            middle = (
                start[0] + share * (beyond[0] - start[0]),
                start[1] + share * (beyond[1] - start[1]),
            )
        if "direction" in by_word:
            self.last_end = line["to"]
            self.marks[line["to"]] = middle
        a, b = complex(*start), complex(*middle)
        to_left, to_right = (float(row[self.column]) for row in squares)
        cosine = (to_left**2 - to_right**2) / (2 * poles * abs(b - a))
        turn = math.acos(max(-1.0, min(1.0, cosine)))
        ways = [(b - a) / abs(b - a) * cmath.exp(1j * s * turn) for s in (1, -1)]
        both = [b + way * poles / 2 for way in ways]
        at = self.nearer(
            ((both[0].real, both[0].imag), (both[1].real, both[1].imag)), squares[0]["towards"]
        )
        return at, (2 * middle[0] - at[0], 2 * middle[1] - at[1])

    def stand(self, fence: Row, left: Point, right: Point, poles: float) -> None:
        """All rows of a fence from the row that was set, the pole laid between its two feet."""
        middle = complex((left[0] + right[0]) / 2, (left[1] + right[1]) / 2)
        along = complex(left[0] - right[0], left[1] - right[1])
        along /= abs(along)
        ahead = along * -1j
        spread, name = float(fence["spread_m"]), fence["fence"]
        own = fence["row"] if fence["row"] in ("front", "middle", "back") else ""
        rows = ["front", "back"] if own else [""]
        if own and int(fence["rows"]) == 3:
            rows = ["front", "middle", "back"]
        for row in rows:
            at = middle + ahead * spread * (ROWS_BEHIND[row] - ROWS_BEHIND[own])
            self.marks[f"{MIDDLES[row]} of {name}"] = (at.real, at.imag)
            for side, sign in (("left", 1), ("right", -1)):
                foot = at + sign * along * poles / 2
                self.feet[" ".join(w for w in (name, side, row) if w)] = (foot.real, foot.imag)
