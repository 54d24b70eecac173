"""Exercises that trainers have published or set for decades raise no stop and no caution.

Each file says in its first lines where its figures come from. A trainer who is warned of what
everybody rides stops reading the warnings.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from source_marks import COMMON_PRACTICE, source_names
from test_dangers import found_in

from diagram.diagnostics import Severity

HERE = Path(__file__).parent
PUBLISHED = sorted((HERE / "published").glob("*.yaml"))
PRACTICE = sorted((HERE / "practice").glob("*.yaml"))


def test_there_are_as_many_as_were_read_and_more_of_practice() -> None:
    assert len(PUBLISHED) == 42
    assert len(PRACTICE) >= 42


@pytest.mark.parametrize("file", [*PUBLISHED, *PRACTICE], ids=lambda file: file.stem)
def test_it_raises_no_alarm(file: Path) -> None:
    grave = [f for f in found_in(file) if f.severity in (Severity.STOP, Severity.CAUTION)]
    assert [f"{f.severity} {f.rule}: {f.message}" for f in grave] == []


@pytest.mark.parametrize("file", [*PUBLISHED, *PRACTICE], ids=lambda file: file.stem)
def test_it_is_cited(file: Path) -> None:
    first = file.read_text(encoding="utf-8").splitlines()[0]
    key = re.match(r"# \[([A-Z]\d+)\]", first)
    assert first == f"# {COMMON_PRACTICE}" or (key and key[1] in dict(source_names()))
