"""Lengths, speeds and angles as people write them, to and from SI.

Inside the program a length is metres, an angle radians, a speed metres per second.
Text is read here and nowhere else, so that ``12'6"``, ``12 ft 6 in`` and ``3.81 m`` mean
the same thing in every file, option and table.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from diagram.plain import counted

FOOT = 0.3048
"""Metres in a foot, exact: international foot of 1959 (NIST SP 811, appendix B.8)."""
INCH = FOOT / 12
STEP = 3 * FOOT
"""One measuring step of the trade, 3 ft: four steps make one 12-ft stride."""

LONGEST = 1000.0
"""No arena, line or pole is longer than this many metres; a larger figure is a slip."""

PRIMES = str.maketrans({"′": "'", "’": "'", "‘": "'", "´": "'", "″": '"', "”": '"', "“": '"'})


class UnitError(ValueError):
    """A text that is no measure. `hint` says what to write instead."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


_NUMBER = r"\d{1,12}(?:\.\d{1,12})?"
_FRACTION = r"\d{1,3}\s*/\s*[1-9]\d{0,2}"
_INCHES = rf"(?:(?P<inch>{_NUMBER})(?:\s+(?P<part>{_FRACTION}))?|(?P<only>{_FRACTION}))?"
_FEET_AND_INCHES = re.compile(
    rf"(?P<feet>{_NUMBER})\s*(?:'|ft|feet|foot)\s*(?:{_INCHES}\s*(?:\"|''|in|inch|inches)?)$",
    re.IGNORECASE,
)
_ONLY_INCHES = re.compile(rf"{_INCHES}\s*(?:\"|''|in|inch|inches)$", re.IGNORECASE)
_SINGLE = re.compile(rf"(?P<value>{_NUMBER})\s*(?P<unit>[a-zA-Z]+)$")
_BARE = re.compile(rf"[-+]?{_NUMBER}(?:e\d+)?$", re.IGNORECASE)
_COMMA = re.compile(r"\d+,\d+")

_METRIC = {
    "m": 1.0, "metre": 1.0, "metres": 1.0, "meter": 1.0, "meters": 1.0,
    "cm": 0.01, "mm": 0.001,
    "step": STEP, "steps": STEP, "yd": STEP, "yard": STEP, "yards": STEP,
}  # fmt: skip

HOW_TO_WRITE = "write feet and inches (12'6\"), metres (3.8 m), centimetres (380 cm) or 4 steps"


def parse_length(text: str) -> float:
    """Metres meant by `text`.

    Raises UnitError for a bare number, an unknown unit, or a length of more than LONGEST.
    """
    raw = text.strip()
    plain = raw.translate(PRIMES)
    value = _length_or_none(plain)
    if value is None:
        raise _length_error(raw, plain)
    if value > LONGEST:
        raise UnitError(f"{raw!r} is longer than {LONGEST:.0f} m", "check the unit")
    return value


def _length_or_none(plain: str) -> float | None:
    if match := _FEET_AND_INCHES.fullmatch(plain):
        return float(match["feet"]) * FOOT + _inches(match) * INCH
    match = _ONLY_INCHES.fullmatch(plain)
    if match and (match["inch"] or match["only"]):
        return _inches(match) * INCH
    match = _SINGLE.fullmatch(plain)
    if match and match["unit"].lower() in _METRIC:
        return float(match["value"]) * _METRIC[match["unit"].lower()]
    return None


def _inches(match: re.Match[str]) -> float:
    part = match["part"] or match["only"]
    if part is None:
        return float(match["inch"] or 0)
    top, bottom = (int(n) for n in part.split("/"))
    return float(match["inch"] or 0) + float(Fraction(top, bottom))


def _length_error(raw: str, plain: str) -> UnitError:
    if plain.startswith("-"):
        return UnitError(f"a length cannot be negative: {raw!r}", HOW_TO_WRITE)
    if _BARE.fullmatch(plain):
        number = plain.lstrip("+-")
        return UnitError(f"{raw!r} has no unit", f"write {number}' or {number} m")
    if _COMMA.search(plain):
        return UnitError(
            f"{raw!r} has a comma for a decimal point", f"write {plain.replace(',', '.')}"
        )
    return UnitError(f"{raw!r} is not a length", HOW_TO_WRITE)


