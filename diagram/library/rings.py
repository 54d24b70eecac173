"""The smallest rings that exercises can be laid out in anew, worked out and kept in `rings.yaml`.

For every width of a ladder the shortest ring is looked for in which the exercise finds its places
with nothing that stops it and no more cautions than at home; a ring that is longer takes it too.
That takes seconds for each exercise, so it is done when asked for and written down beside them,
with a key of all that places depend on: another text of the same fences and lines stays what it
is. Another layout code may find other rings: where it places the fences at home otherwise, what was
worked out is no longer gone by, and after any change of it the command works all of them out anew.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from diagram.diagnostics import RejectedError, Severity
from diagram.library.fits import Rectangle
from diagram.library.working import Broken, run_all
from diagram.source import Mapping as Block
from diagram.source import plain, read, written
from diagram.units import metres_text

if TYPE_CHECKING:
    from diagram.exercise.arena import Arena
    from diagram.planning import Plan

RINGS_FILE = "rings.yaml"
WIDTHS_M = (20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0)
LENGTHS_M = (30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0, 75.0, 80.0, 90.0, 100.0)
"""Metres. No ring for jumping is narrower than the 20 m of a dressage arena (common practice)."""
PLACED_BY = (
    "level", "arena", "horses", "distances", "conditions", "poles", "speed", "arrange", "move",
    "fences", "ride", "rides", "rides go", "allow",
)  # fmt: skip
"""Keys of an exercise that decide where its fences may stand and what is found against it."""
TAUGHT = {"purpose", "watch", "passed when", "if it goes wrong"}


class Rings(Struct, frozen=True):
    """What one exercise fits, the key of what that was worked out from, and the layout code (`by`)
    that did."""

    key: str
    fits: tuple[Rectangle, ...]
    by: str = ""


def places_key(path: Path, stands: str) -> str:
    """A key of what decides where the fences of a file may stand, and of where they do (`stands`
    of its entry). Raises RejectedError."""
    values = plain(read(path).root)
    told = {key: _untaught(values[key]) for key in PLACED_BY if key in values}
    arena = values.get("arena")
    for folder in (path.parent, path.parent.parent):
        shared = folder / "arenas.yaml"
        if isinstance(arena, str) and shared.is_file():
            root = read(shared).root
            if isinstance(root, Block) and root.get(arena) is not None:
                told["arena"] = plain(root)[arena]
                break
    told["stands"] = stands
    text = json.dumps(told, sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _untaught(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _untaught(item) for key, item in value.items() if key not in TAUGHT}
    return [_untaught(item) for item in value] if isinstance(value, list) else value


def read_rings(folder: Path) -> dict[str, Rings]:
    """What `rings.yaml` says, by stem; nothing where it is not there or not ours."""
    file = folder / RINGS_FILE
    if not file.is_file() or file.is_symlink():
        return {}
    try:
        values = plain(read(file).root)
        return {
            stem: Rings(said["of"], tuple(_size(text) for text in said["fits"]), said.get("by", ""))
            for stem, said in values["rings"].items()
        }
    except (RejectedError, KeyError, TypeError, ValueError, AttributeError):
        return {}


def rings_text(found: Mapping[str, Rings]) -> str:
    """The file, an exercise to a line."""
    head = "# Worked out by tapeline library rings: the smallest that each can be laid out in."
    lines = [head, "tapeline rings: 1", "rings:"]
    for stem in sorted(found):
        sizes = ", ".join(f"{long:g} x {wide:g} m" for long, wide in found[stem].fits)
        one = found[stem]
        lines.append(f"  {stem}: {{of: '{one.key}', by: '{one.by}', fits: [{sizes}]}}")
    return "\n".join(lines) + "\n"


def _size(text: str) -> Rectangle:
    long, wide = text.removesuffix(" m").split(" x ")
    return float(long), float(wide)


def work_out(
    paths: Mapping[str, Path],
    stands: Mapping[str, str],
    known: Mapping[str, Rings],
    at_once: int | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> tuple[dict[str, Rings], tuple[tuple[str, str], ...]]:
    """The rings of every exercise, those that this layout code found before (`known`) taken over;
    and what failed. `stands` are the keys of where the fences stand, of what can be read."""
    from diagram.placing.remembered import layout_code

    by = layout_code()[:8]
    out: dict[str, Rings] = {}
    jobs: dict[Path, str] = {}
    keys: dict[Path, str] = {}
    failed: list[tuple[str, str]] = []
    for stem, path in paths.items():
        try:
            keys[path] = places_key(path, stands.get(stem, ""))
        except RejectedError as problem:
            failed.append((stem, str(problem)))
            continue
        if stem in known and (known[stem].key, known[stem].by) == (keys[path], by):
            out[stem] = known[stem]
        else:
            jobs[path] = stem
    for n, (path, result) in enumerate(run_all(smallest_rings, list(jobs), at_once)):
        if progress:
            progress(n + 1, len(jobs))
        if isinstance(result, Broken):
            failed.append((jobs[path], result.why))
        else:
            out[jobs[path]] = Rings(keys[path], result, by)
    return out, tuple(failed)


def smallest_rings(path: Path) -> tuple[Rectangle, ...]:
    """The smallest rings that an exercise fits, no wider and no longer than its own arena.

    One whose fences are pinned, or that has several rides, fits where it stands: nothing is found.
    """
    from diagram.pipeline import plan

    home = plan(path)
    whole = home.exercise.whole
    if whole.rides or any(fence.at for fence in whole.fences.values()):
        return ()
    own = (math.ceil(max(home.arena.size) * 10) / 10, math.ceil(min(home.arena.size) * 10) / 10)
    lengths = [length for length in LENGTHS_M if length <= own[0]]
    out: list[Rectangle] = []
    shortest = 0
    for wide in (width for width in reversed(WIDTHS_M) if width <= own[1]):
        left, right = shortest, len(lengths)
        while left < right:
            middle = (left + right) // 2
            if lengths[middle] >= wide and fits_in(home, (lengths[middle], wide)):
                right = middle
            else:
                left = middle + 1
        if left == len(lengths):
            break
        # What a wider ring takes as short is no news of the narrower one, which is smaller.
        out = [one for one in out if one[0] < lengths[left]]
        out.append((lengths[left], wide))
        shortest = left
    return tuple(out)


def fits_in(home: Plan, ring: Rectangle) -> bool:
    """Whether an exercise finds its places in a ring of this size with its own sides and gate."""
    from diagram.pipeline import plan_text

    values = plain(home.document.root)
    values["arena"] = _arena(home.arena, ring)
    try:
        made = plan_text(written(values), home.document.name)
    except RejectedError:
        return False
    kinds = [finding.severity for finding in made.findings]
    before = [finding.severity for finding in home.findings]
    cautions = kinds.count(Severity.CAUTION) <= before.count(Severity.CAUTION)
    return Severity.STOP not in kinds and cautions


def _arena(home: Arena, ring: Rectangle) -> dict[str, Any]:
    """A rectangle that lies as the arena does, its sides called as there."""
    long, wide = ring
    x, y = (long, wide) if home.size[0] >= home.size[1] else (wide, long)
    names = {
        plan: _facing(home, direction)
        for plan, direction in (("bottom", (0, -1)), ("right", (1, 0)), ("top", (0, 1)),
                                ("left", (-1, 0)))
    }  # fmt: skip
    block: dict[str, Any] = {"size": f"{x:g} x {y:g} m", "sides": names}
    if len(set(names.values())) < len(names):
        del block["sides"]
    if home.letters:
        block["letters"] = "yes"
    gate = home.gate
    if gate is not None and gate.side in names.values():
        a, b = home.sides[gate.side]
        along = math.dist(a, gate.middle) / math.dist(a, b)
        side = x if gate.side in (names["bottom"], names["top"]) else y
        at = min(max(along * side, gate.width / 2), side - gate.width / 2)
        block["gate"] = {"side": gate.side, "at": metres_text(at), "width": f"{gate.width:g} m"}
    return block


def _facing(home: Arena, direction: tuple[float, float]) -> str:
    """The side that looks most that way, the longest of several."""

    def looks(name: str) -> tuple[float, float]:
        (x0, y0), (x1, y1) = home.sides[name]
        length = math.dist((x0, y0), (x1, y1))
        outward = ((y1 - y0) / length, (x0 - x1) / length)
        return round(outward[0] * direction[0] + outward[1] * direction[1], 6), length

    return max(home.sides, key=looks)


def together(drawn: Iterable[Rectangle], rings: Iterable[Rectangle]) -> tuple[Rectangle, ...]:
    """All rectangles without those that hold another, in order of their width."""
    every = sorted({(max(one), min(one)) for one in (*drawn, *rings)}, key=lambda r: (r[1], r[0]))
    return tuple(
        one
        for one in every
        if not any(two != one and two[0] <= one[0] and two[1] <= one[1] for two in every)
    )
