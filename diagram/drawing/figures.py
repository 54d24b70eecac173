"""The second page of a pair: strides and speed against the plan, then what is compared.

A4 or Letter upright, with the signs of the first page. Nothing is decided here.
"""

from __future__ import annotations

from diagram.drawing.evidence import range_bar, scale
from diagram.drawing.pad import GROUPS, Pad, cut
from diagram.records.figures import ComparedRow, FiguresPage, LegRow, ShareRange
from diagram.scene import Scene

MARGIN = 12.0
COUNT_AT, BAR_AT, BAR_WIDTH, STRIDE_AT, VARIES_AT = 62.0, 66.0, 30.0, 103.0, 141.0
ROW, HEAD, COMPARED = 5.2, 7.2, 11.4


def page_of(page: FiguresPage, paper: tuple[float, float]) -> Scene:
    """The page as marks on paper; `paper` in mm, upright."""
    return _Page(page, paper).scene()


class _Page:
    """Puts the page down from top to bottom."""

    def __init__(self, page: FiguresPage, paper: tuple[float, float]) -> None:
        self.page, self.pad = page, Pad(*paper)
        self.left, self.right = MARGIN, paper[0] - MARGIN

    def scene(self) -> Scene:
        """The whole page."""
        pad, page = self.pad, self.page
        pad.text(self.left, 14.3, page.title, 20, "bold")
        pad.text(self.right, 14.3, "strides, speed, and what has changed", 12, anchor="end")
        pad.text(self.left, 21.0, page.seen, 10.5)
        y = self._compared(self._legs(29.0) + 9.0)
        if not page.legs:
            pad.text(self.left, y, "No strides were counted and no seconds taken.", 10.5)
        foot = pad.height - 7.0
        pad.rule((self.left, foot - 4.2), (self.right, foot - 4.2), 0.25)
        pad.text(self.left, foot, cut(page.foot, self.right - self.left, 8.5), 8.5)
        return pad.scene(f"{page.title}: strides and changes", page.seen)

    def _legs(self, y: float) -> float:
        pad, left = self.pad, self.left
        if not self.page.legs:
            return y - 9.0
        pad.text(left, y, "Against the plan", 12, "bold")
        y += 5.4
        pad.text(left + COUNT_AT, y, "count as asked", 8.5, anchor="end")
        for value in (0, 5, 10):
            x = left + BAR_AT + value / 10 * BAR_WIDTH
            pad.text(x, y, str(value), 8.5, anchor="middle")
        pad.text(left + STRIDE_AT, y, "average stride", 8.5)
        pad.text(left + VARIES_AT, y, "varies by, strides", 8.5, anchor="middle")
        if any(row.speed for group in self.page.legs for row in group.rows):
            pad.text(self.right, y, "speed (times taken)", 8.5, anchor="end")
        y += 1.8
        pad.rule((left, y), (self.right, y), 0.7)
        for group in self.page.legs:
            y += HEAD
            pad.text(left, y - 2.2, cut(group.title, 180, 10.5, "semibold"), 10.5, "semibold")
            for row in group.rows:
                pad.rule((left, y), (self.right, y), 0.25)
                self._leg(row, y + 3.7)
                y += ROW
        pad.rule((left, y), (self.right, y), 0.7)
        if self.page.left_out:
            y += 4.4
            words = f"{self.page.left_out} more ways were counted less often."
            pad.text(left, y, words, 8.5)
        return y

    def _leg(self, row: LegRow, y: float) -> None:
        pad, left = self.pad, self.left
        pad.text(left, y, cut(row.name, COUNT_AT - 18, 10.5), 10.5)
        if row.counts is not None:
            pad.text(left + COUNT_AT, y, row.counts.text, 10.5, "semibold", "end")
            self._side(row.counts, left + BAR_AT, y - 1.2, BAR_WIDTH)
        pad.text(left + STRIDE_AT, y, row.stride, 8.5)
        pad.text(left + VARIES_AT, y, row.varies, 8.5, anchor="middle")
        pad.text(self.right, y, row.speed, 8.5, anchor="end")

    def _side(self, side: ShareRange, x: float, y: float, width: float) -> None:
        scale(self.pad, x, y, width)
        if side.low is not None and side.high is not None:
            range_bar(self.pad, x, y, width, side.low, side.high, side.share, GROUPS["pair"])

    def _compared(self, y: float) -> float:
        pad, left = self.pad, self.left
        pad.text(left, y, "What has changed", 12, "bold")
        pad.text(
            self.right, y, "everything seen, at all heights, as asked, in 10", 8.5, anchor="end"
        )
        y += 2.4
        for row in self.page.compared:
            pad.rule((left, y), (self.right, y), 0.25)
            self._row(row, y)
            y += COMPARED
        pad.rule((left, y), (self.right, y), 0.7)
        pad.text(left, y + 4.4, self.page.trend, 10.5)
        return y + 6.0

    def _row(self, row: ComparedRow, y: float) -> None:
        pad, left = self.pad, self.left
        for n, (what, side) in enumerate(zip(row.what, row.sides, strict=True)):
            at = y + 4.2 + 5.0 * n
            pad.text(left, at, what, 10.5)
            pad.text(left + COUNT_AT, at, side.text, 10.5, "semibold", "end")
            self._side(side, left + BAR_AT, at - 1.2, BAR_WIDTH)
        pad.text(left + STRIDE_AT, y + 6.6, row.words, 10.5)
