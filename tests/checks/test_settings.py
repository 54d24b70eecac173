"""Where bodies differ: every choice of every setting changes what is built or what is found."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest
from check_trials import BIRCH, FINISH, FOOT, HAZEL, LINE, START, facts, of_rule, trial

from diagram.diagnostics import RejectedError
from diagram.planning import Plan
from diagram.trade.settings import settings

PONY = "large pony"
BIG = tuple(fence.replace("{kind", "{height: 4'3\", kind") for fence in (BIRCH, HAZEL))


def _double(height: str) -> tuple[str, ...]:
    second = f"hazel: {{kind: vertical, height: {height}, placed: 1 stride beyond birch}}"
    return (BIRCH.replace("{kind", f"{{height: {height}, kind"), second)


def _turned(strides: int) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Two fences joined by a slight turn that rides as a line of so many strides."""
    metres, aside = 12 * (strides + 1) * FOOT, math.radians(12)
    x, y = 20 + metres * math.cos(aside), 18 + metres * math.sin(aside)
    birch = BIRCH.replace("8 m", "18 m")
    hazel = f"hazel: {{kind: vertical, at: [{x:.3f} m, {y:.3f} m], facing: 25°}}"
    ride = (START, "jump: birch", "turn: left", "jump: hazel", FINISH)
    return (birch, hazel), ride


def _leg_m(plan: Plan) -> float:
    return round(next(leg.track_m for leg in plan.legs if leg.first and leg.second), 3)


def _found(rule: str) -> Callable[[Plan], Any]:
    return lambda plan: [(str(one.severity), facts(one)["limit"]) for one in of_rule(plan, rule)]


def _ground_line_m(plan: Plan) -> float:
    return round(plan.fences[0].fence.measures.ground_line_m, 3)


def _made(setting: str, choice: str) -> list[Any]:
    """What the setting is for, with a choice made."""
    more = f"judged by: {{{setting}: {choice}}}"
    match setting:
        case "spread against height":
            wide = (HAZEL.replace("2'6\"", "4'4\""),)
            plans = [trial((BIRCH, *wide), more=more)]
            return [_found("wider-than-high")(plan) for plan in plans]
        case "related up to":
            trials = (trial(*_turned(n), arena="40 x 80 m", more=more) for n in (5, 7, 8, 9))
            return [_found("related-and-not-said")(plan) for plan in trials]
        case "pony one stride":
            more += "\ndistances: metre rule"
            return [_leg_m(trial(_double("2'9\""), horses=PONY, more=more,
                                 ride=(*LINE[:2], "line: 1 stride", *LINE[3:])))]  # fmt: skip
        case "pony combination over higher fences":
            return [_leg_m(trial(_double("3'3\""), horses=PONY, more=more,
                                 ride=(*LINE[:2], "line: 1 stride", *LINE[3:])))]  # fmt: skip
        case "line over big fences":
            return [_leg_m(trial(BIG, more=more))]
        case "ground lines":
            return [_ground_line_m(trial(more=more))]
        case "home height":
            horses = "{size: horse, shows at: 2'3\"}"
            return [_found("higher-than-at-shows")(trial(horses=horses, more=more))]
    raise AssertionError(f"nothing shows what {setting} is for")


@pytest.mark.parametrize("setting", settings())
def test_every_choice_makes_a_difference(setting: str) -> None:
    made = [_made(setting, choice) for choice in settings()[setting]]
    for number, one in enumerate(made):
        assert one not in made[:number], list(settings()[setting])[number]


@pytest.mark.parametrize("setting", settings())
def test_the_first_choice_is_the_usual_one(setting: str) -> None:
    first = next(iter(settings()[setting]))
    other = "spread against height" if setting != "spread against height" else "related up to"
    usual = next(iter(settings()[other]))
    text = f"{first}, {other}: {usual}"
    assert _made(setting, first) == _made(setting, text)


# published (web article) [S148], [S104]; [S1]: 23' to 24' for a large pony, one stride.
@pytest.mark.parametrize(
    ("choice", "metres"),
    [("us chart", 23.5 * FOOT), ("swedish", 6.65), ("uk pony magazine", 6.0)],
)
def test_one_stride_of_a_large_pony(choice: str, metres: float) -> None:
    assert _made("pony one stride", choice) == [pytest.approx(metres, abs=0.005)]


def test_a_body_that_is_named_judges_alone() -> None:
    # 23'6" is usual in the chart [S1] and 0.16 m too long in the Swedish table [S148].
    fences = (
        BIRCH.replace("{kind", "{height: 2'9\", kind"),
        'hazel: {kind: vertical, height: 2\'9", placed: "1 stride at 23\'6\\" beyond birch"}',
    )
    ride = (START, "jump: birch", 'line: "1 stride at 23\'6\\""', "jump: hazel", FINISH)
    plain = trial(fences, ride, horses=PONY)
    swedish = trial(fences, ride, horses=PONY, more="judged by: {pony one stride: swedish}")
    assert of_rule(plain, "distance-off") == []
    assert [facts(one)["limit"] for one in of_rule(swedish, "distance-off")] == [7.0]


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ("{home heigth: as at shows}", '"home heigth" is nothing that one may choose'),
        ("{ground lines: far}", '"far" is no choice for ground lines'),
    ],
)
def test_what_is_not_known_is_refused(said: str, message: str) -> None:
    with pytest.raises(RejectedError) as refused:
        trial(more=f"judged by: {said}")
    assert [one.message for one in refused.value.diagnostics] == [message]
