"""A made-up exercise and ways to read the card of it."""

from __future__ import annotations

import io
from pathlib import Path

import pypdf

from diagram.pipeline import plan
from diagram.planning import Plan

TRIAL = """\
tapeline: 1
title: Two lines and a wall
level: 3'
purpose: One canter, kept through a forward line.
skills: [adjustability, straightness]
arena: 30 x 60 m
horses: 12' stride
fences:
  birch: {kind: vertical, at: [18 m, 8 m], facing: 0°, ground line: both sides}
  hazel: {kind: oxer, spread: 2'6", placed: 5 strides beyond birch}
  rowan: {kind: ascending oxer, at: [30 m, 21 m], facing: left}
  elder: {kind: wall, at: [14 m, 15 m], facing: 250°}
ride:
  - start: canter, left lead
  - jump: birch
    purpose: Arrive.
    watch: [Shoulders up, Eyes]
    passed when: WORDS
  - line: 5 strides
  - jump: hazel
  - turn: left
  - jump: rowan
  - bend: left, 3 strides
  - jump: elder
  - phase: homeward
  - turn: left
  - jump: birch, angled left 15°
  - finish: circle right, walk
easier: Poles.
notes: WORDS
"""


def trial(folder: Path, words: str = "Twice in a row.", text: str = TRIAL) -> Plan:
    """The plan of the trial with `words` as one of its texts."""
    file = folder / "trial.yaml"
    file.write_text(text.replace("WORDS", words), encoding="utf-8")
    return plan(file)


def reader(data: bytes) -> pypdf.PdfReader:
    """A PDF opened without leniency."""
    return pypdf.PdfReader(io.BytesIO(data), strict=True)


def pages_of(data: bytes) -> list[str]:
    """The words of each page, every run of spaces as one."""
    return [" ".join(page.extract_text().split()) for page in reader(data).pages]
