"""The distances worth reading once everything stands: enough to find every foot, and more."""

from __future__ import annotations

from diagram.stakeout.setting import SettingOut


def tape_pairs(setting: SettingOut) -> list[tuple[str, str]]:
    """Names of the two ends of each tape, in the order of work, none twice.

    For every foot its two tapes; for every row the pole; the spread on both sides; the ties.
    """
    out: dict[frozenset[str], tuple[str, str]] = {}

    def add(start: str, end: str) -> None:
        out.setdefault(frozenset((start, end)), (start, end))

    for fence in setting.fences:
        feet = [foot.ways.foot.name for foot in fence.feet]
        for foot in fence.feet:
            add(foot.ways.tapes.first, foot.ways.foot.name)
            add(foot.ways.tapes.second, foot.ways.foot.name)
        for left, right in zip(feet[::2], feet[1::2], strict=True):
            add(left, right)
        for front, back in zip(feet, feet[2:], strict=False):
            add(front, back)
        for tie in fence.ties:
            add(tie.start, tie.end)
    return list(out.values())
