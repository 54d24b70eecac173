"""The limit that a finding is told with is the one that was passed, with its own source."""

from __future__ import annotations

import re

import pytest
from check_trials import (
    ALONE,
    BIRCH,
    FINISH,
    FOOT,
    GREEN,
    START,
    facts,
    fence,
    grid,
    of_rule,
    planned,
    single,
    told,
    trotted,
    written,
)

from diagram.checks import _one_row_once
from diagram.checks.rule import at_path, with_fact
from diagram.diagnostics import Diagnostic, Severity

TWENTY_ONE = written((BIRCH,), ALONE, more="rounds: 21").replace("level: 3'", "level: 1.10 m")


@pytest.mark.parametrize(
    ("rule", "text", "limit", "source"),
    [
        # degrees: three quarters of 20, half of 45, two thirds of 45 [derived]
        ("angle-too-steep", single("oxer, height: 1 m, spread: 1.1 m", ", angled left 16°"),
         15, "common practice"),
        ("angle-too-steep", single("vertical, poles: 2.4 m", ", angled left 23°"), 22.5, "common"),
        ("angle-too-steep", single("vertical", ", angled left 31°", horses=GREEN), 30, "derived"),
        ("cross-rail-too-high", single("cross-rail, height: 0.71 m"), 0.70, "[S96]"),
        ("cross-rail-too-high", single("cross-rail, height: 0.86 m"), 0.85, "derived"),
        ("higher-than-the-horses", single("vertical, height: 1.36 m"), 1.35, "common practice"),
        ("higher-than-the-horses", single("vertical, height: 1.51 m"), 1.50, "common practice"),
        ("higher-than-the-horses", single("vertical, height: 1.11 m", horses=GREEN), 1.1, "[S178]"),
        ("higher-than-the-horses", single("vertical, height: 4'1\"", horses=GREEN),
         4 * FOOT, "[R40]"),
        ("faster-than-the-class", single("vertical", more="speed: 380 m/min"),
         375 / 60, "common practice"),
        ("faster-than-the-class", single("vertical", more="speed: 410 m/min"),
         400 / 60, "from memory"),
        ("front-too-low", single("ascending oxer, height: 1 m, front: 0.6 m"), 0.667, "common"),
        ("spread-too-narrow", single("oxer, height: 1 m, spread: 0.4 m"), 0.5, "common practice"),
        ("too-many-efforts", TWENTY_ONE, 20, "common practice"),
        ("trotted-fence-too-large", trotted("vertical, height: 0.91 m"),
         0.90, "common practice"),
        ("trotted-fence-too-large", trotted("vertical, height: 1.2 m"),
         3 * FOOT, "[R9]"),
        ("water-too-soon", single("liverpool", horses=GREEN), 1, "common practice"),
        ("water-too-soon", grid("vertical", "liverpool, after: 1 stride", horses=GREEN),
         12, "[R1]"),
        ("wider-than-high", single("oxer, height: 1 m, spread: 1.5 m"), 1, "[R23]"),
        ("wider-than-high", single("oxer, height: 1 m, spread: 1.7 m"), 1.6, "common practice"),
        ("wider-than-high", single("triple bar, height: 0.9 m, spread: 2 m"), 1.8, "common"),
    ],
)  # fmt: skip
def test_the_limit_that_was_passed(rule: str, text: str, limit: float, source: str) -> None:
    [found] = of_rule(planned(text), rule)
    # Two thirds are written as 0.667.
    assert facts(found)["limit"] == pytest.approx(limit, rel=1e-3)
    assert source in facts(found)["source"]


def test_figures_are_told_to_a_tenth_of_a_millimetre() -> None:
    """Of 2'6" high ascending oxers two thirds (0.667) are 0.508254 m."""
    [found] = of_rule(
        planned(single("ascending oxer, height: 2'6\", front: 1'6\"")), "front-too-low"
    )
    assert facts(found)["limit"] == 0.5083
    assert facts(found)["figure"] == 0.4572


def test_each_is_passed_over_and_not_the_next() -> None:
    """A fence that is in order does not end the search: the second is the one told of."""
    pairs = {
        "cross-rail-too-high": ("cross-rail, height: 0.5 m", "cross-rail, height: 0.8 m"),
        "front-too-low": ("ascending oxer, front: 2'9\"", "ascending oxer, front: 1'6\""),
        "higher-than-the-horses": ("vertical", "vertical, height: 1.4 m"),
        "narrow-fence": ("vertical", "vertical, poles: 1.9 m"),
        "no-ground-line": ("vertical", "vertical, ground line: none"),
        "spread-too-narrow": ("oxer, spread: 0.8 m", "oxer, spread: 0.4 m"),
        "wider-than-high": ("oxer, spread: 0.8 m", "oxer, spread: 1.3 m"),
    }
    for rule, (first, second) in pairs.items():
        fences = fence("birch", first, 20, 8), fence("hazel", second, 42, 8)
        ride = (START, "jump: birch", "line: 22 m", "jump: hazel", FINISH)
        found = told(rule, written(fences, ride))
        assert len(found) == 1, rule
        assert "hazel" in found[0][1]


