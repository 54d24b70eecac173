"""The exercises of a library as the record searches them, kept from one run to the next."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from diagram.diagnostics import RejectedError

if TYPE_CHECKING:
    from diagram.library.fits import Rectangle
    from diagram.planning import Plan
    from diagram.records.offered import Offer


def offers_in(folder: Path, ring: Rectangle | None) -> list[Offer] | None:
    """Every exercise of a folder that can be read, by title; None where there is no folder.

    `ring` is the arena asked, in metres. What is wrong with a file is told by `check`, not here.
    """
    from diagram.library.content import combined, key_of
    from diagram.library.fits import fits
    from diagram.library.kept import Kept
    from diagram.library.scanning import scan
    from diagram.records.offered import offer_of

    if not folder.is_dir():
        return None
    kept = Kept(f"held-{combined([str(folder.resolve())])[:16]}")
    found: list[Offer] = []
    for path in scan(folder).exercises:
        try:
            key = key_of(path, "held")
            values = kept.get(key)
            if values is None:
                values = _values(path)
                kept.put(key, values)
        except (OSError, RejectedError):
            continue
        found += [
            offer_of(one, fits(map(tuple, one["fits"]), ring) if ring else None) for one in values
        ]
    kept.save()
    return sorted(found, key=lambda offer: offer.title)


def _values(path: Path) -> list[dict[str, Any]]:
    from diagram.pipeline import plans

    return [_of(plan) for plan in plans(path)]


def _of(plan: Plan) -> dict[str, Any]:
    from diagram.library.fits import rectangles
    from diagram.records.offered import offer_values

    return offer_values(plan) | {"fits": [list(one) for one in rectangles(plan)]}
