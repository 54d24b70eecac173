"""Signs of the record: ranges, months, heights and strides, drawn small on ruled paper."""

from __future__ import annotations

import math
from collections.abc import Sequence

from diagram.drawing.pad import WHITE, Pad
from diagram.records.readiness import Month
from diagram.style import INK, Colour

BAR = 2.6
NOTCH = 0.9
"""A white notch at the share seen, where so much of the bar is left on both sides."""
ASKED = (0.7, 5.2)
GAP_DAYS = 70
MONTH_DAYS = 30.44
LOWEST_SHARE = 0.4
"""By month, 4 to 10 in 10: below, a white dot at the foot."""


def scale(pad: Pad, x: float, y: float, width: float) -> None:
    """A scale from 0 to 10 in 10, with a mark at 0, 5 and 10."""
    pad.rule((x, y), (x + width, y), 0.25)
    for share in (0.0, 0.5, 1.0):
        pad.rule((x + share * width, y - 0.9), (x + share * width, y + 0.9), 0.25)


def range_bar(
    pad: Pad, x: float, y: float, width: float, low: float, high: float, share: float | None,
    colour: Colour,
) -> None:  # fmt: skip
    """The range of a share on its scale, with a notch at the share seen."""
    begin, end = x + low * width, x + high * width
    pad.bar(begin, y - BAR / 2, max(end - begin, 0.5), BAR, colour)
    if share is not None:
        at = x + share * width
        if at - begin >= NOTCH and end - at >= NOTCH:
            pad.rule((at, y - BAR / 2), (at, y + BAR / 2), 0.5, colour=WHITE)


def asked_tick(pad: Pad, x: float, y: float, width: float, share: float) -> None:
    """What is asked, on the scale of a share."""
    at = x + share * width
    pad.rule((at, y - ASKED[1] / 2), (at, y + ASKED[1] / 2), ASKED[0])


class Months:
    """Where months stand: two winters side by side, the summer between them a gap."""

    def __init__(self, numbers: Sequence[int], x: float, width: float) -> None:
        self.seasons = seasons_of(numbers)
        self.x, self.width = x, width
        gap = 2.0
        self.each = (width - gap * (len(self.seasons) - 1)) / max(len(self.seasons), 1)
        starts = [season_month(n) for n in numbers if season_of(n) in self.seasons] or [0]
        self.first, self.last = min(starts), max(max(starts), min(starts) + 1)
        self.gap = gap

    def begin(self, season: int) -> float:
        """Where a season's part begins."""
        return self.x + self.seasons.index(season) * (self.each + self.gap)

    def at(self, number: float) -> float | None:
        """Where a moment stands, in months since year 0; None for a season that is not shown."""
        whole = math.floor(number)
        if season_of(whole) not in self.seasons:
            return None
        inside = season_month(whole) + number - whole - self.first
        length = self.last + 1 - self.first
        return self.begin(season_of(whole)) + inside / length * self.each


def season_of(month: int) -> int:
    """The year in which a season began; seasons run from July to June."""
    return (month - 6) // 12


def season_month(month: int) -> int:
    """Months since the season began."""
    return (month - 6) % 12


def seasons_of(numbers: Sequence[int]) -> list[int]:
    """The last two seasons in which anything was seen."""
    return sorted({season_of(number) for number in numbers})[-2:]


def season_text(season: int) -> str:
    """``2024/25``."""
    return f"{season}/{(season + 1) % 100:02d}"


def months_line(
    pad: Pad, places: Months, y: float, months: Sequence[Month], asked: float, high: float,
    dot: float = 1.0,
) -> None:  # fmt: skip
    """A dot a month, larger the more tries, joined where less than 70 days lie between.

    `y` is the foot (4 in 10) and `y - high` the head (10 in 10) of the scale; `dot` makes the
    dots smaller.
    """

    def level(share: float) -> float:
        return y - high * (max(share, LOWEST_SHARE) - LOWEST_SHARE) / (1 - LOWEST_SHARE)

    most = max((month.n for month in months), default=1)
    for season in places.seasons:
        begin = places.begin(season)
        pad.rule((begin, level(asked)), (begin + places.each, level(asked)), 0.25)
    before: tuple[float, float, int] | None = None
    dots = []
    for month in months:
        x = places.at(month.number + 0.5)
        if x is None:
            continue
        share = month.x / month.n
        here = (x, level(share), month.number)
        if (
            before
            and (here[2] - before[2]) * MONTH_DAYS < GAP_DAYS
            and season_of(here[2]) == season_of(before[2])
        ):
            pad.rule(before[:2], here[:2], 0.25)
        before = here
        radius = dot * (0.45 + 0.5 * math.sqrt(month.n / most))
        dots.append((x, here[1], radius, share < LOWEST_SHARE))
    for x, at, radius, below in dots:
        pad.dot(x, at, radius, WHITE if below else INK, 0.25 if below else 0.0)
