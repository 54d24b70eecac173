"""Fences at the limits of what is told of how they are built, and what is said of each.

A limit in metres is met by a centimetre more or less; what is said is worked out by hand, rounded
to the inch. The limits are common practice where no source is named.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from check_trials import (
    ALONE,
    BIRCH,
    FINISH,
    FOOT,
    GREEN,
    HAZEL,
    START,
    assert_told,
    fence,
    grid,
    of_level,
    of_rule,
    planned,
    single,
    told,
    trotted,
    written,
)

TROT = "start: trot"


def _gate(what: str, x: float) -> str:
    """A fence so far along an arena of 60 m with a gate in the middle of its end."""
    return single(what, x=x, arena="{size: 60 x 30 m, gate: {side: right}}")


def _lengthwise(metres: float) -> str:
    """Two fences end to end with poles of 8 m, their middles so far apart."""
    fences = fence("birch", "vertical", 30, 9), fence("elm", "vertical", 30, 9 + metres)
    return written(fences, ALONE, more="poles: 8 m")


def _shown_at(height: str) -> str:
    """A pole and then a fence of 1.20 m for horses that show at some height."""
    fences = fence("birch", "ground pole", 20, 8), fence("elm", "vertical, height: 1.20 m", 40, 8)
    ride = (START, "jump: birch", "line: 20 m", "jump: elm", FINISH)
    return written(fences, ride, horses=f"{{size: horse, shows at: {height}}}")


RAISED = "cavaletti, height: 0.35 m"
SMALL_AND_LARGE = written(
    (fence("birch", "ascending oxer, height: 0.50 m, front: 0.20 m", 20, 8),
     fence("elm", "ascending oxer, height: 1.00 m, front: 0.60 m", 40, 8)),
    (START, "jump: birch", "line: 20 m", "jump: elm", FINISH),
)  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "text", "severity", "said"),
    [
        # a wide spread 1.10 m: three quarters of 20 degrees; a narrow fence 2.50 m: half of 45
        ("angle-too-steep", single("oxer, height: 1 m, spread: 1.10 m", ", angled left 16°"),
         "stop", "for an oxer so wide 15° is the most"),
        ("angle-too-steep", single("oxer, height: 1 m, spread: 1.10 m", ", angled left 15°"),
         "", ""),
        ("angle-too-steep", single("oxer, height: 1 m, spread: 1.09 m", ", angled left 20°"),
         "", ""),
        ("angle-too-steep", single("vertical, poles: 2.49 m", ", angled left 23°"),
         "stop", "for a vertical so narrow 22° is the most"),
        ("angle-too-steep", single("vertical, poles: 2.50 m", ", angled left 45°"), "", ""),
        ("angle-too-steep", single("ground pole, poles: 2.40 m", ", angled left 45°"), "", ""),
        # two thirds of 45 degrees for green horses
        ("angle-too-steep", single("vertical", ", angled left 31°", horses=GREEN),
         "caution", "for a vertical and green horses 30° is the most"),
        ("angle-too-steep", single("vertical", ", angled left 30°", horses=GREEN), "", ""),
        ("angle-too-steep", single("vertical", ", angled left 46°", horses=GREEN),
         "stop", "for a vertical 45° is the most"),
        ("cross-rail-too-high", single("cross-rail, height: 0.70 m"), "", ""),
        ("cross-rail-too-high", single("cross-rail, height: 0.71 m"), "caution", "than 2'4\""),
        ("cross-rail-too-high", single("cross-rail, height: 0.85 m"), "caution", "at 2'9\""),
        ("cross-rail-too-high", single("cross-rail, height: 0.86 m"), "stop", "than 2'4\""),
        # metres from the gate: 4 and 2; an oxer of 1 m stands half a metre nearer
        ("fence-in-the-gateway", _gate("vertical", 55.99), "", ""),
        ("fence-in-the-gateway", _gate("vertical", 56.01), "caution", "13'1\" from the gate"),
        ("fence-in-the-gateway", _gate("vertical", 57.99), "caution", "6'7\" from the gate"),
        ("fence-in-the-gateway", _gate("vertical", 58.01), "stop", "6'6\" from the gate"),
        ("fence-in-the-gateway", _gate("oxer, spread: 1 m", 55.55), "caution", "13' from the"),
        ("fence-in-the-gateway", _gate("ground pole", 58.5), "", ""),
        ("fence-in-the-gateway", _gate("vertical", 56), "", ""),
        ("fence-in-the-gateway", written(
            (fence("birch", "ground pole", 50), fence("elm", "vertical", 57)), ALONE,
            arena="{size: 60 x 30 m, gate: {side: right}}"), "caution", "elm stands 9'10\""),
        # 6 ft of pole and 2.5 ft of wing: a foot in from the rail, and a foot outside
        ("fence-too-near-the-rail", single("vertical", y=9.5 * FOOT), "caution", "stands 1' from"),
        ("fence-too-near-the-rail", single("vertical", y=7.5 * FOOT), "stop", "1' outside the"),
        ("fences-collide", _lengthwise(8 + 5 * FOOT - 0.05), "stop", "elm stands in birch"),
        ("fences-collide", _lengthwise(8 + 5 * FOOT + 0.05), "", ""),
        ("first-fence-too-big", single("oxer, height: 1.10 m, spread: 1.30 m"), "", ""),
        ("first-fence-too-big", single("oxer, height: 1.10 m, spread: 1.31 m"),
         "caution", "the first fence, is a spread of 4'4\""),
        ("first-fence-too-big", single("triple bar, height: 1.10 m, spread: 1.31 m"),
         "caution", "is a spread"),
        # of the height of the back pole: 0.667 and 0.45, from 0.60 m
        ("front-too-low", single("ascending oxer, height: 1.00 m, front: 0.67 m"), "", ""),
        ("front-too-low", single("ascending oxer, height: 1.00 m, front: 0.66 m"),
         "caution", "raise the front to 2'2\""),
        ("front-too-low", single("ascending oxer, height: 1.00 m, front: 0.45 m"),
         "caution", "of birch is 1'6\" and its back 3'3\""),
        ("front-too-low", single("ascending oxer, height: 1.00 m, front: 0.44 m"), "stop", "1'5\""),
        ("front-too-low", single("ascending oxer, height: 0.60 m, front: 0.30 m"),
         "caution", "raise the front to 1'4\""),
        ("front-too-low", single("ascending oxer, height: 0.59 m, front: 0.25 m"), "", ""),
        ("front-too-low", single("triple bar, height: 1.00 m, spread: 1.2 m"), "", ""),
        ("front-too-low", SMALL_AND_LARGE, "caution", "the front of elm"),
        # poles are passed over; horses that show at 1 m jump a tenth more at home
        ("higher-than-at-shows", _shown_at("1.00 m"), "caution", "lower it to 3'7\""),
        ("higher-than-at-shows", _shown_at("1.10 m"), "", ""),
        ("higher-than-the-horses", single("vertical, height: 1.35 m"), "", ""),
        ("higher-than-the-horses", single("vertical, height: 1.36 m"),
         "caution", "trained horses seldom jump over 4'5\". lower it to 4'5\" or less"),
        ("higher-than-the-horses", single("vertical, height: 1.50 m"), "caution", "seldom"),
        ("higher-than-the-horses", single("vertical, height: 1.51 m"),
         "stop", "trained horses never jump over 4'11\". lower it to 4'5\" or less"),
        ("higher-than-the-horses", single("oxer, height: 1.20 m, spread: 1.60 m"), "", ""),
        ("higher-than-the-horses", single("oxer, height: 1.20 m, spread: 1.61 m"),
         "caution", "seldom jump over 5'3\". draw it in to 5'3\" or less"),
        ("higher-than-the-horses", single("oxer, height: 1.20 m, spread: 1.80 m"), "caution", ""),
        ("higher-than-the-horses", single("oxer, height: 1.20 m, spread: 1.81 m"),
         "stop", "never jump over 5'11\". draw it in to 5'3\" or less"),
        ("narrow-fence", single("vertical, poles: 2.00 m"), "", ""),
        ("narrow-fence", single("vertical, poles: 1.99 m"), "caution", "poles of 6'7\" or more"),
        ("narrow-fence", single("oxer, poles: 2.50 m"), "", ""),
        ("narrow-fence", single("oxer, poles: 2.49 m"), "caution", "poles of 8'2\" or more"),
        ("narrow-fence", single("triple bar, poles: 2.49 m"), "caution", "is 8'2\" from wing"),
        ("no-ground-line", single("vertical, height: 0.60 m, ground line: none"), "note", "airy"),
        ("no-ground-line", single("vertical, height: 0.59 m, ground line: none"), "", ""),
        ("no-ground-line", single("vertical, ground line: none", horses=GREEN), "caution", "airy"),
        ("no-ground-line", single("cross-rail, height: 0.65 m, ground line: none"), "", ""),
        ("no-ground-line", single("vertical, filler: flower box, ground line: none"), "", ""),
        ("no-ground-line", single("wall, ground line: none"), "", ""),
        # half as wide as high, from 0.80 m
        ("spread-too-narrow", single("oxer, height: 0.80 m, spread: 0.40 m"), "", ""),
        ("spread-too-narrow", single("oxer, height: 0.80 m, spread: 0.39 m"),
         "caution", "birch is 2'7\" high and only 1'3\" wide. draw it out to 1'4\" at least"),
        ("spread-too-narrow", single("oxer, height: 0.79 m, spread: 0.30 m"), "", ""),
        # as wide as high and 5 cm [R23], stop over 1.6 times and 5 cm, of triple bars over twice
        ("wider-than-high", single("oxer, height: 1 m, spread: 1.05 m"), "", ""),
        ("wider-than-high", single("oxer, height: 1 m, spread: 1.06 m"),
         "caution", "birch is 3'6\" wide and 3'3\" high. draw it in"),
        ("wider-than-high", single("oxer, height: 1 m, spread: 1.65 m"), "caution", ""),
        ("wider-than-high", single("oxer, height: 1 m, spread: 1.66 m"), "stop", "draw it in"),
        ("wider-than-high", single("triple bar, height: 1 m, spread: 2.05 m"), "", ""),
        ("wider-than-high", single("triple bar, height: 1 m, spread: 2.06 m"), "stop", ""),
        ("wider-than-high", single("oxer, height: 1 m, spread: 1.5 m",
                                   more="judged by: {spread against height: jumpers}"),
         "caution", "draw it in, as for jumpers"),
        # from trot: usual 0.90 m, most 3 ft [R9], stop over 20 cm more
        ("trotted-fence-too-large", trotted("vertical, height: 0.90 m"), "", ""),
        ("trotted-fence-too-large", trotted("vertical, height: 0.91 m"), "note", "than 2'11\""),
        ("trotted-fence-too-large", trotted("vertical, height: 0.92 m"), "caution", "than 3'"),
        ("trotted-fence-too-large", trotted("vertical, height: 1.11 m"), "caution", "than 3'"),
        ("trotted-fence-too-large", trotted("vertical, height: 1.12 m"), "stop", "than 3'"),
        ("trotted-fence-too-large", trotted("oxer, height: 0.80 m, spread: 0.75 m"), "", ""),
        ("trotted-fence-too-large", trotted("oxer, height: 0.80 m, spread: 0.76 m"),
         "caution", "no impulsion for a spread. build it as a vertical"),
        ("trotted-fence-too-large", trotted("oxer, height: 0.80 m, spread: 0.95 m"),
         "caution", "3'1\" wide"),
        ("trotted-fence-too-large", trotted("oxer, height: 0.80 m, spread: 0.96 m"), "stop", ""),
        ("trotted-fence-too-large", trotted("triple bar, height: 0.80 m, spread: 0.70 m"),
         "stop", ""),
        ("trotted-fence-too-large", trotted("liverpool, height: 0.80 m, spread: 1.00 m"), "", ""),
        ("trotted-fence-too-large", trotted("liverpool, height: 0.80 m, spread: 1.01 m"),
         "caution", "for so much water. begin over less water"),
        ("water-too-soon", single("liverpool", horses=GREEN),
         "caution", "birch, a liverpool, comes before any other fence"),
        ("water-too-soon", grid("vertical", "liverpool, after: 1 stride", horses=GREEN),
         "caution", "grid b, a liverpool, stands in a combination"),
    ],
)  # fmt: skip
def test_what_is_told_of_a_fence(rule: str, text: str, severity: str, said: str) -> None:
    assert_told(rule, text, *([(severity, said)] if severity else []))


@pytest.mark.parametrize(
    ("stride", "said"),
    [
        # "shortest: 9'", "longest: 13'9\", published" of a horse
        ("9'", ""), ("8'11\"", "a stride of 8'11\" is none of horses. 9' to 13'9\""),
        ("13'9\"", ""), ("13'10\"", "a stride of 13'10\" is none of horses"),
    ],
)  # fmt: skip
def test_a_stride_of_no_horse(stride: str, said: str) -> None:
    text = written(horses=f"{stride} stride")
    assert_told("stride-of-another-size", text, *([("caution", said)] if said else []))


@pytest.mark.parametrize(
    ("speed", "severity"), [(375, ""), (376, "caution"), (400, "caution"), (401, "stop")]
)
def test_how_fast_trained_horses_jump(speed: int, severity: str) -> None:
    """375 m/min, and a stop over 400."""
    text = single("vertical", more=f"speed: {speed} m/min")
    wanted = [(severity, f"{speed} m/min; trained horses jump at 375 m/min")] if severity else []
    assert_told("faster-than-the-class", text, *wanted)


def test_raised_poles_are_told_of_where_the_first_lies() -> None:
    fences = fence("birch", RAISED, 20, 8), fence("hazel", RAISED, 21.3, 8)
    ride = (TROT, "jump: birch", "line: 1.3 m", "jump: hazel", FINISH)
    [found] = of_rule(planned(written(fences, ride)), "trotted-fence-too-large")
    assert "poles 1'2\" off the ground, a step of trot apart" in found.message
    assert dict(found.facts)["at_m"] == (20, 8)


def test_the_fence_behind_trot_poles_is_met_from_trot() -> None:
    fences = [fence(f"pole {n}", "ground pole", 20 + 1.3 * n, 8) for n in range(3)]
    ways = [step for n in range(1, 3) for step in ("line: 1.3 m", f"jump: pole {n}")]
    ride = (TROT, "jump: pole 0", *ways, "line: 2.7 m", "jump: birch", FINISH)
    text = written((*fences, fence("birch", "vertical, height: 0.92 m", 25.3, 8)), ride)
    assert_told("trotted-fence-too-large", text, ("caution", "birch is 3' high"))


def test_the_fence_behind_one_pole_is_met_from_trot() -> None:
    fences = fence("pole", "ground pole", 20, 8), fence("birch", "vertical, height: 4'", 22.7, 8)
    text = written(fences, (TROT, "jump: pole", "line: 2.7 m", "jump: birch", FINISH))
    assert_told("trotted-fence-too-large", text, ("stop", "birch is 4' high"))


@pytest.mark.parametrize("turned_about", [False, True])
def test_a_pole_within_a_fence_collides_with_it(turned_about: bool) -> None:
    """A pole of 1.5 m on the ground between the planes of a triple bar of 2 m."""
    fences = (fence("birch", "triple bar, spread: 2 m", 30),
              fence("elm", "ground pole, poles: 1.5 m", 30.6))  # fmt: skip
    text = written(fences[::-1] if turned_about else fences, ALONE)
    said = "birch stands in elm" if turned_about else "elm stands in birch"
    assert_told("fences-collide", text, ("stop", said))


@pytest.mark.parametrize(
    ("rule", "x", "arena"),
    [
        ("fences-collide", 15, "60 x 30 m"),
        ("post-in-the-way", 40, "{size: 60 x 30 m, posts: {old post: [15 m, 17 m]}}"),
    ],
)
def test_a_combination_in_the_way_is_told_of_by_its_name(rule: str, x: float, arena: str) -> None:
    """The place in the file is the name of the combination, not what is said of it."""
    whole = (
        "grid: {kind: combination, at: [15 m, 15 m], facing: 0°, "
        "elements: [{kind: vertical}, {kind: vertical, after: 1 stride}]}"
    )
    text = written((fence("birch", "vertical", x), whole), (START, "jump: grid", FINISH),
                   arena=arena)  # fmt: skip
    places = [one.span for one in of_rule(planned(text), rule) if " in " in one.message
              or one.message.startswith("grid")]  # fmt: skip
    assert places
    for span in places:
        assert span is not None
        line = text.splitlines()[span.line - 1]
        assert line[span.column - 1 :].startswith("grid: {kind: combination")


def test_poles_before_the_first_fence_are_no_fence() -> None:
    """A green horse goes over a pole away from the gate, and over its first fence towards it."""
    fences = fence("birch", "ground pole", 20, 10), fence("elm", "vertical", 40, 20, 180)
    ride = (START, "jump: birch", "turn: left", "jump: elm", FINISH)
    arena = "{size: 60 x 30 m, gate: {side: left}}"
    text = written(fences, ride, horses=GREEN, arena=arena)
    assert_told("first-fence-away-from-the-gate", text)


def test_the_way_to_the_gate_is_from_where_the_fence_stands() -> None:
    """The gate at 0, 15 lies at 135 degrees from 10, 5: 105 degrees from one facing 30."""
    text = written((fence("birch", "vertical", 10, 5, 30),), ALONE, horses=GREEN,
                   arena="{size: 60 x 30 m, gate: {side: left}}")  # fmt: skip
    [found] = of_rule(planned(text), "first-fence-away-from-the-gate")
    assert dict(found.facts)["figure"] == 105


@pytest.mark.parametrize(
    ("more", "at"),
    [
        (fence("elm", "vertical", 25, 22), (25, 22)),
        ("elm: {kind: combination, at: [22 m, 22 m], facing: 0°, "
         "elements: [{kind: vertical}, {kind: vertical, after: 1 stride}]}", (22, 22)),
    ],
)  # fmt: skip
def test_a_fence_never_jumped_is_told_of_where_it_stands(
    more: str, at: tuple[float, float]
) -> None:
    [found] = of_rule(planned(written((BIRCH, HAZEL, more))), "fence-never-jumped")
    assert found.message == "elm is built and never jumped"
    assert dict(found.facts)["at_m"] == at


@pytest.mark.parametrize(
    ("first", "second", "said"),
    [
        # A cross counts half-way to its ends, twice as high [R36]: one of 2' as 3'.
        ("vertical, height: 1'", "cross-rail, height: 2'",
         "hazel counts half-way up its cross, which is 2' higher than birch"),
        ("cross-rail, height: 1'", "vertical, height: 2'8\"", "hazel is 1'2\" higher than birch"),
        ("cross-rail, height: 1'", "vertical, height: 2'6\"", ""),
    ],
)  # fmt: skip
def test_steps_from_and_to_a_cross(first: str, second: str, said: str) -> None:
    hazel = f"hazel: {{kind: {second}, placed: 5 strides beyond birch}}"
    text = written((fence("birch", first, 20, 8), hazel))
    assert_told("step-too-large", text, *([("caution", said)] if said else []))


@pytest.mark.parametrize(
    ("suits", "height", "said"),
    [
        # green riders 0.75 m [R36]; green horses 1.10 m [S178]
        ("green riders", "0.75 m", ""),
        ("green riders", "0.76 m", "is said to suit green riders, and is 0.76 m high"),
        ("green horses", "1.10 m", ""),
        ("green horses", "1.11 m", "is said to suit green horses, and is 1.11 m high"),
    ],
)
def test_whom_it_is_said_to_suit(suits: str, height: str, said: str) -> None:
    text = of_level(single("vertical", more=f"suits: [{suits}]"), height)
    assert_told("not-for-those-said", text, *([("caution", said)] if said else []))


@pytest.mark.parametrize(
    ("suits", "horses", "strides", "said"),
    [
        ("ponies", "12' stride", 7, "suit ponies, and its distances are for horses"),
        ("ponies", "12' stride", 8, ""),
        ("horses", "12' stride", 5, ""),
        ("horses", "small pony", 5, "suit horses, and its distances are for ponies"),
        ("ponies", "small pony", 5, ""),
    ],
)
def test_distances_of_another_size(suits: str, horses: str, strides: int, said: str) -> None:
    """Over seven strides (common practice) a distance no longer tells of a size."""
    text = of_level(written(more=f"suits: [{suits}]", horses=horses), "2'")
    far = text.replace("5 strides", f"{strides} strides")
    assert_told("not-for-those-said", far, *([("caution", said)] if said else []))


@pytest.mark.parametrize(
    ("most", "after", "severity", "said"),
    [
        ("1.00 m", "bounce", "", ""),
        ("1.01 m", "bounce", "caution", "ridden at 3'4\", with a bounce. up to 3'3\" at most"),
        ("1.01 m", "1 stride", "", ""),
        ("1.35 m", "1 stride", "", ""),
        ("1.36 m", "1 stride", "caution", "ridden at 4'6\", by trained horses. up to 4'5\""),
        ("1.51 m", "1 stride", "stop", "up to 4'11\" at most"),
    ],
)
def test_the_highest_that_it_may_be_ridden_at(
    most: str, after: str, severity: str, said: str
) -> None:
    text = grid("vertical", f"vertical, after: {after}", more=f"heights: 0.90 m - {most}")
    assert_told("not-for-those-said", text, *([(severity, said)] if severity else []))


@pytest.mark.parametrize(
    ("listed", "found"),
    [
        ("notes: [Land, and sit still, and count]", [7, 7]),
        ("notes: [land, and sit still]", []),
        ("notes:\n  - Land\n  - and sit still", []),
        ("easier: [Lower it, lower it again]", [7]),
        ("skills: [Rhythm, straightness]", []),
    ],
)
def test_sentences_cut_by_a_comma(listed: str, found: list[int]) -> None:
    """The line of the list is told, and both of its parts."""
    findings = of_rule(planned(written(more=listed)), "sentence-cut-by-a-comma")
    assert [f.span.line if f.span else 0 for f in findings] == found


def test_what_is_said_of_a_sentence_cut_by_a_comma() -> None:
    text = written(more="notes: [Sit, And look, and land]")
    said = '"and land" begins in lower case: does it belong to "And look" before the comma?'
    assert_told("sentence-cut-by-a-comma", text, ("note", said))


def test_a_sentence_cut_by_a_comma_under_a_jump() -> None:
    said = "    purpose: Said.\n"
    text = written().replace(said, f"{said}    watch: [Land, and sit still]\n", 1)
    [(severity, words)] = told("sentence-cut-by-a-comma", text)
    assert severity == "note"
    assert words.endswith('"Land, and sit still"')


@pytest.mark.parametrize(
    ("text", "severity", "said"),
    [
        # trained horses 40 efforts; from 1.10 m half of that; 14 jumps are ridden three times
        (written((BIRCH,), ALONE, more="rounds: 41"), "caution",
         "41 rounds of 1 make 41 efforts for one horse; 40 at most for trained horses. "
         "ride it 40 times"),
        (of_level(written((BIRCH,), ALONE, more="rounds: 21"), "1.10 m"), "caution",
         "20 at most for trained horses over big fences. ride it 20 times"),
        (of_level(written((BIRCH,), ALONE, more="rounds: 21"), "1.09 m"), "", ""),
        (written((BIRCH,), (START, *["jump: birch", "turn: left"] * 40, "jump: birch", FINISH)),
         "note", "leave fences out, or ride it in parts on different days"),
    ],
)  # fmt: skip
def test_how_often_a_horse_may_jump(text: str, severity: str, said: str) -> None:
    assert_told("too-many-efforts", text, *([(severity, said)] if severity else []))


def test_big_fences_are_most_of_them_or_none() -> None:
    """One of two at 1.10 m is half: not over big fences. Two rounds of ten and a half would be."""
    fences = (BIRCH.replace("vertical", "vertical, height: 1.10 m"),
              "hazel: {kind: vertical, height: 1 m, placed: 5 strides beyond birch}")  # fmt: skip
    assert_told("too-many-efforts", written(fences, more="rounds: 11"))


def test_who_wants_what_is_missing(tmp_path: Path) -> None:
    """Birch and oak of 12' poles, elm between them of the 10' poles of which there is one."""
    fences = (BIRCH, fence("elm", "vertical, poles: 10'", 30, 20), fence("oak", "vertical", 45, 20))
    (tmp_path / "store.yaml").write_text("poles: {12': 20, 10': 1}", encoding="utf-8")
    [found] = of_rule(planned(written(fences, ALONE), tmp_path), "missing-from-the-store")
    assert found.hint.endswith("or lighten or leave out elm")
    assert dict(found.facts)["at_m"] == (30, 20)


def test_all_who_want_what_is_missing(tmp_path: Path) -> None:
    """Two standards to birch and four to hazel, an oxer."""
    (tmp_path / "store.yaml").write_text("standards: 5", encoding="utf-8")
    [found] = of_rule(planned(written(), tmp_path), "missing-from-the-store")
    assert found.message == "standards: 6 wanted, 5 in the store"
    assert found.hint == "borrow 1, or lighten or leave out one of birch, hazel"
