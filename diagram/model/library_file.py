"""What a folder of exercises says of itself in `library.yaml`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from diagram.model.definition import FORMAT, Texts, Written, listed
from diagram.model.fields import Text, refused
from diagram.model.library_keys import GROUPS, Group

Groups = Annotated[tuple[Group, ...], BeforeValidator(listed)]


def _version(value: Any) -> Any:
    if value != str(FORMAT):
        raise refused(f"version {value!r} is not known here", f"write tapeline library: {FORMAT}")
    return FORMAT


class LibraryWritten(Written):
    """A library: its title, who made it, what others may do with it, the order of its groups.

    `about` is one sentence, `scenario` says where its exercises play, as where it is invented.
    `stores` are what yards own, by name, each written as in a `store.yaml` (read by
    `diagram.exercise.inventory`).
    """

    tapeline_library: Annotated[int, BeforeValidator(_version)]
    title: Text = "Exercises"
    about: Text | None = None
    scenario: Text | None = None
    authors: Texts = ()
    licence: Text | None = None
    groups: Groups = GROUPS
    stores: Mapping[Text, Any] = Field(default_factory=dict)
