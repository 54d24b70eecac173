"""Text for which there is no type is told of before it is printed as boxes."""

import pytest

from diagram.pipeline import plan_text

TEXT = """\
tapeline: 1
title: "TITLE"
purpose: P
level: 3'
arena: 30 x 60 m
fences:
  birch: {kind: vertical, at: [8 m, 9 m], facing: 0°}
ride:
  - jump: birch
    purpose: SAID
"""


@pytest.mark.parametrize("words", ["שלום", "你好", "مرحبا", "नमस्ते", "🐎"])
def test_boxes_are_told_of_with_their_place(words: str) -> None:
    made = plan_text(TEXT.replace("TITLE", "T").replace("SAID", words))
    [found] = [one for one in made.findings if one.rule == "cannot-be-set"]
    assert found.span is not None
    assert found.span.line == 10
    assert words[0] in found.message


@pytest.mark.parametrize("words", ["Zażółć gęślą", "Καμπύλη", "Длинная", "Être à l’heure, ½"])
def test_what_can_be_set_is_no_matter(words: str) -> None:
    made = plan_text(TEXT.replace("TITLE", words).replace("SAID", words))
    assert [one for one in made.findings if one.rule == "cannot-be-set"] == []
