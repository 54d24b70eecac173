"""Everyone on one page: pairs as columns in the order of names, requirements as rows.

Held on its side. Not a ranking, and not for the wall.
"""

from __future__ import annotations

from diagram.drawing.evidence import Months, asked_tick, months_line, range_bar, scale
from diagram.drawing.pad import GROUPS, Pad, cut
from diagram.records.pages import RequirementRow
from diagram.records.yard import MOST_PAIRS, PairColumn, YardPage
from diagram.scene import Scene

MARGIN = 10.0
LEAST_WORDS = 56.0
CELL, ROW, HEAD, GROUP = 43.0, 10.3, 25.0, 6.6
TOP = 23.0
WIDEST_CELL = 72.0
SMALL = 15.0
"""Width of the small bar and of the small months."""


def page_of(page: YardPage, paper: tuple[float, float]) -> Scene:
    """One page of the yard as marks on paper; `paper` in mm, on its side."""
    return _Page(page, paper).scene()


class _Page:
    """Puts the page down row by row."""

    def __init__(self, page: YardPage, paper: tuple[float, float]) -> None:
        self.page, self.pad = page, Pad(*paper)
        self.left, self.right = MARGIN, paper[0] - MARGIN
        wide = self.right - self.left
        self.words = max(LEAST_WORDS, wide - MOST_PAIRS * CELL)
        # Few pairs have wider columns, up to where the eye would lose the row.
        self.cell = min((wide - self.words) / max(len(page.columns), 1), WIDEST_CELL)
        self.right = self.left + self.words + self.cell * len(page.columns)
        self.columns = [self.left + self.words + self.cell * n for n in range(len(page.columns))]
        rows = sum(len(group.rows) for group in page.groups)
        room = paper[1] - TOP - HEAD - GROUP * len(page.groups) - 7.0 - 17.0
        self.row = min(ROW, room / max(rows, 1))
        self.places = [Months(page.months, x + self.cell - 17.4, 15.6) for x in self.columns]

    def scene(self) -> Scene:
        """The whole page."""
        edge = self.pad.width - MARGIN
        self._title(edge)
        self._heads()
        y = TOP + HEAD
        for n, group in enumerate(self.page.groups):
            y = self._group(n, y)
            for at, row in enumerate(group.rows):
                self._row(n, at, row, y)
                y += self.row
        y = self._last_row(y)
        for x in self.columns:
            self.pad.rule((x, TOP), (x, y), 0.35)
        self._foot(edge)
        return self.pad.scene(self.page.title, "Pairs as columns, requirements as rows.")

    def _title(self, edge: float) -> None:
        pad, page = self.pad, self.page
        pad.text(self.left, 12.8, page.title, 20, "bold")
        pad.runs(
            edge, 12.8,
            [("what was shown, from ", 12, "regular"), (page.from_height, 14, "bold"),
             (" towards ", 12, "regular"), (page.to_height, 14, "bold")], "end",
        )  # fmt: skip
        pad.text(self.left, 19.6, cut(page.seen, edge - self.left, 10.5), 10.5)

    def _heads(self) -> None:
        pad = self.pad
        pad.rule((self.left, TOP), (self.right, TOP), 1.0)
        top, each = TOP + 8.6, 2.55
        pad.text(self.left, top + 4.0, "highest fence of each day", 8.5)
        levels = list(reversed(self.page.levels))
        for n, (_, text) in enumerate(levels):
            if n % 2 == 0:
                x = self.left + self.words - 2.5
                pad.text(x, top + each * n + 1.0, text, 8.5, anchor="end")
        for column, x in zip(self.page.columns, self.columns, strict=True):
            name = [(column.rider, 12, "bold"), (f"  {column.horse}", 12, "regular")]
            pad.runs(x + 2, TOP + 5.2, name)  # type: ignore[arg-type]
            self._heights(column, x, top, each)
            pad.text(x + 2, TOP + HEAD - 1.8, column.seen, 8.5)
        pad.text(self.left, TOP + HEAD - 1.8, self.page.look_back, 8.5)
        pad.rule((self.left, TOP + HEAD), (self.right, TOP + HEAD), 0.7)

    def _heights(self, column: PairColumn, x: float, top: float, each: float) -> None:
        places = Months(self.page.months, x + 2, self.cell - 4)
        for n, (value, _) in enumerate(reversed(self.page.levels)):
            y = top + each * n
            for season in places.seasons:
                begin = places.begin(season)
                self.pad.rule((begin, y), (begin + places.each, y), 0.25)
            for when, height in column.heights:
                at = places.at(when)
                if height == value and at is not None:
                    self.pad.dot(at, y, 0.7)

    def _group(self, n: int, y: float) -> float:
        pad, group = self.pad, self.page.groups[n]
        pad.bar(self.left, y + 2.2, 3.6, 2.6, GROUPS[group.by])
        pad.text(self.left + 5.2, y + 4.8, group.words, 12, "bold")
        for column, x in zip(self.page.columns, self.columns, strict=True):
            count, of, same = column.counts[n]
            text = f"{count} of {of}" if same else f"{count} of {of} shown"
            pad.text(x + 2, y + 4.7, text, 10.5, "semibold")
            pad.text(x + self.cell - 1.5, y + 4.7, cut(same, 24, 8.5), 8.5, anchor="end")
        y += GROUP
        pad.rule((self.left, y), (self.right, y), 0.35)
        return y

    def _row(self, n: int, at: int, row: RequirementRow, y: float) -> None:
        pad = self.pad
        pad.text(
            self.left, y + 4.4, cut(row.words, self.words - 1, 10.5, "semibold"), 10.5, "semibold"
        )
        pad.text(self.left, y + 8.2, row.asked, 8.5)
        for column, x, places in zip(self.page.columns, self.columns, self.places, strict=True):
            self._cell(column.rows[n][at], x, y, places)
        last = at == len(self.page.groups[n].rows) - 1
        bottom = y + self.row
        pad.rule((self.left, bottom), (self.right, bottom), 0.7 if last else 0.25)

    def _cell(self, row: RequirementRow, x: float, y: float, places: Months) -> None:
        pad = self.pad
        if row.state == "never tried":
            pad.dashes(x + 2, y + 3.2)
            return
        pad.ticked_box(x + 2, y + 1.2, row.state == "shown")
        runs = [(row.count, 10.5, "bold"), (row.of, 10.5, "regular")]
        pad.runs(x + 7, y + 4.4, runs)  # type: ignore[arg-type]
        pad.text(x + 2, y + 8.4, row.why, 8.5)
        begin = x + self.cell - 17.4
        if row.low is not None and row.high is not None and not row.instead:
            scale(pad, begin, y + 2.9, SMALL)
            range_bar(pad, begin, y + 2.9, SMALL, row.low, row.high, row.share, GROUPS[row.by])
            asked_tick(pad, begin, y + 2.9, SMALL, row.share_asked)
        if row.months:
            months_line(pad, places, y + 9.2, row.months, row.share_asked, 3.2, 0.62)

    def _last_row(self, y: float) -> float:
        pad = self.pad
        pad.text(self.left, y + 4.8, "Told apart from others", 12, "bold")
        for column, x in zip(self.page.columns, self.columns, strict=True):
            weight = "regular" if column.told.startswith("cannot") else "semibold"
            pad.text(x + 2, y + 4.7, column.told, 10.5, weight)  # type: ignore[arg-type]
        return y + 6.6

    def _foot(self, edge: float) -> None:
        pad, y = self.pad, self.pad.height - 6.0
        x = self.left
        pad.ticked_box(x, y - 2.9, True)
        pad.text(x + 5.2, y, "shown", 8.5)
        pad.ticked_box(x + 18, y - 2.9, False)
        pad.text(x + 23.2, y, "not yet", 8.5)
        pad.dashes(x + 37, y - 1.2)
        pad.text(x + 42.5, y, "never tried", 8.5)
        pad.text(x + 61, y, self.page.key, 8.5)
        pad.text(edge, y, "Names of people: not for the wall. The trainer decides.", 8.5,
                 anchor="end")  # fmt: skip
