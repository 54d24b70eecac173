"""What cannot be read and what does not fit together are told in one go."""

from __future__ import annotations

import pytest

from diagram.diagnostics import RejectedError
from diagram.pipeline import plan_text

GOOD = """\
tapeline: 1
title: Two fences
purpose: One canter.
level: 2'6"
arena: 30 x 60 m
fences:
  birch: {kind: vertical}
  hazel: {kind: oxer, spread: 2'3"}
ride:
  - start: canter, left lead
  - jump: birch
  - line: 5 strides
  - jump: hazel
  - finish: straight on, walk
"""


def lines(*changes: tuple[str, str]) -> list[tuple[int, str]]:
    """Line and rule of every error of the file with these changes."""
    text = GOOD
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    with pytest.raises(RejectedError) as caught:
        plan_text(text, "two.yaml")
    return [(d.span.line if d.span else 0, d.rule) for d in caught.value.diagnostics]


VERTIKAL = ("kind: vertical", "kind: vertikal")
NO_PURPOSE = ("purpose: One canter.\n", "")
MISSPELT_KEY = ("  - jump: birch\n", "  - jump: birch\n    purpsoe: Sit.\n")
BAD_LENGTH = ("spread: 2'3\"", "spread: 2,3 m")
NO_ARENA = ("arena: 30 x 60 m", "arena: moon base")
NO_FENCE = ("jump: hazel", "jump: nobody")
NO_STEP = ("  - line: 5 strides\n", "  - lien: 5 strides\n")


def test_alone_each_is_told() -> None:
    assert lines(VERTIKAL) == [(7, "fence")]
    assert lines(NO_PURPOSE) == [(1, "missing-key")]
    assert lines(NO_STEP) == [(12, "unknown-key")]


@pytest.mark.parametrize(
    ("changes", "found"),
    [
        ((VERTIKAL, NO_PURPOSE), [1, 6]),
        ((VERTIKAL, MISSPELT_KEY), [7, 12]),
        ((NO_ARENA, NO_PURPOSE), [1, 4]),
        ((NO_ARENA, VERTIKAL, MISSPELT_KEY), [5, 7, 12]),
        ((NO_FENCE, MISSPELT_KEY), [12, 14]),
        ((NO_FENCE, NO_PURPOSE, BAD_LENGTH), [1, 7, 7, 12]),
        # Of a ride with a step that cannot be read no more is said but what holds whatever that
        # step was to be: the rest would be guesswork.
        ((NO_STEP, NO_FENCE, VERTIKAL), [7, 12, 13]),
        ((NO_STEP, NO_FENCE, ("jump: birch", "jump: oak")), [11, 12, 13]),
        # A fence that cannot be read is there all the same.
        ((NO_STEP, ("birch: {kind: vertical}", "birch: [vertical]")), [7, 12]),
    ],
)
def test_together_they_are_told_at_once(
    changes: tuple[tuple[str, str], ...], found: list[int]
) -> None:
    assert [line for line, _ in lines(*changes)] == found
