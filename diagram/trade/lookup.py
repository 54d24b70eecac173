"""Find the figure of a table that answers a question.

A figure for the very horses, fences and stride comes out as printed. Between two printed
heights it is interpolated; for a stride that the table has no column for, the nearest column is
taken and the difference added once for each stride taken, landing and take-off making one.
"""

from __future__ import annotations

from msgspec import Struct

from diagram.trade.figures import Range
from diagram.trade.question import Question
from diagram.trade.stride_tables import SAME, StrideTable, TableEntry
from diagram.trade.words import Gait, Units, call
from diagram.units import length_text


class Summand(Struct, frozen=True):
    """One summand of a distance: what it is for, metres, and where it comes from."""

    text: str
    amount_m: float
    source: str


class LookedUp(Struct, frozen=True):
    """What a table says. `low_m` and `high_m` are the printed range, or None without one.

    `by_kind`: the figure is for these kinds of fence; `by_height`: for fences so high.
    `complete`: nothing is to be added for fences, gait or height, because the figure already
    speaks of them.
    """

    parts: tuple[Summand, ...]
    low_m: float | None
    high_m: float | None
    range_source: str
    by_kind: bool
    complete: bool
    by_height: bool = False
    note: str = ""
    also: tuple[Range, ...] = ()

    @property
    def aim_m(self) -> float:
        """Metres: the sum of the parts."""
        return sum(part.amount_m for part in self.parts)


def find(
    strides: int, question: Question, table: StrideTable, gait: Gait, complete: bool = False
) -> LookedUp | None:
    """What `table` says of `strides` from `gait`, or None where it is silent."""
    rows = _nearest_stride(_rows(strides, question, table, gait), question.horses.stride_m)
    if not rows:
        return None
    lower, upper, share = _around(rows, question.height_m)
    short = _use_short_end(question, table)
    stride_m = question.horses.stride_m
    aim = _mix(_aim(lower, stride_m, short), _aim(upper, stride_m, short), share)
    source = f"derived: between two figures of {lower.source}" if share else lower.source
    detail = _detail(lower, upper, question, table.units, short)
    inside = ", ".join(word for word in (table.name, *detail) if word)
    parts = [Summand(f"{called(strides, question)} ({inside})", aim, source)]
    change = _stride_change(strides, lower, question)
    if change:
        text = f"for a stride of {length_text(stride_m, table.units)}"
        parts.append(Summand(text, change, "derived: the difference, once for each stride taken"))
    ranged = lower.has_range and upper.has_range
    return LookedUp(
        parts=tuple(parts),
        low_m=_mix(lower.low_m, upper.low_m, share) + change if ranged else None,
        high_m=_mix(lower.high_m, upper.high_m, share) + change if ranged else None,
        range_source=moved(source) if change else source,
        by_kind=lower.by_kind,
        complete=complete,
        by_height=lower.height_m is not None,
        note=lower.note,
        also=lower.also,
    )


def moved(source: str) -> str:
    """The source of a range that was moved together with its aim."""
    return source if source.startswith("derived") else f"derived: moved with the aim, from {source}"


def called(strides: int, question: Question) -> str:
    """What the distance is for: ``for five``, ``for a bounce``, ``to the next pole``."""
    if strides:
        return f"for {call(strides)}"
    if question.only_poles:
        return "to the next pole"
    if question.first.is_pole:
        return "from the pole to the fence"
    return "from the fence to the pole" if question.second.is_pole else "for a bounce"


def _rows(strides: int, question: Question, table: StrideTable, gait: Gait) -> list[TableEntry]:
    rows = [
        entry
        for entry in table.by_strides.get(strides, ())
        if entry.gait_in == gait
        and question.first.group in entry.first
        and question.second.group in entry.second
        and _holds_in_gap(entry, question.gap or 1)
    ]
    rows = [entry for entry in rows if entry.by_kind] or rows
    size = question.horses.size
    own = [entry for entry in rows if size in entry.sizes]
    return own or [entry for entry in rows if "horse" in entry.sizes] or rows


