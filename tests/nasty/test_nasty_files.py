"""Files that nobody should write: each is refused with its place, or planned and printed. No more.

355 of them, one thing wrong (or odd) in each; what is wrong is in the name of the file. They are
bytes as they came, not all of them text.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from diagram import plans
from diagram.diagnostics import RejectedError, Severity
from diagram.pipeline import card

FILES = sorted(Path(__file__).with_name("files").glob("*.yaml"))

READABLE = """
    allow-map arena-clockwise arena-posts-on-a-fence arena-star comes-after-list easier-huge
    easier-list fence-name-arabic harder-huge harder-list height-00 leads-to-huge leads-to-list
    line-09 notes-huge notes-list notes-of-a-book place-00 place-08 purpose-of-every-script
    ride-circles-only ride-no-start scenario-huge skills-huge skills-list skills-of-a-page text-bom
    text-cr text-crlf text-nel text-rtl text-zero-width title-huge title-inf title-markup title-nan
    title-null unbreakable-word warm-up-huge warm-up-list yaml-block-scalar yaml-directive
    yaml-escapes yaml-folded
""".split()
"""Odd, and yet an exercise. Everything else must be refused, or found wanting by a check."""


def test_there_are_enough_of_them() -> None:
    assert len(FILES) >= 200
    assert set(READABLE) <= {file.stem for file in FILES}


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_it_is_refused_or_printed(file: Path, tmp_path: Path) -> None:
    try:
        made = plans(file)
    except RejectedError as problem:
        assert file.stem not in READABLE
        assert problem.diagnostics
        assert all(d.severity is Severity.ERROR and d.message for d in problem.diagnostics)
        assert all(d.span and d.span.line >= 1 and d.span.column >= 1 for d in problem.diagnostics)
        assert "error[" in str(problem)
        return
    for plan in made:
        found = {finding.severity for finding in plan.findings}
        assert file.stem in READABLE or found & {Severity.STOP, Severity.CAUTION}, file.stem
        target = tmp_path / "card.pdf"
        card(plan, target)
        assert target.read_bytes().startswith(b"%PDF")
