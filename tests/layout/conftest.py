"""Layouts are solved afresh here: it is the solving that is tested."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True)
def nothing_remembered(monkeypatch: pytest.MonkeyPatch) -> None:
    """No arrangement is taken from an earlier test."""
    monkeypatch.setenv("TAPELINE_CACHE", "off")
