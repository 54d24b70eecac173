"""Whatever the terminal is: closed, full, a pipe that ends early, or without the letters."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress

import click

REJECTED = 2
BROKEN_PIPE, INTERRUPTED = 141, 130
"""Exit codes of a command whose reader went away, or that was stopped by hand: 128 + SIGPIPE and
128 + SIGINT, as shells report them."""


def made_safe() -> None:
    """Make the two outputs writable, whatever they are.

    A closed one goes nowhere, and a letter that its encoding lacks is shown by its number.
    """
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115, PTH123
        elif hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")


@contextmanager
def told_plainly() -> Iterator[None]:
    """Turn what the system refuses into one line and exit code 2, a reader gone into 141.

    Stopped by hand it ends in 130, which is no finding; each file that was written is whole.
    """
    try:
        yield
        sys.stdout.flush()
    except (KeyboardInterrupt, EOFError, click.Abort):
        _say("\nstopped; what is finished is kept")
        sys.exit(INTERRUPTED)
    except OSError as problem:
        if problem.errno == errno.EPIPE:
            _silence()
            sys.exit(BROKEN_PIPE)
        _silence()
        where = f"{problem.filename}: " if problem.filename else ""
        _say(f"{where}{(problem.strerror or str(problem)).lower()}")
        sys.exit(REJECTED)
    except RuntimeError as problem:
        # pathlib tells of links that lead in a circle by this one (until Python 3.13).
        if "symlink loop" not in str(problem).lower():
            raise
        _say(str(problem))
        sys.exit(REJECTED)


def _say(text: str) -> None:
    with suppress(OSError, ValueError):
        sys.stderr.write(text + "\n")


def _silence() -> None:
    """Send what is still in the buffer nowhere, so that the interpreter ends in peace."""
    with suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)
