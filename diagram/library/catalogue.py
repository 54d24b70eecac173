"""A library as a book: contents, an index by what is taught, four exercises to a page.

A4 upright with facing pages, in millimetres from the top left corner.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct

from diagram.drawing.pad import Pad, broken
from diagram.library import said
from diagram.library.catalogue_cells import CellJob, ExerciseCell, cell_of, scale_for
from diagram.library.collection import Library
from diagram.library.entry import Entry
from diagram.library.working import Broken, run_all
from diagram.plain import counted
from diagram.scene import Scene
from diagram.style import points, text_width
from diagram.units import Units
from diagram.writers.record import pages_bytes

WIDTH, HEIGHT, EDGE = 210.0, 297.0, 10.0
COLUMN, GAP = 91.0, 8.0
TOP, FOOT = 22.0, 286.0
ROW = 4.55
CELL = 131.0
DRAWN = 58.0
"""Kept for every drawing, whatever its ring, so that texts stand in line."""
FULL = 124.0
"""Of a cell: what is longer is left out, the last of it first."""
INDEX_ROWS = 56
CAUTION = "Distances are where to begin. Ride only with a qualified person in the ring."


class Book(Struct, frozen=True):
    """The pages, and exercises that could not be printed with why."""

    pages: tuple[Scene, ...]
    failed: tuple[tuple[str, str], ...]

    def pdf(self) -> bytes:
        """The book as a PDF, the same bytes for the same library."""
        return pages_bytes(self.pages)


def catalogue(
    library: Library,
    units: Units,
    *,
    at_once: int | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Book:
    """The book of a library."""
    longest = max((max(e.arena_size) for e in library.entries), default=0.0)
    scale = scale_for(longest)
    jobs = [CellJob(library.paths[entry.stem], scale) for entry in library.entries]
    stems = {library.paths[entry.stem]: entry.stem for entry in library.entries}
    cells: dict[str, ExerciseCell] = {}
    failed = []
    for n, (job, result) in enumerate(run_all(cell_of, jobs, at_once)):
        if progress:
            progress(n + 1, len(jobs))
        if isinstance(result, Broken):
            failed.append((str(job.path), result.why))
        else:
            cells[stems[job.path]] = result
    return Book(_Pages(library, cells, units, scale).all(), tuple(sorted(failed)))


class _Pages:
    """Sets the pages: first where every exercise stands, then the pages themselves."""

    def __init__(
        self, library: Library, cells: dict[str, ExerciseCell], units: Units, scale: int
    ) -> None:
        self.library, self.cells, self.units, self.scale = library, cells, units, scale
        self.entries = [entry for entry in library.entries if entry.stem in cells]
        self.index = self._index_columns()
        fronts = 1 + -(-len(self.index) // 2)
        self.sheets = self._sheets()
        self.page_of = {
            entry.stem: fronts + n + 1 for n, sheet in enumerate(self.sheets) for entry in sheet
        }

    def all(self) -> tuple[Scene, ...]:
        pages = [self._cover()]
        pairs = [self.index[n : n + 2] for n in range(0, len(self.index), 2)]
        pages += [self._index_page(pair, n + 2) for n, pair in enumerate(pairs)]
        first = len(pages) + 1
        pages += [self._sheet(sheet, first + n) for n, sheet in enumerate(self.sheets)]
        return tuple(pages)

    def _sheets(self) -> list[list[Entry]]:
        """Four to a page; a group begins a new page only if at most one place stays empty."""
        sheets: list[list[Entry]] = []
        for group in self.library.groups:
            own = [entry for entry in self.entries if entry.main == group]
            if own and (not sheets or len(sheets[-1]) >= 3):
                sheets.append([])
            for entry in own:
                if len(sheets[-1]) == 4:
                    sheets.append([])
                sheets[-1].append(entry)
        return sheets

    def _page(self, title: str, right: str, number: int) -> Pad:
        pad = Pad(WIDTH, HEIGHT)
        pad.text(EDGE, 16, title, 20, "bold")
        pad.text(WIDTH - EDGE, 16, right, 10.5, "regular", "end")
        pad.rule((EDGE, 19), (WIDTH - EDGE, 19), 0.5)
        pad.rule((EDGE, FOOT), (WIDTH - EDGE, FOOT), 0.25)
        foot = self.library.about.title
        if self.library.about.scenario:
            foot += f". {self.library.about.scenario}"
        # Page numbers outside: the right hand page has the odd one.
        outer, inner = (WIDTH - EDGE, EDGE) if number % 2 else (EDGE, WIDTH - EDGE)
        ends = ("end", "start") if number % 2 else ("start", "end")
        pad.text(outer, FOOT + 5, str(number), 10.5, "bold", ends[0])  # type: ignore[arg-type]
        pad.text(inner, FOOT + 5, _cut(foot, 150, 8.5), 8.5, "regular", ends[1])  # type: ignore[arg-type]
        return pad

    def _cover(self) -> Scene:
        about = self.library.about
        pad = self._page(about.title, counted(len(self.entries), "exercise"), 1)
        y = TOP + 8
        if about.about:
            y = pad.paragraph(EDGE, y, WIDTH - 2 * EDGE, about.about, 12) + 8
        for label, text in (("By", ", ".join(about.authors)), ("Licence", about.licence or "")):
            if text:
                pad.runs(EDGE, y, [(f"{label}: ", 10.5, "semibold"), (text, 10.5, "regular")])
                y += 6
        y += 6
        pad.text(EDGE, y, "Contents", 14, "bold")
        y += 8
        pad.text(EDGE, y, "By what it teaches", 10.5)
        pad.text(EDGE + COLUMN, y, "2", 10.5, "bold", "end")
        for group in self.library.groups:
            own = [entry for entry in self.entries if entry.main == group]
            if own:
                y += 6
                number = f"{len(own)}"
                pad.text(EDGE, y, said.group_title(group), 10.5)
                pad.text(EDGE + 70, y, number, 8.5, "regular", "end")
                pad.text(EDGE + COLUMN, y, str(self.page_of[own[0].stem]), 10.5, "bold", "end")
        y += 14
        y = pad.paragraph(
            EDGE, y, WIDTH - 2 * EDGE, f"All drawings are to one scale, 1:{self.scale}. {CAUTION} "
            "The rules of your federation and the word of the licensed professional come before "
            "anything printed here.", 10.5,
        )  # fmt: skip
        return pad.scene(about.title, "Cover with contents")

    def _index_columns(self) -> list[list[tuple[str, Entry | None]]]:
        """Columns of the index: headings (no entry) and rows; a skill is kept whole if it can."""
        columns: list[list[tuple[str, Entry | None]]] = [[]]
        most = self._column_rows()
        groups = [*self.library.about.groups]
        groups += [group for group in self.library.groups if group not in groups]
        for group in groups:
            rows = [e for e in self.entries if group in (e.teaches or ("",))]
            rows.sort(key=lambda e: (e.heights[1], e.title))
            if not rows:
                continue
            left = most - len(columns[-1]) - 1
            if columns[-1] and left < min(len(rows), most // 2):
                columns.append([])
            columns[-1].append((said.group_title(group), None))
            for entry in rows:
                if len(columns[-1]) >= most - 2:
                    columns.append([(f"{said.group_title(group)} (more)", None)])
                columns[-1].append((group, entry))
            columns[-1].append(("", None))
        return columns

    def _column_rows(self) -> int:
        """Rows of a column: as many as fit, or half of all where one page has room for them."""
        taught = sum(max(1, len(entry.teaches)) for entry in self.entries)
        skills = len({group for entry in self.entries for group in entry.teaches or ("",)})
        rows = taught + 2 * skills
        return INDEX_ROWS if rows > 2 * INDEX_ROWS - 6 else rows // 2 + 3

    def _index_page(self, columns: Sequence[list[tuple[str, Entry | None]]], number: int) -> Scene:
        pad = self._page("By what it teaches", counted(len(self.entries), "exercise"), number)
        for place, column in enumerate(columns):
            x, y = EDGE + place * (COLUMN + GAP), TOP + 6
            for text, entry in column:
                if entry is None and text:
                    pad.text(x, y, text, 12.5, "bold")
                    pad.rule((x, y + 1.5), (x + COLUMN, y + 1.5), 0.25)
                    y += ROW + 2
                elif entry is None:
                    y += ROW - 0.5
                else:
                    self._index_row(pad, entry, entry.main == text, x, y)
                    y += ROW
        pad.text(
            EDGE, FOOT - 2, "Semibold: what it teaches first. Low fences first. Figures at the "
            "right are pages.", 8.5,
        )  # fmt: skip
        return pad.scene("By what it teaches", "Index by skill")

    def _index_row(self, pad: Pad, entry: Entry, main: bool, x: float, y: float) -> None:
        high = said.height(entry.heights[1], self.units)
        pad.text(x + 11, y, high, 9.5, "semibold", "end")
        weight = "semibold" if main else "regular"
        pad.text(x + 13.5, y, _cut(entry.title, 52, 10.5), 10.5, weight)  # type: ignore[arg-type]
        pad.text(x + COLUMN - 9, y, said.minutes(entry), 8.5, "regular", "end")
        pad.text(x + COLUMN, y, str(self.page_of[entry.stem]), 10.5, "bold", "end")

    def _sheet(self, entries: list[Entry], number: int) -> Scene:
        groups = dict.fromkeys(said.group_title(entry.main) for entry in entries)
        title = _cut(", ".join(groups), 150, 20)
        pad = self._page(title, f"drawings 1:{self.scale}", number)
        dropped = []
        for n, entry in enumerate(entries):
            x = EDGE + n % 2 * (COLUMN + GAP)
            y = TOP + 1 + n // 2 * (CELL + 1)
            if n // 2:
                pad.rule((x, y - 1.5), (x + COLUMN, y - 1.5), 0.25)
            if self._cell(pad, entry, x, y):
                dropped.append(entry.title)
        if dropped:
            pad.text(EDGE, FOOT - 1.5, _cut(f"Shortened: {', '.join(dropped)}", 190, 8.5), 8.5)
        return pad.scene(title, f"Page {number}")

    def _cell(self, pad: Pad, entry: Entry, x: float, top: float) -> bool:
        """One exercise; whether something had no room."""
        cell = self.cells[entry.stem]
        pad.text(x, top + 5, _cut(entry.title, COLUMN, 12.5), 12.5, "bold")
        facts = [(said.heights(entry, self.units), "bold")]
        facts += [(f"  {entry.jumps}", "bold"), (" jumps" if entry.jumps != 1 else " jump", "")]
        if entry.minutes:
            facts += [(f"  {entry.minutes}", "bold"), (" min", "")]
        facts.append((f"  {said.smallest_ring(entry, self.units)}", ""))
        pad.runs(x, top + 10, [
            (text, 10.5, "bold" if weight else "regular") for text, weight in facts
        ])  # fmt: skip
        pad.items.append(cell.plan.at(x, top + 12.5))
        y = top + 12.5 + DRAWN + 2
        y = pad.paragraph(x, y, COLUMN, _lines(entry.purpose, COLUMN, 10.5, 3), 10.5) + 5
        y = pad.paragraph(x, y, COLUMN, _lines(cell.ride, COLUMN, 10.5, 4, "semibold"), 10.5,
                          "semibold") + 5.2  # fmt: skip
        rows = [("to carry", f"{said.carried(entry)} of standards" if entry.pieces.pairs else
                 said.carried(entry))]  # fmt: skip
        rows += [("easier", text) for text in cell.easier[:1]]
        rows += [("harder", text) for text in cell.harder[:1]]
        links = self.library.links
        rows += [("first", self._title(stem)) for stem in links.before[entry.stem][:1]]
        rows += [("then", self._title(stem)) for stem in links.after[entry.stem][:1]]
        for label, text in rows:
            lines = broken(text, COLUMN - 15, 10)
            if y + (min(len(lines), 2) - 1) * points(10) * 1.22 - top > FULL:
                return True
            pad.text(x + 13, y, label, 8.5, "regular", "end")
            y = pad.paragraph(x + 15, y, COLUMN - 15, _lines(text, COLUMN - 15, 10, 2), 10) + 4.6
        return False

    def _title(self, stem: str) -> str:
        entry = next((e for e in self.entries if e.stem == stem), None)
        return f"{entry.title}, page {self.page_of[stem]}" if entry else stem


def _cut(text: str, width: float, size: float) -> str:
    """One line of at most `width` mm, three dots for what is cut off."""
    if text_width(text, points(size)) <= width:
        return text
    while text and text_width(text + "…", points(size), "bold") > width:
        text = text[:-1]
    return text.rstrip() + "…"


def _lines(text: str, width: float, size: float, most: int, weight: str = "regular") -> str:
    """As many whole words as `most` lines of that width hold."""
    lines = broken(text, width, size, weight)  # type: ignore[arg-type]
    if len(lines) <= most:
        return text
    return " ".join(lines[:most]).rsplit(" ", 1)[0].rstrip(" ,;—") + " …"
