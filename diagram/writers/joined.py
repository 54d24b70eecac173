"""Several PDFs as one, each with its title in the outline: the same bytes for the same parts."""

from __future__ import annotations

import io
from collections.abc import Sequence


def joined(parts: Sequence[tuple[str, bytes]], title: str) -> bytes:
    """The pages of all parts in their order. Raises ValueError for no parts."""
    from pypdf import PdfReader, PdfWriter
    from pypdf.generic import BooleanObject, DictionaryObject, NameObject, TextStringObject

    if not parts:
        raise ValueError("there is nothing to join")
    out = PdfWriter()
    for name, data in parts:
        first = len(out.pages)
        for page in PdfReader(io.BytesIO(data)).pages:
            out.add_page(page)
        out.add_outline_item(title=name, page_number=first)
    # As in the parts: printed at full size, the title in the window, no date.
    out.add_metadata({"/Title": title, "/Creator": "Tapeline", "/Producer": "Tapeline"})
    wishes = DictionaryObject(
        {
            NameObject("/PrintScaling"): NameObject("/None"),
            NameObject("/DisplayDocTitle"): BooleanObject(True),
        }
    )
    out.root_object[NameObject("/ViewerPreferences")] = wishes
    out.root_object[NameObject("/Lang")] = TextStringObject("en")
    whole = io.BytesIO()
    out.write(whole)
    return whole.getvalue()


def page_count(data: bytes) -> int:
    """How many pages a PDF has."""
    from pypdf import PdfReader

    return len(PdfReader(io.BytesIO(data)).pages)


NUMBER_MM, NUMBER_POINTS = 6.0, 8.0
"""Where a page number stands under the upper edge, in a margin that the parts leave free."""


def numbered(data: bytes, title: str, first: int = 1) -> bytes:
    """The same PDF with title, number and count at the upper right of its pages from `first` on.

    A page of this size that is printed and dropped finds its place again.
    """
    from pypdf import PdfReader, PdfWriter

    from diagram.scene import Scene, Text
    from diagram.style import points
    from diagram.writers.pdf import POINTS_PER_MM
    from diagram.writers.record import pages_bytes

    source = PdfReader(io.BytesIO(data))
    count = len(source.pages)
    stamps = []
    for number, page in enumerate(source.pages[first - 1 :], first):
        wide = float(page.mediabox.width) / POINTS_PER_MM
        high = float(page.mediabox.height) / POINTS_PER_MM
        mark = Text((wide - 10.0, NUMBER_MM), f"{title}    page {number} of {count}",
                    points(NUMBER_POINTS), "regular", "end")  # fmt: skip
        stamps.append(Scene(wide, high, (mark,), title, ""))
    if not stamps:
        return data
    marks = PdfReader(io.BytesIO(pages_bytes(stamps))).pages
    out = PdfWriter(clone_from=source)
    for page, stamp in zip(out.pages[first - 1 :], marks, strict=True):
        page.merge_page(stamp)
    whole = io.BytesIO()
    out.write(whole)
    return whole.getvalue()
