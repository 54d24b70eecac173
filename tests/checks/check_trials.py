"""A short exercise with no findings, and changes of it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from diagram.checks import check
from diagram.diagnostics import Diagnostic
from diagram.model import Definition, validate
from diagram.planning import Plan, make_plan
from diagram.source import read_text

FOOT = 0.3048

BIRCH = "birch: {kind: vertical, at: [20 m, 8 m], facing: 0°, ground line: both sides}"
HAZEL = "hazel: {kind: oxer, spread: 2'6\", placed: 5 strides beyond birch}"
START = "start: canter, left lead"
GREEN = "{size: horse, experience: green, stride: 12'}"
FINISH = "finish: straight on, walk"
LINE = (START, "jump: birch", "line: 5 strides", "jump: hazel", FINISH)
ALONE = (START, "jump: birch", FINISH)


def written(
    fences: tuple[str, ...] = (BIRCH, HAZEL),
    ride: tuple[str, ...] = LINE,
    *,
    arena: str = "30 x 60 m",
    horses: str = "12' stride",
    more: str = "",
    purpose: bool = True,
) -> str:
    """The text of an exercise. Every jump says what it is for, unless `purpose` is False."""
    lines = [
        "tapeline: 1", "title: A trial", "purpose: To be checked.", "level: 3'",
        f"arena: {arena}", f"horses: {horses}", *([more] if more else []), "fences:",
    ]  # fmt: skip
    lines += [f"  {fence}" for fence in fences]
    lines.append("ride:")
    for step in ride:
        lines.append(f"  - {step}")
        if purpose and step.startswith("jump"):
            lines.append("    purpose: Said.")
    return "\n".join(lines) + "\n"


def fence(name: str, what: str, x: float = 30, y: float = 15, facing: float = 0) -> str:
    """A fence where it is wanted: ``fence("birch", "vertical, height: 1 m", 30)``."""
    return f"{name}: {{kind: {what}, at: [{x:.6g} m, {y:.6g} m], facing: {facing}°}}"


def single(what: str, said: str = "", x: float = 30, y: float = 15, **more: Any) -> str:
    """The text of an exercise with one fence, and how it is jumped."""
    return written((fence("birch", what, x, y),), (START, f"jump: birch{said}", FINISH), **more)


def trotted(what: str) -> str:
    """The text of an exercise with one fence that is met from trot."""
    return single(what).replace(START, "start: trot")


def grid(*elements: str, start: str = START, **more: Any) -> str:
    """The text of an exercise with one combination: ``grid("vertical", "oxer, after: 24'")``."""
    kinds = ", ".join(f"{{kind: {element}}}" for element in elements)
    whole = f"grid: {{kind: combination, at: [15 m, 15 m], facing: 0°, elements: [{kinds}]}}"
    return written((whole,), (start, "jump: grid", FINISH), **more)


def of_level(text: str, height: str) -> str:
    """The exercise at another height than 3'."""
    return text.replace("level: 3'", f"level: {height}")


def wanted(severity: str, said: str) -> list[tuple[str, str]]:
    """One finding that is expected, or none where no severity is named."""
    return [(severity, said)] if severity else []


def told(rule: str, text: str) -> list[tuple[str, str]]:
    """How grave each finding of one check is, and what it says and advises."""
    return [(str(f.severity), f"{f.message}. {f.hint}") for f in of_rule(planned(text), rule)]


def assert_told(rule: str, text: str, *expected: tuple[str, str]) -> None:
    """These findings and no others, each with these words in it."""
    found = told(rule, text)
    assert [severity for severity, _ in found] == [severity for severity, _ in expected], found
    for (_, said), (_, words) in zip(found, expected, strict=True):
        assert words in said


def planned(text: str, folder: Path | None = None) -> Plan:
    """The plan of a text, checked. `folder` is where the file would lie."""
    document = read_text(text, str(folder / "trial.yaml") if folder else "trial.yaml")
    return check(make_plan(document, validate(document, Definition)))


def trial(*args: Any, **more: Any) -> Plan:
    """The plan of a changed exercise."""
    return planned(written(*args, **more))


def of_rule(plan: Plan, rule: str) -> list[Diagnostic]:
    """The findings of one check, worst first."""
    return [finding for finding in plan.findings if finding.rule == rule]


def facts(finding: Diagnostic) -> dict[str, Any]:
    """Figure, limit and source."""
    return dict(finding.facts)


def left_and_right_exchanged(text: str) -> str:
    """Every left a right and the other way round."""
    other = {"left": "right", "right": "left"}
    return re.sub(r"\b(left|right)\b", lambda match: other[match[1]], text)


def mirrored(text: str, width: float) -> str:
    """The exercise reflected across the long axis of its arena, `width` metres wide."""

    def pin(match: re.Match[str]) -> str:
        return f"at: [{match[1]} m, {width - float(match[2]):.6g} m], facing: {-float(match[3]):g}°"

    number = r"(-?\d+(?:\.\d+)?)"
    moved = re.sub(rf"at: \[{number} m, {number} m\], facing: {number}°", pin, text)

    def post(match: re.Match[str]) -> str:
        return f"post: [{match[1]} m, {width - float(match[2]):.6g} m]"

    moved = re.sub(rf"post: \[{number} m, {number} m\]", post, moved)
    return left_and_right_exchanged(moved)
