"""The page of one pair: what was shown of a step, in words first, then in figures.

A4 or Letter upright. Nothing is decided here: every state and sentence is in the value.
"""

from __future__ import annotations

from collections.abc import Sequence

from diagram.drawing.evidence import (
    Months,
    asked_tick,
    months_line,
    range_bar,
    scale,
    season_text,
)
from diagram.drawing.pad import GROUPS, Pad, Run, broken, cut, runs_width
from diagram.records.pages import ReadinessPage, RequirementRow
from diagram.scene import Scene
from diagram.style import points, text_width

MARGIN = 12.0
STATE, WORDS, BAR_AT, BAR_WIDTH, LAST_AT, MONTHS_AT = 30.0, 69.0, 104.0, 31.0, 139.0, 154.0
ROW, LOW_ROW, GROUP = 7.95, 7.3, 7.0
BOX_LINE = 5.15
PAPER_HIGH = 297.0
"""On lower paper than A4 the rows of the table are lower too."""
FOOT, FOOT_LINE = 12.0, 3.5


def page_of(page: ReadinessPage, paper: tuple[float, float]) -> Scene:
    """The page as marks on paper; `paper` in mm, upright."""
    return _Page(page, paper).scene()


SHOWN, NARROWLY = 0.9, 0.3
"""Weight of the tick of what was shown, and of what was shown narrowly."""


