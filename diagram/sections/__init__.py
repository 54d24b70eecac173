"""Parts of printed pages: one module per part, a plan and a page in, flowables out.

A module in this folder with a function ``flowables(plan, page)`` is a section, named after its
file. What is printed names its sections in the order in which they stand. A section lays out
what the plan says and reckons nothing of its own.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from typing import Any

from diagram.planning import Plan
from diagram.sections.page import Page

Section = Callable[[Plan, Page], list[Any]]
"""A plan and a page to flowables (of reportlab, which is typed for nobody)."""


def section(name: str) -> Section:
    """The section of that name. Raises KeyError if there is none."""
    if name not in {module.name for module in pkgutil.iter_modules(__path__)}:
        raise KeyError(name)
    module = importlib.import_module(f"{__name__}.{name}")
    if not hasattr(module, "flowables"):
        raise KeyError(name)
    found: Section = module.flowables
    return found
