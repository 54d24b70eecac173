"""sentence-cut-by-a-comma: a list in brackets whose comma split a sentence in two."""

from collections.abc import Iterable, Iterator

from diagram.checks.rule import Path, Rule, at_path, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.source import Mapping, Node, Scalar, Sequence

NAME = "sentence-cut-by-a-comma"
SOURCE = "common practice (no source)"
SENTENCES = ("watch", "warm up", "easier", "harder", "leads to", "notes", "if it goes wrong")
"""Keys whose lists hold sentences. Lists of single words (`skills`) begin as they like."""


def _check(plan: Plan) -> Iterable[Diagnostic]:
    lines = plan.document.text.splitlines()
    for path, listed in _lists(plan.document.root, ()):
        place = listed.span
        if not lines[place.line - 1].startswith("[", place.column - 1):
            continue
        texts = [item.text.strip() for item in listed.items if isinstance(item, Scalar)]
        if len(texts) != len(listed.items) or not texts[0][:1].isupper():
            continue
        for n, text in enumerate(texts):
            if n and text[:1].islower():
                whole = f"{texts[n - 1]}, {text}"
                yield found(
                    plan, NAME, Severity.NOTE, f'"{text}" begins in lower case: does it belong '
                    f'to "{texts[n - 1]}" before the comma?', (*path, n),
                    f'put quotes round the whole: "{whole}"', source=SOURCE,
                    at=at_path(plan, path),
                )  # fmt: skip


def _lists(node: Node, path: Path) -> Iterator[tuple[Path, Sequence]]:
    """Every list under a key that holds sentences."""
    if isinstance(node, Mapping):
        for key, value in node.entries:
            below = (*path, key.text)
            if key.text in SENTENCES and isinstance(value, Sequence) and value.items:
                yield below, value
            else:
                yield from _lists(value, below)
    elif isinstance(node, Sequence):
        for n, item in enumerate(node.items):
            yield from _lists(item, (*path, n))


RULE = Rule(NAME, _check)
