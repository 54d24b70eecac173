"""The signs threaded on the strand: what they say of the ride, and where they stand."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import numpy as np
import pytest
from samples import SAMPLES
from shapely import LineString

from diagram.drawing import draw_plan
from diagram.drawing.beads import BEFORE, BEHIND, changes_over, disc_marks
from diagram.drawing.counts import counted, stride_words
from diagram.drawing.flags import bar_mark, bars
from diagram.drawing.ride_words import FULL, ride_text
from diagram.drawing.strand import Strand, strand_of
from diagram.drawing.track import fitted
from diagram.pipeline import drawing_of, plan, plan_text
from diagram.scene import Disc, Fill, Group, Stroke, Text, walk
from diagram.style import BAR, PAPER, TICK, TRACK_WIDTH, phase_pen, points, text_width
from diagram.typeface import CAP_HEIGHT

ROOT = Path(__file__).parents[2]
HEAD = """\
tapeline: 1
title: T
purpose: P
level: 3'
arena: 30 x 60 m
horses: 12' stride
fences:
  birch: {kind: vertical, at: [8 m, 9 m], facing: 0°, ground line: both sides}
  hazel: {kind: vertical, placed: DISTANCE beyond birch}
ride:
  - start: canter, left lead
  - jump: birch
  - line: SAID
  - jump: hazelLAND
