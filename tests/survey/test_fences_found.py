"""Simulated crews: the fence that is off is found, the slip is named, the move mends the lines."""

from __future__ import annotations

import math

import pytest
from as_built_trials import SIGMA_M, TAPE_M, exercise, places, taped

from diagram.planning import plan_of_places
from diagram.survey.as_built import AsBuilt, Options, as_built
from diagram.survey.form import form_tapes
from diagram.survey.lines_now import Ruler

GRID = "grid-from-trot-on-the-centre-line"
BENDS = "forward-wait-and-a-double"
ANGLE = "straight-out-and-home-on-an-angle"
OPTIONS = Options(TAPE_M)
RIDDEN_LONGER_M = 0.1
"""A line ridden straight off both fences is longer than the arc and straights that measure it: 8 cm
on 19 m where one fence is turned 4.5 degrees."""
CASES = [(GRID, "grid b"), (BENDS, "rowan"), (ANGLE, "alder"), (BENDS, "elm"), (GRID, "grid d")]


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(("name", "fence"), CASES)
def test_thirty_centimetres_four_degrees_and_a_metre_misread(
    name: str, fence: str, seed: int
) -> None:
    plan = exercise(name)
    wrong = [n for n, pair in enumerate(form_tapes(plan, TAPE_M, SIGMA_M)) if fence in pair[1]]
    at = wrong[seed % len(wrong)]
    off = {fence: (-0.3 * math.cos(seed), 0.3 * math.sin(seed), 4.0)}
    tapes = taped(plan, off, blunders={at: 1.0}, seed=seed)
    found = as_built(plan, tapes, OPTIONS)
    named = [slip for slip in found.wrong if slip.tape == tapes.tapes[at]]
    assert named, "the metre is not noticed"
    assert not named[0].or_else
    # How long the tape should have been is known to a few centimetres.
    assert named[0].error_m == pytest.approx(1.0, abs=0.15)
    stands = found.standing(fence)
    assert stands.off
    truth = plan.fence(fence).pose.ahead(off[fence][0], off[fence][1])
    miss = (truth.x - stands.pose.x, truth.y - stands.pose.y)
    # The ellipse holds 95 of 100: of these twenty one or two may lie outside, by a little.
    assert math.hypot(*miss) < 1.5 * stands.ellipse.major_m
    assert math.degrees(stands.turned) == pytest.approx(
        4.0, abs=1.5 * math.degrees(stands.turn_error)
    )
    _mended(found)


def _mended(found: AsBuilt) -> None:
    """The moves, made in a plan of their own, bring each line to its length."""
    assert found.exact is not None
    poses = {fence.fence: fence.pose for fence in found.fences}
    poses |= {move.fence: move.end for move in found.exact.moves}
    # Bends on the arc of the plan: on a freer one they would come out right by themselves.
    mended = plan_of_places(found.plan, poses, Ruler(found.plan).arcs(poses))
    moved = {move.fence for move in found.exact.moves}
    for line in found.lines:
        leg = mended.legs[line.line.leg.number]
        allowed = line.line.tolerance_m
        if not moved & set(line.line.ends):
            # What is left as it stands is held to its tolerance as it is measured: 30.1 of 30.5 cm
            # at rowan with seed 3. Ridden over a fence that is turned 4.5 degrees it is longer.
            assert abs(line.off_m) <= allowed
            allowed += RIDDEN_LONGER_M
        assert leg.track_m == pytest.approx(line.line.planned_m, abs=allowed + 1e-6)
        if line.line.leg.rides is not None:
            assert leg.rides is not None
            assert leg.rides.strides == line.line.leg.rides.strides


@pytest.mark.parametrize("trials", [20, pytest.param(60, marks=pytest.mark.long)])
def test_ellipses_and_angles_hold_over_many_crews(trials: int) -> None:
    plan = exercise(ANGLE)
    pairs = form_tapes(plan, TAPE_M, SIGMA_M)
    off = {"alder": (-0.3, 0.1, 4.0), "larch": (0.05, 0.0, -2.0)}
    places_held, angles_held = 0, 0
    for seed in range(trials):
        found = as_built(plan, taped(plan, off, pairs=pairs, seed=seed), OPTIONS)
        for fence in found.fences:
            ahead, left, degrees = off.get(fence.fence, (0.0, 0.0, 0.0))
            truth = plan.fence(fence.fence).pose.ahead(ahead, left)
            miss = (truth.x - fence.pose.x, truth.y - fence.pose.y)
            places_held += fence.ellipse.holds(*miss)
            angles_held += abs(fence.turned - math.radians(degrees)) < fence.turn_error
    total = 3 * trials
    # Three standard errors; snooping now and then blames a sound tape, which costs a little.
    allowed = 3 * math.sqrt(0.95 * 0.05 / total) + 0.01
    assert places_held / total == pytest.approx(0.95, abs=allowed)
    assert angles_held / total == pytest.approx(0.95, abs=allowed)


def test_exact_tapes_give_exact_places() -> None:
    plan = exercise(BENDS)
    off = {"oak": (0.4, -0.2, 3.0), "hazel": (0.0, 0.1, -2.0)}
    found = as_built(plan, taped(plan, off, seed=None), OPTIONS)
    assert not found.wrong
    for fence in found.fences:
        ahead, left, degrees = off.get(fence.fence, (0.0, 0.0, 0.0))
        assert fence.ahead_m == pytest.approx(ahead, abs=1e-6)
        assert fence.left_m == pytest.approx(left, abs=1e-6)
        assert math.degrees(fence.turned) == pytest.approx(degrees, abs=1e-5)


