"""The parts of a ride that are told apart: its phases, or the rounds of one that has none.

A ride without phases whose first jumps come again in the same order goes round more than once:
each round gets a pattern, a line of words and a small drawing of its own, like a phase.
"""

from __future__ import annotations

from msgspec import Struct

from diagram.planning import Plan, PlanLeg

ROUNDS = ("first", "second", "third", "fourth", "fifth", "sixth")


class RideParts(Struct, frozen=True):
    """The names of the parts in order, and the part of each leg by its number."""

    names: tuple[str, ...]
    of_leg: tuple[int, ...]

    def of(self, leg: PlanLeg) -> int:
        """The part a leg belongs to: that of the jump it leads to."""
        return self.of_leg[leg.number]


def parts_of(plan: Plan) -> RideParts:
    """The parts of a plan."""
    if len(plan.course.phases) > 1:
        return RideParts(plan.course.phases, tuple(leg.link.phase for leg in plan.legs))
    begins = _rounds(plan)
    if len(begins) < 2:
        return RideParts(plan.course.phases, (0,) * len(plan.legs))
    numbers = [
        sum(leg.second.jump.number > begin for begin in begins[1:])
        if leg.second
        else len(begins) - 1
        for leg in plan.legs
    ]
    names = tuple(
        f"{ROUNDS[n] if n < len(ROUNDS) else f'{n + 1}th'} round" for n in range(len(begins))
    )
    return RideParts(names, tuple(numbers))


def _rounds(plan: Plan) -> list[int]:
    """How many jumps come before each round: ``[0, 2]`` where the third jump is the first again."""
    jumps = [(c.jump.fence, c.jump.from_behind) for c in plan.crossings]
    begins, first = [0], jumps[:2]
    for n in range(2, len(jumps) - 1):
        if jumps[n : n + 2] == first and n - begins[-1] >= 2:
            begins.append(n)
    return begins
