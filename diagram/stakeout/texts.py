"""Readings and figures as the crew reads them."""

from __future__ import annotations

import math

from diagram.stakeout.crew import Crew
from diagram.units import INCH, feet_inches, metres_text, steps_text


def reading(metres: float, crew: Crew) -> str:
    """A reading rounded to the crew's step: ``72'3"``, ``22.05 m``, or both."""
    value = round(metres / crew.rounding) * crew.rounding
    nearest = min(1.0, crew.rounding / INCH)
    metric = metres_text(value, 2 if round(crew.rounding * 1000) % 10 == 0 else 3)
    if crew.units == "metres":
        return metric
    # Eighths of an inch at the finest: `crew_for` lets nothing finer pass.
    feet = feet_inches(value, 1.0 if nearest >= 1 else round(nearest * 8) / 8)
    return feet if crew.units == "feet" else f"{feet} ({metres_text(value)})"


def steps(metres: float) -> str:
    """``24 steps``, to the nearest foot."""
    return steps_text(metres)


def error(metres: float, crew: Crew) -> str:
    """An expected error, never said too small: ``± 1½"`` or ``± 4 cm``."""
    if crew.units == "metres":
        return f"± {math.ceil(metres * 100 - 1e-9)} cm"
    return f"± {feet_inches(math.ceil(metres / INCH * 2 - 1e-9) / 2 * INCH, 0.5)}"


def change(metres: float, crew: Crew) -> str:
    """By how much a line comes out longer or shorter: ``¼" longer``, ``none``."""
    if crew.units == "metres":
        size = f"{abs(metres) * 1000:.0f} mm"
        small = abs(metres) < 0.0005
    else:
        eighths = round(abs(metres) / INCH * 8)
        size, small = feet_inches(eighths / 8 * INCH, 0.125), eighths == 0
    if small:
        return "none"
    return f"{size} {'longer' if metres > 0 else 'shorter'}"
