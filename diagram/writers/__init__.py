"""Finished drawings to files: one module per kind of file.

A module in this folder with a function ``scene_bytes(scene) -> bytes`` is a writer of drawings,
named after its file. Writers translate and decide nothing, and load the library they need only
when they are called: a command that writes no PDF does not pay for one.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from typing import cast

from diagram.folder import offered
from diagram.scene import Scene


class WriterUnavailable(Exception):  # noqa: N818 - it says what is the matter with the writer
    """A library that a writer needs is not on this machine; the message says what to install."""


def scene_writers() -> dict[str, Callable[[Scene], bytes]]:
    """The writer for each kind of drawing file, by file name ending without the dot."""
    return offered(__name__, __path__, "scene_bytes")


def scene_writer(kind: str) -> Callable[[Scene], bytes] | None:
    """The writer for one kind, or None; the others and their libraries are not loaded."""
    if kind not in {info.name for info in pkgutil.iter_modules(__path__)}:
        return None
    module = importlib.import_module(f"{__name__}.{kind}")
    return cast("Callable[[Scene], bytes] | None", getattr(module, "scene_bytes", None))
