"""What makes an arrangement good: every file in this folder that has a TERM is one."""

from __future__ import annotations

from functools import cache

from diagram.folder import offered
from diagram.placing.designer.term import Term


@cache
def terms() -> tuple[Term, ...]:
    """All terms, heaviest first."""
    found = offered(__name__, __path__, "TERM").values()
    return tuple(sorted(found, key=lambda term: (-term.weight, term.name)))
