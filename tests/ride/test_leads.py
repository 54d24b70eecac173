"""Leads through a ride, worked out by hand beside each.

On a turn the lead is the inside one, except in counter-canter (published web article [S45]).
"""

from __future__ import annotations

from pathlib import Path

import pytest
from ride_trials import ridden

from diagram.diagnostics import Diagnostic
from diagram.pipeline import plan
from diagram.planning import Plan
from diagram.ride.leads import carry
from diagram.ride.turns import Turn
from diagram.units import FOOT

ROOT = Path(__file__).parents[2]
STRIDE = 12 * FOOT

# A serpentine: three fences across the arena, each a turn from the one before.
FIRST = "birch: {kind: vertical, at: [40 m, 8 m], facing: 0°}"
SECOND = "elm: {kind: vertical, at: [40 m, 22 m], facing: 180°}"
THIRD = "oak: {kind: vertical, at: [40 m, 36 m], facing: 0°}"
SERPENTINE = (FIRST, SECOND, THIRD.replace("36 m", "35 m"))


def _leads(plan: Plan) -> list[tuple[str | None, str | None]]:
    return [(leg.ridden.lead, leg.ridden.lead_in) for leg in plan.legs]


def _against(plan: Plan) -> list[Diagnostic]:
    return [found for found in plan.findings if found.rule == "lead-against-the-turn"]


def _turn(angle: float, begin: float, end: float) -> Turn:
    return Turn(begin, end, angle, 10.0)


def test_a_figure_of_eight() -> None:
    """As shipped. Left to willow; lands right, turns right: inside. Lands right, turns left by a
    simple change: right into left. Lands right, turns right. Lands left to finish."""
    made = plan(ROOT / "exercises" / "figure-of-eight-with-new-leads.yaml")
    assert _leads(made) == [
        ("left", "left"), ("right", "right"), ("right", "left"), ("right", "right"),
        ("left", "left"),
    ]  # fmt: skip
    assert [leg.ridden.hand for leg in made.legs] == [None, "right", "left", "right", None]
    changes = [(n, c.kind, c.to) for n, leg in enumerate(made.legs) for c in leg.ridden.changes]
    assert changes == [(2, "simple", "left")]
    assert _against(made) == []


def test_a_serpentine_with_changes() -> None:
    """Left lead; the first turn goes left: inside. The second goes right: a flying change to the
    right, and the right lead over oak."""
    made = ridden(
        "start: canter, left lead", "jump: birch", "turn: left", "jump: elm",
        "turn: right, flying change", "jump: oak", "finish: straight on", fences=SERPENTINE,
    )  # fmt: skip
    assert _leads(made) == [("left", "left"), ("left", "left"), ("left", "right"), ("right",) * 2]
    [change] = made.legs[2].ridden.changes
    assert (change.kind, change.to) == ("flying", "right")
    # From the landing, 6 ft behind elm, to where the turn begins.
    turn = made.legs[2].ridden.turns[0]
    assert change.at_m == turn.begin_m
    assert change.strides == pytest.approx((turn.begin_m - 6 * FOOT) / STRIDE)
    assert _against(made) == []


def test_a_serpentine_without_changes() -> None:
    """The same, nothing said: the second turn goes right on the left lead. The finding points at
    that turn, and at the start, where the left lead was said."""
    made = ridden(
        "start: canter, left lead", "jump: birch", "turn: left", "jump: elm",
        "turn: right", "jump: oak", "finish: straight on", fences=SERPENTINE,
    )  # fmt: skip
    assert _leads(made) == [("left", "left")] * 4
    [found] = _against(made)
    lines = made.document.text.splitlines()
    assert found.span is not None
    assert lines[found.span.line - 1].strip() == "- turn: right"
    [(where, words)] = found.related
    assert lines[where.line - 1].strip() == "- start: canter, left lead"
    assert words == "the left lead comes from here"


