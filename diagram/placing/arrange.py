"""Where the fences of an exercise stand: as pinned, or worked out, with the outcome named."""

from __future__ import annotations

from collections.abc import Callable

from diagram.geometry.pose import Pose
from diagram.placing.outcome import Layout
from diagram.placing.posing import PosedExercise

Judge = Callable[[dict[str, Pose], float], float]
"""Says how badly bodies at these poses ride, in metres; 0 if as well as was reckoned. Told how
much is too much, it need not look on from there, and what is known to be as bad without being
ridden is infinite."""


def arrange(
    setting: PosedExercise,
    near: dict[str, Pose] | None = None,
    stay: bool = False,
    judge: Judge | None = None,
) -> Layout:
    """Places for every body. Raises RejectedError when the file contradicts itself.

    `near` are poses to begin from, besides the usual guesses. To `stay`, nothing moves from there
    further than the relations and limits make it, if they can be kept at all that way. Of the
    arrangements that fit, the roomiest that the `judge` has nothing against is taken.
    """
    layout = _laid(setting, near, stay, judge)
    if not setting.definition.move:
        return layout
    from diagram.placing.moved import moved

    return moved(setting, layout)


def _laid(
    setting: PosedExercise, near: dict[str, Pose] | None, stay: bool, judge: Judge | None
) -> Layout:
    pinned = setting.pinned.poses
    if len(pinned) == len(setting.pinned.bodies) and not setting.definition.arrange:
        return Layout("placed as pinned", dict(pinned))
    # An exercise that is pinned has no need of the whole solver, which takes a while to load.
    from diagram.placing.working_out import work_out

    return work_out(setting, near, stay, judge)
