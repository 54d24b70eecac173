"""Drawings as a page can hold them: slim, without style of their own, every name its own.

A page forbids inline style, and its fonts do not reach into pictures; so the large drawings
stand in the page itself, their type named by classes of the style sheet, and the small ones
have no words in them. Names that several drawings on one page might share get a prefix.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from xml.etree import ElementTree

from diagram.library.small_plan import phases
from diagram.planning import Plan
from diagram.scene import Scene
from diagram.style import PAPER, phase_pen
from diagram.writers.files import legal_text
from diagram.writers.svg import svg_text

SVG = "http://www.w3.org/2000/svg"
PIXELS_PER_METRE = 1.8
"""Of the small drawings: one scale for a whole list, so that a small ring looks small."""
SAGITTA_M = 0.25
BORDER = 3.0
"""Pixels round the arena of a small drawing."""

_NAMES = ("id", "class")
_DROPPED = ("style", "lang", "{http://www.w3.org/XML/1998/namespace}lang", "version", "role",
            "baseProfile", "font-family", "width", "height")  # fmt: skip


def inline(scene: Scene, title: str, prefix: str, view: str) -> str:
    """A drawing as markup of a page: one picture with a name, its insides for the eye only."""
    ElementTree.register_namespace("", SVG)
    root = ElementTree.fromstring(svg_text(scene, type_as="named"))
    _slim(root, prefix)
    for name in _DROPPED:
        root.attrib.pop(name, None)
    root.set("role", "img")
    root.set("class", f"plan {view}")
    root.set("aria-labelledby", f"{prefix}-title")
    label = ElementTree.Element(f"{{{SVG}}}title", {"id": f"{prefix}-title"})
    label.text = legal_text(title)
    root.insert(0, label)
    return _text(root)


def _slim(parent: ElementTree.Element, prefix: str) -> None:
    """Without titles inside, without style, with classes that no page uses for itself."""
    for child in list(parent):
        said = child.tag in (f"{{{SVG}}}title", f"{{{SVG}}}desc")
        if said or (child.tag == f"{{{SVG}}}defs" and not len(child)):
            parent.remove(child)
            continue
        for name in ("style", "role"):
            child.attrib.pop(name, None)
        for name in _NAMES:
            if name in child.attrib:
                child.set(name, f"{prefix}-{child.get(name)}" if name == "id" else "d")
        if child.get("class") == "d":
            child.attrib.pop("class")
        weight = child.attrib.pop("font-weight", None)
        if child.tag == f"{{{SVG}}}text":
            child.set("class", {"600": "t6", "700": "t7"}.get(weight or "", "t4"))
            child.attrib.pop("{http://www.w3.org/XML/1998/namespace}space", None)
        child.tail = None
        _slim(child, prefix)
    parent.text = parent.text if parent.tag.endswith(("text", "title")) else None


def _text(root: ElementTree.Element) -> str:
    """The markup as HTML knows it: without namespaces."""
    text = ElementTree.tostring(root, encoding="unicode", short_empty_elements=True)
    return re.sub(r'\s*xmlns(:\w+)?="[^"]*"', "", text)


def small(plan: Plan, others: Sequence[Plan] = ()) -> bytes:
    """The drawing of a list: rail, fences and tracks, about a kilobyte, no words; of `others` too,
    which are rides over the same fences."""
    x0, y0, x1, y1 = plan.arena.region.bounds
    wide = (x1 - x0) * PIXELS_PER_METRE + 2 * BORDER
    high = (y1 - y0) * PIXELS_PER_METRE + 2 * BORDER

    def place(point: tuple[float, float]) -> str:
        x = (point[0] - x0) * PIXELS_PER_METRE + BORDER
        y = (y1 - point[1]) * PIXELS_PER_METRE + BORDER
        return f"{x:.1f},{y:.1f}".replace(".0", "")

    def line(points: list[tuple[float, float]]) -> str:
        return "M" + " ".join(dict.fromkeys(place(point) for point in points))

    marks = [f'<path d="{line(list(plan.arena.region.corners))}Z" fill="{PAPER}" stroke="#000"/>']
    paths: dict[int, str] = {}
    for leg, phase in phases(plan, *others):
        points = [(float(x), float(y)) for x, y in leg.curve.outline(SAGITTA_M)]
        paths[phase] = paths.get(phase, "") + line(points)
    for phase, path in paths.items():
        pen = phase_pen(phase)
        dash = f' stroke-dasharray="{" ".join(f"{d:g}" for d in pen.dash)}"' if pen.dash else ""
        marks.append(f'<path d="{path}" stroke="{pen.colour}" stroke-width="1.5"{dash}/>')
    bars = ""
    for fence in plan.fences:
        for bar in fence.fence.parts.bars:
            if bar.kind != "ground line":
                bars += line([fence.ground(bar.start), fence.ground(bar.end)])
    marks.append(f'<path d="{bars}" stroke="#000" stroke-width="2"/>')
    head = (
        f'<svg xmlns="{SVG}" width="{wide:.0f}" height="{high:.0f}" '
        f'viewBox="0 0 {wide:.1f} {high:.1f}" fill="none">'
    )
    return (head + "".join(marks) + "</svg>\n").encode()


def small_size(plan: Plan) -> tuple[int, int]:
    """Width and height of the small drawing in pixels."""
    x0, y0, x1, y1 = plan.arena.region.bounds
    return (
        round((x1 - x0) * PIXELS_PER_METRE + 2 * BORDER),
        round((y1 - y0) * PIXELS_PER_METRE + 2 * BORDER),
    )
