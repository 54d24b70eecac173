"""Pictures of PDF pages."""

from __future__ import annotations

import io
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image


@pytest.fixture
def raster(tmp_path: Path) -> Callable[[bytes], Image.Image]:
    """A function that paints the first page of a PDF at 10 pixels per mm."""
    program = shutil.which("pdftoppm")
    if program is None:
        pytest.skip("needs pdftoppm (poppler-utils)")

    def paint(data: bytes) -> Image.Image:
        source = tmp_path / "page.pdf"
        source.write_bytes(data)
        command = [program, "-r", "254", "-singlefile", "-png", str(source), str(tmp_path / "p")]
        subprocess.run(command, check=True)
        return Image.open(io.BytesIO((tmp_path / "p.png").read_bytes())).convert("RGB")

    return paint
