"""A ride that comes in through the gate has a fair way from there to its first fence.

On the lead it begins on and with no more than a half circle: none costs all, the other hand or a
way round the whole costs half.

Weight 4: what nobody can ride goes before all that is only liked.
"""

import math

import numpy as np

from diagram.geometry.curve import Floats
from diagram.path.arcs import Pairs, Ways, arc_line_arc, one_arc
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.states import States
from diagram.placing.designer.term import Term

OTHER_HAND, ROUND_AND_ROUND = 0.5, 0.5


def _of_piece(ground: DesignGround, number: int, states: States) -> Floats:
    way = ground.start
    if way is None or way.begin is None or ground.piece_of[way.end.body] != number:
        return np.zeros(len(states))
    place, back = states.end(way.end)
    limits = ground.problem.limits.canter
    region, manner = ground.problem.region, limits.manner
    ahead, into, radius = (np.full(len(states), m) for m in (0.0, manner.out, manner.least_radius))
    least = np.ones(len(states))
    for hand in (1.0, -1.0):
        pairs = Pairs(
            np.full(len(states), complex(way.begin.x, way.begin.y)),
            np.full(len(states), way.begin.heading), place, back + math.pi,
            np.full(len(states), hand),
        )  # fmt: skip
        other = OTHER_HAND if way.lead not in (None, hand > 0) else 0.0
        for ways in (
            arc_line_arc(pairs, ahead, into, radius), one_arc(pairs, into),
            arc_line_arc(pairs, ahead, into, radius, last=-1),
            arc_line_arc(pairs, ahead, into, radius, first=-1),
        ):  # fmt: skip
            fair = ways.good & (ways.radius >= manner.least_radius - 1e-9)
            with np.errstate(invalid="ignore"):
                fair &= ways.inside(region) > manner.rail
            least = np.minimum(least, np.where(fair, other + _round_and_round(ways), 1.0))
    return least


def _round_and_round(ways: Ways) -> Floats:
    turned = ways.turned
    cost: Floats = ROUND_AND_ROUND * np.clip(turned / math.pi - 1, 0.0, 1.0)
    return cost


TERM = Term("a way in from where it is said", 4.0, of_piece=_of_piece)
