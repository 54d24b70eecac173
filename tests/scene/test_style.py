"""Colours and pens: told apart by everyone, in colour and on a grey copy, and readable."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from diagram import style

# B. Wong, Nature Methods 8:441 (2011), figure 2: red, green, blue from 0 to 255.
PUBLISHED = {
    "black": (0, 0, 0),
    "orange": (230, 159, 0),
    "sky blue": (86, 180, 233),
    "bluish green": (0, 158, 115),
    "yellow": (240, 228, 66),
    "blue": (0, 114, 178),
    "vermillion": (213, 94, 0),
    "reddish purple": (204, 121, 167),
}

# G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, "A physiologically-based model for
# simulation of color vision deficiency", IEEE TVCG 15(6), 2009, severity 1.0, for linear RGB.
# From memory, and the same in several public programs; the paper itself was not at hand.
VISION = {
    "full": np.eye(3),
    "protanopia": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deuteranopia": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritanopia": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}

# One just noticeable difference in CIELAB: 2.3 (M. Mahy, L. Van Eycken and A. Oosterlinck,
# Color Research and Application 19(2), 1994; from memory). Thin lines need several.
JUST_NOTICEABLE = 2.3


def linear(colour: str) -> np.ndarray:
    channels = np.array([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
    return np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)


def luminance(rgb: np.ndarray) -> float:
    """Relative luminance of linear sRGB, as WCAG 2.2 defines it."""
    return float(rgb @ np.array([0.2126, 0.7152, 0.0722]))


def contrast(one: str, other: str) -> float:
    """Contrast ratio from 1 to 21, as WCAG 2.2 defines it."""
    low, high = sorted(luminance(linear(colour)) for colour in (one, other))
    return (high + 0.05) / (low + 0.05)


def cielab(rgb: np.ndarray) -> np.ndarray:
    """CIE 1976 L*a*b* of linear sRGB, white point D65 (IEC 61966-2-1)."""
    to_xyz = np.array(
        [
            [0.4124564, 0.3575761, 0.1804375],
            [0.2126729, 0.7151522, 0.0721750],
            [0.0193339, 0.1191920, 0.9503041],
        ]
    )
    xyz = to_xyz @ np.clip(rgb, 0, 1) / to_xyz.sum(axis=1)
    x, y, z = np.where(xyz > 216 / 24389, np.cbrt(xyz), (24389 / 27 * xyz + 16) / 116)
    return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])


def test_the_palette_is_the_published_one() -> None:
    channels = {
        name: tuple(int(colour[i : i + 2], 16) for i in (1, 3, 5))
        for name, colour in style.OKABE_ITO.items()
    }
    assert channels == PUBLISHED


def test_the_simulation_leaves_white_white() -> None:
    # Rows of a correct matrix add up to 1; printed to six places, three of them err by 1.5e-6.
    for matrix in VISION.values():
        assert np.abs(matrix.sum(axis=1) - 1).max() < 2e-6


@pytest.mark.parametrize("vision", VISION)
def test_any_two_phase_colours_differ_for_every_kind_of_colour_vision(vision: str) -> None:
    seen = [cielab(VISION[vision] @ linear(colour)) for colour in style.PHASE_COLOURS]
    nearest = min(math.dist(one, other) for one, other in itertools.combinations(seen, 2))
    assert nearest > 6 * JUST_NOTICEABLE


def test_the_phases_differ_as_greys_and_stand_out_from_paper() -> None:
    """WCAG 2.2, success criterion 1.4.11: 3:1 for lines; here for every kind of colour vision."""
    lightness = sorted(cielab(linear(colour))[0] for colour in style.PHASE_COLOURS)
    steps = [b - a for a, b in itertools.pairwise(lightness)]
    assert min(steps) > 4 * JUST_NOTICEABLE
    for matrix in VISION.values():
        for colour in style.PHASE_COLOURS:
            seen = np.clip(matrix @ linear(colour), 0, 1)
            assert 1.05 / (luminance(seen) + 0.05) >= 3.0


def test_four_phases_differ_in_pattern_and_twelve_in_pattern_and_colour() -> None:
    pens = [style.phase_pen(i) for i in range(12)]
    assert len({pen.dash for pen in pens[:4]}) == 4
    assert len({(pen.colour, pen.dash) for pen in pens}) == 12
    assert pens[0].dash == ()
    assert style.phase_pen(12) == pens[0]


@pytest.mark.parametrize("index", range(4))
def test_a_rim_closes_without_a_crumb(index: int) -> None:
    pen, round_it = style.rim_pen(index, 3.5), 2 * math.pi * 3.5
    assert pen.colour == style.phase_pen(index).colour
    if pen.dash:
        assert round_it / sum(pen.dash) == pytest.approx(round(round_it / sum(pen.dash)))


def test_there_is_no_phase_before_the_first() -> None:
    with pytest.raises(ValueError, match="counted from 0"):
        style.phase_pen(-1)


def test_gaps_between_dashes_survive_a_copy() -> None:
    # A working figure: a copy that thickens a line by a quarter of its width at each edge still
    # leaves a gap of half a line width.
    for pen in map(style.phase_pen, range(4)):
        for gap in pen.dash[1::2]:
            ends = pen.width if pen.cap == "round" else 0.0
            assert gap - ends - pen.width / 2 >= 0.25 * pen.width


def test_a_track_passed_under_shows_a_break_on_both_sides() -> None:
    # 0.5 mm at arm's length, 600 mm, is 2.9 minutes of arc; normal sight resolves 1.
    assert (style.BRIDGE - style.TRACK_WIDTH) / 2 >= 0.5


@pytest.mark.parametrize("colour", [style.INK, style.SOFT_INK])
def test_words_stand_out_from_paper(colour: str) -> None:
    # WCAG 2.2, success criterion 1.4.3: 4.5:1 for text of any size.
    assert contrast(colour, style.PAPER) >= 4.5


def test_contrast_is_measured_as_the_guideline_says() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    # The lightest grey that WCAG's own technique notes accept on white: 4.54:1.
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


def test_no_type_is_smaller_than_seven_points() -> None:
    sizes = [style.SMALL, style.LABEL, style.FIGURE, style.HEADING, style.TITLE]
    assert min(sizes) >= 7 * 25.4 / 72 - 1e-9


def test_stroke_widths_are_steps_of_the_drafting_series() -> None:
    # ISO 128: 0.13, 0.18, 0.25, 0.35, 0.5, 0.7 mm (from memory).
    pens = [pen for pen in vars(style).values() if isinstance(pen, style.Pen)]
    drawn = {pen.width for pen in pens}
    # 1.2 is the rail of a fence, which must be told from every track.
    assert drawn <= {0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.2}
