"""Reading the short phrases of a ride: ``left, 6 strides, walk 5 steps in the middle``.

A phrase is a list of clauses with commas between them. Every kind of phrase has a table of
clauses it understands. A clause that none of them matches is tried in plainer words, and in two
where a comma was left out; what is then still not understood is an error that says where it stands
and what may be said instead. No word is ever passed over.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Mapping
from typing import Any

from msgspec import Struct

from diagram.diagnostics import near
from diagram.model.counting import NUMBER_WORDS
from diagram.model.meant import CLAUSES, meant
from diagram.units import HOW_TO_WRITE, UnitError, parse_angle, parse_length

MOST_WORDS = 16
"""Blanks in a clause up to which it is tried as two with no comma between."""
COUNT = r"(?:\d{1,2}|" + "|".join(NUMBER_WORDS) + r")"
"""A small count, in digits or as a word."""
NUMBER = r"(?P<number>\d+|" + "|".join(NUMBER_WORDS) + r")"
MOST_STRIDES = 40


class PhraseError(ValueError):
    """A phrase that is not understood, with where in it and what to say instead."""

    def __init__(self, message: str, hint: str = "", start: int = 0, length: int = 0) -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint
        self.start = start
        self.length = length


class Clause(Struct, frozen=True):
    """One part of a phrase and where it begins in it."""

    text: str
    start: int

    def error(self, message: str, hint: str = "") -> PhraseError:
        """A PhraseError about this clause."""
        return PhraseError(message, hint, self.start, len(self.text))


Reader = Callable[[re.Match[str]], dict[str, Any]]
Grammar = Mapping[str, tuple[str, Reader]]
"""For each clause: an example of it, to show in hints, under the pattern that matches it."""
NOTHING: Mapping[str, str] = {}


def clauses(text: str) -> list[Clause]:
    """The parts of `text` between commas, without the spaces round them."""
    out = []
    for match in re.finditer(r"[^,]+", text):
        stripped = match[0].strip()
        if stripped:
            out.append(Clause(stripped, match.start() + match[0].index(stripped)))
    return out


def read_phrase(
    text: str, grammar: Grammar, adds: str = "", otherwise: Mapping[str, str] = NOTHING
) -> dict[str, Any]:
    """The values said in `text`, by field name; of the field that `adds`, one after the other.

    `otherwise` has what to write for clauses, by patterns of them, that are said in other words.
    Raises PhraseError.
    """
    said: dict[str, Any] = {}
    for clause in clauses(text):
        for name, value in _read_clause(clause, grammar, otherwise, text).items():
            if name == adds and value != said.get(name):
                said[name] = (*said.get(name, ()), *value)
                continue
            if name in said:
                raise clause.error(f'"{clause.text}" says again what was said before', "say one")
            said[name] = value
    if not said:
        raise PhraseError("nothing is said here", _may_say(grammar))
    return said


PLAINER = (
    (r"^(?:(?:and|then|with|an?|the|one|in an?) )+(?=\S)", ""),
    (r"\bto (?:the |your )?(left|right)\b", r"\1"),
    (r"\b(left|right)[- ]hand(?:ed)?\b", r"\1"),
    (r"^turn (left|right)$|^(left|right) (?:turn|bend)$", r"\1\2"),
    (r"\b(?:working|pick up|(?:come )?back to|(?:come )?down to|transition to|pull up to)"
     r" (walk|trot|canter)\b", r"\1"),
    (r"\bto an? (?=halt\b)", ""),
    (r"\b(?:opening|closing|final|last|courtesy) (?=circle\b)", ""),
    (r"^(\d[^,]*) circle (left|right)$|^(left|right) circle (?=\d)", r"circle \2\3 \1"),
    (r"\b(\d+) ?[-–] ?(\d+) strides\b", r"\1 or \2 strides"),
    (r"\b(?:even|regular|normal) strides\b", "strides"),
    (rf"^(.*\b)?in (\d+|{'|'.join(NUMBER_WORDS)})$", r"\1\2 strides"),
)  # fmt: skip
"""What riders say besides, and the plainer words of the tables for it."""


def _plainer(text: str) -> str:
    """The clause in the words of the tables, where it has others for the same."""
    for pattern, instead in PLAINER:
        text = re.sub(pattern, instead, text, flags=re.IGNORECASE)
    return text


def _read_clause(
    clause: Clause, grammar: Grammar, otherwise: Mapping[str, str], whole: str
) -> dict[str, Any]:
    message = f'"{clause.text}" is not understood here'
    try:
        found = _understood(clause, grammar)
    except PhraseError as problem:
        if problem.hint != HOW_TO_WRITE:
            raise
        message, found = problem.message, None
    if found is not None:
        return found
    if hint := said_otherwise(clause.text, otherwise) or said_otherwise(whole, otherwise):
        raise clause.error(message, hint)
    hint = meant(clause.text, CLAUSES, lambda text: reads(text, grammar), digits=True)
    if not hint and (spelt := respelt(clause.text, grammar)):
        hint = f'did you mean "{spelt}"?'
    if not hint:
        close = near(clause.text, [example for example, _ in grammar.values()], ALIKE)
        hint = close if close.startswith("did you mean") else _may_say(grammar)
    raise clause.error(message, hint)


ALIKE = 0.75
"""How like an example a clause must be to be taken for it: two clauses share many words."""


def said_otherwise(text: str, otherwise: Mapping[str, str]) -> str:
    """What to write for words that are said elsewhere, by patterns of them; else nothing."""
    for pattern, hint in otherwise.items():
        if match := re.search(pattern, text, re.IGNORECASE):
            return match.expand(hint)
    return ""


def reads(text: str, grammar: Grammar) -> bool:
    """Whether every clause of a text is understood, and none says again what another has."""
    try:
        found = [_understood(clause, grammar) for clause in clauses(text)]
    except PhraseError:
        return False
    names = [name for said in found if said is not None for name in said]
    twice = len(names) > len(set(names))
    # A count and a length are one thing only in the words for both.
    twice |= {"strides", "length"} <= set(names) and "counted" not in names
    return bool(found) and None not in found and not twice


def _understood(clause: Clause, grammar: Grammar) -> dict[str, Any] | None:
    """The values of a clause as it stands, in plainer words, or as two with no comma between."""
    plain = Clause(_plainer(clause.text), clause.start)
    for tried in dict.fromkeys((clause, plain)):
        found = _matched(tried, grammar)
        if found is not None:
            return found
    if plain.text.count(" ") > MOST_WORDS:
        return None
    for space in re.finditer(" +", plain.text):
        halves = (plain.text[: space.start()], plain.text[space.end() :])
        first, second = (_matched(Clause(_plainer(t), plain.start), grammar) for t in halves)
        if first is not None and second is None:
            second = _understood(Clause(halves[1], plain.start), grammar)
        if first is not None and second is not None and not first.keys() & second.keys():
            return {**first, **second}
    return None


def _matched(clause: Clause, grammar: Grammar) -> dict[str, Any] | None:
    for pattern, (_, reader) in grammar.items():
        match = re.fullmatch(pattern, clause.text, re.IGNORECASE)
        if match:
            try:
                return reader(match)
            except UnitError as problem:
                raise clause.error(problem.message, problem.hint) from None
            except PhraseError as problem:
                raise clause.error(problem.message, problem.hint) from None
    return None


def respelt(text: str, grammar: Grammar) -> str:
    """``turn left`` where the clause is that with other spellings; else nothing."""
    known = {word for pattern in grammar for word in _literal_words(pattern)}

    def spelt(match: re.Match[str]) -> str:
        word = match[0].lower()
        close = [] if word in known else difflib.get_close_matches(word, sorted(known), n=1)
        return close[0] if close else match[0]

    said = re.sub(r"[^\W\d_]{3,}", spelt, text)
    try:
        fits = _understood(Clause(said, 0), grammar) is not None
    except PhraseError:
        fits = False
    return said if fits else ""


def _literal_words(pattern: str) -> list[str]:
    """The words that a pattern asks for, without the names of its groups and its escapes."""
    return re.findall(r"[a-z]{3,}", re.sub(r"\?P<\w+>|\\.", " ", pattern))


def _may_say(grammar: Grammar) -> str:
    return "you may say: " + "; ".join(example for example, _ in grammar.values())


def count_said(text: str) -> int:
    """The count in digits, or in a word of NUMBER_WORDS. Digits after the sixth are passed over,
    which nothing is counted to."""
    word = text.lower()
    return NUMBER_WORDS[word] if word in NUMBER_WORDS else int(word[:6])


def number(match: re.Match[str]) -> int:
    """The count in a match of NUMBER, as digits or a word."""
    text = match["number"].lower()
    count = count_said(text)
    if count > MOST_STRIDES:
        raise PhraseError(f"{text} is more than {MOST_STRIDES}", "check the number")
    return count


def hand(text: str) -> bool:
    """True for left."""
    return text.lower() == "left"


def signed_angle(side: str | None, angle: str) -> float:
    """Radians, left positive; no side means the sign of the angle itself."""
    value = parse_angle(angle)
    return -value if side and not hand(side) else value


def length(match: re.Match[str]) -> float:
    """Metres in the group ``length``."""
    return parse_length(match["length"])
