"""What people write in `library.yaml` where it has another word or another place."""

from __future__ import annotations

from pydantic import BaseModel

from diagram.model.library_file import LibraryWritten

_ABOUT = "write about: and one sentence"
LIBRARY_OTHERWISE: dict[type[BaseModel], dict[str, str]] = {
    LibraryWritten: {
        **dict.fromkeys(("name", "library", "yard"), "write title:"),
        **dict.fromkeys(("description", "summary", "notes", "purpose"), _ABOUT),
        **dict.fromkeys(("date", "year", "version", "updated", "season"),
                        "leave it out, or say it under about:"),
        **dict.fromkeys(("exercises", "files", "contents"),
                        "leave it out: every exercise in the folder is in the library"),
        **dict.fromkeys(("arena", "arenas", "ring", "rings"),
                        "leave it out: rings are written in a file arenas.yaml beside this one"),
        **dict.fromkeys(("store", "equipment", "poles", "standards"),
                        "write stores: {Thornbeck: {standards: 24}}"),
        **dict.fromkeys(("copyright", "rights"), "write licence:"),
        **dict.fromkeys(("order", "chapters", "sections"), "write groups: [bending lines]"),
    },
}  # fmt: skip
