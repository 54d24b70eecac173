"""Bytes and words safely into files."""

from __future__ import annotations

import os
import re
from pathlib import Path

# Control characters (XML 1.0 forbids most of C0 and discourages C1), halves of surrogate pairs
# (they have no UTF-8) and the two code points that are never characters.
_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")


def legal_text(text: str) -> str:
    """`text` with each character that may not stand in a file replaced by U+FFFD."""
    return _FORBIDDEN.sub("\ufffd", text)


def write_bytes(path: Path, data: bytes) -> None:
    """Make `path` hold exactly `data`, or, whatever goes wrong, what it held before.

    Missing folders are created. The data goes to a new file beside the old one, which then
    takes its place in one step; a link is followed, and what is no file (a terminal, a pipe) is
    written straight into. Raises OSError.
    """
    target = path.resolve()
    if target.exists() and not target.is_file():
        target.write_bytes(data)
        return
    target.parent.mkdir(parents=True, exist_ok=True)
    # Not the target's own name with an addition: that might be too long for the file system.
    beside = target.with_name(f".{os.urandom(8).hex()}.part")
    try:
        with beside.open("xb") as file:
            file.write(data)
        beside.replace(target)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
