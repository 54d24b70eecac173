"""Set-ups that a judge who walks the course would stop, each beside its mended version.

The first line of each file says what must be found and how grave it is, the second why. The
mended one must be ridden without a stop or a caution, and without that finding.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from diagram.checks import check
from diagram.diagnostics import Diagnostic, Severity
from diagram.model import Definition, validate
from diagram.planning import make_plan
from diagram.source import read

FOLDER = Path(__file__).parent / "dangers"
DANGERS = sorted(file for file in FOLDER.glob("*.yaml") if ".mended" not in file.name)
LEAST = 80


@cache
def found_in(file: Path) -> tuple[Diagnostic, ...]:
    """All findings of a file."""
    document = read(file)
    return check(make_plan(document, validate(document, Definition))).findings


def expected(file: Path) -> tuple[str, str]:
    """Severity and check named in the first line."""
    first = file.read_text(encoding="utf-8").splitlines()[0]
    severity, rule = first.removeprefix("# ").split(": ")
    return severity, rule


def test_there_are_enough_and_each_has_its_mended_version() -> None:
    assert len(DANGERS) >= LEAST
    assert [f.name for f in DANGERS if not f.with_suffix(".mended.yaml").is_file()] == []
    assert 2 * len(DANGERS) == len(list(FOLDER.glob("*.yaml")))


@pytest.mark.parametrize("file", DANGERS, ids=lambda file: file.stem)
def test_the_danger_is_found(file: Path) -> None:
    assert expected(file) in [(str(f.severity), f.rule) for f in found_in(file)]


@pytest.mark.parametrize("file", DANGERS, ids=lambda file: file.stem)
def test_mended_it_is_clean(file: Path) -> None:
    mended = file.with_suffix(".mended.yaml")
    _, rule = expected(file)
    grave = (Severity.STOP, Severity.CAUTION)
    left = [f for f in found_in(mended) if f.severity in grave or f.rule == rule]
    assert [f"{f.severity} {f.rule}: {f.message}" for f in left] == []


METRES = re.compile(r"\d+(?:\.\d+)? ?c?m\b(?!/min)")


@pytest.mark.parametrize("file", DANGERS, ids=lambda file: file.stem)
def test_a_file_in_feet_is_answered_in_feet(file: Path) -> None:
    """But where the file itself has metres, as in the name of a ring or of a circle."""
    text = file.read_text(encoding="utf-8")
    said = METRES.findall(text)
    if not re.search(r"(?m)^level: .*['\"]", text):
        return
    for finding in found_in(file):
        for metric in METRES.findall(f"{finding.message} {finding.hint}"):
            assert metric in said, f"{finding.rule}: {finding.message}; {finding.hint}"