def test_a_counter_canter_loop() -> None:
    """Right lead round a turn to the left: meant, so no finding; the right lead stays for the turn
    to the right that follows, where it is the inside one."""
    made = ridden(
        "start: canter, right lead", "jump: birch", "turn: left, counter-canter", "jump: elm",
        "turn: right", "jump: oak", "finish: straight on", fences=SERPENTINE,
    )  # fmt: skip
    assert _leads(made) == [("right", "right")] * 4
    assert [leg.ridden.hand for leg in made.legs] == [None, "left", "right", None]
    assert all(leg.ridden.changes == () for leg in made.legs)
    assert _against(made) == []


def test_counter_canter_asked_for_on_the_inside_lead_is_found() -> None:
    made = ridden(
        "start: canter, left lead", "jump: birch", "turn: left, counter-canter", "jump: elm",
        fences=(FIRST, SECOND),
    )  # fmt: skip
    [found] = _against(made)
    assert found.message == "counter-canter is asked for, and left is the inside lead here"


def test_counter_canter_is_only_where_it_is_asked_for() -> None:
    made = ridden(
        "start: canter, right lead", "jump: birch", "turn: left, counter-canter", "jump: elm",
        "turn: right", "jump: oak", "turn: left", "jump: birch",
        fences=SERPENTINE,
    )  # fmt: skip
    assert len(_against(made)) == 1


def test_nobody_has_said_which_lead() -> None:
    """The horse takes the one that its first turn asks for, and keeps it."""
    made = ridden("jump: birch", "turn: left", "jump: elm", fences=(FIRST, SECOND))
    assert _leads(made) == [(None, None), ("left", "left"), ("left", "left")]


def test_a_landing_lead_is_where_it_was_said() -> None:
    made = ridden(
        "start: canter, left lead", "jump: birch, land right", "turn: left", "jump: elm",
        fences=(FIRST, SECOND),
    )  # fmt: skip
    [found] = _against(made)
    [(where, _)] = found.related
    assert "land right" in made.document.text.splitlines()[where.line - 1]


def test_a_trot_start_has_no_lead() -> None:
    made = ridden("start: trot", "jump: birch", "turn: left", "jump: elm", fences=(FIRST, SECOND))
    assert _leads(made)[0] == (None, None)
    assert _leads(made)[1] == ("left", "left")


def test_one_change_serves_one_turn() -> None:
    """Left, then right, then left in one leg, on the left lead with one change asked for: it is
    made before the second turn, and the third is ridden on the right lead, which is found."""
    turns = (_turn(1.5, 5, 15), _turn(-1.5, 25, 35), _turn(1.5, 45, 55))
    way = _way("flying")
    carried = carry("left", None, turns, way, (2.0, 60.0), 4.0)
    assert [(c.at_m, c.to, c.kind) for c in carried.changes] == [
        (25, "right", "flying"), (45, "left", None),
    ]  # fmt: skip
    # Ten metres between the turns are two strides and a half of 4 m.
    assert [c.strides for c in carried.changes] == [2.5, 2.5]
    assert [carried.at(s) for s in (0.0, 24.9, 25.0, 59.0)] == ["left", "left", "right", "right"]
    assert carried.lead_in == "right"


def test_a_change_on_a_straight_line_is_due_before_the_take_off() -> None:
    carried = carry("left", None, (), _way("simple"), (2.0, 22.0), 4.0)
    [change] = carried.changes
    assert (change.at_m, change.to, change.before_turn, change.strides) == (22.0, "right", False, 5)
    assert carried.lead_in == "right"


def _way(change: str):
    from diagram.model.ride_said import read_turn

    return read_turn(f"left, {change} change")


@pytest.mark.parametrize("kind", [None, "flying", "simple"])
def test_the_other_hand_is_the_same_with_the_leads_exchanged(kind: str | None) -> None:
    turns = (_turn(1.5, 5, 15), _turn(-1.5, 25, 35))
    other = tuple(_turn(-t.angle, t.begin_m, t.end_m) for t in turns)
    way = _way(kind) if kind else None
    swap = {"left": "right", "right": "left", None: None}
    one = carry("left", None, turns, way, (2.0, 60.0), 4.0)
    two = carry("right", None, other, way, (2.0, 60.0), 4.0)
    assert swap[one.lead_in] == two.lead_in
    assert [(swap[c.to], c.kind, c.at_m) for c in one.changes] == [
        (c.to, c.kind, c.at_m) for c in two.changes
    ]
