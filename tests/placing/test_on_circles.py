"""Fences on a circle, ridden round it one after another, are one thing however they are said.

Four strides in each quarter of a circle of 20 m (trainer of a feed maker, four fences on a circle,
2018) and five on one of 22 m (French cavaletti exercise on a circle, 2021) are published; what
lies between is reckoned from them.
"""

from __future__ import annotations

import math
import re
from functools import cache

import pytest

from diagram.diagnostics import Severity
from diagram.pipeline import plan_text
from diagram.planning import Plan

laid_out = cache(plan_text)
"""The plan of a text, worked out once however often it is asked about."""
NAMES = ("birch", "elm", "ash", "oak", "larch")


def circle(
    strides: int, size: str = "", arena: str = "30 x 60 m", fences: int = 4,
    bend: str = "left", horses: str = "horse", kind: str = "vertical 2'", level: str = "2'",
) -> str:  # fmt: skip
    """A file of so many fences on a circle; `bend` is what is said of each beside its strides."""
    names = NAMES[:fences]
    arranged = f"arrange: {', '.join(names)} on a circle {size}\n"
    ride = f"  - bend: {bend}, {strides} strides\n".join(
        f"  - jump: {name}\n    purpose: P\n" for name in (*names, names[0])
    )
    return (
        f"tapeline: 1\ntitle: Circle\npurpose: P\nlevel: {level}\narena: {arena}\n"
        f"horses: {horses}\nfences:\n" + "".join(f"  {name}: {kind}\n" for name in names)
        + ("" if "circle" in bend else arranged)
        + f"ride:\n  - start: canter, left lead\n{ride}  - finish: straight on, walk\n"
    )  # fmt: skip


def arcs(plan: Plan) -> list[float]:
    return [leg.track_m for leg in plan.legs if leg.shape == "bend"]


def told(plan: Plan) -> list[tuple[str, str, str, str]]:
    found = [f for f in plan.findings if f.rule != "one-rein-only"]
    return sorted({(f.rule, str(f.severity), f.message, f.hint) for f in found})


@pytest.mark.parametrize(("strides", "size"), [(4, "22 m"), (4, "18 m"), (5, "22 m"), (5, "75 ft")])
def test_however_a_circle_is_said_it_is_judged_alike(strides: int, size: str) -> None:
    plain = laid_out(circle(strides, size))
    for bend in ("left round", "left 90°", f"left round on a {size} circle"):
        other = laid_out(circle(strides, size, bend=bend))
        assert arcs(other) == pytest.approx(arcs(plain), abs=1e-3)
        assert told(other) == told(plain)


@pytest.mark.parametrize("strides", [3, 4, 5])
@pytest.mark.parametrize("bend", ["left", "left round", "left 90°"])
def test_the_size_that_is_found_is_judged_like_the_same_size_said(strides: int, bend: str) -> None:
    found = laid_out(circle(strides, bend=bend))
    quarter = arcs(found)[0]
    # The step of a circle is 3.00 m, and landing and take-off are one more (see above).
    assert quarter == pytest.approx(3.0 * (strides + 1), abs=0.01)
    said = laid_out(circle(strides, f"{4 * quarter / math.pi:.3f} m", bend=bend))
    assert arcs(said) == pytest.approx(arcs(found), abs=2e-3)
    assert told(said) == told(found) == []


@pytest.mark.parametrize(
    ("strides", "size", "fences", "horses", "kind"),
    [
        (4, "22 m", 4, "horse", "vertical 2'"), (4, "23 m", 4, "horse", "vertical 2'"),
        (4, "70 ft", 4, "horse", "vertical 2'"), (5, "18 m", 4, "horse", "vertical 2'"),
        (4, "22 m", 4, "horse", "oxer 2' x 2'"), (4, "24 m", 3, "horse", "vertical 2'"),
        (4, "22 m", 4, "small pony", "vertical 2'"), (3, "16.4 m", 4, "large pony", "vertical 2'"),
    ],
)  # fmt: skip
def test_the_size_that_a_hint_gives_is_right(
    strides: int, size: str, fences: int, horses: str, kind: str
) -> None:
    text = circle(strides, size, fences=fences, horses=horses, kind=kind)
    off = [f for f in laid_out(text).findings if f.rule == "distance-off"]
    assert off
    (wanted,) = {re.search(r"make the circle ([^,]+), where", f.hint)[1] for f in off}  # type: ignore[index]
    # As the size was written, so it is answered.
    assert ("m" in wanted) == ("m" in size)
    mended = laid_out(text.replace(f"circle {size}", f"circle {wanted}"))
    assert not [f for f in mended.findings if f.rule in ("distance-off", "does-not-fit")]
    assert mended.layout.outcome.startswith("placed")


