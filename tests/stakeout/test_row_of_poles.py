"""A row of poles is set in its own order: the first from the rail, the last, those between."""

from __future__ import annotations

from diagram.pipeline import plan_text
from diagram.stakeout.hanging import order_of_setting
from diagram.stakeout.lines import taped_lines


def test_the_first_pole_of_a_row_is_set_first() -> None:
    plan = plan_text(
        "tapeline: 1\ntitle: T\npurpose: P\narena: 20 x 40 m\nfences:\n"
        "  reed: four trot poles, 4'6\" apart, on centre line\n"
        "ride:\n  - start: trot\n  - jump: reed\n  - finish: straight on, halt\n"
    )
    hung = order_of_setting(plan, taped_lines(plan), 30.0)
    assert [one.fence for one in hung] == ["reed a", "reed d", "reed b", "reed c"]
    assert [one.how for one in hung] == ["rail", "line", "on the tape", "on the tape"]
