"""Same drawing, same bytes: in any process, whatever the order of Python's sets."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).parent

PROGRAM = """
import hashlib
from every_mark import EVERY_MARK
from scene_dump import dump
from diagram.scene import Scene, Text
from diagram.typeface import FACE_NAMES
from diagram.writers import pdf, svg

words = tuple(
    Text((5, 10 + i), f"Żuraw, Ελιά, Сосна {i}′ → the quick brown fox", 3, weight)
    for i, weight in enumerate(FACE_NAMES)
)
scene = Scene(60, 60, EVERY_MARK.items + words, "Every mark", "Each kind of mark once.")
for data in (
    dump(scene).encode(),
    svg.scene_bytes(scene),
    svg.scene_bytes(scene, type_as="named"),
    svg.scene_bytes(scene, type_as="outlines"),
    pdf.scene_bytes(scene),
    pdf.scene_bytes(scene, page_mm=(210, 297), compressed=False),
):
    print(hashlib.sha256(data).hexdigest())
"""


def digests(seed: str) -> list[str]:
    search = os.pathsep.join([str(HERE), *sys.path])
    environment = {**os.environ, "PYTHONPATH": search, "PYTHONHASHSEED": seed, "TZ": f"UTC{seed}"}
    environment.pop("SOURCE_DATE_EPOCH", None)
    command = [sys.executable, "-c", PROGRAM]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
    return done.stdout.split()


def test_two_processes_write_the_same_bytes() -> None:
    first = digests("0")
    assert len(set(first)) == 6
    assert digests("7") == first
