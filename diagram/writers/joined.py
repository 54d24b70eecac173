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
