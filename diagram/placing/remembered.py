"""Arrangements remembered from one run to the next, by the content of what was asked.

The same problem under other rides, or with its gate elsewhere, may be answered by other places:
what of those decides is content too (`asked`). A remembered arrangement is only a guess that is
known to be good: it is measured again before it is used, and a file whose checksum does not fit
its figures is none. So a damaged memory can cost time and nothing else.
"""

from __future__ import annotations

import hashlib
import os
from functools import cache
from pathlib import Path

import numpy as np
from msgspec import Struct
from msgspec.json import decode, encode

from diagram.geometry.curve import Floats
from diagram.solver.relations import Problem

FOLDER = "TAPELINE_CACHE"
"""Environment variable that names another folder, or ``off`` for none."""
LARGEST = 20_000
"""Bytes of one remembered arrangement; more than that is none of ours."""
MOST = 2000
"""Arrangements that are kept; the oldest go first."""
DECIDING = (".py", ".yaml")
"""Endings of the files that say how places are found and what they are held against."""
LEFT_OVER_S = 3600.0
"""Seconds after which a file that was never finished belongs to a run that died."""


class Remembered(Struct, frozen=True):
    """The unknowns, and whether they `fitted`: they may be the best where nothing does."""

    unknowns: list[float]
    fitted: bool

    @property
    def values(self) -> Floats:
        """The unknowns (n,)."""
        return np.array(self.unknowns)


def recall(problem: Problem, asked: str) -> Remembered | None:
    """What is remembered for this very problem, as it was `asked`, if anything is."""
    file = _file(problem, asked)
    if file is None:
        return None
    try:
        if file.stat().st_size > LARGEST:
            return None
        checksum, _, text = file.read_text(encoding="ascii").partition("\n")
        if checksum != _checksum(file, text):
            return None
        kept = decode(text, type=Remembered)
    except (OSError, ValueError, RecursionError):
        return None
    sound = len(kept.unknowns) == problem.size and np.isfinite(kept.values).all()
    return kept if sound else None


def remember(problem: Problem, asked: str, found: Remembered) -> None:
    """Keep what was found for the next time; where that is not possible, nothing happens."""
    file = _file(problem, asked)
    if file is None:
        return
    beside = file.with_name(f"{file.stem}.{os.getpid()}{UNFINISHED}")
    text = encode(found).decode("ascii")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        beside.write_text(f"{_checksum(file, text)}\n{text}", encoding="ascii")
        beside.replace(file)
        _tidy(file.parent)
    except OSError:
        return


UNFINISHED = ".part"


def _checksum(file: Path, text: str) -> str:
    """Of the figures and of what they answer, which is the name of the file."""
    return hashlib.sha256(f"{file.stem}\n{text}".encode("ascii")).hexdigest()


def _tidy(folder: Path) -> None:
    """Keep the newest `MOST` arrangements, and nothing that a killed run left behind."""
    # Another run may take a file away while this one looks: the listing is closed then too.
    with os.scandir(folder) as listed:
        kept = sorted((entry.stat().st_mtime, entry.path) for entry in listed)
    newest = kept[-1][0] if kept else 0.0
    for age, path in kept:
        if path.endswith(UNFINISHED) and newest - age > LEFT_OVER_S:
            Path(path).unlink(missing_ok=True)
    finished = [path for _, path in kept if path.endswith(".json")]
    for path in finished[: max(len(finished) - MOST, 0)]:
        Path(path).unlink(missing_ok=True)


def _file(problem: Problem, asked: str) -> Path | None:
    named = os.environ.get(FOLDER)
    if named == "off":
        return None
    base = Path(named) if named else _usual_folder()
    return base / f"{_fingerprint(problem, asked)}.json" if base else None


def _usual_folder() -> Path | None:
    """Where programs keep what they may lose (XDG Base Directory Specification)."""
    try:
        home = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    except RuntimeError:
        return None
    return home / "tapeline" / "layout"


def _fingerprint(problem: Problem, asked: str) -> str:
    bodies = [
        [
            (fence.name, pose, fence.at(pose).reach_m, fence.footprint, fence.half_thick_m)
            for fence, pose in body.parts
        ]
        for body in problem.bodies
    ]
    ground = (problem.region.corners, problem.posts)
    content = (ground, problem.limits, problem.relations, problem.opens, bodies, asked)
    return hashlib.sha256(f"{layout_code()}{content!r}".encode()).hexdigest()


@cache
def layout_code() -> str:
    """Fingerprint of the code and the figures that decide: others may choose other places."""
    digest = hashlib.sha256()
    for folder in ("geometry", "trade", "exercise", "path", "solver", "placing"):
        for file in sorted((Path(__file__).parents[1] / folder).rglob("*")):
            if file.suffix in DECIDING:
                digest.update(file.read_bytes())
    return digest.hexdigest()
