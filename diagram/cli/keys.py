"""Single keys from a terminal, none of them lost however fast they come.

The terminal is set once for a whole sheet. Setting it for each key would throw away what was
typed in between.
"""

from __future__ import annotations

import os
import select
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

STOP = "q"
ENTER = "\r"


class Keys:
    """Reads keys of the terminal; `paused` gives it back for a line of words."""

    def __init__(self) -> None:
        self._before: Any = None

    def __enter__(self) -> Keys:
        self._single()
        return self

    def __exit__(self, *_: object) -> None:
        self._whole_lines()

    def read(self) -> str:
        """One key. Ctrl-C and the end of input mean: stop. Arrows and the like are passed over."""
        try:
            return _windows_key() if sys.platform == "win32" else self._key()
        except (KeyboardInterrupt, EOFError):
            return STOP

    @contextmanager
    def paused(self) -> Iterator[None]:
        """Whole lines inside, single keys again afterwards."""
        self._whole_lines()
        try:
            yield
        finally:
            self._single()

    def _single(self) -> None:
        if sys.platform != "win32":
            import termios

            self._before = termios.tcgetattr(sys.stdin)
            own = termios.tcgetattr(sys.stdin)
            own[3] &= ~(termios.ICANON | termios.ECHO)
            # After what is being written, and without dropping what was typed ahead.
            termios.tcsetattr(sys.stdin, termios.TCSADRAIN, own)

    def _whole_lines(self) -> None:
        if sys.platform != "win32" and self._before is not None:
            import termios

            termios.tcsetattr(sys.stdin, termios.TCSADRAIN, self._before)

    def _key(self) -> str:
        descriptor = sys.stdin.fileno()
        data = os.read(descriptor, 1)
        if data in (b"", b"\x03", b"\x04"):
            raise EOFError
        if data == b"\x1b":
            while select.select([descriptor], [], [], 0.02)[0]:
                if os.read(descriptor, 1).isalpha():
                    break
            return ""
        while len(data) < 4 and not _whole(data):
            data += os.read(descriptor, 1)
        key = data.decode(errors="replace")
        return ENTER if key == "\n" else key


def _whole(data: bytes) -> bool:
    """Whether the bytes are one whole character."""
    try:
        data.decode()
    except UnicodeDecodeError:
        return False
    return True


def _windows_key() -> str:
    import click

    key = click.getchar()
    return "\x7f" if key == "\b" else key
