"""The stages called in order: what the command line and Python code use."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from diagram.drawing import Drawn
    from diagram.planning import Plan
    from diagram.setting_out.crew import Crew
    from diagram.setting_out.setting import SettingOut
    from diagram.source import Document
    from diagram.units import Units


def plan(path: Path | str) -> Plan:
    """Read, place, ride and check one exercise file. Raises RejectedError.

    The plan draws itself in a notebook.
    """
    from diagram.source import read

    return _planned(read(path))


def plan_text(text: str, name: str = "<text>") -> Plan:
    """The same from the text of a file that need not be there. Raises RejectedError."""
    from diagram.source import read_text

    return _planned(read_text(text, name))


def _planned(document: Document) -> Plan:
    from diagram.checks import check
    from diagram.model import Definition, validate
    from diagram.planning import make_plan

    made = check(make_plan(document, validate(document, Definition)))
    return replace(made, shown_by=_svg_text)


def _svg_text(plan: Plan) -> str:
    from diagram.writers.svg import svg_text

    return svg_text(drawing_of(plan).scene)


def drawing_of(plan: Plan, paper: str = "A4", units: Units = "feet") -> Drawn:
    """The drawing of a plan on a sheet of its own, whichever way round it comes out larger."""
    from diagram.drawing import draw_plan
    from diagram.drawing.sheet import better_way_round
    from diagram.sections.page import PAPERS

    width, height = better_way_round(plan, *(side - 2 * SHEET_MARGIN for side in PAPERS[paper]))
    return draw_plan(plan, width, height, units, titled=True)


SHEET_MARGIN = 10.0
"""Millimetres of paper that printers cannot be trusted with."""

FORMATS = ("svg", "pdf", "png")


def draw(
    plan: Plan,
    path: Path | str,
    *,
    paper: str = "A4",
    units: Units = "feet",
    dpi: float = 200,
) -> None:
    """Write the drawing of a plan; the ending of `path` says as what (svg, pdf, png).

    Raises ValueError for another ending, WriterUnavailable when a system library is missing.
    """
    from diagram.writers.files import write_bytes

    file = Path(path)
    kind = file.suffix.lstrip(".").lower()
    write_bytes(file, drawing_bytes(plan, kind, paper=paper, units=units, dpi=dpi))


def drawing_bytes(
    plan: Plan, kind: str, *, paper: str = "A4", units: Units = "feet", dpi: float = 200
) -> bytes:
    """The drawing as svg, pdf or png."""
    drawn = drawing_of(plan, paper, units)
    if kind == "svg":
        from diagram.writers import svg

        return svg.scene_bytes(drawn.scene)
    if kind == "pdf":
        from diagram.sections.page import PAPERS
        from diagram.writers import pdf

        width, height = PAPERS[paper]
        if drawn.scene.width > width - 2 * SHEET_MARGIN + 0.01:
            width, height = height, width
        return pdf.scene_bytes(drawn.scene, page_mm=(width, height))
    if kind == "png":
        from diagram.writers import png

        return png.scene_bytes(drawn.scene, dpi=dpi)
    raise ValueError(f"a drawing is written as {', '.join(FORMATS)}, not as {kind!r}")


def card(plan: Plan, path: Path | str, *, paper: str = "A4", units: Units = "feet") -> None:
    """Write the lesson card of a plan as PDF."""
    from diagram.writers.card import card_bytes
    from diagram.writers.files import write_bytes

    write_bytes(Path(path), card_bytes(plan, paper=paper, units=units))


def setting_of(plan: Plan, crew: Crew, after: Plan | None = None) -> SettingOut:
    """How a crew sets a plan up, with what the yard's store has.

    Raises RejectedError for a store list that cannot be read, ValueError for a crew that
    carries from nowhere and for two different arenas.
    """
    from diagram.setting_out.setting import set_out
    from diagram.setting_out.store import find_store

    return set_out(plan, crew, find_store(plan.document), after)


def setting_bytes(
    setting: SettingOut, kind: str, *, paper: str = "A4", track: bool = False, form: bool = False
) -> bytes:
    """The setting-out sheet as pdf, csv or json."""
    if kind == "csv":
        from diagram.writers.setting_csv import csv_bytes

        return csv_bytes(setting)
    if kind == "json":
        from diagram.writers.setting_json import json_bytes

        return json_bytes(setting)
    if kind == "pdf":
        from diagram.writers.setting_sheet import sheet_bytes

        return sheet_bytes(setting, paper=paper, track=track, form=form)
    raise ValueError(f"a setting-out sheet is written as pdf, csv or json, not as {kind!r}")