"""


def _text(distance: str, said: str, land: str = "") -> str:
    return HEAD.replace("DISTANCE", distance).replace("SAID", said).replace("LAND", land)


def _marks(drawn: object, name: str) -> list[object]:
    scene = drawn.scene  # type: ignore[attr-defined]
    found = next(m for m in scene.walk() if isinstance(m, Group) and m.name == name)
    return list(walk(found.children))


def test_a_line_of_five_has_a_tick_every_stride_and_all_numerals() -> None:
    """12 ft apart, to scale; the tick under a sign is left out, its numeral is not."""
    drawn = draw_plan(plan_text(_text("72 ft", "5 strides")), 277, 160)
    numerals = {label.name: label for label in drawn.labels if label.name.startswith("stride-1-")}
    assert set(numerals) == {f"stride-1-{n}" for n in range(1, 6)}
    targets = [numerals[f"stride-1-{n}"].place.target for n in range(1, 6)]
    for a, b in itertools.pairwise(targets):
        assert math.dist(a, b) == pytest.approx(drawn.frame.mm(12 * 0.3048), abs=0.01)
    ticks = [m for m in _marks(drawn, "strides") if isinstance(m, Stroke)]
    assert 2 <= len(ticks) <= 5
    assert {tick.pen for tick in ticks} == {TICK}


def test_beads_stand_at_their_distance_from_the_fence() -> None:
    drawn = draw_plan(plan_text(_text("72 ft", "5 strides")), 277, 160)
    places = {label.name: label.place.centre for label in drawn.labels}
    birch = drawn.frame.at((8.0, 9.0))
    assert birch[0] - places["number-1"][0] == pytest.approx(BEFORE, abs=0.01)
    assert places["lead-1"][0] - birch[0] == pytest.approx(BEHIND, abs=0.01)


@pytest.mark.parametrize("file", SAMPLES, ids=lambda file: file.stem)
def test_every_lead_square_is_the_lead_of_the_leg_that_follows(file: Path) -> None:
    made = plan(file)
    drawn = drawing_of(made)
    shown = {}
    for mark in drawn.scene.walk():
        if isinstance(mark, Group) and mark.name.startswith("lead-"):
            *number, letter = [m.text for m in mark.children if isinstance(m, Text)]
            left = next(leg for leg in made.legs if leg.number == int(mark.name[5:])).first
            assert left is not None
            assert number in ([], [left.jump.label])
            ground = next(m.colour for m in mark.children if isinstance(m, Fill))
            shown[int(mark.name[5:])] = (letter, ground != PAPER)
    for before, leg in zip(made.legs, made.legs[1:], strict=False):
        if leg.number in shown:
            assert leg.lead
            assert shown[leg.number] == (leg.lead[0].upper(), changes_over(before, leg))
    assert shown


def test_a_walk_in_the_line_is_hollow_between_two_bars_and_flagged() -> None:
    made = plan_text(_text("132 ft", "10 strides, walk 5 steps in the middle"))
    drawn = draw_plan(made, 277, 160)
    crossed = made.legs[1].ridden.in_and_out
    assert crossed is not None
    bars = [m for m in _marks(drawn, "bars") if isinstance(m, Stroke)]
    for s in (crossed.begin_m, crossed.end_m):
        x, _ = drawn.frame.at(made.legs[1].curve.pose_at(s).point)
        assert any(abs(bar.points[0][0] - x) < 0.01 and bar.pen == BAR for bar in bars)
    said = [m.text for m in _marks(drawn, "labels") if isinstance(m, Text)]
    assert "walk 5" in said


def test_the_ride_in_words() -> None:
    twice = plan(ROOT / "exercises" / "every-fence-twice.yaml")
    said = ride_text(twice, 0, FULL).replace("\N{NO-BREAK SPACE}", " ")
    about = twice.legs[2].ridden.strides
    assert said == (
        f"canter left,  **1 alder** — 5 — **2 birch**,  turn left, about {about} strides,  "
        "**3 cedar** — "
        "5 bending left — **4 dogwood**, land left"
    )
    walked = plan_text(_text("132 ft", "10 strides, walk 5 steps in the middle", ", land right"))
    inside = walked.legs[1].ridden.in_and_out
    assert inside is not None
    middle = f"— {inside.canter_in.strides}, walk 5, {inside.canter_out.strides} —"
    assert middle in ride_text(walked, 0)
    assert ", land right" in ride_text(walked, 0)


@pytest.mark.parametrize("length", [2.0, 7.3, 20.0, 51.7, 200.0])
@pytest.mark.parametrize("phase", [1, 2, 3])
def test_dashes_begin_and_end_whole_in_every_stretch(phase: int, length: float) -> None:
    pen = phase_pen(phase)
    dash = fitted(pen, length)
    if not dash:
        return
    count = round((length + sum(dash) - dash[0]) / sum(dash))
    assert count * sum(dash) - (sum(dash) - dash[0]) == pytest.approx(length, abs=1e-9)
    assert 0.6 < sum(dash) / sum(pen.dash) < 1.6


def test_a_flag_says_what_to_do_if_the_change_is_not_through() -> None:
    text = _text("72 ft", "5 strides") + (
        "  - turn: right, simple change\n    if it goes wrong: straight on and halt\n"
        "  - jump: birch\n"
    )
    drawn = draw_plan(plan_text(text), 277, 160)
    said = [m.text for m in _marks(drawn, "labels") if isinstance(m, Text)]
    assert "simple change to right, by here" in said
    assert "straight on and halt" in said


@pytest.mark.parametrize("figure", ["1", "10", "4a", "10b"])
def test_no_corner_of_a_figure_comes_near_the_rim(figure: str) -> None:
    ring, text = disc_marks(figure, 1, (0.0, 0.0))
    assert isinstance(ring, Disc)
    assert isinstance(text, Text)
    assert ring.pen
    half = text_width(figure, text.size, "bold") / 2
    assert math.hypot(half, text.size * CAP_HEIGHT / 2) <= ring.radius - ring.pen.width / 2 - 0.2
    # Read walking, at arm's length: 12 point is a capital of 1/220 of 60 cm.
    assert text.size >= points(12)


def test_a_grid_of_fences_alike_has_one_name_and_no_pole_counts_as_a_jump() -> None:
    file = ROOT / "exercises" / "bounces-from-trot.yaml"
    made = plan(file)
    names = [one.name for one in drawing_of(made).labels if one.name.startswith("fence-")]
    assert names == ["fence-grid"]
    assert "1a–1d\N{NO-BREAK SPACE}grid** in bounces," in ride_text(made, 0)


def test_words_stand_on_their_own_side_of_another_track() -> None:
    """START lies between the rail and a later turn: its words go there, in three lines."""
    made = plan(ROOT / "exercises" / "little-round-with-a-double.yaml")
    labels = {one.name: one for one in drawing_of(made).labels}
    start = labels["start"].place
    assert not start.apart
    assert math.dist(start.box.nearest(start.target), start.target) < 5.0
    assert "2 strides" in [m.text for m in walk([labels["count-4"].marks]) if isinstance(m, Text)]


def places_of(strand: Strand) -> list[list[list[float]]]:
    """The places of each leg, as drawn."""
    table, begins = strand.rows
    return [places.tolist() for places in np.split(table, begins[1:])]


CROSSED = (*SAMPLES, ROOT / "exercises" / "outside-diagonal-outside-diagonal.yaml")


@pytest.mark.parametrize("file", CROSSED, ids=lambda file: file.stem)
def test_no_count_can_be_read_for_another_line(file: Path) -> None:
    """It stands nearer to its own line, or a pass over the same ground, than to any other."""
    made = plan(file)
    drawn = draw_plan(made, 277, 160)
    strand = strand_of(made, drawn.frame)
    lines: dict[frozenset[str], list[tuple[float, float]]] = {}
    of_leg: dict[int, frozenset[str]] = {}
    for span, places in zip(strand.spans, places_of(strand), strict=True):
        if counted(span.leg) and stride_words(span.leg):
            ends = frozenset(c.jump.fence for c in (span.leg.first, span.leg.second) if c)
            of_leg[span.leg.number] = ends
            lines.setdefault(ends, []).extend(places)
    for label in drawn.labels:
        if label.name.startswith("count-"):
            far = {
                ends: min(math.dist(place, label.place.centre) for place in places)
                for ends, places in lines.items()
            }
            own = far.pop(of_leg[int(label.name.removeprefix("count-"))])
            assert all(own + 0.5 < other for other in far.values()), label.name


def test_a_halt_in_a_line_parts_its_count() -> None:
    """Six, halt, six is not twelve: nobody counts on through a halt."""
    said = "12 strides, halt 4 s in the middle"
    drawn = draw_plan(plan_text(_text("148 ft", said).replace("30 x 60", "30 x 90")), 277, 160)
    counts = {label.name: label for label in drawn.labels if label.name.startswith("count-")}
    assert set(counts) == {"count-1-in", "count-1-out"}
    words = [mark.text for mark in _marks(drawn, "count-1") if isinstance(mark, Text)]
    assert words == ["6 strides"]
    bars = [mark for mark in _marks(drawn, "bars") if isinstance(mark, Stroke)]
    halt = min(bars, key=lambda bar: bar.points[0][0]).points[0][0]
    assert counts["count-1-in"].place.centre[0] < halt < counts["count-1-out"].place.centre[0]


def test_a_disc_on_a_short_line_stands_nearer_to_its_own_fence() -> None:
    """A one-stride double of 24 ft at 1:250: 11 mm before the second is 18 behind the first; at
    a line of 18 ft it would be the middle."""
    drawn = draw_plan(plan_text(_text("18 ft", "1 stride")), 277, 160)
    disc = next(label for label in drawn.labels if label.name == "number-2").place.centre
    first, second = (drawn.frame.at((8.0 + far, 9.0)) for far in (0.0, 18 * 0.3048))
    assert math.dist(disc, second) < 0.75 * math.dist(disc, first)


@pytest.mark.parametrize("file", SAMPLES, ids=lambda p: p.stem)
def test_bars_lie_on_no_other_track(file: Path) -> None:
    """The ink of each bar keeps off that of every other leg, also where two run side by side."""
    drawn = drawing_of(plan(file))
    made = plan(file)
    strand = strand_of(made, drawn.frame)
    for bar in bars(strand, None):
        ink = LineString(bar_mark(bar, strand).points)
        for span, places in zip(strand.spans, places_of(strand), strict=True):
            if span.leg is not bar.leg:
                gap = LineString(places).distance(ink)
                assert gap > TRACK_WIDTH / 2, f"{bar.leg.number} on {span.leg.number}"
