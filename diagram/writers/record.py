"""Pages of the record as one PDF: observation sheets, the page of a pair, the whole yard."""

from __future__ import annotations

import io
from collections.abc import Sequence

from diagram.scene import Scene
from diagram.writers.pdf import POINTS_PER_MM, draw_scene, open_canvas


def pages_bytes(scenes: Sequence[Scene]) -> bytes:
    """Every scene on a page of its own size; the same bytes for the same scenes.

    Raises ValueError for no scene at all.
    """
    if not scenes:
        raise ValueError("there is no page to write")
    out = io.BytesIO()
    first = scenes[0]
    canvas = open_canvas(out, (first.width, first.height), first.title)
    canvas.setSubject(first.description)
    for n, scene in enumerate(scenes):
        canvas.setPageSize((scene.width * POINTS_PER_MM, scene.height * POINTS_PER_MM))
        draw_scene(canvas, scene, 0.0, scene.height)
        canvas.bookmarkPage(f"page-{n + 1}")
        canvas.addOutlineEntry(scene.title, f"page-{n + 1}", 0)
        canvas.showPage()
    canvas.save()
    return out.getvalue()
