"""What the side that one rides from has to say in words: not to ride it, and on which lead."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from diagram.drawing.furniture import STOPPED
from diagram.drawing.ride_words import ride_rows
from diagram.drawing.side_one import A4, draw_head
from diagram.pipeline import plan_text
from diagram.planning import Plan
from diagram.scene import Item, Text, walk
from diagram.sections.care import care_texts
from diagram.sections.teaching import elements_of
from diagram.units import Units, length_text

HEAD = "tapeline: 1\ntitle: T\npurpose: P\nlevel: 2'6\"\narena: 60 x 30 m\n"
FEET: Units = "feet"


def texts(items: Iterable[Item]) -> list[str]:
    return [item.text for item in walk(items) if isinstance(item, Text)]


def planned(ride: str) -> Plan:
    fences = "fences: {ash: {kind: vertical}, birch: {kind: vertical}}\n"
    return plan_text(f"{HEAD}{fences}ride:\n{ride}")


SOUND = "  - start: canter, left lead\n  - jump: ash\n  - line: 5 strides\n  - jump: birch\n"


def test_what_is_stopped_says_so_on_the_side_that_one_rides_from() -> None:
    stopped = planned(SOUND.replace("5 strides", "16 strides"))
    assert "stop" in {str(finding.severity) for finding in stopped.findings}
    assert STOPPED in texts(draw_head(stopped, A4, FEET)[0].children)
    assert STOPPED not in texts(draw_head(planned(SOUND), A4, FEET)[0].children)


def test_counter_canter_is_said_in_the_ride() -> None:
    ride = SOUND + "  - turn: right, counter-canter\n  - jump: ash\n"
    said = str(ride_rows(planned(ride), A4.inner))
    assert "counter-canter" in said
    assert "counter-canter" not in str(ride_rows(planned(SOUND), A4.inner))


@pytest.mark.parametrize(("units", "said"), [("feet", "70'7\""), ("metres", "21.52 m")])
def test_a_line_is_taught_with_its_length(units: Units, said: str) -> None:
    """Five strides at 2'6" by the US chart, as measured: 70'7", which is 21.51 m and a bit."""
    plan = planned(SOUND)
    leg = next(leg for leg in plan.legs if leg.shape == "line")
    assert length_text(leg.track_m, units) == said
    assert f"5 strides in {said}" in " ".join(one.how for one in elements_of(plan, units))


def test_no_command_is_printed_on_paper() -> None:
    stopped = planned(SOUND.replace("5 strides", "16 strides"))
    (finding,) = [f for f in stopped.findings if f.rule == "does-not-fit"]
    assert finding.hint.startswith("tapeline ")
    assert "tapeline" not in " ".join(care_texts(stopped))
