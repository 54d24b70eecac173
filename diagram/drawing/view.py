"""What a drawing is to show, where it is not simply everything."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class View:
    """`phase` (from 0) draws one phase and only hints at the others; `turned` lays the arena's
    long side upwards; `small` leaves out distances, leads and gaits, and has a caption in place
    of scale bar and legend; `why` adds the places that were looked at for each label, and what
    spoke against them."""

    phase: int | None = None
    turned: bool = False
    small: bool = False
    why: bool = False


WHOLE = View()
