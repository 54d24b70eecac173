"""No test reads or writes what the program remembers for the user: each run has its own place."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings

MADE: list[str] = []
"""Folders of this run, gone after it."""


def _own_folder(variable: str, name: str) -> None:
    """Workers of one run inherit it from the first process, and share what it names."""
    if variable not in os.environ:
        os.environ[variable] = tempfile.mkdtemp(prefix=f"tapeline-{name}-")
        MADE.append(os.environ[variable])


def pytest_unconfigure() -> None:
    for folder in MADE:
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(scope="session", autouse=True)
def _one_core() -> Iterator[None]:
    """A worker of the tests is one of as many as there are cores. What the program would do on all
    of them it does in the worker itself, but where a test says how many it wants: to start three
    processes takes longer than a small library."""
    if not hasattr(os, "sched_getaffinity"):
        yield
        return
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "sched_getaffinity", lambda _of: {0})
        yield


_own_folder("TAPELINE_CACHE", "tests")
# Programs that tests start find the package compiled, also where the user wants nothing written
# beside it; elsewhere what is compiled already is not compiled again.
if os.environ.pop("PYTHONDONTWRITEBYTECODE", None):
    _own_folder("PYTHONPYCACHEPREFIX", "compiled")
# One worker a core; more threads in each only get in each other's way.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# No test is timed: a machine that does other things is no reason to fail.
settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")
