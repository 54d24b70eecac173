"""The description of the format tells of every key, kind and check, and its examples work."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from diagram.checks import rules
from diagram.fences import kind_names
from diagram.model import definition as model
from diagram.pipeline import plan

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
    keys = [field.alias or name for name, field in block.model_fields.items()]
    assert [key for key in keys if f"`{key}`" not in FORMAT] == []


def test_every_kind_of_fence_is_described() -> None:
    assert [name for name in kind_names() if f"`{name}`" not in FORMAT] == []


def test_every_check_is_described_and_no_other() -> None:
    listed = FORMAT.partition("## Allow")[2]
    assert set(re.findall(r"^\| `([a-z-]+)` \|", listed, re.MULTILINE)) == set(rules())


@pytest.mark.parametrize("text", _examples())
def test_an_example_can_be_planned(text: str, tmp_path: Path) -> None:
    file = tmp_path / "example.yaml"
    file.write_text(text, encoding="utf-8")
    made = plan(file)
    assert [f.message for f in made.findings if str(f.severity) == "stop"] == []


def test_both_files_have_examples() -> None:
    assert len(_examples()) >= 3
