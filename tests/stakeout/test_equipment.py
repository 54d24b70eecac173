"""Pieces of each kind of fence, the store, what is missing and what stands in."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from diagram.diagnostics import RejectedError
from diagram.exercise.equipment import Equipment, equipment_of, in_all, pole_text
from diagram.exercise.inventory import missing_from, read_store
from diagram.fences import kinds
from diagram.pipeline import plan, setting_of
from diagram.planning import Plan
from diagram.source import read_text
from diagram.stakeout.crew import crew_for
from diagram.stakeout.points import feet
from diagram.stakeout.setting import SettingOut

TWELVE = 3658

HEAD = """\
tapeline: 1
title: Pieces
level: 3'
purpose: To be counted.
arena: 30 x 60 m
horses: 12' stride
fences:
  birch: {kind: vertical, at: [14 m, 8 m], facing: 0°, ground line: both sides}
  hazel: {kind: oxer, spread: 2'6", placed: 5 strides beyond birch, filler: boxes}
  rowan: {kind: triple bar, at: [30 m, 21 m], facing: 180°}
ride:
  - start: canter
  - jump: birch
  - line: 5 strides
  - jump: hazel
  - turn: left
  - jump: rowan
  - finish: straight on, walk
"""


def _plan(folder: Path, text: str = HEAD, store: str = "") -> Plan:
    file = folder / "pieces.yaml"
    file.write_text(text, encoding="utf-8")
    if store:
        (folder / "store.yaml").write_text(store, encoding="utf-8")
    return plan(file)


def _set(folder: Path, text: str = HEAD, store: str = "") -> SettingOut:
    return setting_of(_plan(folder, text, store), crew_for("feet"))


def _one(folder: Path, fence: str) -> Equipment:
    text = (
        "tapeline: 1\ntitle: One\npurpose: One.\nlevel: 3'\narena: 30 x 60 m\nhorses: horse\n"
        f"fences:\n  f: {{{fence}, at: [30 m, 15 m], facing: 0°}}\n"
        "ride:\n  - start: canter\n  - jump: f\n  - finish: straight on, walk\n"
    )
    return equipment_of(_plan(folder, text).fences[0].fence)


# Common practice, no source: vertical 2-3 poles and a ground line, triple bar 5-6; four rails
# to an oxer, published (University of New Hampshire show notes), the ground line one of them.
@pytest.mark.parametrize(
    ("fence", "standards", "poles", "cups", "safety"),
    [
        ("kind: vertical", 2, 3, 4, 0),
        ("kind: vertical, ground line: both sides", 2, 4, 4, 0),
        ("kind: vertical, ground line: none", 2, 2, 4, 0),
        ("kind: oxer", 4, 4, 4, 2),
        ("kind: oxer, ground line: both sides", 4, 5, 0, 6),
        ("kind: ascending oxer", 4, 4, 4, 2),
        ("kind: triple bar", 6, 5, 6, 2),
        ("kind: cross-rail", 2, 3, 2, 0),
        ("kind: ground pole", 0, 1, 0, 0),
        ("kind: placing pole", 0, 1, 0, 0),
        ("kind: cavaletti", 0, 1, 0, 0),
        ("kind: plank", 2, 2, 4, 0),
        ("kind: wall", 2, 1, 2, 0),
        ("kind: gate", 2, 2, 4, 0),
        ("kind: liverpool", 2, 3, 4, 0),
        ("kind: brush", 2, 2, 2, 0),
        ("kind: roll-top", 2, 2, 2, 0),
    ],
)
def test_pieces_of_each_kind(
    tmp_path: Path, fence: str, standards: int, poles: int, cups: int, safety: int
) -> None:
    found = _one(tmp_path, fence)
    assert found.standards == standards
    assert sum(found.poles.values()) == poles
    assert (found.cups, found.safety_cups) == (cups, safety)


def test_every_kind_is_counted() -> None:
    counted = {
        "vertical", "oxer", "ascending oxer", "triple bar", "cross-rail", "ground pole",
        "placing pole", "cavaletti", "plank", "wall", "gate", "liverpool", "brush", "roll-top",
    }  # fmt: skip
    assert set(kinds()) - {"combination"} == counted


def test_solid_parts(tmp_path: Path) -> None:
    assert _one(tmp_path, "kind: wall").walls == 1
    gate = _one(tmp_path, "kind: gate")
    assert (gate.gates, gate.flat) == (1, 2)
    plank = _one(tmp_path, "kind: plank, poles: 10'")
    assert (plank.planks, plank.flat) == ({3048: 1}, 2)
    assert _one(tmp_path, "kind: cavaletti").blocks == 2
    one_end = _one(tmp_path, "kind: cavaletti, raised: left")
    assert (one_end.blocks, one_end.fillers) == (1, {})
    assert _one(tmp_path, "kind: vertical, filler: flower boxes").fillers == {"flower boxes": 1}


def test_the_back_pole_of_every_spread_lies_in_safety_cups(tmp_path: Path) -> None:
    """Rule in the US since 2022, and asked for in schooling by all the handbooks."""
    for fence in _plan(tmp_path).fences:
        if fence.fence.depth_m:
            assert equipment_of(fence.fence).safety_cups >= 2


def test_the_sum_is_the_sum(tmp_path: Path) -> None:
    made = _plan(tmp_path)
    each = [equipment_of(fence.fence) for fence in made.fences]
    total = in_all(each)
    assert total.poles == {TWELVE: 4 + 4 + 5}
    assert total.standards == 2 + 4 + 6
    assert total.loads == sum(one.loads for one in each)
    assert total.words("feet")[:2] == ["12 standards", "13 poles of 12'"]


def test_names_of_poles() -> None:
    assert pole_text(TWELVE, "feet") == "12'"
    assert pole_text(3500, "feet") == "3.50 m"
    assert pole_text(TWELVE, "metres") == "3.66 m"


def test_a_full_store_lacks_nothing(tmp_path: Path) -> None:
    setting = _set(tmp_path, store="poles: {12': 24}\nstandards: 16\ncups: 40\nsafety cups: 8\n")
    assert setting.store is not None
    assert setting.shortages == ()
    assert setting.stand_ins == ()


def test_what_is_missing_and_what_to_do(tmp_path: Path) -> None:
    store = (
        "poles: {12': 10}\nstandards: 10\nplanks: {12': 1}\ngates: 0\nwalls: 0\ncups: 4\n"
        "safety cups: 3\nfillers: {flower boxes: 1}\n"
    )
    setting = _set(tmp_path, store=store)
    found = {lack.called("feet"): lack for lack in setting.shortages}
    assert set(found) == {"safety cups", "standards", "cups", "poles of 12'", "boxes"}
    assert found["boxes"].instead == "flower boxes"
    assert (found["standards"].wanted, found["standards"].there) == (12, 10)
    assert setting.shortages[0].what == "safety cups"
    assert "nothing stands in" in setting.shortages[0].instead


def test_spare_safety_cups_do_for_ordinary_ones(tmp_path: Path) -> None:
    """A vertical and an oxer hang in eight cups, and in two safety cups: six are short."""
    fences = [fence.fence for fence in _plan(tmp_path).fences if fence.name in ("birch", "hazel")]
    store = read_store(read_text("cups: 2\nsafety cups: 8\n", "store.yaml"))
    [lack] = missing_from(store, fences)
    assert "6 of the spare safety cups" in lack.instead
    tight = read_store(read_text("cups: 2\nsafety cups: 7\n", "store.yaml"))
    [lack] = missing_from(tight, fences)
    assert "safety" not in lack.instead


def test_longer_poles_stand_in_and_the_plan_follows(tmp_path: Path) -> None:
    text = HEAD.replace("horses: 12' stride", "horses: 12' stride\npoles: 10'")
    before = _plan(tmp_path, text)
    setting = _set(tmp_path, text, "poles: {12': 6, 10': 9}\n")
    [swap] = setting.stand_ins
    assert (swap.asked_mm, swap.used_mm) == (3048, TWELVE)
    # One fence frees enough, and of those with enough the smallest is changed: 4 of 13 poles.
    assert swap.fence in ("hazel", "birch")
    assert setting.shortages == ()
    after = setting.plan
    for fence in after.fences:
        left, right = fence.feet[:2]
        wide = 3.6576 if fence.name == swap.fence else 3.048
        assert math.dist(left, right) == pytest.approx(wide, abs=1e-3)
    assert {f.name: f.pose.point for f in after.fences} == {
        f.name: f.pose.point for f in before.fences
    }
    set_feet = {f.ways.foot.name: f.ways.foot.point for s in setting.fences for f in s.feet}
    stood = feet(before)
    assert {name for name in stood if set_feet[name] != stood[name]} == {
        name for name in stood if name.startswith(swap.fence)
    }


def test_a_combination_is_changed_as_a_whole(tmp_path: Path) -> None:
    text = HEAD.replace(
        "  hazel: {kind: oxer, spread: 2'6\", placed: 5 strides beyond birch, filler: boxes}\n",
        "  hazel: {kind: double, poles: 10', placed: 5 strides beyond birch, elements: "
        "[{kind: vertical}, {kind: vertical, after: 1 stride}]}\n",
    )
    setting = _set(tmp_path, text, "poles: {12': 30, 10': 2}\n")
    [swap] = setting.stand_ins
    assert swap.fence == "hazel"
    wide = {round(f.fence.measures.width_m, 2) for f in setting.plan.fences}
    assert wide == {3.66}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("poles: 12\n", "keys and values"),
        ("standards: many\n", "not a count"),
        ("standards: -2\n", "not a count"),
        ("poles: {12: 4}\n", "no unit"),
        ("wings: 4\n", 'no "wings"'),
        ("- 1\n", "keys and values"),
    ],
)
def test_a_wrong_list_is_answered_with_its_place(text: str, said: str) -> None:
    with pytest.raises(RejectedError, match=said) as found:
        read_store(read_text(text, "store.yaml"))
    assert "store.yaml:1:" in str(found.value)
