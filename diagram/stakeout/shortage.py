"""What the store lacks for an exercise, and what can stand in for it.

Poles of another length make a fence wider or narrower, so its standards stand elsewhere: the
exercise is planned again with them. Nothing stands in for a safety cup.
"""

from __future__ import annotations

from dataclasses import dataclass

from diagram.checks import check
from diagram.planning import Plan, make_plan
from diagram.stakeout.equipment import Equipment, equipment_of, in_all, pole_text
from diagram.stakeout.store import Store
from diagram.units import Units

SAME_MM = 20
"""Millimetres between two poles that are called by the same length."""


@dataclass(frozen=True, slots=True)
class Shortage:
    """Something of which more is needed than the store has. `instead` says what to do."""

    what: str
    needed: int
    owned: int
    instead: str


@dataclass(frozen=True, slots=True)
class StandIn:
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
    while (change := _next_change(plan, store.poles, changes)) is not None:
        plan = _with_poles(plan, change)
        changes.append(change)
    return plan, tuple(changes)


def _next_change(plan: Plan, owned: dict[int, int], done: list[StandIn]) -> StandIn | None:
    changed = {change.fence for change in done}
    needed = in_all(equipment_of(fence) for fence in plan.fences).poles
    for length, count in sorted(needed.items()):
        short = count - _owned(owned, length)
        if short <= 0:
            continue
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
                left = _owned(owned, other) - needed.get(other, 0)
                if abs(other - length) > SAME_MM and left >= pieces:
                    return StandIn(name, length, other)
    return None


def _owned(owned: dict[int, int], length: int) -> int:
    return sum(n for mm, n in owned.items() if abs(mm - length) <= SAME_MM)


def _poles_by_whole(plan: Plan) -> dict[str, dict[int, int]]:
    """Poles of each fence as it stands in the file, combinations as a whole."""
    out: dict[str, Equipment] = {}
    for placed in plan.fences:
        whole = placed.fence.whole or placed.name
        out[whole] = out.get(whole, Equipment()) + equipment_of(placed)
    return {name: pieces.poles for name, pieces in out.items() if pieces.poles}


def _with_poles(plan: Plan, change: StandIn) -> Plan:
    """The exercise planned again with one fence built of other poles."""
    said = plan.definition
    fence = said.fences[change.fence]
    elements = fence.elements and tuple(
        e.model_copy(update={"poles": None}) for e in fence.elements
    )
    other = fence.model_copy(update={"poles": change.used_mm / 1000, "elements": elements})
    fences = {**said.fences, change.fence: other}
    return check(make_plan(plan.document, said.model_copy(update={"fences": fences})))


def shortages(total: Equipment, store: Store | None, units: Units) -> tuple[Shortage, ...]:
    """What is missing after every stand-in, worst first: no safety cups, no spread."""
    if store is None:
        return ()
    out: list[Shortage] = []

    def compare(what: str, needed: int, owned: int | None, instead: str) -> None:
        if owned is not None and needed > owned:
            out.append(Shortage(what, needed, owned, instead))

    spare = None if store.safety_cups is None else store.safety_cups - total.safety_cups
    compare(
        "safety cups", total.safety_cups, store.safety_cups,
        "nothing stands in: build those spreads as verticals",
    )  # fmt: skip
    compare(
        "standards", total.standards, store.standards, "leave a fence out; never prop up a pole"
    )
    if store.cups is not None and total.cups > store.cups:
        lacking = total.cups - store.cups
        enough = spare is not None and spare >= lacking
        instead = f"take {lacking} of the spare safety cups" if enough else "hang fewer poles"
        compare("cups", total.cups, store.cups, instead)
    for kind, needed, owned in (
        ("poles", total.poles, store.poles),
        ("planks", total.planks, store.planks),
    ):
        for length, count in sorted(needed.items(), reverse=True):
            have = None if owned is None else _owned(owned, length)
            instead = "a pole in ordinary cups: it is then a vertical"
            if kind == "poles":
                instead = "ground lines and top poles first; leave the middle ones out"
            compare(f"{kind} of {pole_text(length, units)}", count, have, instead)
    compare("gates", total.gates, store.gates, "a plank or two poles")
    compare("walls", total.walls, store.walls, "a vertical with a filler under it")
    for name, count in sorted(total.fillers.items()):
        have = None if store.fillers is None else store.fillers.get(name, 0)
        others = [n for n, c in (store.fillers or {}).items() if c > total.fillers.get(n, 0)]
        instead = f"{others[0]}" if others else "a pole on the ground under the fence"
        compare(name, count, have, instead)
    return tuple(out)
