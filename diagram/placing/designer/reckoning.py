"""What an arrangement costs, term by term, whoever made it."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from diagram.exercise.exercise import Exercise
from diagram.geometry.pose import Pose
from diagram.path.limits import Limits
from diagram.placing.designer.beam import RAIL_SLACK_M
from diagram.placing.designer.ground import LAST_LEVEL, DesignGround
from diagram.placing.designer.states import States
from diagram.placing.designer.terms import terms
from diagram.placing.designer.turn_table import Hand
from diagram.placing.designer.views import turn_between, view_of
from diagram.placing.posing import pose_problem, set_up


class Cost(Struct, frozen=True):
    """What one term says of an arrangement: 0 is as a designer would have it."""

    name: str
    weight: float
    amount: float

    @property
    def cost(self) -> float:
        """The amount times its weight."""
        return self.weight * self.amount


def costs_of(exercise: Exercise, limits: Limits, poses: dict[str, Pose]) -> tuple[Cost, ...]:
    """Every term for an exercise whose fences stand at `poses`; none where it is contradictory."""
    setting, wrong = set_up(exercise, limits)
    problem, more = pose_problem(setting)
    if wrong or more:
        return ()
    gate = exercise.arena.gate
    ground = DesignGround(problem, gate.middle if gate else None)
    return reckoned(ground, poses) if ground.lines else ()


def costs_text(costs: tuple[Cost, ...]) -> str:
    """One line for each term, and the sum."""
    lines = [f"{c.cost:6.2f}  {c.name} ({c.amount:.2f} at weight {c.weight:g})" for c in costs]
    return "\n".join([*lines, f"{sum(c.cost for c in costs):6.2f}  in all; less is better"])


def reckoned(ground: DesignGround, poses: dict[str, Pose]) -> tuple[Cost, ...]:
    """Every term for fences that stand at `poses`, by name of body, heaviest first; the turns as
    straight at their ends as costs least, of what can be ridden."""
    states = {n: standing(ground, n, poses) for n in range(len(ground.pieces))}
    priced = [_priced(ground, states, hands) for hands in _ways_to_ride(ground, states)]
    return min(priced, key=lambda costs: round(sum(c.cost for c in costs), 6))


def _priced(
    ground: DesignGround, states: dict[int, States], hands: dict[int, Hand]
) -> tuple[Cost, ...]:
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


def _ways_to_ride(ground: DesignGround, states: dict[int, States]) -> list[dict[int, Hand]]:
    """How the turns can be ridden, with more straight and less; as tightly as may be, if not."""
    rail = ground.problem.limits.canter.manner.rail - RAIL_SLACK_M
    out = []
    for level in range(LAST_LEVEL + 1):
        hands = {number: ground.hand(way, level) for number, way in ground.turns}
        found = [turn_between(ground, states, way, hands[number]) for number, way in ground.turns]
        if all(t.possible[0] and t.ways.inside(ground.problem.region)[0] > rail for t in found):
            out.append(hands)
    return out or [hands]


def standing(ground: DesignGround, number: int, poses: dict[str, Pose]) -> States:
    """The one state of a piece whose bodies stand at `poses`."""
    piece = ground.pieces[number]
    own = [poses[ground.problem.bodies[body].name] for body in piece.bodies]
    nothing = np.zeros(1, dtype=np.int64)
    return States(
        piece, np.array([[complex(p.x, p.y) for p in own]]), np.array([[p.heading for p in own]]),
        nothing - 1, np.zeros(1, dtype=bool), nothing,
    )  # fmt: skip
