"""What a drawing is to show, where it is not simply everything."""

from __future__ import annotations

from msgspec import Struct


class View(Struct, frozen=True):
    """What of a plan is drawn.

    `phase` (from 0) draws one phase and only hints at the others. `turned` lays the arena's long
    side upwards; None takes whichever way round comes out larger. `bare` leaves out every word,
    for a drawing a thumb wide; `sides` are the names of the arena's sides. `why` adds the places
    that were looked at for each label, and what spoke against them.
    """

    phase: int | None = None
    turned: bool | None = False
    bare: bool = False
    sides: bool = True
    why: bool = False


WHOLE = View()
