"""The JSON Schema of the definition file, generated from the model."""

from __future__ import annotations

import json
from typing import Any

from pydantic.json_schema import GenerateJsonSchema

from diagram.model.definition import FORMAT, Definition


class _Written(GenerateJsonSchema):
    """Schemas of the file as written: every leaf is text, whatever it becomes."""

    ignored_warning_kinds = {"skipped-choice", "non-serializable-default"}  # noqa: RUF012


def schema() -> dict[str, Any]:
    """The schema as a dictionary."""
    found = Definition.model_json_schema(by_alias=True, schema_generator=_Written)
    found["properties"]["tapeline"] = {"const": FORMAT, "description": "version of the format"}
    _or_words(found["properties"]["fences"], "additionalProperties", "oxer 3' x 3'6\"")
    _or_words(found["$defs"]["FenceWritten"]["properties"], "elements", "oxer, after 1 stride")
    found["oneOf"] = [{"required": ["ride"]}, {"required": ["rides"]}]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"tapeline-exercise-{FORMAT}.json",
        **found,
        "title": "Tapeline exercise",
    }


def _or_words(block: dict[str, Any], key: str, example: str) -> None:
    """A fence may be a text where the schema asks for its block."""
    words = {"type": "string", "description": "a fence in words", "examples": [example]}
    place = block
    while "$ref" not in place[key]:
        place, key = place[key], "items" if "items" in place[key] else "anyOf"
        if key == "anyOf":
            place, key = place[key][0], "items"
    place[key] = {"anyOf": [place[key], words]}


def schema_text() -> str:
    """The schema as the text of the committed file."""
    return json.dumps(schema(), indent=2, ensure_ascii=False, sort_keys=True) + "\n"
