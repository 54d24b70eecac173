"""What was really built, as PDF to be read in the ring and as plain values for machines."""

from __future__ import annotations

import io
import math
from typing import TYPE_CHECKING, Any

from diagram.drawing.as_built import draw_as_built
from diagram.drawing.sheet import fitted
from diagram.plain import degrees, metres
from diagram.sections.page import FOOT_HEIGHT, Page, page_of
from diagram.survey.as_built import AsBuilt, FoundFence, WrongTape
from diagram.survey.as_built_words import verdict
from diagram.survey.lines_now import LineNow, how_it_rides
from diagram.survey.moves import Remedy
from diagram.survey.places import feet_at
from diagram.typeface import FACE_NAMES
from diagram.units import Units
from diagram.writers.foot import draw_foot
from diagram.writers.pdf import POINTS_PER_MM, draw_scene, font_name, mark_document, open_canvas

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

UPRIGHT, LYING = 0.48, 0.8
"""The drawing takes at most this much of the height of the first page, as it is held."""


def as_built_pdf(found: AsBuilt, *, paper: str = "A4", units: Units = "feet") -> bytes:
    """The report as a PDF, the same bytes for the same tapes. Raises ValueError for a paper that
    is not known, and when the arena fits at no scale."""
    from diagram.sections.as_built import flowables, heading
    from diagram.sections.cautions import flowables as cautions
    from diagram.sections.drawing import flowables as drawing

    # The faces must be known by name before any section sets a word in one.
    for weight in FACE_NAMES:
        font_name(weight)
    page, height = _roomier(found, paper, units)
    off = [fence.fence for fence in found.fences if fence.found and fence.off]
    drawn = draw_as_built(found.plan, found.built, off, page.inner_width, height, units)
    story = [*heading(found), *drawing(drawn, draw_scene), *flowables(found, page)]
    story += cautions(found.plan, page)
    title = f"{found.plan.definition.title}: as built"
    return _set(story, page, title, f"scale 1:{drawn.frame.denominator:g}")


def _set(story: list[Any], page: Page, title: str, scale: str) -> bytes:
    """Flowables on as many pages as they need, each with its foot."""
    from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

    out = io.BytesIO()
    canvas = open_canvas(out, (page.width_mm, page.height_mm), title)
    k = POINTS_PER_MM
    frame = Frame(
        page.margin * k, (page.margin + FOOT_HEIGHT) * k, page.inner_width * k,
        page.inner_height * k, leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0,
    )  # fmt: skip

    def foot(canvas: Canvas, document: Any) -> None:
        draw_foot(canvas, page, title, f"{scale} · page {document.page}")

    document = BaseDocTemplate(
        out, pagesize=(page.width_mm * k, page.height_mm * k),
        pageTemplates=[PageTemplate("page", [frame], onPage=foot)],
    )  # fmt: skip
    # Title and marks are set once all pages are laid out, so the document stays open.
    document._doSave = 0
    document.build(story, canvasmaker=lambda *_, **__: canvas)
    mark_document(canvas, title)
    canvas.showOutline()
    canvas.save()
    return out.getvalue()


def _roomier(found: AsBuilt, paper: str, units: Units) -> tuple[Page, float]:
    """The page held so that the drawing is larger, upright if that makes no difference."""
    choices = []
    for lying, share in ((False, UPRIGHT), (True, LYING)):
        page = page_of(paper, lying, units)
        height = page.inner_height * share
        try:
            scale = fitted(found.plan, page.inner_width, height).denominator
        except ValueError:
            scale = math.inf
        choices.append((scale, lying, page, height))
    _, _, page, height = min(choices, key=lambda choice: choice[:2])
    return page, height


