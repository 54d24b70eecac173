"""What of a site is made from one exercise alone: drawings, prints, and the texts of its page."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from msgspec import Struct

from diagram.diagnostics import RejectedError
from diagram.units import Units

Files = dict[str, bytes]


class SiteJob(Struct, frozen=True):
    """One exercise to work on. `name` is what its files are called."""

    exercise: Path
    name: str
    paper: str
    units: Units
    prints: bool


class SiteWork(Struct, frozen=True):
    """Its files by their path in the site, and the values that its page is filled with."""

    files: Files
    values: dict[str, Any]


def work_for_site(job: SiteJob) -> SiteWork:
    """All of it. Raises ValueError for an exercise that cannot be read."""
    from diagram.library.building import Prints
    from diagram.library.page_values import page_values
    from diagram.library.site_drawings import inline, small, small_size
    from diagram.pipeline import plans, upright_drawing, wide_drawing

    try:
        rides = plans(job.exercise)
    except RejectedError as problem:
        raise ValueError(str(problem)) from None
    planned, *others = rides
    values = page_values(rides, job.units)
    for n, (ride, told) in enumerate(zip(rides, values["rides"], strict=True)):
        name = f"{job.name}-{n + 1}" if others else job.name
        wide, tall = wide_drawing(ride, job.units), upright_drawing(ride, job.units)
        told["wide"] = inline(wide, told["picture"], f"{name}-wide", "wide")
        told["tall"] = inline(tall, told["picture"], f"{name}-tall", "tall")
        if job.prints:
            told["drawing"] = f"{name}.svg"
    values["small"] = small_size(planned)
    files = {f"drawings/{job.name}.small.svg": small(planned, others)}
    if job.prints:
        prints = Prints(rides, job.paper, job.units)
        for n, told in enumerate(values["rides"]):
            files[f"drawings/{told['drawing']}"] = prints.of("drawing", n)
        for kind in ("card", "leaf"):
            pdf = prints.of(kind)
            files[f"pdf/{job.name}.{kind}.pdf"] = pdf
            values[f"{kind}_kb"] = max(1, round(len(pdf) / 1000))
            values[f"{kind}_pages"] = _pages(pdf)
    return SiteWork(files, values)


def _pages(pdf: bytes) -> int:
    """Pages of a PDF of our own, whose page objects are not compressed."""
    return pdf.count(b"/Type /Page\n") + pdf.count(b"/Type /Page ")
