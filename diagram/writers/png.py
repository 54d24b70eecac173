"""A scene to PNG, for screens: the SVG with its words as shapes, painted by CairoSVG.

Words as shapes, because cairo chooses typefaces by a means of its own on each system (on
Windows and macOS only among the fonts installed there) and rounds each letter to whole pixels.

The bytes are the same on one machine only. The file states its resolution, so a program that
heeds it, such as a word processor, shows the drawing at its true size.
"""

from __future__ import annotations

import math
import struct
import zlib
from typing import Any

from diagram.scene import Scene
from diagram.style import PAPER
from diagram.writers import WriterUnavailable, svg

LARGEST_SIDE = 32767
"""Pixels: cairo's limit for the width and the height of a picture."""
LARGEST_AREA = 40_000_000
"""Pixels in all, four bytes each while it is painted: A4 at 600 dpi and a little more."""


def scene_bytes(scene: Scene, *, dpi: float = 254) -> bytes:
    """A PNG picture on white at `dpi` pixels per inch; 254 are exactly 10 per mm.

    Raises WriterUnavailable if the machine has no cairo, and ValueError for a picture of more
    than LARGEST_SIDE pixels a side or LARGEST_AREA in all, or a scene with a coordinate that is
    not finite.
    """
    if max(scene.width, scene.height) / 25.4 * dpi > LARGEST_SIDE:
        raise ValueError(
            f"{scene.width:.0f} x {scene.height:.0f} mm at {dpi:g} dpi is more than a picture "
            f"can hold: at most {LARGEST_SIDE} pixels a side"
        )
    if scene.width * scene.height * (dpi / 25.4) ** 2 > LARGEST_AREA:
        most = math.floor(25.4 * math.sqrt(LARGEST_AREA / (scene.width * scene.height)))
        raise ValueError(
            f"{scene.width:.0f} x {scene.height:.0f} mm at {dpi:g} dpi is more than a picture "
            f"can hold: at most {most} dpi at that size"
        )
    drawing = svg.scene_bytes(scene, type_as="outlines")
    picture: bytes = _cairosvg().svg2png(bytestring=drawing, dpi=dpi, background_color=PAPER)
    return _with_resolution(picture, dpi)


def _cairosvg() -> Any:
    try:
        import cairosvg
    except (ImportError, OSError) as problem:
        raise WriterUnavailable(
            "PNG pictures need the cairo library, which is not on this machine: install it "
            "(Debian, Ubuntu: apt install libcairo2; Fedora: dnf install cairo; macOS: brew "
            "install cairo; Windows: the GTK runtime), or draw to SVG or PDF instead"
        ) from problem
    return cairosvg


def _with_resolution(picture: bytes, dpi: float) -> bytes:
    # The signature takes 8 bytes and the header 25; this chunk may stand right after them.
    per_metre = round(dpi / 0.0254)
    body = b"pHYs" + struct.pack(">LLB", per_metre, per_metre, 1)
    chunk = struct.pack(">L", len(body) - 4) + body + struct.pack(">L", zlib.crc32(body))
    return picture[:33] + chunk + picture[33:]
