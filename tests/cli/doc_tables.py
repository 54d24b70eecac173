"""The tables of docs/format.md that are made from the files they are about.

Each stands between two comments: ``<!-- made: kinds -->`` and ``<!-- made -->``.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterable
from pathlib import Path
from types import ModuleType

from diagram import checks, sections, writers
from diagram.fences import kinds
from diagram.trade.fence_facts import kind_facts
from diagram.trade.stride_tables import load_table, table_names
from diagram.units import length_text

DOCS = Path(__file__).parents[2] / "docs" / "format.md"
MADE = re.compile(r"(<!-- made: (?P<what>[a-z ]+) -->\n).*?(<!-- made -->)", re.DOTALL)


def with_tables(text: str) -> str:
    """`text` with every table made afresh."""
    return MADE.sub(lambda match: match[1] + TABLES[match["what"]]() + "\n" + match[3], text)


def _table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = [head, ("---",) * len(head), *rows]
    return "\n".join(f"| {' | '.join(line)} |".replace("|  |", "| |") for line in lines)


def _code(words: Iterable[str]) -> str:
    return ", ".join(f"`{word}`" for word in words)


def _kinds() -> str:
    order = ("height", "front", "spread", "filler", "poles", "ground line", "raised", "elements")
    sides = {"yes": "yes", "no": "no", "with a ground line": "with a ground line there"}
    return _table(
        ("kind", "also called", "measures it may have", "jumped from behind"),
        (
            (
                f"`{kind.name}`",
                _code(kind.also),
                _code(sorted(kind.measures, key=order.index)),
                "" if kind.composed else sides[kind_facts(kind.facts).from_behind],
            )
            for kind in kinds().values()
        ),
    )


def _modules(package: ModuleType, having: str) -> list[ModuleType]:
    names = sorted(info.name for info in pkgutil.iter_modules(package.__path__))
    found = [importlib.import_module(f"{package.__name__}.{name}") for name in names]
    return [module for module in found if hasattr(module, having)]


def _first_sentence(module: ModuleType) -> str:
    return (inspect.getdoc(module) or "").splitlines()[0].rstrip(".")


def _checks() -> str:
    said = (_first_sentence(module).partition(": ") for module in _modules(checks, "RULE"))
    return _table(("check", "looks for"), ((f"`{name}`", words) for name, _, words in said))


def _files(package: ModuleType, having: str) -> str:
    return _table(
        ("file", "what it makes"),
        (
            (f"`{module.__name__.rpartition('.')[2]}`", _first_sentence(module))
            for module in _modules(package, having)
        ),
    )


def _stride_tables() -> str:
    tables = ((name, load_table(name)) for name in table_names())
    return _table(
        ("`distances`", "normal stride", "where its figures come from"),
        (
            (
                f"`{name}`",
                length_text(table.normal_stride("horse").value, "both"),
                table.source if "[" in table.source else "many; each figure names its own",
            )
            for name, table in tables
        ),
    )


TABLES: dict[str, Callable[[], str]] = {
    "kinds": _kinds,
    "checks": _checks,
    "sections": lambda: _files(sections, "flowables"),
    "writers": lambda: _files(writers, "scene_bytes"),
    "stride tables": _stride_tables,
}
