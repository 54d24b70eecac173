"""What comes back over the fence that it leaves has room to be in line again in time.

Weight 3. Opened out by half a right angle a horse comes back to its line on one lead; with less
room ahead it opens out further, which is a turn on the other lead (pure geometry, on arcs of one
radius).
"""

import math

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.states import States
from diagram.placing.designer.term import Term
from diagram.placing.designer.walls import clear_ahead

OPENED_RAD = math.radians(45)


def _of_piece(ground: DesignGround, number: int, states: States) -> Floats:
    total = np.zeros(len(states))
    manner = ground.problem.limits.canter.manner
    radius = manner.least_radius
    wanted = manner.out + 2 * radius / math.sin(OPENED_RAD) + radius
    for way in ground.problem.opens:
        if way.back and ground.piece_of[way.end.body] == number:
            place, heading = states.end(way.end)
            clear = clear_ahead(ground.problem.region, place, heading) - manner.rail
            total += np.clip((wanted - clear) / radius, 0.0, 1.0)
    return total


TERM = Term("room to come back over a fence", 3.0, of_piece=_of_piece)
