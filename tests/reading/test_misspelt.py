"""A word that is misspelt is named as it is spelt, not only the first thing that may be said."""

from __future__ import annotations

import pytest

from diagram.diagnostics import RejectedError
from diagram.model.phrases import Grammar, PhraseError, read_phrase
from diagram.model.ride_grammar import BEND, FINISH, LINE, START, TURN
from tests.checks.check_trials import FINISH as LAST
from tests.checks.check_trials import START as FIRST
from tests.checks.check_trials import trial


@pytest.mark.parametrize(
    ("grammar", "text", "meant"),
    [
        (TURN, "rihgt", "right"),
        (LINE, "5 strdies or 4 forwrad", "5 strides or 4 forward"),
        (LINE, "5 strides, uphil", "uphill"),
        (BEND, "left 45°, 6 strides, raund", "round"),
        (START, "cantor", "canter"),
        (FINISH, "strait on", "straight on"),
    ],
)
def test_the_hint_is_what_was_meant(grammar: Grammar, text: str, meant: str) -> None:
    with pytest.raises(PhraseError) as found:
        read_phrase(text, grammar)
    assert found.value.hint == f'did you mean "{meant}"?'


def test_what_is_like_nothing_gets_all_that_may_be_said() -> None:
    with pytest.raises(PhraseError) as found:
        read_phrase("xyzzy", TURN)
    assert found.value.hint.startswith("you may say: left")


@pytest.mark.parametrize(
    ("step", "hint"), [("round: left 90°, 4 strides", "of a bend"), ("walk: 5 steps", "of a way")]
)
def test_what_is_no_step_is_shown_where_it_is_said(step: str, hint: str) -> None:
    with pytest.raises(RejectedError) as found:
        trial(ride=(FIRST, "jump: birch", step, "jump: hazel", LAST))
    assert any(hint in problem.hint for problem in found.value.diagnostics)
