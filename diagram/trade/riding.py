"""How a line is ridden where nobody says how: figures for approaches, turns and corners."""

from __future__ import annotations

from diagram.trade.sheet import Angle, Count, Length, Lengths, Sheet, load


class ApproachStrides(Sheet):
    """Strides of canter and of trot before the first fence, and metres at the very least."""

    canter_strides: Count
    trot_strides: Count
    at_the_very_least: Length


class GetAway(Sheet):
    """Strides after the last fence in all, straight ones, and in all at most; metres from the
    walk to finish in to any other track."""

    strides: Count
    straight_strides: Count
    strides_at_most: Count
    off_other_tracks: Lengths


class TurnShape(Sheet):
    """Radius in metres and angles in radians from which a turn is one; how wide it is liked.

    `opened_out` and `sliced` are how far a rider departs from the straight way to a fence,
    `beside_a_pole` how much of a stride a turn in walk or trot is straight at a pole.
    """

    nearly_straight: Length
    a_turn: Angle
    round_for_the_count: Angle
    a_swing: Angle
    opened_out: Angle
    sliced: Angle
    counted: Angle
    beside_a_pole: Count
    liked_over_least: Count


class CornerRoom(Sheet):
    """Metres to the rail, ahead of and beside a corner, and over which a fence is free; between
    fences, and the least radius of a circle."""

    near_the_rail: Length
    off_the_rail: Count
    fence_to_fence: Length
    smallest_circle: Length
    free_after: Length
    ahead_of_the_corner: Lengths
    beside_the_corner: Length


class Riding(Sheet):
    """All of them. `circle_step` is a canter step over low fences on a circle, in metres, and
    `circle_step_up_to` the radius of the largest such circle."""

    approach: ApproachStrides
    get_away: GetAway
    turns: TurnShape
    room: CornerRoom
    circle_step: Lengths
    circle_step_up_to: Length
    stride_between: Lengths


def riding() -> Riding:
    """The figures, read once."""
    return load("riding", Riding)
