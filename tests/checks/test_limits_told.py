"""The limit that a finding is told with is the one that was passed, with its own source."""

from __future__ import annotations

import pytest
from check_trials import (
    ALONE,
    BIRCH,
    FINISH,
    FOOT,
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

GREEN = "{size: horse, experience: green, stride: 12'}"
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
