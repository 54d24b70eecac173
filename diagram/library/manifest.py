"""What a packed library says of itself: its format, who made it, and every file with its sum."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping

from msgspec import Struct

from diagram.library.folding import fold

PACK_FORMAT = 1
MANIFEST = "manifest.json"
LARGEST_FILE = 512 * 1024
"""Bytes of one file: the most that is read as an exercise."""
MOST_FILES = 5_000
LARGEST_PACK = 64 * 1024 * 1024
"""Bytes of all files together when unpacked."""
LONGEST_PATH = 200
DEEPEST = 6

_PART = re.compile(r"[^\W_](?:[\w .'()&+-]*[\w')&+-])?", re.UNICODE)
_RESERVED = {"con", "prn", "aux", "nul", *(f"{d}{n}" for d in ("com", "lpt") for n in range(1, 10))}
"""Names that are devices on one system or another (from memory)."""


class PackError(ValueError):
    """A packed library that is not opened, with why in one line."""


class Manifest(Struct, frozen=True):
    """`files` are the checksums by path. Nothing in it names riders or horses."""

    title: str
    authors: tuple[str, ...]
    licence: str
    files: Mapping[str, str]


def manifest_bytes(manifest: Manifest) -> bytes:
    """The manifest as the file in the pack, the same bytes for the same content."""
    values = {
        "tapeline pack": PACK_FORMAT,
        "title": manifest.title,
        "authors": list(manifest.authors),
        "licence": manifest.licence,
        "files": dict(sorted(manifest.files.items())),
    }
    return (json.dumps(values, indent=1, ensure_ascii=False) + "\n").encode()


def read_manifest(data: bytes) -> Manifest:
    """A manifest with its shape checked. Raises PackError."""
    try:
        values = json.loads(data.decode("utf-8"))
        number = values["tapeline pack"]
        manifest = Manifest(
            _text(values["title"]), tuple(_text(name) for name in values["authors"]),
            _text(values["licence"]), {_text(k): _text(v) for k, v in values["files"].items()},
        )  # fmt: skip
    except (UnicodeDecodeError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise PackError("its manifest is not one of a packed library") from None
    if number != PACK_FORMAT:
        raise PackError(f"its format is {number!r}; this program reads {PACK_FORMAT}")
    return manifest


def _text(value: object) -> str:
    if not isinstance(value, str) or len(value) > 2000:
        raise TypeError
    return value


def why_not(path: str) -> str:
    """Why a path is not taken from a pack, or into one; empty where it may be.

    A path must mean the same file on every system: below the folder, no drive, no device, no
    name that another system would change.
    """
    parts = path.split("/")
    if len(path) > LONGEST_PATH or len(parts) > DEEPEST:
        return "is too long or too deep"
    if not path.endswith((".yaml", ".yml")):
        return "is no YAML file"
    for part in parts:
        if not _PART.fullmatch(part):
            return "is no path below the folder that every system can have"
        if part.partition(".")[0].lower().strip() in _RESERVED:
            return "is the name of a device on some systems"
    return ""


def same_names(paths: list[str]) -> list[tuple[str, str]]:
    """Pairs of paths that some system takes for one: they differ in capitals or marks alone, or
    one is a folder of the other."""
    seen: dict[str, str] = {}
    found = []
    for path in paths:
        name = fold(path)
        if name in seen:
            found.append((seen[name], path))
        seen.setdefault(name, path)
    for name, path in seen.items():
        for end in range(len(name)):
            if name[end] == "/" and name[:end] in seen:
                found.append((seen[name[:end]], path))
    return found
