"""Many independent jobs over all cores, one result each, whatever becomes of any of them.

A job that raises or whose process dies (a crash, no memory) becomes a `Broken` result and
stops no other.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from functools import cache
from multiprocessing import resource_tracker
from typing import TypeVar

from msgspec import Struct

Job = TypeVar("Job")
Result = TypeVar("Result")

FEW = 4
"""Jobs. So few are done before another process has started."""


class Broken(Struct, frozen=True):
    """A job that came to nothing, in one line."""

    why: str


def cores() -> int:
    """How many jobs run at once where nobody says."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:
        return os.cpu_count() or 1


def run_all(
    function: Callable[[Job], Result], jobs: Sequence[Job], at_once: int | None = None
) -> Iterator[tuple[Job, Result | Broken]]:
    """Every job with its result, as they come. `function` must be importable by its name."""
    wanted = min(at_once or cores(), len(jobs))
    if wanted <= 1 or len(jobs) <= FEW or not _processes_can_be_had():
        for job in jobs:
            yield job, _safely(function, job)
        return
    lost: list[Job] = []
    with _pool(wanted) as pool:
        with _interrupts_held():
            futures: dict[Future[Result | Broken], Job] = {
                pool.submit(_safely, function, job): job for job in jobs
            }
        for future in as_completed(list(futures)):
            # Let go of at once: what a thousand jobs came to need not be held together.
            job = futures.pop(future)
            try:
                yield job, future.result()
            except BrokenProcessPool:
                lost.append(job)
    # One process took all that were waiting with it: each again, in a process of its own.
    for job in lost:
        with _pool(1) as alone:
            try:
                yield job, alone.submit(_safely, function, job).result()
            except BrokenProcessPool:
                yield job, Broken("the process that worked on it ended without a word")


@cache
def _processes_can_be_had() -> bool:
    """Whether another process starts here: not where the program itself came from a pipe. Asked
    once, since it takes as long as a process takes to start."""
    try:
        with _pool(1) as pool, _interrupts_held():
            return pool.submit(cores).result() > 0
    except (BrokenProcessPool, OSError):
        return False


def _pool(processes: int) -> ProcessPoolExecutor:
    # A fresh interpreter inherits no open file and no lock of this one.
    context = multiprocessing.get_context("spawn")
    return ProcessPoolExecutor(processes, mp_context=context, initializer=_die_quietly)


@contextmanager
def _interrupts_held() -> Iterator[None]:
    """Ctrl-C waits, here and in processes begun meanwhile: those would tell of it as they load."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    # It is begun with the first process, and lets interrupts through again.
    resource_tracker.ensure_running()
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _die_quietly() -> None:
    """A worker has nothing to say to Ctrl-C: the program that began it says it."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})


def _safely(function: Callable[[Job], Result], job: Job) -> Result | Broken:
    try:
        return function(job)
    except Exception as problem:
        return Broken(f"{type(problem).__name__}: {problem}")