def test_nothing_is_off_and_nothing_is_moved() -> None:
    plan = exercise(GRID)
    found = as_built(plan, taped(plan, seed=None), OPTIONS)
    assert found.all_well
    assert found.remedy is not None
    assert not found.remedy.moves
    assert [now.length_m for now in found.lines] == pytest.approx(
        [now.line.planned_m for now in found.lines]
    )


def test_a_fence_back_to_front() -> None:
    """Its left is taped as its right: the pose is turned about, the line rides all the same."""
    plan = exercise(BENDS)
    found = as_built(plan, taped(plan, {"oak": (0.0, 0.0, 180.0)}), OPTIONS)
    oak = found.standing("oak")
    assert oak.back_to_front
    assert not found.wrong
    assert not found.all_well
    assert all(now.as_asked for now in found.lines)


def test_a_tape_held_to_the_wrong_foot() -> None:
    plan = exercise(ANGLE)
    pairs = list(form_tapes(plan, TAPE_M, SIGMA_M))
    at = next(n for n, pair in enumerate(pairs) if pair[1] == "larch left")
    tapes = taped(plan, pairs=[*pairs[:at], (pairs[at][0], "larch right"), *pairs[at + 1 :]])
    said = list(tapes.tapes)
    said[at] = type(said[at])(pairs[at][0], "larch left", said[at].metres, SIGMA_M)
    tapes = type(tapes)(tapes.name, tuple(said), tapes.lines, 0, SIGMA_M)
    (slip,) = as_built(plan, tapes, OPTIONS).wrong
    assert slip.fits == (pairs[at][0], "larch right")


def test_too_few_tapes_and_the_one_that_is_missing() -> None:
    """Two tapes to a fence: with the one that is proposed it is found, and rightly."""
    plan = exercise(ANGLE)
    pairs = [pair for pair in form_tapes(plan, TAPE_M, SIGMA_M) if not pair[0].startswith("larch")]
    thorn = [pair for pair in pairs if pair[1].startswith("thorn")][:2]
    kept = [pair for pair in pairs if not pair[1].startswith("thorn")] + thorn
    off = {"thorn": (0.2, 0.1, 3.0)}
    found = as_built(plan, taped(plan, off, pairs=kept), OPTIONS)
    assert not found.standing("thorn").found
    (more,) = found.standing("thorn").more
    again = as_built(plan, taped(plan, off, pairs=[*kept, more], seed=None), OPTIONS)
    assert again.standing("thorn").found
    assert not again.standing("thorn").checked
    assert again.standing("thorn").ahead_m == pytest.approx(0.2, abs=1e-6)
    assert math.degrees(again.standing("thorn").turned) == pytest.approx(3.0, abs=1e-5)
    assert found.standing("alder").found


def test_two_tapes_between_two_fences_are_enough_for_their_line() -> None:
    """Base to base left and right: no fence is known in the arena, but the line is."""
    plan = exercise(ANGLE)
    pairs = [("larch left", "alder left front"), ("larch right", "alder right front")]
    found = as_built(plan, taped(plan, {"alder": (0.5, 0.0, 0.0)}, pairs=pairs, seed=None), OPTIONS)
    assert not any(fence.found for fence in found.fences)
    (line,) = found.lines
    assert line.known
    assert line.off_m == pytest.approx(0.5, abs=1e-3)
    assert found.exact is not None
    (move,) = found.exact.moves
    assert move.metres == pytest.approx(0.5, abs=0.01)


def test_one_tape_between_two_fences_is_not() -> None:
    plan = exercise(ANGLE)
    pairs = [("larch left", "alder left front")]
    found = as_built(plan, taped(plan, pairs=pairs, seed=None), OPTIONS)
    (line,) = found.lines
    assert not line.known
    (more,) = found.more[line.line]
    again = as_built(plan, taped(plan, pairs=[*pairs, more], seed=None), OPTIONS)
    assert again.lines[0].known


def test_feet_that_stand_as_they_like() -> None:
    """A spread set 20 cm too wide: as a rigid figure its tapes quarrel, with free feet they do
    not, and the misfit is found."""
    plan = exercise(BENDS)
    at = places(plan)
    pose = plan.fence("rowan").pose
    wide = {
        foot: (pose.ahead(0.2).x - pose.x, pose.ahead(0.2).y - pose.y)
        for foot in ("rowan left back", "rowan right back")
    }
    feet = [foot for foot in at if foot.startswith("rowan ")]
    fixed = sorted(p for p in at if p.startswith(("corner", "old", "lane")))
    pairs = [(p, foot) for foot in feet for p in fixed if math.dist(at[p], at[foot]) < 45]
    tapes = taped(plan, pairs=pairs, seed=None)
    moved = [
        type(t)(t.first, t.second, math.dist(at[t.first], (
            at[t.second][0] + wide.get(t.second, (0, 0))[0],
            at[t.second][1] + wide.get(t.second, (0, 0))[1])), SIGMA_M)
        for t in tapes.tapes
    ]  # fmt: skip
    tapes = type(tapes)(tapes.name, tuple(moved), tapes.lines, 0, SIGMA_M)
    rigid = as_built(plan, tapes, OPTIONS)
    free = as_built(plan, tapes, Options(TAPE_M, feet_free=True))
    assert rigid.wrong or rigid.sigma0 > 2
    assert not free.wrong
    rowan = free.standing("rowan")
    assert rowan.found
    # Two rows each half of 20 cm off the figure's middle.
    assert rowan.misfit_m == pytest.approx(0.1, abs=1e-6)
    assert rowan.ahead_m == pytest.approx(0.1, abs=1e-6)


def test_places_that_no_tape_reaches() -> None:
    plan = exercise(BENDS)
    pairs = [("old post", "elm left"), ("old post", "elm right")]
    found = as_built(plan, taped(plan, pairs=pairs), Options(6.0))
    assert not found.standing("birch a").found
    assert found.standing("birch a").more == ()