def test_a_distance_too_near_that_is_allowed_is_not_told_otherwise() -> None:
    """Eight feet are no bounce: what a trainer allows is not told again as between two counts."""
    fences = BIRCH, "hazel: {kind: vertical, placed: 8 ft beyond birch}"
    ride = (START, "jump: birch", "line: 8 ft", "jump: hazel", FINISH)
    plain = written(fences, ride)
    allowed = written(fences, ride, more="allow: {fences-too-near: as agreed}")
    for text, severity in ((plain, "stop"), (allowed, "note")):
        assert [grave for grave, _ in told("fences-too-near", text)] == [severity]
        assert told("between-two-counts", text) == []


def test_what_is_wide_beyond_every_body_is_drawn_in_for_all() -> None:
    text = single("oxer, height: 1 m, spread: 1.7 m",
                  more="judged by: {spread against height: jumpers}")  # fmt: skip
    for said in (text, single("oxer, height: 1 m, spread: 1.2 m")):
        [found] = of_rule(planned(said), "wider-than-high")
        assert found.hint == "draw it in"


def test_a_finding_about_a_fence_points_at_what_is_said_of_it() -> None:
    text = single("vertical, poles: 1.9 m")
    [found] = of_rule(planned(text), "narrow-fence")
    assert found.span is not None
    line = text.splitlines()[found.span.line - 1]
    assert line[found.span.column - 1 :].startswith("{kind: vertical, poles")


def test_a_finding_about_an_element_names_its_combination() -> None:
    found = of_rule(planned(grid("vertical", "vertical, poles: 1.9 m, after: 1 stride")),
                    "narrow-fence")  # fmt: skip
    assert [facts(one)["element_of"] for one in found] == ["grid"]


def test_what_is_told_of_hides_nothing_on_other_lines() -> None:
    """Eight feet are too near, and 30 ft somewhere else are still between two counts."""
    fences = (BIRCH, "hazel: {kind: vertical, placed: 8 ft beyond birch}",
              "oak: {kind: vertical, placed: 30 ft beyond hazel}")  # fmt: skip
    ride = (START, "jump: birch", "line: 8 ft", "jump: hazel", "line: 30 ft", "jump: oak", FINISH)
    text = written(fences, ride)
    assert len(told("fences-too-near", text)) == len(told("between-two-counts", text)) == 1


def test_a_fence_of_another_ride_is_not_told_of() -> None:
    """Birch is narrow, and hazel alone is jumped by the first of two rides."""
    fences = fence("birch", "vertical, poles: 1.9 m", 20, 8), fence("hazel", "vertical", 20, 22)
    text, _, _ = written(fences, ()).partition("ride:\n")
    rides = "".join(
        f"  - name: {name}\n    ride:\n      - jump: {jumped}\n"
        for name, jumped in (("one", "hazel"), ("other", "birch"))
    )
    assert told("narrow-fence", f"{text}rides:\n{rides}") == []
    assert len(told("narrow-fence", f"{text}rides:\n{rides}".replace("hazel\n", "birch\n"))) == 1


def test_the_place_of_what_is_written() -> None:
    """Of a fence its own, of a combination its first element, of a way its middle, else that of
    the arena."""
    plan = planned(written())
    assert at_path(plan, ("fences", "hazel")) == plan.fence("hazel").pose.point
    assert at_path(plan, ("fences", "birch", "kind")) == (20, 8)
    line = next(leg for leg in plan.legs if leg.shape == "line")
    middle = line.curve.pose_at(line.track_m / 2).point
    assert at_path(plan, (*line.path, "watch")) == pytest.approx(middle)
    assert at_path(plan, ("notes",)) == (30, 15)
    doubled = planned(grid("vertical", "vertical, after: 1 stride"))
    assert at_path(doubled, ("fences", "grid")) == (15, 15)


def test_what_falls_short_for_the_same_want_of_room_is_told_with_it() -> None:
    """A line of five across a ring of 10 m with poles of 8 m: both fences are short of room."""
    text = written(("birch: {kind: vertical}", "elm: {kind: vertical}"),
                   (START, "jump: birch", "line: 5 strides", "jump: elm", FINISH),
                   arena="10 x 60 m", more="poles: 8 m")  # fmt: skip
    [(severity, said)] = told("does-not-fit", text)
    assert severity == "stop"
    said = said.partition(". tapeline")[0]
    _, _, others = said.partition("; so are others for the same want of room: ")
    # Each with what it lacks.
    assert others
    assert all(re.search(r": \d[\d'.\" m]*$", other) for other in others.split("; "))


def test_elements_told_of_alike_are_counted() -> None:
    alike = with_fact(Diagnostic("rule", Severity.NOTE, "said", None, ""), "element_of", "grid")
    places = [with_fact(alike, "at_m", (x, 5.0)) for x in (5.0, 8.0, 11.0)]
    other = with_fact(Diagnostic("rule", Severity.NOTE, "said", None, ""), "at_m", (14.0, 5.0))
    [told_once, alone] = _one_row_once([*places, other])
    assert told_once.message == "said; 3 times in grid"
    assert facts(told_once)["times"] == 3
    assert alone == other
