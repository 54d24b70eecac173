"""The tables of docs/format.md that are made from the files they are about.

Each stands between two comments: ``<!-- made: kinds -->`` and ``<!-- made -->``.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

from diagram import checks, sections, writers
from diagram.fences import kinds
from diagram.trade.fence_facts import kind_facts
from diagram.trade.figures import data_file
from diagram.trade.stride_tables import load_table, table_names
from diagram.units import length_text

DOCS = Path(__file__).parents[2] / "docs" / "format.md"
RULES = DOCS.with_name("rules.md")
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


def _settings() -> str:
    blocks: dict[str, dict[str, Any]] = data_file("settings").plain()
    rows: list[tuple[str, ...]] = []
    for setting, choices in blocks.items():
        for number, (name, block) in enumerate(choices.items()):
            first = f"`{setting}`" if number == 0 else ""
            note = block.get("note", "")
            rows.append(_row(first, f"`{name}`", _stands(block), block["source"], note))
    return _table(("`judged by`", "choice", "figure", "where it comes from"), rows)


def rules_page() -> str:
    """docs/rules.md: every check with every figure that it judges by, and its source."""
    parts = [RULES_HEAD]
    for module in _modules(checks, "RULE"):
        rule, source = module.RULE, getattr(module, "SOURCE", "")
        name, _, words = _first_sentence(module).partition(": ")
        own = data_file("limits").plain().get(rule.name, {})
        rows = [(name, *row) for name, block in own.items() for row in _figures(block, "")]
        for place in rule.figures:
            file, *path = place.split("/")
            block = data_file(file).plain()
            for step in path:
                block = block[step]
            named = ", ".join(path[1:] or path)
            rows += [(named, *row) for row in _figures(block, "")]
        table = _table(("figure", "for", "value", "source"), (_row(*row) for row in rows))
        parts.append(f"## {name}\n\n{words[:1].upper()}{words[1:]}.\n\n{table if rows else source}")
    return "\n\n".join(parts) + "\n"


RULES_HEAD = """# What the checks judge by

Every check of `tapeline check` with the figures that it judges by, as the data files have them,
and where each comes from. This page is made from those files. A figure without a source is marked
as what it is; none of them replaces the rules of your federation or the qualified person in the
ring."""


def _row(name: str, whom: str, value: str, source: str, note: str) -> tuple[str, ...]:
    return name, whom, value, f"{source}; {note}" if note else source


def _figures(block: Any, whom: str) -> Iterator[tuple[str, str, str, str]]:
    """For whom, the figure as written, its source and its note."""
    if "source" in block:
        yield whom, _stands(block), block["source"], block.get("note", "")
        return
    for word, below in block.items():
        if isinstance(below, dict):
            yield from _figures(below, f"{whom}, {word}" if whom else word)


def _stands(block: Any) -> str:
    """The figure of a block as written: one, a range, several, a table, or none."""
    if "value" in block:
        return str(block["value"])
    if "distances" in block:
        return ", ".join(block["distances"])
    for word in ("shorter", "longer"):
        if word in block:
            return f"{block[word]} {word}"
    if "low" in block:
        return f"{block['low']} to {block.get('high', block.get('typical'))}"
    return f"the table `{block['table']}`" if "table" in block else ""


TABLES: dict[str, Callable[[], str]] = {
    "kinds": _kinds,
    "checks": _checks,
    "sections": lambda: _files(sections, "flowables"),
    "writers": lambda: _files(writers, "scene_bytes"),
    "settings": _settings,
    "stride tables": _stride_tables,
}
