"""From a read document to a definition, or to every error in it with its place."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from diagram.diagnostics import Diagnostic, RejectedError, Severity, Span, near
from diagram.model.as_phrase import as_step, under_another_key
from diagram.model.bare_numbers import BARE, bare_hint
from diagram.model.definition import STEPS, Definition, keys_of
from diagram.model.in_braces import alone, right_behind
from diagram.model.lesson_otherwise import LESSON_OTHERWISE
from diagram.model.library_otherwise import LIBRARY_OTHERWISE
from diagram.model.otherwise import KEYS_OTHERWISE, STEPS_OTHERWISE
from diagram.source import Document, Mapping, Node, Scalar, Sequence, plain, read

Model = TypeVar("Model", bound=BaseModel)


def read_definition(path: Path | str) -> tuple[Document, Definition]:
    """Read an exercise file. Raises RejectedError with every error in it."""
    document = read(path)
    return document, validate(document, Definition)


def validate(document: Document, model: type[Model], at: tuple[str | int, ...] = ()) -> Model:
    """The block at `at` in `document` as `model`. Raises RejectedError."""
    node, _ = document.node_at(at)
    sources = {document.name: document.text}
    if not isinstance(node, Mapping):
        problem = Diagnostic(
            "wrong-shape", Severity.ERROR, "a block of `key: value` lines is wanted here",
            node.span, "start from `tapeline new`",
        )  # fmt: skip
        raise RejectedError([problem], sources)
    missing = _no_ride(document) if model is Definition else []
    try:
        made = model.model_validate(plain(node))
    except ValidationError as failure:
        raise RejectedError(_gathered(failure, document, model, at, missing), sources) from None
    if missing:
        raise RejectedError(missing, sources)
    return made


def _no_ride(document: Document) -> list[Diagnostic]:
    """A file must say what is ridden: one ride, or several."""
    node = document.root
    if isinstance(node, Mapping) and (node.key("ride") or node.key("rides")):
        return []
    span = _first_line(document, ())
    return [Diagnostic("missing-key", Severity.ERROR, '"ride" is missing', span, "add ride:")]


ALIKE = 0.8
"""How like a step another word must be to be that, misspelt."""
MOST_ERRORS = 500
"""Errors of one file that are put into words; the rest is counted."""


def _gathered(
    failure: ValidationError,
    document: Document,
    model: type[Model],
    at: tuple[str | int, ...],
    also: list[Diagnostic],
) -> list[Diagnostic]:
    errors, most = failure.errors(), MOST_ERRORS - len(also)
    found = also + [_diagnostic(error, document, model, at) for error in errors[:most]]
    found = _without_what_follows(found)
    if len(errors) > most:
        last = max((d.span for d in found if d.span), key=lambda span: span.line)
        message = f"{len(errors) - most} more errors, not written out"
        found.append(Diagnostic("wrong-shape", Severity.ERROR, message, last))
    return found


def _without_what_follows(found: list[Diagnostic]) -> list[Diagnostic]:
    """Errors without the keys that are missing only because they are spelled otherwise."""
    kinds = {d.span.line for d in found if d.span and d.hint.startswith("write `kind: ")}
    hints = " ".join(d.hint for d in found if d.rule == "unknown-key")
    return [
        d for d in found
        if d.rule != "missing-key" or not (
            (d.message.startswith('"kind"') and d.span and d.span.line in kinds)
            or ((name := d.message.split('"')[1]) not in ("kind", "ride")
            and (f'did you mean "{name}"' in hints or f"write {name}:" in hints))
        )
    ]  # fmt: skip


def _diagnostic(
    error: ErrorDetails, document: Document, model: type[BaseModel], at: tuple[str | int, ...]
) -> Diagnostic:
    inner = _path(error["loc"])
    path = (*at, *inner)
    kind = error["type"]
    if kind == "extra_forbidden":
        key = str(path[-1])
        blocks = _blocks_at(inner[:-1], document.node_at(path[:-1])[0], model)
        keys = [name for block in blocks for name in keys_of(block)]
        if (piece := alone(document, path, keys)) is not None:
            return piece
        hint = _sides_said(key, path, document) or _said_otherwise(key, blocks) or near(key, keys)
        if hint.startswith("write ride:") and isinstance(document.node_at(path)[0], Mapping):
            hint = "write fences:"
        span = document.span_at(path, key=True)
        return Diagnostic("unknown-key", Severity.ERROR, f'"{key}" is not a key here', span, hint)
    if kind == "missing":
        span = _first_line(document, path[:-1])
        text = f'"{path[-1]}" is missing'
        return Diagnostic("missing-key", Severity.ERROR, text, span, _missing_hint(str(path[-1])))
    if kind in ("union_tag_not_found", "union_tag_invalid"):
        return _unknown_step(document, path)
    span = document.span_at(path, key=error["loc"][-1:] == ("[key]",))
    context = error.get("ctx", {})
    if kind == "refused":
        node, _ = document.node_at(path)
        if isinstance(node, Scalar) and context["length"]:
            span = node.part(int(context["start"]), int(context["length"]))
        hint = context["hint"]
        if bare := BARE.search(context["message"]):
            # A fence in words has no key for its height.
            in_words = len(path) == (4 if path[2:3] == ("elements",) else 2)
            name = "height" if path[:1] == ("fences",) and in_words else str(path[-1])
            hint = bare_hint(bare["number"], name, document) or hint
            above, _ = document.node_at(path[:-1])
            place = above.place.get(str(path[-1])) if isinstance(above, Mapping) else None
            if isinstance(above, Mapping) and place is not None and right_behind(above, place + 1):
                # A comma for a decimal point: ``{height: 1,10 m}``.
                hint = f"write {bare['number']}.{above.entries[place + 1][0].text}"
        return Diagnostic("not-understood", Severity.ERROR, context["message"], span, hint)
    message, hint = _shape_words(kind, context, document.node_at(path)[0], inner)
    return Diagnostic("wrong-shape", Severity.ERROR, message, span, hint)


def _path(loc: tuple[int | str, ...]) -> tuple[str | int, ...]:
    """The place in the document, without the tags in brackets that unions add."""
    return tuple(s for s in loc if not (isinstance(s, str) and s.startswith("[")))


def _first_line(document: Document, path: tuple[str | int, ...]) -> Span:
    """Where a block begins: its key if it has one."""
    if path and isinstance(path[-1], str):
        return document.span_at(path, key=True)
    span = document.span_at(path)
    return Span(span.file, span.line, span.column, span.line, span.column + 1)


_MISSING = {
    "tapeline": "begin the file with tapeline: 1",
    "title": "give the exercise a name",
    "purpose": "say in one sentence what the exercise is for",
    "arena": "write arena: 60 x 30 m, or the name of one in arenas.yaml",
    "kind": "write kind: vertical (or oxer, cross-rail, ...)",
    "side": "write the side that the gate is in",
    "tapeline library": "begin the file with tapeline library: 1",
    "tapeline lesson": "begin the file with tapeline lesson: 1",
    "time": "write time: 18:00-19:30",
    "groups": "write groups: and below it, indented, A: {riders: 3, horses: horse, height: 2'6\"}",
    "riders": "write how many ride, like riders: 3",
}


def _missing_hint(key: str) -> str:
    return _MISSING.get(key, f"add {key}:")


def _unknown_step(document: Document, path: tuple[str | int, ...]) -> Diagnostic:
    node, _ = document.node_at(path)
    words = list(STEPS)
    if isinstance(node, Mapping) and node.entries:
        key = node.entries[0][0]
        text = f'"{key.text}" is not a step of a ride'
        texts = under_another_key(key.text, plain(node.entries[0][1]))
        step = as_step(texts, _fences_of(document))
        close = near(key.text, words, ALIKE)
        hint = STEPS_OTHERWISE.get(_plainly(key.text)) or (
            f"write `{step}`" if step and not close.startswith("did") else near(key.text, words)
        )
        return Diagnostic("unknown-key", Severity.ERROR, text, key.span, hint)
    text = "a step of a ride is written like `- jump: birch`"
    as_written = node.text if isinstance(node, Scalar) else ""
    hint = "steps: " + ", ".join(words)
    said = node.text.lower() if isinstance(node, Scalar) else ""
    hint = next((better for word, better in STEPS_OTHERWISE.items() if said.startswith(word)), hint)
    first, _, rest = said.partition(" ")
    glued = re.fullmatch(r"([a-z]+):(\S.*)", as_written)
    if glued and glued[1] in words:
        hint = f"write `- {glued[1]}: {glued[2]}`, with a blank after the colon"
    elif isinstance(node, Scalar) and first in words and rest.strip():
        hint = f"write `- {first}: {node.text[len(first) + 1 :].strip()}`, with a colon"
    elif hint.startswith("steps: ") and (step := as_step([as_written], _fences_of(document))):
        hint = f"write `{step}`"
    return Diagnostic("wrong-shape", Severity.ERROR, text, node.span, hint)


def _fences_of(document: Document) -> tuple[str, ...]:
    """The names of the fences as written."""
    fences, found = document.node_at(("fences",))
    return tuple(fences.place) if found and isinstance(fences, Mapping) else ()


def _shape_words(
    kind: str, context: dict[str, Any], node: Node, path: tuple[str | int, ...]
) -> tuple[str, str]:
    match kind:
        case "dict_type" | "model_type" | "model_attributes_type":
            hint = "write no dashes before them"
            if (said := _BLOCKS.get(str(path[-1]) if path else "")) is not None:
                return "a block of `key: value` lines is wanted here", said
            if path[:1] == ("groups",):
                hint = "write who rides: `groups: {A: {riders: 2, horses: horse, height: 2'6\"}}`"
            elif path[:1] == ("run",) and isinstance(node, Scalar):
                word = next((w for w in _LINES if node.text.startswith(f"{w} ")), "exercise")
                value = node.text.removeprefix(word).strip()
                hint = f"write `- {word}: {value}`, with a colon"
            elif path[:1] == ("rides",):
                hint = "write `- name: beginners`, and below it, indented, `ride:` with its steps"
            elif isinstance(node, Scalar):
                hint = "write one `key: value` to a line below, indented"
            return "a block of `key: value` lines is wanted here", hint
        case "tuple_type" | "list_type":
            return "a list is wanted here", "write one `- ...` line for each"
        case "too_short" if isinstance(node, Sequence) and node.items:
            return f"fewer than {context['min_length']} here", "write one `- ...` line for each"
        case "too_short":
            return "there is nothing in this list", "write one `- ...` line for each"
        case "too_long":
            return f"more than {context['max_length']} here", "split the exercise"
        case _:
            return f"this is not what belongs here ({kind})", ""


_LINES = ("group", "warm up", "exercise", "cool down")
"""Words that a line of a lesson begins with."""
_BLOCKS = {
    "sides": "write which is called what: `sides: {bottom: road side}`",
    "posts": "write where each stands: `posts: {oak: [10 m, 5 m]}`",
    "stores": "write what each yard has: `stores: {Thornbeck: {standards: 24}}`",
    "gate": "write the side that it is in: `gate: {side: left}`",
    "horses": "write one size that the distances are for, `horses: large pony`; others ride in a "
    "ride of their own, under `rides:`",
    "allow": "write the rule and why, indented below: `fence-in-the-way: it is meant`",
}
"""What to write where a block of these keys is a text or a list."""


def _sides_said(key: str, path: tuple[str | int, ...], document: Document) -> str:
    """A length and a width of an arena as the size that they are."""
    block, _ = document.node_at(path[:-1])
    said = {k.text: v.text for k, v in block.entries if isinstance(v, Scalar)} \
        if isinstance(block, Mapping) else {}  # fmt: skip
    if key not in ("length", "width") or not {"length", "width"} <= set(said):
        return ""
    return f"write size: {said['length']} x {said['width']}" if key == "length" else (
        "leave it out: it stands in size:"
    )  # fmt: skip


_OTHERWISE = KEYS_OTHERWISE | LESSON_OTHERWISE | LIBRARY_OTHERWISE


def _said_otherwise(key: str, blocks: Iterable[type[BaseModel]]) -> str:
    """What to write for a key that is called otherwise or said elsewhere; else nothing."""
    return next((h for b in blocks if (h := _OTHERWISE.get(b, {}).get(_plainly(key)))), "")


def _plainly(key: str) -> str:
    """A key in small letters with single spaces."""
    return " ".join(key.lower().replace("_", " ").replace("-", " ").split())


def _blocks_at(
    path: tuple[str | int, ...], node: Node, model: type[BaseModel]
) -> list[type[BaseModel]]:
    """What the block `node` may be, which lies at `path` in a `model`."""
    blocks: list[type[BaseModel]] = [model]
    names_follow = False
    for step in path:
        fields = keys_of(blocks[0]) if len(blocks) == 1 else {}
        if isinstance(step, str) and step in fields and not names_follow:
            annotation = fields[step]
            names_follow = getattr(annotation, "__origin__", None) is dict
            blocks = _models_in(annotation)
        else:
            names_follow = False
    if len(blocks) > 1 and isinstance(node, Mapping):
        words = {key.text for key, _ in node.entries}
        blocks = [STEPS[word] for word in STEPS if word in words][:1]
    return blocks


def _models_in(annotation: Any) -> list[type[BaseModel]]:
    """Blocks that may stand under an annotation, whatever wraps them."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    found: list[type[BaseModel]] = []
    for inner in getattr(annotation, "__args__", ()) or ():
        found += [kind for kind in _models_in(inner) if kind not in found]
    return found
