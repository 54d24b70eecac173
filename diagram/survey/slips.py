"""How tapes are misread: by a whole mark of the unit they are read in, or written the wrong way.

A slip has a size that is known beforehand. Of two tapes that might be the wrong one, that is
more likely which would be off by just such a size.
"""

from __future__ import annotations

from msgspec import Struct

from diagram.units import FOOT, INCH, STEP

FIT = 2.5
"""Standard errors within which the error of a tape is taken for a slip."""


class Slip(Struct, frozen=True):
    """What may have happened, and how many metres too long (or short, below 0) that reads."""

    words: str
    error_m: float


def slips(metres: float, feet: bool) -> tuple[Slip, ...]:
    """The slips that a reading of `metres` may be, in the units it was read in; likely ones first.

    Common practice, no source: a yard, a foot, ten feet; feet taken for inches; two digits the
    wrong way round; a metre, half of one, ten centimetres.
    """
    sizes = (
        (("One yard", STEP), ("One foot", FOOT), ("Ten feet", 10 * FOOT), ("Five feet", 5 * FOOT))
        if feet
        else (("One metre", 1.0), ("Ten centimetres", 0.1), ("Half a metre", 0.5), ("Ten", 10.0))
    )
    out = [Slip(words, sign * size) for words, size in sizes for sign in (1.0, -1.0)]
    if feet:
        whole, inches = divmod(round(metres / INCH), 12)
        if 0 < whole < 12 and whole != inches:
            out.append(Slip("Feet and inches the wrong way round", 11 * (whole - inches) * INCH))
    unit = FOOT if feet else 1.0
    tens, ones = divmod(int(metres / unit + 1e-9), 10)
    if tens < 10 and tens != ones:
        out.append(Slip("Two digits the wrong way round", 9 * (tens - ones) * unit))
    return tuple(out)


def slip_of(metres: float, feet: bool, error_m: float, sigma_m: float) -> Slip | None:
    """The slip that an error of a tape may be; None where it is like none of them."""
    near = [s for s in slips(metres, feet) if abs(s.error_m - error_m) <= FIT * sigma_m]
    return min(near, key=lambda s: abs(s.error_m - error_m)) if near else None