@pytest.mark.parametrize(("strides", "size"), [(4, "22 m"), (4, "23 m"), (4, "15 m")])
def test_the_strides_that_a_hint_gives_are_right(strides: int, size: str) -> None:
    text = circle(strides, size)
    off = [f for f in laid_out(text).findings if f.rule == "distance-off"]
    (wanted,) = {re.search(r"or write (\d) strides", f.hint)[1] for f in off}  # type: ignore[index]
    mended = laid_out(text.replace(f"{strides} strides", f"{wanted} strides"))
    assert told(mended) == []


@pytest.mark.parametrize(
    ("arena", "fences", "strides", "size", "words"),
    [
        ("30 x 60 m", 3, 3, "", "these horses want a circle of 49'3\""),
        ("20 x 40 m", 4, 4, "", "this circle is 74'8\" across, and the arena 65'7\""),
        ("20 x 40 m", 4, 4, "20 m", "across, and the arena 65'7\""),
    ],
)
def test_a_circle_that_has_no_room_is_told_the_strides_that_have(
    arena: str, fences: int, strides: int, size: str, words: str
) -> None:
    text = circle(strides, size, arena=arena, fences=fences)
    (found,) = [f for f in laid_out(text).findings if f.rule == "does-not-fit"]
    assert words in found.hint
    said = re.search(r"write (\d) strides in each bend: a circle of (.+)$", found.hint)
    assert said
    text = text.replace(f"{strides} strides", f"{said[1]} strides")
    mended = laid_out(text.replace(f"circle {size}", f"circle {said[2]}"))
    assert mended.layout.outcome.startswith("placed")
    assert not [f for f in mended.findings if f.rule == "distance-off"]
    assert all(f.severity != Severity.STOP for f in mended.findings)


def test_another_fence_is_offered_where_no_count_will_do() -> None:
    text = circle(3, arena="20 x 40 m", fences=3)
    (found,) = [f for f in laid_out(text).findings if f.rule == "does-not-fit"]
    assert "write 4 fences and 3 strides in each bend" in found.hint
    mended = laid_out(circle(3, arena="20 x 40 m", fences=4))
    assert mended.layout.outcome.startswith("placed")


def test_the_other_way_round_from_behind_is_the_same_circle() -> None:
    names = NAMES[:4]
    back = (names[0], *reversed(names))
    more = "  - turn: right\n" + "  - bend: right, 4 strides\n".join(
        f"  - jump: {name} from behind\n" for name in back
    )
    kind = "{kind: vertical, ground line: both sides}"
    text = circle(4, "19 m", kind=kind).replace("  - finish", f"{more}  - finish")
    plan = laid_out(text)
    assert arcs(plan) == pytest.approx([math.pi * 19 / 4] * 8, abs=0.2)
    assert not [f for f in plan.findings if f.rule == "distance-off"]


@pytest.mark.parametrize(
    ("kind", "severity"),
    [("vertical 2'", None), ("vertical 2'9\"", "caution"), ("oxer 3' x 3'3\"", "stop")],
)
def test_high_fences_on_a_circle_are_told(kind: str, severity: str | None) -> None:
    """0.60 to 0.70 m: magazine exercise on two circles, 2016. A wide spread wants straight ground
    before it (common practice)."""
    found = [f for f in laid_out(circle(4, kind=kind, level="3'")).findings
             if f.rule == "too-little-straight"]  # fmt: skip
    assert {str(f.severity) for f in found} == ({severity} if severity else set())
    assert len(found) == (4 if severity else 0)