def _holds_in_gap(entry: TableEntry, gap: int) -> bool:
    return entry.gaps is None or entry.gaps[0] <= gap <= entry.gaps[1]


def _nearest_stride(rows: list[TableEntry], stride_m: float) -> list[TableEntry]:
    """The rows whose stride column is nearest, lowest fences first."""
    least = min((abs(row.stride_misses_by(stride_m)) for row in rows), default=0.0)
    nearest = [row for row in rows if abs(row.stride_misses_by(stride_m)) <= least + SAME / 10]
    if any(row.height_m is not None for row in nearest):
        nearest = [row for row in nearest if row.height_m is not None]
        return sorted(nearest, key=lambda row: row.height_m or 0.0)
    return nearest[:1]


def _use_short_end(question: Question, table: StrideTable) -> bool:
    below = table.short_end_below_m
    return below is not None and question.height_m < below - SAME


def _around(rows: list[TableEntry], height_m: float) -> tuple[TableEntry, TableEntry, float]:
    """The rows next below and above a height, and how far up between them it lies (0 to 1).

    Outside the heights of the table, and without any, both are the same row.
    """
    below = [row for row in rows if (row.height_m or 0.0) <= height_m + SAME]
    above = [row for row in rows if (row.height_m or 0.0) > height_m + SAME]
    if not above:
        return rows[-1], rows[-1], 0.0
    if not below:
        return rows[0], rows[0], 0.0
    lower, upper = below[-1], above[0]
    start, end = lower.height_m or 0.0, upper.height_m or 0.0
    share = (height_m - start) / (end - start)
    return (lower, upper, share) if share * (end - start) > SAME else (lower, lower, 0.0)


def _mix(first: float, second: float, share: float) -> float:
    return first + (second - first) * share


def _aim(entry: TableEntry, stride_m: float, short: bool) -> float:
    """Where in its range an entry is aimed at, metres."""
    if short or entry.aim == "short end":
        return entry.low_m
    width = entry.stride_high_m - entry.stride_low_m
    if entry.aim == "by stride" and width > SAME:
        share = (stride_m - entry.stride_low_m) / width
        return _mix(entry.low_m, entry.high_m, min(max(share, 0.0), 1.0))
    return (entry.low_m + entry.high_m) / 2


def _detail(
    lower: TableEntry, upper: TableEntry, question: Question, units: Units, short: bool
) -> list[str]:
    """What tells this figure from others of its table."""
    words = []
    if lower.gaps:
        words.append(f"gap {question.gap or 1}")
    elif lower.gait_in != "canter":
        words.append(f"in {lower.gait_in}")
    size = question.horses.size
    if lower.sizes[0] != "horse":
        words.append(size if size in lower.sizes else lower.sizes[0])
    if lower.height_m is not None:
        words.append(_height_words(lower, upper, question, units))
    if lower.stride_high_m - lower.stride_low_m <= SAME and not question.has_pole:
        words.append(f"{length_text(lower.stride_low_m, units)} stride")
    if short and lower.has_range:
        words.append("short end for low classes")
    return words


def _height_words(lower: TableEntry, upper: TableEntry, question: Question, units: Units) -> str:
    start, end = lower.height_m or 0.0, upper.height_m or 0.0
    own = length_text(question.height_m, units)
    if upper is not lower:
        between = f"{length_text(start, units)} and {length_text(end, units)}"
        return f"fences of {own}, between {between}"
    text = f"fences of {length_text(start, units)}"
    if abs(question.height_m - start) <= SAME:
        return text
    return f"{text}, the nearest it has to {own}"


def _stride_change(strides: int, entry: TableEntry, question: Question) -> float:
    """Metres that a stride which the table has no column for adds, or takes off."""
    if question.only_poles and question.gait_in != "canter":
        # A step over poles in walk or trot says nothing of the canter stride.
        return 0.0
    return entry.stride_misses_by(question.horses.stride_m) * (strides + 1)