def parse_length_range(text: str) -> tuple[float, float]:
    """Low and high end in metres of ``19' - 20'``, ``7.3-8.0 m`` or a single length.

    The first end may leave out its unit when both ends share it.
    """
    plain = text.strip().translate(PRIMES)
    low, dash, high = re.sub(r"\s*[–—-]\s*", "-", plain).partition("-")
    if not dash:
        value = parse_length(plain)
        return value, value
    top = parse_length(high)
    unit = re.search(r"[a-zA-Z]+|''|['\"]", high)
    if _BARE.fullmatch(low) and unit:
        low += unit[0]
    bottom = parse_length(low)
    if bottom > top:
        raise UnitError(f"{text!r} runs from the longer to the shorter", f"write {high}-{low}")
    return bottom, top


_SPEED = re.compile(rf"(?P<value>{_NUMBER})\s*(?P<unit>m/min|m/s|km/h)$")
_SPEEDS = {"m/min": 1 / 60, "m/s": 1.0, "km/h": 1 / 3.6}


def speed_text(metres_a_second: float) -> str:
    """``350 m/min``, as speeds of courses are told."""
    return f"{metres_a_second * 60:.0f} m/min"


def parse_speed(text: str) -> float:
    """Metres per second of ``350 m/min``, ``6 m/s`` or ``21 km/h``. Raises UnitError."""
    match = _SPEED.fullmatch(text.strip())
    if not match:
        raise UnitError(f"{text!r} is not a speed", "write it like 350 m/min")
    return float(match["value"]) * _SPEEDS[match["unit"]]


_ANGLE = re.compile(rf"(?P<value>-?{_NUMBER})\s*(?:°|deg|degrees?)$", re.IGNORECASE)


def parse_angle(text: str) -> float:
    """Radians of ``30°``, ``30 deg`` or ``-12.5 degrees``. Raises UnitError."""
    plain = text.strip()
    match = _ANGLE.fullmatch(plain)
    if match:
        return math.radians(float(match["value"]))
    if _BARE.fullmatch(plain):
        raise UnitError(f"{text!r} has no unit", f"write {plain}°")
    raise UnitError(f"{text!r} is not an angle", "write it like 30°")


@lru_cache(maxsize=4096)
def feet_inches(metres: float, nearest: float = 1.0) -> str:
    """``12'6"`` or ``12'`` for metres, rounded to `nearest` inches (0.5 allows ``12'6½"``)."""
    units = round(metres / INCH / nearest)
    total = Fraction(units) * Fraction(nearest).limit_denominator(16)
    sign = "-" if total < 0 else ""
    feet, inches = divmod(abs(total), 12)
    if not inches:
        return f"{sign}{feet}'"
    return f'{sign}{feet or ""}{"" if not feet else chr(39)}{_mixed(inches)}"'


_FRACTIONS = {
    Fraction(1, 2): "½", Fraction(1, 4): "¼", Fraction(3, 4): "¾",
    Fraction(1, 8): "⅛", Fraction(3, 8): "⅜", Fraction(5, 8): "⅝", Fraction(7, 8): "⅞",
}  # fmt: skip


def _mixed(inches: Fraction) -> str:
    whole, part = divmod(inches, 1)
    if not part:
        return str(whole)
    return f"{whole or ''}{_FRACTIONS.get(part, f' {part}')}"


def metres_text(metres: float, places: int = 2) -> str:
    """``3.81 m``, rounded to `places` decimals."""
    return f"{round(metres, places) + 0.0:.{places}f} m"


def steps_text(metres: float) -> str:
    """``24 steps`` of 3 ft, with the rest in feet: ``24 steps + 1 ft``."""
    feet = round(metres / FOOT)
    steps, rest = divmod(feet, 3)
    if rest == 2:
        steps, rest = steps + 1, -1
    return counted(steps, "step") + (f" {'+' if rest > 0 else '-'} 1 ft" if rest else "")


Units = Literal["feet", "metres", "both"]
"""What lengths are printed in."""


def length_text(metres: float, units: Units) -> str:
    """A length for people, to the inch and the centimetre: ``72'``, ``21.95 m`` or both."""
    if units == "feet":
        return feet_inches(metres)
    if units == "metres":
        return metres_text(metres)
    return f"{feet_inches(metres)} ({metres_text(metres)})"