class _Page:
    """Puts the page down from top to bottom."""

    def __init__(self, page: ReadinessPage, paper: tuple[float, float]) -> None:
        self.page, self.pad = page, Pad(*paper)
        self.left, self.right = MARGIN, paper[0] - MARGIN
        self.wide = self.right - self.left
        self.row = ROW if paper[1] >= PAPER_HIGH else LOW_ROW
        # What A4 leaves over its 186 mm goes between the columns on other paper.
        self.more = self.wide - 186.0
        self.months = Months(page.months, self.left + MONTHS_AT + self.more, 32.0)

    def scene(self) -> Scene:
        """The whole page."""
        y = self._title()
        y = self._sentences(y)
        if self.page.groups:
            y = self._table(y)
        y = self._below(y)
        self._would_show(y)
        self._foot()
        return self.pad.scene(f"{self.page.title}: what was shown", " ".join(self.page.sentences))

    def _title(self) -> float:
        pad, page = self.pad, self.page
        pad.text(self.left, 14.3, page.title, 20, "bold")
        if page.from_height:
            pad.runs(
                self.right, 14.3,
                [("what was shown, from ", 12, "regular"), (page.from_height, 14, "bold"),
                 (" towards ", 12, "regular"), (page.to_height, 14, "bold")], "end",
            )  # fmt: skip
        pad.text(self.left, 21.0, page.seen, 10.5)
        return 25.5

    def _sentences(self, y: float) -> float:
        pad, room = self.pad, self.wide - 8.0
        first = broken(self.page.sentences[0], room, 12, "semibold")
        rest = broken(self.page.sentences[1], room, 12)
        height = BOX_LINE * (len(first) + len(rest)) + 4.6
        pad.box(self.left, y, self.wide, height, 0.7)
        at = y + 6.0
        for lines, weight in ((first, "semibold"), (rest, "regular")):
            for line in lines:
                pad.text(self.left + 4.0, at, line, 12, weight)  # type: ignore[arg-type]
                at += BOX_LINE
        return y + height + 5.5

    def _table(self, y: float) -> float:
        pad = self.pad
        pad.text(self.left, y, self.page.look_back, 8.5)
        pad.text(self.left + STATE + WORDS, y, "as asked", 8.5, anchor="end")
        pad.text(self.left + BAR_AT, y, "80 % range, in 10", 8.5)
        pad.text(self.left + LAST_AT, y, "last", 8.5)
        pad.text(self.months.x, y, "by month, 4 to 10 in 10", 8.5)
        y += 2.0
        pad.rule((self.left, y), (self.right, y), 0.7)
        for n, group in enumerate(self.page.groups):
            y = self._group_head(y, n)
            for row in group.rows:
                pad.rule((self.left, y), (self.right, y), 0.25)
                self._row(row, y)
                y += self.row
        pad.rule((self.left, y), (self.right, y), 0.7)
        return y + 5.6

    def _group_head(self, y: float, n: int) -> float:
        pad, group = self.pad, self.page.groups[n]
        y += GROUP
        pad.bar(self.left, y - 4.4, 3.6, 2.6, GROUPS[group.by])
        head, words, name = group.head, f"   {group.words} ", group.name
        pad.runs(
            self.left + 5.2, y - 1.9,
            [(head, 12, "bold"), (words, 12, "regular"), (name, 12, "bold")],
        )  # fmt: skip
        if n == 0:
            for value in (0, 5, 10):
                x = self.left + BAR_AT + value / 10 * BAR_WIDTH
                pad.text(x, y - 1.6, str(value), 8.5, anchor="middle")
            for season in self.months.seasons:
                x = self.months.begin(season) + self.months.each / 2
                pad.text(x, y - 1.6, season_text(season), 8.5, anchor="middle")
        return y

    def _row(self, row: RequirementRow, y: float) -> None:
        pad, left, low = self.pad, self.left, y + self.row - 1.05
        if row.state == "never tried":
            pad.dashes(left, y + 2.6)
        else:
            weight = NARROWLY if row.why else SHOWN
            pad.ticked_box(left, y + 0.7, row.state == "shown", weight=weight)
        pad.text(left + 5.2, y + 3.4, row.state, 8.5, "bold")
        pad.text(left + 5.2, low, row.why, 8.5)
        end = left + STATE + WORDS
        # The requirement and its count share a line; the count never gives way.
        runs: list[Run] = [(row.count, 12, "bold"), (row.of, 12, "regular")]
        taken = runs_width(runs)
        pad.runs(end, y + 3.5, runs, "end")
        words = cut(row.words, WORDS - taken - 1.0, 10.5, "semibold")
        pad.text(left + STATE, y + 3.4, words, 10.5, "semibold")
        pad.text(left + STATE, low, row.asked, 8.5)
        room = WORDS - text_width(row.asked, points(8.5)) - 2
        pad.text(end, low, cut(row.others, room, 8.5), 8.5, anchor="end")
        self._range(row, left + BAR_AT, y + 4.0)
        pad.text(left + LAST_AT, y + 3.4, row.last, 8.5)
        pad.text(left + LAST_AT, low, row.days, 8.5)
        if row.months:
            months_line(pad, self.months, y + 6.8, row.months, row.share_asked, 5.4)

    def _range(self, row: RequirementRow, x: float, y: float) -> None:
        if row.instead:
            self.pad.text(x + BAR_WIDTH / 2, y + 1.0, row.instead, 8.5, anchor="middle")
            return
        scale(self.pad, x, y, BAR_WIDTH)
        if row.low is not None and row.high is not None:
            range_bar(self.pad, x, y, BAR_WIDTH, row.low, row.high, row.share, GROUPS[row.by])
        asked_tick(self.pad, x, y, BAR_WIDTH, row.share_asked)

    def _below(self, y: float) -> float:
        one = self._heights(y)
        one = self._strides(one + 5.6)
        other = self._apart(y)
        return max(one, other) + 3.4

    def _heights(self, y: float) -> float:
        pad, page = self.pad, self.page
        pad.text(self.left, y, "Heights", 12, "bold")
        pad.text(self.left + 84, y, "highest fence of each day", 8.5, anchor="end")
        if not page.heights:
            return y
        places = Months(page.months, self.left + 15, 69.0)
        levels = page.levels
        top, each = y + 3.6, 2.9
        for n, (value, text) in enumerate(reversed(levels)):
            at = top + each * n
            pad.text(self.left + 13, at + 1.0, text, 8.5, anchor="end")
            for season in places.seasons:
                begin = places.begin(season)
                pad.rule((begin, at), (begin + places.each, at), 0.25)
            for when, height in page.heights:
                x = places.at(when)
                if height == value and x is not None:
                    pad.dot(x, at, 0.8)
        bottom = top + each * (len(levels) - 1)
        for season in places.seasons:
            x = places.begin(season) + places.each / 2
            pad.text(x, bottom + 4.4, season_text(season), 8.5, anchor="middle")
        return bottom + 4.4

    def _strides(self, y: float) -> float:
        pad, page = self.pad, self.page
        if not page.strides:
            return y - 5.6
        pad.text(self.left, y, page.strides_head, 12, "bold")
        pad.text(self.left + 84, y, "one dot a try", 8.5, anchor="end")
        places = Months(page.months, self.left + 18, 66.0)
        top, each = y + 3.4, 2.7
        for panel in page.strides:
            counts = (panel.asked + 1, panel.asked, panel.asked - 1)
            pad.text(self.left, top + each + 1.2, panel.name, 10.5, "semibold")
            for n, count in enumerate(counts):
                at = top + each * n
                pad.text(self.left + 16.5, at + 1.0, str(count), 8.5, anchor="end")
                for season in places.seasons:
                    begin = places.begin(season)
                    pad.rule((begin, at), (begin + places.each, at), 0.25)
            self._dots(panel.tries, panel.asked, places, top, each)
            top += 3 * each + 1.4
        for n, line in enumerate(broken(page.strides_words, 84, 8.5)):
            pad.text(self.left, top + 1.6 + 3.5 * n, line, 8.5)
        return top + 1.6 + 3.5 * (len(broken(page.strides_words, 84, 8.5)) - 1)

    def _dots(
        self, tries: Sequence[tuple[float, int]], asked: int, places: Months, top: float,
        each: float,
    ) -> None:  # fmt: skip
        """As planned small and black, stacked a day; another count a ring."""
        stacked: dict[tuple[float, int], int] = {}
        for when, count in tries:
            x = places.at(when)
            if x is None:
                continue
            shown = min(max(count, asked - 1), asked + 1)
            at = top + each * (asked + 1 - shown)
            above = stacked[x, shown] = stacked.get((x, shown), -1) + 1
            # A day's tries stand beside the line, to its upper and its lower side in turn.
            aside = 0.85 * ((above + 1) // 2) * (1 if above % 2 else -1)
            if count == asked:
                self.pad.dot(x, at + aside, 0.45)
            else:
                self.pad.dot(x + abs(aside), at, 1.05, "#ffffff", 0.35)

    def _apart(self, y: float) -> float:
        pad, page = self.pad, self.page
        x = self.left + 93 + self.more
        pad.text(x, y, "Horse and rider apart", 12, "bold")
        y += 5.4
        if page.pairs:
            pad.text(x, y, page.pairs_head, 8.5)
            y += 5.0
            at, width = x + 36, 53.0
            for value in (0, 5, 10):
                pad.text(at + value / 10 * width, y, str(value), 8.5, anchor="middle")
            for name, low, high, middle, own in page.pairs:
                y += 5.0
                pad.text(x, y + 1.2, cut(name, 34, 10.5, "semibold"), 10.5,
                         "semibold" if own else "regular")  # fmt: skip
                scale(pad, at, y, width)
                range_bar(pad, at, y, width, low, high, middle, GROUPS["pair"])
            y += 6.6
        for n, text in enumerate(page.apart):
            small = n == len(page.apart) - 1 and bool(page.pairs)
            size = 8.5 if small else 10.5
            y = pad.paragraph(x, y, self.right - x, text, size) + (5.0 if not small else 3.6)
        return y - 4.0

    def _would_show(self, y: float) -> None:
        pad, page = self.pad, self.page
        if not page.would_show:
            return
        pad.rule((self.left, y), (self.right, y), 0.7)
        y += 5.4
        pad.text(self.left, y, "What would show it", 12, "bold")
        pad.text(self.right, y, page.library, 8.5, anchor="end")
        bottom = pad.height - FOOT - 2.5 - FOOT_LINE * (len(self._foot_lines) - 1)
        y += 5.4
        sizes = ((10.5, 4.55), (8.5, 3.9))
        size, step = next((one for one in sizes if self._ends(y, *one) <= bottom), sizes[-1])
        aside = self._titles_wide(size)
        for n, (title, words) in enumerate(page.would_show):
            lines = broken(words, self.wide - aside, size)
            over = y + step * (len(lines) - 1) > bottom
            if over or (n < len(page.would_show) - 1 and y + step * len(lines) > bottom):
                rest = "; ".join(title for title, _ in page.would_show[n:])
                pad.text(self.left, y, cut(f"and: {rest}", self.wide, 8.5), 8.5)
                break
            title = cut(title, aside - 2.0, size, "semibold")
            pad.text(self.left, y, title, size, "semibold")
            for line in lines:
                pad.text(self.left + aside, y, line, size)
                y += step

    def _titles_wide(self, size: float) -> float:
        """Millimetres from the titles of exercises to what they would show."""
        titles = [title for title, _ in self.page.would_show]
        widest = max(text_width(title, points(size), "semibold") for title in titles)
        return min(widest + 5.0, 84.0)

    def _ends(self, y: float, size: float, step: float) -> float:
        """Where the last line of what would show it stands, in type of `size` points."""
        room = self.wide - self._titles_wide(size)
        every = [broken(words, room, size) for _, words in self.page.would_show]
        return y + step * (sum(map(len, every)) - 1)

    def _foot(self) -> None:
        pad, y, lines = self.pad, self.pad.height - 7.0, self._foot_lines
        top = y - FOOT_LINE * (len(lines) - 1)
        pad.rule((self.left, top - 4.2), (self.right, top - 4.2), 0.25)
        for n, line in enumerate(lines):
            pad.text(self.left, top + FOOT_LINE * n, line, 8.5)
        pad.text(self.right, y, "The trainer decides.", 8.5, anchor="end")

    @property
    def _foot_lines(self) -> Sequence[str]:
        """What signs mean, whole: a key that is cut is none."""
        return broken(self.page.foot, self.wide - 30, 8.5)
