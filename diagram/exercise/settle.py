"""From fences as written to fences with every measure settled, elements taken apart."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import cast, get_args

from diagram.diagnostics import Diagnostic, Severity, near
from diagram.exercise.course import Path, element_names
from diagram.exercise.fence import Fence
from diagram.fences import kind_names
from diagram.fences.kind import GroundLine, Kind, Measures, with_article
from diagram.model.definition import Definition, ElementWritten, FenceWritten
from diagram.model.kinds_otherwise import kind_hint
from diagram.source import Document
from diagram.trade import fence_facts
from diagram.units import length_text

GROUND_LINES: tuple[str, ...] = get_args(GroundLine)
MEASURE_KEYS = ("height", "front", "spread", "filler", "poles", "ground line", "raised", "elements")

NARROWEST, WIDEST = 1.0, 8.0
"""Metres of pole between which a fence is still a fence."""


MOST_STANDING = 120
"""Fences in all, each element of a combination one of them."""


def settle_fences(
    definition: Definition, document: Document, standing: Mapping[str, Fence] | None = None
) -> tuple[dict[str, Fence], list[Diagnostic]]:
    """Single fences by name, and every error in how they are written.

    Where they are `standing` already for another ride, only their heights are settled anew.
    """
    settler = _Settler(definition, document, standing or {})
    for name, written in definition.fences.items():
        settler.take(name, written)
    if len(settler.fences) > MOST_STANDING:
        message = f"{len(settler.fences)} fences and elements of combinations in all"
        settler.refuse(message, ("fences",), f"{MOST_STANDING} at most: split the exercise", True)
    return settler.fences, settler.problems


class _Settler:
    def __init__(
        self, definition: Definition, document: Document, standing: Mapping[str, Fence]
    ) -> None:
        self.definition = definition
        self.standing = standing
        self.document = document
        self.fences: dict[str, Fence] = {}
        self.problems: list[Diagnostic] = []

    def refuse(self, message: str, path: Path, hint: str = "", key: bool = False) -> None:
        span = self.document.span_at(path, key=key)
        self.problems.append(Diagnostic("fence", Severity.ERROR, message, span, hint))

    def take(self, name: str, written: FenceWritten) -> None:
        path: Path = ("fences", name)
        kind = self._kind(written.kind, path)
        if kind is None:
            return
        if written.elements is None:
            if kind.composed:
                hint = "add elements: and under it one - kind: for each of its fences"
                self.refuse("a combination needs elements:", path, hint, key=True)
                return
            self._single(name, written, kind, path, "", written.poles)
            return
        if not kind.composed:
            hint = "write kind: combination"
            self.refuse(
                f"{with_article(kind.name)} has no elements", (*path, "elements"), hint, key=True
            )
            return
        if len(written.elements) < 2:
            hint = "add an element, or write the kind of the single fence"
            message = "a combination has two elements or more"
            self.refuse(message, (*path, "elements"), hint, key=True)
        names = element_names(name, written)
        for index, element in enumerate(written.elements):
            self._element(names[index], element, index, path, name, written.poles)

    def _element(
        self,
        name: str,
        element: ElementWritten,
        index: int,
        above: Path,
        whole: str,
        poles: float | None,
    ) -> None:
        path: Path = (*above, "elements", index)
        kind = self._kind(element.kind, path)
        if index and element.after is None:
            self.refuse("how far is this from the element before?", path, "add after: 1 stride")
        if not index and element.after is not None:
            self.refuse("the first element comes after nothing", (*path, "after"), "delete it")
        if element.after is not None and element.after.transition is not None:
            self.refuse(
                "there is no room for that in a combination", (*path, "after"), "write 1 stride"
            )
        if kind and kind.composed:
            self.refuse("a combination cannot hold another", path, "list its fences here")
        elif kind:
            self._single(
                name, element, kind, path, whole, poles if element.poles is None else element.poles
            )

    def _kind(self, word: str, path: Path) -> Kind | None:
        kind = kind_names().get(word)
        if kind is None:
            at: Path = (*path, "kind")
            hint = kind_hint(word, kind_names(), self.document.node_at(at)[1], len(path) > 2)
            self.refuse(f'"{word}" is no kind of fence', at, hint)
        return kind

    def _single(
        self,
        name: str,
        written: FenceWritten | ElementWritten,
        kind: Kind,
        path: Path,
        whole: str,
        poles: float | None,
    ) -> None:
        node, _ = self.document.node_at(path)
        for key in MEASURE_KEYS:
            given = getattr(node, "get", lambda _: None)(key) is not None
            if given and key not in kind.measures and key != "elements":
                hint = "it may have: " + ", ".join(sorted(kind.measures))
                self.refuse(f"{with_article(kind.name)} has no {key}", (*path, key), hint, key=True)
        facts = fence_facts.kind_facts(kind.facts)
        measures = self._measures(name, written, kind, facts, path, poles)
        fence = Fence(
            name=name,
            kind=kind,
            facts=facts,
            measures=measures,
            parts=kind.build(measures),
            wing_m=fence_facts.wing_width().typical,
            foot_m=fence_facts.standard_depth().value,
            whole=whole,
            path=path,
        )
        self.fences[name] = fence

    def _measures(
        self,
        name: str,
        written: FenceWritten | ElementWritten,
        kind: Kind,
        facts: fence_facts.KindFacts,
        path: Path,
        poles: float | None,
    ) -> Measures:
        height = self._height(written, kind, facts, path)
        spread = written.spread
        if spread is None:
            stands = self.standing.get(name)
            spread = stands.measures.spread_m if stands else _usual_spread(facts, height)
        front = written.front
        if front is None:
            lower = facts.front_lower.value if facts.front_lower else 0.0
            share = kind.front if kind.front is not None else 1.0
            front = max(height * share - lower, height / 2)
        if front > height + 1e-9 and "front" in kind.measures:
            hint = "the back pole is never the lower one"
            self.refuse("the front pole is higher than the back pole", (*path, "front"), hint)
        limit = fence_facts.largest_spread(facts)
        too_wide = not math.isfinite(spread) or spread > limit + 1e-9
        if too_wide and ("spread" in kind.measures or written.spread is None):
            message = f"a spread over {length_text(limit, 'both')} is not built"
            self.refuse(message, (*path, "spread"), "check the unit")
        said = (poles, self.definition.poles, fence_facts.usual_pole_length().value)
        width = next(length for length in said if length is not None)
        if not NARROWEST <= width <= WIDEST:
            message = f"poles of {length_text(width, 'both')} are not to be had"
            at: Path = (*path, "poles")
            if written.poles is None:
                at = ("poles",) if poles is None else (*path[:2], "poles")
            self.refuse(message, at, "check the unit")
        ground_line = written.ground_line or "front"
        if ground_line not in GROUND_LINES:
            hint = near(ground_line, GROUND_LINES)
            self.refuse(f'"{ground_line}" is no ground line', (*path, "ground line"), hint)
            ground_line = "front"
        return Measures(
            height_m=height,
            front_m=front,
            spread_m=spread,
            width_m=width,
            pole_m=fence_facts.pole_diameter().typical,
            ground_line_m=fence_facts.ground_line_distance(self.definition.judged_by).typical,
            filler=kind.filler or written.filler,
            ground_line=cast(GroundLine, ground_line),
            raised=written.raised or "both ends",
        )

    def _height(
        self,
        written: FenceWritten | ElementWritten,
        kind: Kind,
        facts: fence_facts.KindFacts,
        path: Path,
    ) -> float:
        if "height" not in kind.measures:
            return facts.height.typical if facts.height else 0.0
        if written.height is not None:
            height = written.height
        elif facts.height is not None:
            height = facts.height.typical
        elif self.definition.level is not None:
            height = self.definition.level
            if facts.group == "cross-rail":
                # Its ends lie twice as high: crossing at the level it would be a wall to jump.
                height = fence_facts.crossing_of(height)
        else:
            self.refuse(f"how high is this {kind.name}?", path, "add height: or level:", key=True)
            return 0.9
        tallest = fence_facts.largest_height()
        if height > tallest.value:
            message = f"no fence is built higher than {length_text(tallest.value, 'both')}"
            self.refuse(message, (*path, "height"), "check the unit")
        return height


def _usual_spread(facts: fence_facts.KindFacts, height: float) -> float:
    """Metres from front to back where the file does not say."""
    if facts.water is not None:
        return facts.water.typical
    return height * facts.spread.value if facts.spread else 0.0
