"""Leads: which one each turn wants, which one is carried, where a change falls due.

On a turn the lead is the inside one, except in counter-canter (published web article [S45]). A
lead is known from the start, from the landing asked for, or from a change on the way; where
nobody has said, the horse takes the one that its first turn asks for. After a fence it is not
assumed to have changed by itself: 44 in 100 horses did over a drop fence (published paper [P2]).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from msgspec import Struct

from diagram.exercise.course import Path
from diagram.model.said import Lead, WaySaid
from diagram.ride.turns import Turn

Change = Literal["flying", "simple"]


class ChangeDue(Struct, frozen=True):
    """A change of lead: at `at_m` along the leg it must be through.

    `to` is the lead wanted there. `kind` is what the file asks for, None where it asks for
    nothing and the turn would be ridden on the wrong lead. `strides` are those between landing
    (or the turn before) and there, `before_turn` is False for a change on a straight line.
    """

    at_m: float
    from_m: float
    to: Lead
    kind: Change | None
    strides: float
    before_turn: bool = True


class Carried(Struct, frozen=True):
    """The lead through one leg: at its beginning, into the fence at its end, and the changes.

    `said` is where in the file the lead at the beginning was said; None if nowhere.
    """

    lead: Lead | None
    lead_in: Lead | None
    changes: tuple[ChangeDue, ...]
    said: Path | None

    def at(self, s: float) -> Lead | None:
        """The lead at one place along the leg. A change nobody asked for is not made."""
        made = [change.to for change in self.changes if change.kind and s >= change.at_m]
        return made[-1] if made else self.lead


NO_LEAD = Carried(None, None, (), None)
"""In walk and trot there is no lead."""


def other(lead: Lead) -> Lead:
    """The other lead."""
    return "right" if lead == "left" else "left"


def carry(
    lead: Lead | None,
    said: Path | None,
    turns: Iterable[Turn],
    way: WaySaid | None,
    ground: tuple[float, float],
    stride_m: float,
) -> Carried:
    """The lead through a cantered leg that is begun on `lead`.

    `ground` is from the landing to the take-off, in metres along the leg.
    """
    begin, end = ground
    every = list(turns)
    asked = way.change if way else None
    counter = bool(way and way.counter)
    if lead is None and every:
        lead, said = (other(every[0].hand) if counter else every[0].hand), None
    carried, free_from = lead, begin
    changes: list[ChangeDue] = []
    for turn in every:
        wanted = other(turn.hand) if counter else turn.hand
        if carried and carried != wanted:
            at = max(turn.begin_m, free_from)
            strides = max(0.0, (at - free_from) / stride_m)
            changes.append(ChangeDue(at, free_from, wanted, asked, strides))
            if asked:
                carried, asked = wanted, None
        free_from = turn.end_m
    if asked and carried:
        strides = max(0.0, (end - free_from) / stride_m)
        change = ChangeDue(max(end, free_from), free_from, other(carried), asked, strides, False)
        changes.append(change)
        carried = other(carried)
    return Carried(lead, carried, tuple(changes), said)
