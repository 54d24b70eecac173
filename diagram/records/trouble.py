"""What goes wrong with a record, as data with words for the user."""

from __future__ import annotations

import sqlite3

from diagram.diagnostics import Diagnostic, RejectedError, Severity


def trouble(rule: str, message: str, hint: str = "") -> RejectedError:
    """One error that has no place in a text file."""
    return RejectedError([Diagnostic(rule, Severity.ERROR, message, None, hint)], {})


def told(problem: sqlite3.Error, name: str) -> RejectedError:
    """What SQLite says, in words that say what to do."""
    said = str(problem)
    if "full" in said:
        return trouble(
            "disk-full", f"there is no room left on the disk for {name}",
            "nothing was changed: make room and do it again",
        )  # fmt: skip
    if "readonly" in said or "read-only" in said or "unable to open" in said:
        return trouble("not-writable", f"{name} cannot be written", "look at its folder's rights")
    if "locked" in said:
        return trouble(
            "record-busy", f"another program has kept {name} busy for half a minute",
            "nothing was changed: close it there and do it again",
        )  # fmt: skip
    if "malformed" in said or "not a database" in said:
        return trouble("not-a-record", f"{name} is damaged or no record", "use the newest copy")
    if isinstance(problem, sqlite3.IntegrityError):
        return trouble("refused", f"{name} refuses this: {said}")
    return trouble("record", f"{name}: {said}")
