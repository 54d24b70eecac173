"""Nothing remembered: every exercise is laid out afresh."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(autouse=True)
def _nothing_remembered(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TAPELINE_CACHE", "off")
