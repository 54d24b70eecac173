"""Files and folders of any kind, and what the modules of a folder offer under one name."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterable
from pathlib import Path
from typing import Any


def offered(package: str, path: Iterable[str], name: str) -> dict[str, Any]:
    """The attribute `name` of every module of `package` that has it, by module, in name order.

    `path` is the package's own ``__path__``.
    """
    modules = sorted(info.name for info in pkgutil.iter_modules(path))
    found = {module: importlib.import_module(f"{package}.{module}") for module in modules}
    return {module: getattr(m, name) for module, m in found.items() if hasattr(m, name)}


def is_file(path: Path) -> bool:
    """Whether there is such a file; a name that no file can have is none."""
    try:
        return path.is_file()
    except (OSError, ValueError, RuntimeError):
        return False


def is_folder(path: Path) -> bool:
    """Whether there is such a folder."""
    try:
        return path.is_dir()
    except (OSError, ValueError, RuntimeError):
        return False
