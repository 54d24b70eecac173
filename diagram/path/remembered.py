"""What was ridden before between the same places in the same room: looked up, not looked for again.

A file that is drawn again after its words have changed, a lesson at another height, a change that
is tried out: most of their ways are those of before. The key is all that a way depends on.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

Value = TypeVar("Value")


class Remembered(Generic[Value]):
    """The last `most` results by what they were made from. The results must be frozen."""

    def __init__(self, most: int) -> None:
        self.most = most
        self._known: dict[Hashable, Value] = {}

    def of(self, key: Hashable, find: Callable[[], Value]) -> Value:
        """What is known under `key`, or what `find` finds."""
        try:
            return self._known[key]
        except KeyError:
            found = find()
        while len(self._known) >= self.most:
            # The oldest; another thread may have taken it out meanwhile.
            self._known.pop(next(iter(self._known), None), None)
        self._known[key] = found
        return found
