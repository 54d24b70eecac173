"""The description of the format tells of every key, kind and check, and its examples work."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from doc_tables import RULES, TABLES, rules_page, with_tables
from msgspec.structs import replace

from diagram.fences import kinds
from diagram.model import definition as model
from diagram.pipeline import plan
from diagram.trade.arenas import arena_names
from diagram.trade.question import condition_words
from diagram.trade.stride_tables import table_names

ROOT = Path(__file__).parents[2]
FORMAT = (ROOT / "docs" / "format.md").read_text(encoding="utf-8")
BLOCKS = [
    block
    for block in vars(model).values()
    if isinstance(block, type) and issubclass(block, model.Written) and block is not model.Written
]
FENCED = re.compile(r"^```yaml\n(.*?)^```", re.MULTILINE | re.DOTALL)


def _examples() -> list[object]:
    found: list[object] = []
    for name in ("docs/format.md", "README.md"):
        text = (ROOT / name).read_text(encoding="utf-8")
        for match in FENCED.finditer(text):
            if match[1].startswith("tapeline: 1"):
                line = text[: match.start()].count("\n") + 1
                found.append(pytest.param(match[1], id=f"{name}:{line}"))
    return found


@pytest.mark.parametrize("block", BLOCKS, ids=lambda block: block.__name__)
def test_every_key_is_described(block: type[model.Written]) -> None:
    keys = list(model.keys_of(block))
    assert [key for key in keys if f"`{key}`" not in FORMAT] == []


def test_the_tables_that_are_made_are_up_to_date() -> None:
    """If not: python -m tests.accept."""
    assert with_tables(FORMAT) == FORMAT


def test_every_rule_stands_in_the_documents_with_its_figures_and_sources() -> None:
    assert RULES.read_text(encoding="utf-8") == rules_page()
    assert set(re.findall(r"<!-- made: ([a-z ]+) -->", FORMAT)) == set(TABLES)


def test_a_file_put_into_a_folder_is_in_its_table(monkeypatch: pytest.MonkeyPatch) -> None:
    """The tables are made from what is found, so a kind that is new is told of."""
    known = kinds()
    hurdle = replace(known["vertical"], name="hurdle", also=("sheep hurdle",))
    monkeypatch.setattr("doc_tables.kinds", lambda: {**known, "hurdle": hurdle})
    assert "| `hurdle` | `sheep hurdle` | `height`" in with_tables(FORMAT)


@pytest.mark.parametrize("text", _examples())
def test_an_example_can_be_planned(text: str, tmp_path: Path) -> None:
    file = tmp_path / "example.yaml"
    file.write_text(text, encoding="utf-8")
    made = plan(file)
    assert [f.message for f in made.findings if str(f.severity) == "stop"] == []


def _parts(first_words: str) -> list[str]:
    return [part for part in FENCED.findall(FORMAT) if part.startswith(first_words)]


def _planned_with(tmp_path: Path, old: str, new: str) -> None:
    """Plan the first example of the description with a line of it replaced."""
    text = _parts("tapeline: 1")[0]
    assert old in text
    file = tmp_path / "example.yaml"
    file.write_text(text.replace(old, new), encoding="utf-8")
    plan(file)


def test_the_stride_tables_can_be_used(tmp_path: Path) -> None:
    tables = _parts("table:")
    assert len(tables) == 2
    for table in tables:
        (tmp_path / "our-school.yaml").write_text(table, encoding="utf-8")
        _planned_with(tmp_path, "horses: horse", "horses: horse\ndistances: our-school.yaml")


def test_the_arenas_can_be_used(tmp_path: Path) -> None:
    [block] = _parts("arena:")
    _planned_with(tmp_path, "arena: 30 x 60 m\n", block)
    [arenas] = _parts("outdoor ring:")
    (tmp_path / "arenas.yaml").write_text(arenas, encoding="utf-8")
    _planned_with(tmp_path, "arena: 30 x 60 m", "arena: outdoor ring")


def test_the_smaller_blocks_can_be_used(tmp_path: Path) -> None:
    [horses] = _parts("horses:")
    _planned_with(tmp_path, "horses: horse\n", horses)
    [allow] = _parts("allow:")
    _planned_with(tmp_path, "ride:\n", f"{allow}ride:\n")
    [ride] = _parts("ride:")
    jumps = _jumps_of_ride(tmp_path, ride)
    assert jumps == 4


def _jumps_of_ride(tmp_path: Path, ride: str) -> int:
    """Jumps of the ride of the description, with oak set beyond hazel."""
    head = _parts("tapeline: 1")[0].partition("ride:\n")[0]
    oak = "  oak: {kind: vertical, placed: 3 strides beyond hazel}\n"
    file = tmp_path / "ride.yaml"
    file.write_text(head + oak + ride, encoding="utf-8")
    return plan(file).totals.jumps


def test_every_stride_table_and_arena_is_described() -> None:
    words = [*table_names(), *arena_names(), *(word for word, _ in condition_words())]
    assert [word for word in words if f"`{word}`" not in FORMAT] == []


def test_both_files_have_examples() -> None:
    assert len(_examples()) >= 3
