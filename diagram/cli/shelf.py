"""The exercises of a library as the record searches them, kept from one run to the next."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from diagram.cli.common import progress
from diagram.diagnostics import RejectedError

if TYPE_CHECKING:
    from diagram.library.fits import Rectangle
    from diagram.planning import Plan
    from diagram.records.offered import Offer


def offers_in(folder: Path, ring: Rectangle | None) -> list[Offer] | None:
    """Every exercise of a folder that can be read, by title; None where there is no folder.

    `ring` is the arena asked, in metres. Those not kept from an earlier run are planned over all
    cores, with progress. What is wrong with a file is told by `check`, not here.
    """
    from diagram.library.content import combined, key_of
    from diagram.library.fits import fits
    from diagram.library.kept import Kept
    from diagram.library.scanning import scan
    from diagram.records.offered import offer_of

    if not folder.is_dir():
        return None
    kept = Kept(f"held-{combined([str(folder.resolve())])[:16]}")
    keys: dict[Path, str] = {}
    for path in scan(folder).exercises:
        try:
            keys[path] = key_of(path, "held")
        except OSError:
            continue
    for path, values in _planned([path for path, key in keys.items() if kept.get(key) is None]):
        kept.put(keys[path], values)
    kept.save()
    found = [
        offer_of(one, fits(map(tuple, one["fits"]), ring) if ring else None, str(path))
        for path, key in keys.items()
        for one in kept.get(key) or ()
    ]
    return sorted(found, key=lambda offer: offer.title)


def _planned(paths: list[Path]) -> list[tuple[Path, list[dict[str, Any]]]]:
    """What each exercise holds; nothing of one that cannot be read."""
    if not paths:
        return []
    from diagram.library.working import Broken, run_all

    found = []
    with progress("reading exercises") as told:
        for n, (path, values) in enumerate(run_all(_values, paths), 1):
            told(n, len(paths))
            if not isinstance(values, Broken):
                found.append((path, values))
    return found


def _values(path: Path) -> list[dict[str, Any]]:
    from diagram.pipeline import plans

    try:
        return [_of(plan) for plan in plans(path)]
    except (OSError, RejectedError):
        return []


def _of(plan: Plan) -> dict[str, Any]:
    from diagram.library.fits import rectangles
    from diagram.records.offered import offer_values

    return offer_values(plan) | {"fits": [list(one) for one in rectangles(plan)]}
