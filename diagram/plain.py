"""What every room writes alike: a count with its noun, and figures for machines to read."""

from __future__ import annotations

import json
import math
import re
from typing import Any


def counted(number: int, noun: str) -> str:
    """``1 day``, ``3 days``, ``2 tries``."""
    return f"{number} {noun if number == 1 else plural(noun)}"


def plural(noun: str) -> str:
    """``days``, ``tries``, ``misses``, of a noun that is regular."""
    if re.search(r"[^aeiou]y$", noun):
        return f"{noun[:-1]}ies"
    return f"{noun}es" if noun.endswith(("s", "sh", "ch", "x")) else f"{noun}s"


def spaced(name: str) -> str:
    """The key of a field: with spaces where its name has none."""
    return name.replace("_", " ")


def capital(text: str) -> str:
    """The text with its first letter large and all others as they are."""
    return text[:1].upper() + text[1:]


def json_text(value: Any) -> str:
    """A value as JSON to be read by people too. Raises ValueError for infinity and NaN."""
    return json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False)


def metres(value: float) -> float:
    """Metres for machines: to a tenth of a millimetre, never minus zero."""
    return round(float(value), 4) + 0.0


def degrees(radians: float) -> float:
    """Degrees for machines, of radians: to a thousandth, never minus zero."""
    return round(math.degrees(radians), 3) + 0.0
