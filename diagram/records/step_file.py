"""A step from one height to the next: what is to be shown before it, as a file of the trainer.

No body publishes "so many clear rounds before so much more", so every figure in such a file is
common practice and the trainer's to change.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Literal, get_args

from msgspec import Struct

from diagram.diagnostics import Diagnostic, RejectedError, near
from diagram.records.trouble import trouble
from diagram.source import Document, Node, Scalar, read
from diagram.trade.reading import Reader, first_line
from diagram.units import UnitError, parse_length

By = Literal["horse", "rider", "pair"]
Judged = Literal["mark", "strides", "lead", "seconds", "jumped", "round"]
BYS: tuple[By, ...] = get_args(By)
JUDGED: tuple[Judged, ...] = get_args(Judged)
WAYS = ("start", "line", "bend", "turn", "circle", "combination", "transition", "finish")

SHIPPED = Path(__file__).parent / "steps"
"""The step files that come with the program: common practice, to be copied and changed."""
LONGEST_WORDS = 34
"""Characters of what is asked: the column of the page."""
MOST = 24
"""Requirements in a file: what one page holds."""
DAYS_IN_A_WEEK = 7
WITHIN_S = 0.5
"""Seconds by which a time may be off, where the file says nothing else."""


class Counts(Struct, frozen=True):
    """Which elements or rounds are tries of a requirement; None where the file says nothing.

    Lengths are millimetres. `spread_mm` is -1 for "as wide as high".
    """

    jump: str = "any"
    spread_mm: int | None = None
    height_mm: int = 0
    way: str | None = None
    rein: str | None = None
    strides: int | None = None
    both_ways: bool = False
    other_counts: bool = False
    lead_asked: bool = False
    angled: bool = False
    new_filler: bool = False
    whole_round: bool = False
    fences: int = 1
    at_height: tuple[int, int] | None = None
    misses: int = 0
    another_horse: bool = False


class Ask(Struct, frozen=True):
    """How often, on how many days, how lately. Days for both times."""

    right: int
    of: int
    tries: int
    days: int
    look_back: int
    last_within: int

    @property
    def share(self) -> float:
        """The share asked."""
        return self.right / self.of


class Requirement(Struct, frozen=True):
    """One thing to be shown. `verb` and `noun` say it to a parent."""

    key: str
    by: By
    words: str
    verb: str
    noun: str
    counts: Counts
    judged_by: Judged
    ask: Ask
    exercises: tuple[str, ...]
    within_s: float = WITHIN_S


class Step(Struct, frozen=True):
    """From one height to the next, in millimetres."""

    file: str
    title: str
    from_mm: int
    to_mm: int
    practice: str
    look_back: int
    requirements: tuple[Requirement, ...]

    def by(self, who: By) -> tuple[Requirement, ...]:
        """The requirements of the horse, the rider or the pair."""
        return tuple(r for r in self.requirements if r.by == who)


TOP = ("tapeline step", "title", "from", "to", "practice", "look back", "to be shown")
KEYS = ("key", "by", "words", "parent", "counts", "judged by", "ask", "exercises", "within")
COUNT_KEYS = (
    "jump", "spread at least", "height at least", "way", "rein", "strides asked", "both ways",
    "other counts", "lead asked", "angled", "filler", "round", "fences at least",
    "misses at most", "horse",
)  # fmt: skip
ROUND_KEYS = ("fences at least", "misses at most", "horse")
AT_HEIGHT = re.compile(r"of them at (?P<height>.+)")
SHARE = re.compile(r"of (?P<of>\d{1,4})")


def read_step(path: Path | str) -> Step:
    """A step file. Raises RejectedError with every mistake in it."""
    return step_of(read(path))


def read_steps(folder: Path) -> tuple[Step, ...]:
    """Every step file of a folder, by the height it begins at. Raises RejectedError."""
    files = sorted(folder.glob("*.y*ml"))
    if not files:
        raise trouble("no-steps", f"there is no step file in {folder}", "name one with --step")
    steps: list[Step] = []
    problems: list[Diagnostic] = []
    sources: dict[str, str] = {}
    for file in files:
        try:
            steps.append(read_step(file))
        except RejectedError as failure:
            problems += failure.diagnostics
            sources |= failure.sources
    if problems:
        raise RejectedError(problems, sources)
    return tuple(sorted(steps, key=lambda step: (step.from_mm, step.title)))


def step_of(document: Document) -> Step:
    """The same from a document already read. Raises RejectedError."""
    reader = _Steps(document)
    step = reader.step()
    reader.finish()
    return step


class _Steps(Reader):
    """Reads one step file, and gathers every mistake in it."""

    def step(self) -> Step:
        top = self.fields(self.document.root, "a step file", TOP, TOP[:4] + TOP[6:])
        self.word(top.get("tapeline step"), "version known here", ("1",))
        from_mm, to_mm = (self._length(top.get(key)) for key in ("from", "to"))
        if "to" in top and to_mm <= from_mm:
            self.refuse("step", "a step goes up", top["to"].span, "write a height above from:")
        look_back = self.measure(top.get("look back"), _time, 12 * DAYS_IN_A_WEEK)
        found: list[Requirement] = []
        keys: dict[str, int] = {}
        nodes = self.items(top.get("to be shown"))
        if len(nodes) > MOST:
            span = first_line(top["to be shown"].span)
            self.refuse("too-many", f"{len(nodes)} requirements", span, f"at most {MOST}")
        for node in nodes:
            requirement = self._requirement(node, look_back)
            if requirement is None:
                continue
            if requirement.key in keys:
                message = f'"{requirement.key}" stands on line {keys[requirement.key]} already'
                self.refuse("key-twice", message, first_line(node.span), "give it another key")
            keys[requirement.key] = node.span.line
            found.append(requirement)
        practice = self.text(top.get("practice"), "common")
        title = self.text(top.get("title"))
        return Step(
            self.document.name, title, from_mm, to_mm, practice, look_back, tuple(found)
        )  # fmt: skip

    def _requirement(self, node: Node, look_back: int) -> Requirement | None:
        own = self.fields(node, "a requirement", KEYS, ("key", "by", "words", "judged by", "ask"))
        by = self.word(own.get("by"), "of horse, rider and pair", BYS)
        judged = self.word(own.get("judged by"), "way to judge", JUDGED)
        words = self.text(own.get("words"))
        if len(words) > LONGEST_WORDS:
            message = f"{len(words)} characters; the column holds {LONGEST_WORDS}"
            self.refuse("too-long", message, own["words"].span, "say it shorter")
        verb, noun = self._parent(own.get("parent"), words)
        counts = self._counts(own.get("counts"), judged)
        ask = self._ask(own.get("ask"), look_back)
        exercises = tuple(self.text(n) for n in self.items(own.get("exercises")))
        within = self.measure(own.get("within"), _seconds, WITHIN_S)
        if by is None or judged is None or ask is None:
            return None
        key = self.text(own.get("key"))
        return Requirement(key, by, words, verb, noun, counts, judged, ask, exercises, within)

    def _parent(self, node: Node | None, words: str) -> tuple[str, str]:
        if node is None:
            return words, words
        both = [self.text(item) for item in self.items(node)]
        if len(both) != 2:
            hint = "write [jumps wide fences, wide fences]"
            self.refuse("parent", "two forms are wanted: a verb and a noun", node.span, hint)
            return words, words
        return both[0], both[1]

    def _counts(self, node: Node | None, judged: Judged | None) -> Counts:
        if node is None:
            return Counts(whole_round=judged == "round")
        values: dict[str, object] = {}
        known = []
        for key, value in self.entries(node, "counts"):
            if match := AT_HEIGHT.fullmatch(key.text):
                height = self._within(key, len("of them at "), match["height"])
                values["at_height"] = (height, self._whole(value))
            elif key.text not in COUNT_KEYS:
                self._unknown(key)
            else:
                known.append((key, value))
        found = {key.text: value for key, value in known}
        for key, value in known:
            self._count(key.text, value, values)
        whole = "round" in found or judged == "round"
        values["whole_round"] = whole
        for key, _ in known:
            if key.text in ROUND_KEYS[:2] and not whole:
                hint = "add round: whole, and judged by: round"
                self.refuse("counts", f'"{key.text}" is about whole rounds', key.span, hint)
        return Counts(**values)  # type: ignore[arg-type]

    def _unknown(self, key: Scalar) -> None:
        message = f'nothing is counted by "{key.text}"'
        self.refuse("unknown-key", message, key.span, near(key.text, COUNT_KEYS))

    def _within(self, key: Scalar, start: int, text: str) -> int:
        try:
            return round(parse_length(text) * 1000)
        except UnitError as problem:
            span = key.part(start, len(text))
            self.refuse("not-a-measure", problem.message, span, problem.hint)
            return 0

    def _count(self, key: str, node: Node, values: dict[str, object]) -> None:
        match key:
            case "jump":
                from diagram.fences import kind_names

                known = ("any", *sorted(kind_names()))
                values["jump"] = self.word(node, "kind of fence", known) or "any"
            case "spread at least":
                same = isinstance(node, Scalar) and node.text == "height"
                values["spread_mm"] = -1 if same else self._length(node)
            case "height at least":
                values["height_mm"] = self._length(node)
            case "way":
                values["way"] = self.word(node, "way to a fence", WAYS)
            case "rein":
                values["rein"] = self.word(node, "rein", ("left", "right"))
            case "strides asked":
                values["strides"] = self._whole(node)
            case "both ways" | "other counts" | "lead asked" | "angled":
                word = self.word(node, "yes or no", ("yes", "no"))
                values[key.replace(" ", "_")] = word == "yes"
            case "filler":
                values["new_filler"] = bool(
                    self.word(node, "filler that can be counted", ("new to the horse",))
                )
            case "round":
                self.word(node, "round that can be counted", ("whole",))
            case "fences at least":
                values["fences"] = self._whole(node)
            case "misses at most":
                values["misses"] = self._whole(node)
            case "horse":
                values["another_horse"] = bool(
                    self.word(node, "horse that can be counted", ("another",))
                )

    def _ask(self, node: Node | None, look_back: int) -> Ask | None:
        if node is None:
            return None
        right, of = 0, 0
        values: dict[str, Node] = {}
        known = ("tries", "days", "look back", "last within")
        for key, value in self.entries(node, "what is asked"):
            if match := SHARE.fullmatch(key.text):
                right, of = self._whole(value), int(match["of"])
                if not 0 < right <= of:
                    hint = "write of 10: 8 for eight in ten"
                    self.refuse("ask", f"{right} of {of} is no share", value.span, hint)
            elif key.text in known:
                values[key.text] = value
            else:
                hint = "known here: of 10, tries, days, look back, last within"
                self.refuse("unknown-key", f'nothing is asked by "{key.text}"', key.span, hint)
        if of == 0:
            hint = "write of 10: 8 for eight in ten"
            self.refuse("missing-key", "the share is missing", first_line(node.span), hint)
            return None
        tries = self._whole(values["tries"]) if "tries" in values else 1
        days = self._whole(values["days"]) if "days" in values else 1
        back = self.measure(values.get("look back"), _time, look_back)
        within = self.measure(values.get("last within"), _time, back)
        if within > back:
            span = values["last within"].span
            self.refuse("ask", "this is longer than the look-back", span, "write a shorter time")
        return Ask(right, of, max(tries, 1), max(days, 1), back, within)

    def _length(self, node: Node | None) -> int:
        return round(self.measure(node, parse_length, 0.0) * 1000)

    def _whole(self, node: Node) -> int:
        return self.measure(node, _count_text, 0)


def _count_text(text: str) -> int:
    if not text.isdigit() or int(text) > 9999:
        raise UnitError(f"{text!r} is not a count", "write a whole number like 8")
    return int(text)


def _time(text: str) -> int:
    match = re.fullmatch(r"(\d{1,3}) (weeks?|days?)", text)
    if not match:
        raise UnitError(f"{text!r} is no time to look back", "write it like 6 weeks")
    return int(match[1]) * (DAYS_IN_A_WEEK if match[2].startswith("week") else 1)


def _seconds(text: str) -> float:
    match = re.fullmatch(r"(\d{1,3}(?:\.\d{1,2})?) s(?:econds?)?", text)
    if not match:
        raise UnitError(f"{text!r} is not a time", "write it like 0.5 s")
    return float(match[1])
