"""What many tests read and none changes, made once a worker: of the exercises that ship, by the
name of the file, the plan, how it is set out, and the leaves for that on one paper.

Tests of a file run in one worker, next to those of the files beside it (`--dist worksteal` in
pyproject.toml), so that hardly anything is made by two.
"""

from __future__ import annotations

from functools import cache

from samples import EXERCISES

from diagram.pipeline import plan, setting_of
from diagram.planning import Plan
from diagram.scene import Scene
from diagram.stakeout.crew import crew_for
from diagram.stakeout.setting import SettingOut
from diagram.units import Units
from diagram.writers.setting_sheet import sheet_scenes


@cache
def planned(stem: str) -> Plan:
    return plan(EXERCISES / f"{stem}.yaml")


@cache
def set_out(stem: str, units: Units) -> SettingOut:
    return setting_of(planned(stem), crew_for(units))


@cache
def leaves(stem: str, units: Units, paper: str) -> tuple[Scene, ...]:
    return sheet_scenes(set_out(stem, units), paper=paper)
