"""Beginnings of exercises by shape, for ``tapeline new --shape``: said, with no place given."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Beginning:
    """What is said of a shape: its `arrange` if it has one, its fences, and its ride."""

    arrange: str
    fences: tuple[str, ...]
    ride: tuple[str, ...]


def _round(names: tuple[str, ...], way: str) -> tuple[str, ...]:
    steps = [f"jump: {names[0]}"]
    for name in (*names[1:], names[0]):
        steps += [way, f"jump: {name}"]
    return tuple(steps)


FOUR = ("birch", "elm", "ash", "oak")

BEGINNINGS = {
    "circle": Beginning(
        "birch, elm, ash, oak on a circle", FOUR, _round(FOUR, "bend: left, {count}")
    ),
    "serpentine": Beginning(
        "birch, elm, ash in a serpentine", FOUR[:3],
        ("jump: birch, land on the left lead", "turn: left", "jump: elm, land on the right lead",
         "turn: right", "jump: ash, land on the left lead"),
    ),
    "box": Beginning(
        "birch, elm, ash, oak in a box", FOUR,
        ("jump: birch", "line: {count}", "jump: ash", "turn: left", "jump: oak from behind",
         "line: {count}", "jump: elm"),
    ),
    "s": Beginning(
        "birch, elm, ash in an S", FOUR[:3],
        ("jump: birch", "bend: left, {count}", "jump: elm, land on the right lead",
         "bend: right, {count}", "jump: ash"),
    ),
    "fan": Beginning(
        "birch, elm, ash, oak in a fan", FOUR,
        ("jump: elm", "turn: left", "jump: ash", "turn: left", "jump: oak"),
    ),
    "outside lines": Beginning(
        "", FOUR,
        ("jump: birch", "line: {count}", "jump: elm", "turn: left", "jump: ash",
         "line: {count}", "jump: oak"),
    ),
    "diagonal": Beginning(
        "ash, oak on a diagonal", FOUR,
        ("jump: birch", "line: {count}", "jump: elm", "turn: left", "jump: ash",
         "line: {count}", "jump: oak, land on the right lead"),
    ),
}  # fmt: skip


def body_of(shape: str, strides: int) -> str:
    """The rest of a file that begins with this shape."""
    begin = BEGINNINGS[shape]
    count = f"{strides} stride{'s' * (strides != 1)}"
    lead = next((s.split(", land")[0] for s in begin.ride), "")
    lines = ["", "# No place is said: the fences stand where a course designer would put them.",
             "# tapeline measure shows where that is; at: pins one, move: nudges one."]  # fmt: skip
    if begin.arrange:
        lines.append(f"arrange: {begin.arrange}")
    lines.append("fences:")
    for name in begin.fences:
        lines.append(f"  {name}: {{kind: vertical, ground line: both sides}}")
    first = "right" if "land on the left" in begin.ride[0] else "left"
    lines += ["", "ride:", f"  - start: canter, {first} lead"]
    for step in begin.ride:
        lines.append(f"  - {step.format(count=count)}")
        if step.startswith("jump") and step.split(", land")[0] == lead:
            lines.append("    purpose: Arrive in the canter you mean to leave in.")
            lead = ""
    lines += ["  - finish: straight on, walk", "", "easier: Ground poles for fences.", ""]
    return "\n".join(lines)
