"""Poles of another length that stand in where the store has too few.

Poles of another length make a fence wider or narrower, so its standards stand elsewhere: the
exercise is planned again with them.
"""

from __future__ import annotations

from msgspec import Struct

from diagram.checks import check
from diagram.exercise.equipment import Equipment, equipment_of, in_all
from diagram.exercise.inventory import SAME_LENGTH_MM, Store, missing_from, of_length
from diagram.planning import Plan, make_plan


class StandIn(Struct, frozen=True):
    """A fence built with poles of another length than its file says."""

    fence: str
    asked_mm: int
    used_mm: int


def stocked_plan(plan: Plan, store: Store | None) -> tuple[Plan, tuple[StandIn, ...]]:
    """The plan with poles that the store has, where it has too few of those asked for.

    The fewest fences are changed that make the poles last, later ones in the file first; each
    gets the length nearest to its own of which enough are left. Where none is left, the plan
    stays as it is.
    """
    if store is None or store.poles is None:
        return plan, ()
    changes: list[StandIn] = []
    while (change := _next_change(plan, store, store.poles, changes)) is not None:
        plan = _with_poles(plan, change)
        changes.append(change)
    return plan, tuple(changes)


def _next_change(
    plan: Plan, store: Store, owned: dict[int, int], done: list[StandIn]
) -> StandIn | None:
    changed = {change.fence for change in done}
    needed = in_all(equipment_of(fence.fence) for fence in plan.fences).poles
    lacking = missing_from(store, (fence.fence for fence in plan.fences))
    short_of = {lack.length_mm: lack.lacking for lack in lacking if lack.what == "poles"}
    for length, short in sorted(short_of.items()):
        uses = {
            name: poles.get(length, 0)
            for name, poles in _poles_by_whole(plan).items()
            if name not in changed and set(poles) == {length}
        }
        # One fence that frees enough is better than two; of those, the smallest.
        late_first = list(reversed(uses.items()))
        by_size = sorted(
            late_first,
            key=lambda use: (use[1] < short, use[1] if use[1] >= short else -use[1]),
        )
        for name, pieces in by_size:
            for other in sorted(owned, key=lambda mm: (abs(mm - length), mm)):
                left = of_length(owned, other) - needed.get(other, 0)
                if abs(other - length) > SAME_LENGTH_MM and left >= pieces:
                    return StandIn(name, length, other)
    return None


def _poles_by_whole(plan: Plan) -> dict[str, dict[int, int]]:
    """Poles of each fence as it stands in the file, combinations as a whole."""
    out: dict[str, Equipment] = {}
    for placed in plan.fences:
        whole = placed.fence.whole or placed.name
        out[whole] = out.get(whole, Equipment()) + equipment_of(placed.fence)
    return {name: pieces.poles for name, pieces in out.items() if pieces.poles}


def _with_poles(plan: Plan, change: StandIn) -> Plan:
    """The exercise planned again with one fence built of other poles."""
    said = plan.exercise.whole
    fence = said.fences[change.fence]
    elements = fence.elements and tuple(
        e.model_copy(update={"poles": None}) for e in fence.elements
    )
    other = fence.model_copy(update={"poles": change.used_mm / 1000, "elements": elements})
    fences = {**said.fences, change.fence: other}
    return check(make_plan(plan.document, said.model_copy(update={"fences": fences}), plan.name))
