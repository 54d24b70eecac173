"""What of a site is made from one exercise alone: drawings, prints, and the texts of its page."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from diagram.diagnostics import RejectedError
from diagram.units import Units

Files = dict[str, bytes]


@dataclass(frozen=True, slots=True)
class SiteJob:
    """One exercise to work on. `name` is what its files are called."""

    exercise: Path
    name: str
    paper: str
    units: Units
    prints: bool


@dataclass(frozen=True, slots=True)
class SiteWork:
    """Its files by their path in the site, and the values that its page is filled with."""

    files: Files
    values: dict[str, Any]


def work_for_site(job: SiteJob) -> SiteWork:
    """All of it. Raises ValueError for an exercise that cannot be read."""
    from diagram.library.building import made
    from diagram.library.page_values import page_values
    from diagram.library.site_drawings import inline, small, small_size
    from diagram.pipeline import drawing_bytes, plans, upright_drawing, wide_drawing

    try:
        rides = plans(job.exercise)
    except RejectedError as problem:
        raise ValueError(str(problem)) from None
    planned = rides[0]
    values = page_values(planned, job.units)
    picture = values["picture"]
    wide = wide_drawing(planned, job.units)
    tall = upright_drawing(planned, job.units)
    values["wide"] = inline(wide, picture, f"{job.name}-wide", "wide")
    values["tall"] = inline(tall, picture, f"{job.name}-tall", "tall")
    values["small"] = small_size(planned)
    files = {f"drawings/{job.name}.small.svg": small(planned)}
    if job.prints:
        files[f"drawings/{job.name}.svg"] = drawing_bytes(planned, "svg", units=job.units)
        for kind in ("card", "leaf"):
            pdf = made(rides, kind, job.paper, job.units)
            files[f"pdf/{job.name}.{kind}.pdf"] = pdf
            values[f"{kind}_kb"] = max(1, round(len(pdf) / 1000))
            values[f"{kind}_pages"] = _pages(pdf)
    return SiteWork(files, values)


def _pages(pdf: bytes) -> int:
    """Pages of a PDF of our own, whose page objects are not compressed."""
    return pdf.count(b"/Type /Page\n") + pdf.count(b"/Type /Page ")
