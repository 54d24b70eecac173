"""With what a crew sets out: tapes, their error, rounding, and from where it carries."""

from __future__ import annotations

import math

from msgspec import Struct

from diagram.trade.crew import crew_facts
from diagram.units import FOOT, INCH, Units


class Crew(Struct, frozen=True):
    """Metres throughout. `rounding` is the step of every printed reading, `store` the name of
    the fixed point that equipment is carried from (the gate where it is empty)."""

    units: Units
    tape_error: float
    tape_length: float
    rounding: float
    store: str = ""

    def reading_error(self, metres: float) -> float:
        """Expected error of one reading; a length of several tapes adds up theirs."""
        return self.tape_error * math.sqrt(max(1, math.ceil(metres / self.tape_length - 1e-9)))

    @property
    def triangle(self) -> tuple[float, float, float]:
        """The sides of the triangle that makes a right angle: as 3 to 4 to 5, round figures,
        and as large as one tape can be laid round."""
        unit = 2.0 if self.units == "metres" else 6 * FOOT
        while 12 * unit > self.tape_length and unit > 0.1:
            unit /= 2
        return 3 * unit, 4 * unit, 5 * unit

    @property
    def right_angle_error(self) -> float:
        """Radians by which a right angle set out with `triangle` is missed.

        From the law of cosines with sides 3u, 4u and 5u: the angle changes by
        (5 d5 - 4 d4 - 3 d3) / (12 u) for errors d of the three sides, hence by sqrt(50) / 12u
        for each unit of their common error.
        """
        return self.tape_error * math.sqrt(50) / (4 * self.triangle[0])

    def joined(self, metres: float) -> bool:
        """Whether a length takes more than one tape."""
        return metres > self.tape_length + 1e-9


def crew_for(
    units: Units,
    *,
    tape_error: float | None = None,
    tape_length: float | None = None,
    rounding: float | None = None,
    store: str = "",
) -> Crew:
    """A crew with the usual figures where nothing is said.

    Raises ValueError for figures that no crew works with, and where readings in feet would not
    come out in eighths of an inch or readings in metres not in millimetres.
    """
    facts = crew_facts()
    error = facts.tape_error.value if tape_error is None else tape_error
    usual = facts.tape_length.value
    # A tape of 100 ft that is marked in metres is one of 30 m.
    usual = math.floor(usual) if units == "metres" else usual
    length = usual if tape_length is None else tape_length
    step = facts.rounding["metres" if units == "metres" else "feet"].value
    step = step if rounding is None else rounding
    if not 0.0005 <= error <= 0.5:
        raise ValueError("a tape is read to between half a millimetre and half a metre")
    if not 3 <= length <= 200:
        raise ValueError("a tape is between 3 m and 200 m long")
    if not 0.001 <= step <= 0.5:
        raise ValueError("readings are rounded to between a millimetre and half a metre")
    smallest, word = (0.001, "1 cm") if units == "metres" else (INCH / 8, "1 in")
    if abs(step / smallest - round(step / smallest)) > 1e-6:
        said = "metres" if units == "metres" else "feet and inches"
        raise ValueError(f"readings in {said} cannot be rounded to that: say {word}")
    return Crew(units, error, length, step, store)
