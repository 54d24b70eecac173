"""A scene read back from its text, so that an old golden can be looked at again."""

from __future__ import annotations

import ast
import html
import re
from pathlib import Path
from typing import Any

from diagram.scene import Disc, Fill, Group, Item, Point, Scene, Stroke, Text
from diagram.style import Pen
from diagram.writers.svg import svg_text

_NUMBER = r"-?\d+(?:\.\d+)?"
_STRING = r"'(?:[^'\\]|\\.)*'|\"(?:[^\"\\]|\\.)*\""
_PEN = (
    rf"(?:no pen|pen (?P<ink>#\w+) (?P<wide>{_NUMBER})"
    r"(?: dash (?P<dash>[\d. ]+?))? (?P<cap>butt|round))"
)
_STROKE = re.compile(rf"stroke (?P<sized>\w+) {_PEN}(?P<closed> closed)?: (?P<points>.*)")
_FILL = re.compile(rf"fill (?P<sized>\w+) (?P<colour>#\w+) {_PEN}: (?P<points>.*)")
_DISC = re.compile(
    rf"disc (?P<sized>\w+) (?P<colour>#\w+|None) {_PEN}: (?P<points>\S+) r (?P<radius>{_NUMBER})"
)
_TEXT = re.compile(
    rf"text (?P<sized>\w+) (?P<size>{_NUMBER}) (?P<weight>\w+) (?P<anchor>\w+)"
    rf"(?: turned (?P<turn>{_NUMBER}))?(?: spaced (?P<spacing>{_NUMBER}))? (?P<colour>#\w+): "
    rf"(?P<points>\S+) (?P<text>{_STRING})"
)
_GROUP = re.compile(rf"group (?P<name>{_STRING})(?: (?P<title>{_STRING}))?")
_HEAD = re.compile(rf"scene ({_NUMBER}) x ({_NUMBER}) (not to scale|1:{_NUMBER}) ({_STRING})")


def read_scene(text: str) -> Scene:
    """The scene that `scene_dump.dump` wrote. Raises ValueError for any other text."""
    lines = text.rstrip("\n").split("\n")
    head = _HEAD.fullmatch(lines[0])
    if not head or len(lines) < 3:
        raise ValueError("this is no scene")
    title, description = (ast.literal_eval(line.partition(" ")[2]) for line in lines[1:3])
    items, end = _items(lines, 3, 0)
    if end != len(lines):
        raise ValueError(f"line {end + 1} is no mark: {lines[end]}")
    scale = None if head[3] == "not to scale" else float(head[3][2:])
    language = ast.literal_eval(head[4])
    return Scene(float(head[1]), float(head[2]), items, title, description, language, scale)


def _items(lines: list[str], at: int, depth: int) -> tuple[tuple[Item, ...], int]:
    out: list[Item] = []
    while at < len(lines) and lines[at].startswith("  " * depth):
        line = lines[at][2 * depth :]
        if match := _GROUP.fullmatch(line):
            children, at = _items(lines, at + 1, depth + 1)
            title = ast.literal_eval(match["title"]) if match["title"] else ""
            out.append(Group(ast.literal_eval(match["name"]), children, title))
            continue
        out.append(_mark(line))
        at += 1
    return tuple(out), at


def _mark(line: str) -> Item:
    if match := _STROKE.fullmatch(line):
        pen = _pen(match)
        assert pen is not None
        return Stroke(_points(match), pen, bool(match["closed"]), _sized(match))
    if match := _FILL.fullmatch(line):
        return Fill(_points(match), match["colour"], _pen(match), _sized(match))
    if match := _DISC.fullmatch(line):
        fill = None if match["colour"] == "None" else match["colour"]
        return Disc(_points(match)[0], float(match["radius"]), fill, _pen(match), _sized(match))
    if match := _TEXT.fullmatch(line):
        style: Any = (match["weight"], match["anchor"])
        return Text(
            _points(match)[0], ast.literal_eval(match["text"]), float(match["size"]), *style,
            float(match["turn"] or 0), match["colour"], _sized(match),
            float(match["spacing"] or 0),
        )  # fmt: skip
    raise ValueError(f"no mark: {line}")


def _sized(match: re.Match[str]) -> Any:
    return match["sized"]


def _points(match: re.Match[str]) -> tuple[Point, ...]:
    pairs = (pair.split(",") for pair in match["points"].split())
    return tuple((float(x), float(y)) for x, y in pairs)


def _pen(match: re.Match[str]) -> Pen | None:
    if match["ink"] is None:
        return None
    dash = tuple(float(part) for part in (match["dash"] or "").split())
    cap: Any = match["cap"]
    return Pen(match["ink"], float(match["wide"]), dash, cap)


def before_and_after(folder: Path, name: str, old: str, new: str) -> Path:
    """A page with two drawings, one over the other, from their goldens."""
    folder.mkdir(parents=True, exist_ok=True)
    parts = [f"<h1>{html.escape(name)}</h1>"]
    for title, golden in (("before", old), ("after", new)):
        _, _, text = golden.partition("\n\n")
        drawing = svg_text(read_scene(text)) if text else "<p>There was none.</p>"
        parts.append(f"<h2>{title}</h2><div>{drawing}</div>")
    page = folder / f"{name}.html"
    style = "<style>body{font-family:sans-serif}div{border:1px solid #999}</style>"
    page.write_text(
        f"<!doctype html><meta charset='utf-8'><title>{html.escape(name)}</title>{style}"
        + "".join(parts),
        encoding="utf-8",
    )
    return page
