"""What an arrangement costs, term by term, whoever made it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from diagram.geometry.pose import Pose
from diagram.placing.designer.ground import LAST_LEVEL, Ground
from diagram.placing.designer.states import States
from diagram.placing.designer.terms import terms
from diagram.placing.designer.views import turn_between, view_of


@dataclass(frozen=True, slots=True)
class Cost:
    """What one term says of an arrangement: 0 is as a designer would have it."""

    name: str
    weight: float
    amount: float

    @property
    def cost(self) -> float:
        """The amount times its weight."""
        return self.weight * self.amount


def reckoned(ground: Ground, poses: dict[str, Pose]) -> tuple[Cost, ...]:
    """Every term for fences that stand at `poses`, by name of body, heaviest first."""
    states = {n: _standing(ground, n, poses) for n in range(len(ground.pieces))}
    hands = {number: ground.hand(way, LAST_LEVEL) for number, way in ground.turns}
    view = view_of(ground, states, hands)
    found = []
    for term in terms():
        amount = 0.0
        if term.of_piece is not None:
            amount += sum(float(term.of_piece(ground, n, own)[0]) for n, own in states.items())
        if term.of_turn is not None:
            for number, way in ground.turns:
                turned = turn_between(ground, states, way, hands[number])
                amount += float(term.of_turn(ground, way, turned)[0])
        if term.of_whole is not None:
            amount += float(term.of_whole(ground, view)[0])
        found.append(Cost(term.name, term.weight, round(amount, 4)))
    return tuple(found)


def _standing(ground: Ground, number: int, poses: dict[str, Pose]) -> States:
    piece = ground.pieces[number]
    own = [poses[ground.problem.bodies[body].name] for body in piece.bodies]
    nothing = np.zeros(1, dtype=np.int64)
    return States(
        piece, np.array([[complex(p.x, p.y) for p in own]]), np.array([[p.heading for p in own]]),
        nothing - 1, nothing, np.zeros(1),
    )  # fmt: skip