def as_built_values(found: AsBuilt) -> dict[str, Any]:
    """Everything that was found, as dictionaries and lists: metres, degrees, the arena's frame.

    `ahead_m`, `left_m` and `turned_deg` (left positive) are as seen when a fence is first jumped;
    ellipses and `turn_error_deg` hold the truth with 95 %, and the direction of an ellipse is
    anticlockwise from x.
    """
    return {
        "title": found.plan.definition.title,
        "file": found.plan.document.name,
        "measured": found.measured.name,
        "verdict": verdict(found),
        "tapes": len(found.measured.tapes),
        "left_blank": found.measured.blank,
        "degrees_of_freedom": found.freedom,
        "sigma0": round(found.sigma0, 4),
        "tape_error_m": found.measured.error_m,
        "wrong_tapes": [_wrong(wrong) for wrong in found.wrong],
        "fences": [_fence(fence) for fence in found.fences],
        "lines": [_line(now) for now in found.lines],
        "moves": _remedy(found.remedy, found),
        "moves_to_be_exact": _remedy(found.exact, found),
        "tapes_for_lines": [
            {"from": line.ends[0], "to": line.ends[1], "tapes": [list(pair) for pair in pairs]}
            for line, pairs in found.more.items()
        ],
        "findings": [finding.to_json() for finding in found.findings],
    }


def _m(value: float | None) -> float | None:
    return None if value is None else metres(value)


def _degrees(value: float | None) -> float | None:
    return None if value is None else degrees(value)


def _wrong(wrong: WrongTape) -> dict[str, Any]:
    return {
        "line": wrong.line,
        "from": wrong.tape.first,
        "to": wrong.tape.second,
        "taped_m": _m(wrong.tape.metres),
        "too_long_m": _m(wrong.error_m),
        "fits": list(wrong.fits) if wrong.fits else None,
        "against": wrong.against,
        "or_else": [[tape.first, tape.second] for tape in wrong.or_else],
    }


def _fence(fence: FoundFence) -> dict[str, Any]:
    known: dict[str, Any] = {"name": fence.fence, "known": fence.found, "tapes": fence.tapes}
    if not fence.found:
        return known | {"tape_these": [list(pair) for pair in fence.more]}
    return known | {
        "x_m": _m(fence.pose.x),
        "y_m": _m(fence.pose.y),
        "ahead_m": _m(fence.ahead_m),
        "left_m": _m(fence.left_m),
        "turned_deg": _degrees(fence.turned),
        "turn_error_deg": _degrees(fence.turn_error),
        "ellipse": {
            "major_m": _m(fence.ellipse.major_m),
            "minor_m": _m(fence.ellipse.minor_m),
            "direction_deg": _degrees(fence.ellipse.direction),
        },
        "off": fence.off,
        "back_to_front": fence.back_to_front,
        "checked": fence.checked,
        "in_doubt": fence.doubtful,
        "misfit_m": _m(fence.misfit_m),
    }


def _line(now: LineNow) -> dict[str, Any]:
    first, second = now.line.ends
    return {
        "from": first,
        "to": second,
        "planned_m": _m(now.line.planned_m),
        "range_m": [_m(now.line.low_m), _m(now.line.high_m)],
        "within_m": _m(now.line.tolerance_m),
        "now_m": _m(now.length_m),
        "sigma_m": _m(now.sigma_m) if now.known else None,
        "turned_deg": [_degrees(skew) for skew in now.skew],
        "rides": how_it_rides(now, "feet"),
        "rideable": now.rideable if now.known else None,
        "as_asked": now.as_asked if now.known else None,
    }


def _remedy(remedy: Remedy | None, found: AsBuilt) -> dict[str, Any] | None:
    if remedy is None:
        return None
    places = {move.fence: move.end for move in remedy.moves}
    feet = feet_at(found.plan, places)
    return {
        "fences": [
            {
                "name": move.fence,
                "metres": _m(move.metres),
                "x_m": _m(move.end.x),
                "y_m": _m(move.end.y),
                "feet": {
                    foot: [_m(x), _m(y)]
                    for foot, (x, y) in feet.items()
                    if foot.startswith(f"{move.fence} ")
                },
            }
            for move in remedy.moves
        ],
        "to_plan": remedy.to_plan,
        "instead": [list(names) for names in remedy.instead],
        "lines": [
            {"from": now.line.ends[0], "to": now.line.ends[1], "then_m": _m(now.length_m)}
            for now in remedy.lines
        ],
    }
