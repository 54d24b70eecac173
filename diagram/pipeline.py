"""The stages called in order: what the command line and Python code use."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from msgspec.structs import replace

if TYPE_CHECKING:
    from diagram.drawing import Drawn
    from diagram.planning import Plan
    from diagram.scene import Scene
    from diagram.source import Document
    from diagram.stakeout.crew import Crew
    from diagram.stakeout.setting import SettingOut
    from diagram.units import Units


def plan(path: Path | str, ride: str = "") -> Plan:
    """Read, place, ride and check one exercise file. Raises RejectedError.

    Of several rides it is the one that is named, or the first. The plan draws itself in a
    notebook.
    """
    from diagram.exercise.read_exercise import document_of
    from diagram.source import content_of

    return _planned(document_of(content_of(path), str(path)), ride)


def plan_text(text: str, name: str = "<text>", ride: str = "") -> Plan:
    """The same from the text of a file that need not be there. Raises RejectedError."""
    from diagram.exercise.read_exercise import document_of

    return _planned(document_of(text, name), ride)


def plans(path: Path | str) -> tuple[Plan, ...]:
    """A plan for each ride of a file, all over the same fences. Raises RejectedError."""
    from diagram.exercise.read_exercise import definition_of, document_of
    from diagram.planning import make_plans
    from diagram.source import content_of

    document = document_of(content_of(path), str(path))
    return tuple(map(_checked, make_plans(document, definition_of(document))))


def _planned(document: Document, ride: str) -> Plan:
    from diagram.exercise.read_exercise import definition_of
    from diagram.planning import make_plan

    return _checked(make_plan(document, definition_of(document), ride))


def _checked(made: Plan) -> Plan:
    from diagram.checks import check
    from diagram.unset import unset_texts

    checked = check(made)
    findings = (*checked.findings, *unset_texts(made.document))
    return replace(checked, findings=findings, shown_by=_svg_text)


def _svg_text(plan: Plan) -> str:
    from diagram.writers.svg import svg_text

    return svg_text(drawing_of(plan).scene)


ViewName = Literal["sheet", "phases", "phone", "wall", "colouring"]

PHONE_WIDTH_MM, PHONE_PIXELS = 120.0, 1080
WALL_SCALE = 100.0
WIDE_MM, UPRIGHT_MM = 250.0, 120.0
"""Widths of a drawing that stands in a page, for a wide screen and for a narrow one."""


def drawing_of(
    plan: Plan,
    paper: str = "A4",
    units: Units = "feet",
    *,
    view: ViewName = "sheet",
    scale: float | None = None,
    why: bool = False,
) -> Drawn:
    """The drawing of a plan on a sheet of its own: side 1 of its card, or another view of it.

    `scale` is the denominator wanted for the view `wall`; `why` adds the places looked at for
    each label. Raises ValueError for a paper not known and when the arena does not fit.
    """
    from diagram.drawing import (
        View,
        draw_alone,
        draw_phases,
        draw_side_one,
        for_colouring,
        sheet_of,
    )  # fmt: skip

    sheet = sheet_of(paper)
    if view == "phases":
        return draw_phases(plan, sheet, units)
    if view == "phone":
        return draw_alone(plan, PHONE_WIDTH_MM, units, View(turned=True, why=why))
    if view == "wall":
        # Type and pens grow with the ground: a wall is read from further away than a page.
        return draw_side_one(plan, sheet, units, View(why=why), enlarged_to=scale or WALL_SCALE)
    drawn = draw_side_one(plan, sheet, units, View(why=why))
    return replace(drawn, scene=for_colouring(drawn.scene)) if view == "colouring" else drawn


def wide_drawing(plan: Plan, units: Units = "feet") -> Scene:
    """The drawing alone, to stand in a page on a wide screen: the page has its own words."""
    from diagram.drawing import View, draw_plan

    return draw_plan(plan, WIDE_MM, math.inf, units, view=View()).scene


def upright_drawing(plan: Plan, units: Units = "feet") -> Scene:
    """The same for a screen that is narrow and high."""
    from diagram.drawing import View, draw_plan

    return draw_plan(plan, UPRIGHT_MM, math.inf, units, view=View(turned=True)).scene


def draw(
    plan: Plan,
    path: Path | str,
    *,
    paper: str = "A4",
    units: Units = "feet",
    dpi: float = 200,
    view: ViewName = "sheet",
    scale: float | None = None,
) -> None:
    """Write the drawing of a plan; the ending of `path` says as what: any of the writers
    there are.

    Raises ValueError for another ending, WriterUnavailable when a system library is missing.
    """
    from diagram.writers.files import write_bytes

    file = Path(path)
    kind = file.suffix.lstrip(".").lower()
    drawn = drawing_of(plan, paper, units, view=view, scale=scale)
    write_bytes(file, drawn_bytes(drawn, kind, paper=paper, dpi=dpi, view=view))


def drawing_bytes(
    plan: Plan, kind: str, *, paper: str = "A4", units: Units = "feet", dpi: float = 200
) -> bytes:
    """The drawing on one sheet as a file of any kind that there is a writer for."""
    return drawn_bytes(drawing_of(plan, paper, units), kind, paper=paper, dpi=dpi)


def drawn_bytes(
    drawn: Drawn, kind: str, *, paper: str = "A4", dpi: float = 200, view: ViewName = "sheet"
) -> bytes:
    """A drawing as a file of any kind that there is a writer for.

    A PNG for a phone is PHONE_PIXELS wide at any `dpi`.
    """
    from diagram.writers import scene_writer, scene_writers

    scene = drawn.scene
    if kind == "pdf" and view == "wall":
        from diagram.sections.page import PAPERS
        from diagram.writers.tiles import tiled_bytes

        return tiled_bytes(scene, PAPERS[paper])
    if kind == "png":
        from diagram.writers import png

        exact = PHONE_PIXELS / (scene.width / 25.4)
        return png.scene_bytes(scene, dpi=exact if view == "phone" else dpi)
    writer = scene_writer(kind)
    if writer is None:
        raise ValueError(f"a drawing is written as {', '.join(scene_writers())}, not as {kind!r}")
    return writer(scene)


def card(
    plan: Plan, path: Path | str, *, paper: str = "A4", units: Units = "feet", sides: int = 2
) -> None:
    """Write the lesson card of a plan as PDF, on two sides of a sheet or on one.

    Raises ValueError where one side does not hold it.
    """
    from diagram.writers.card import card_bytes
    from diagram.writers.files import write_bytes

    write_bytes(Path(path), card_bytes(plan, paper=paper, units=units, sides=sides))


def setting_of(
    plan: Plan, crew: Crew, after: Plan | None = None, pegs_before: int | None = None
) -> SettingOut:
    """How a crew sets a plan up, with what the yard's store has; `pegs_before` are those of the
    leaves before, where it is not those of a leaf of `after` alone.

    Raises ValueError for a crew that carries from nowhere and for two different arenas.
    """
    from diagram.stakeout.setting import set_out

    return set_out(plan, crew, plan.store, after, pegs_before)


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
