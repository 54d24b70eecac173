"""What is kept from one run to the next lies in a folder of the test."""

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path_factory.mktemp("cache")
    monkeypatch.setenv("TAPELINE_CACHE", str(folder))
    return folder
