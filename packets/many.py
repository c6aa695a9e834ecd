"""Many tasks on all cores, results in the order of the tasks; one that fails hides no other."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from typing import TypeVar

T = TypeVar("T")
R = TypeVar("R")


def cores() -> int:
    """Cores this process may use."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on every system
        return os.cpu_count() or 1


def run(
    work: Callable[[T], R],
    tasks: Sequence[T],
    lost: Callable[[T, BaseException], R],
    processes: int,
) -> Iterator[R]:
    """The result of `work` for each task, in order, on so many processes.

    What `work` does not catch, the death of its process included, becomes `lost(task, problem)`.
    `work` must be a function of a module, tasks and results must survive pickling.
    """
    if processes < 2 or len(tasks) < 2:
        yield from (_here(work, task, lost) for task in tasks)
        return
    with _pool(min(processes, len(tasks))) as pool:
        try:
            futures = [pool.submit(work, task) for task in tasks]
            for task, future in zip(tasks, futures, strict=True):
                yield _result(work, task, future, lost)
        except BaseException:
            # An interrupt: what runs is let finish its file, what waits is not begun.
            pool.shutdown(wait=True, cancel_futures=True)
            raise


def _here(work: Callable[[T], R], task: T, lost: Callable[[T, BaseException], R]) -> R:
    try:
        return work(task)
    except Exception as problem:
        return lost(task, problem)


def _result(
    work: Callable[[T], R], task: T, future: Future[R], lost: Callable[[T, BaseException], R]
) -> R:
    try:
        return future.result()
    except BrokenProcessPool:
        # Some process died, and the pool says of every task not finished that it is lost.
        # Each is tried once more in a process of its own, so that only the culprit is.
        return _alone(work, task, lost)
    except Exception as problem:
        return lost(task, problem)


def _alone(work: Callable[[T], R], task: T, lost: Callable[[T, BaseException], R]) -> R:
    with _pool(1) as pool:
        try:
            return pool.submit(work, task).result()
        except Exception as problem:
            return lost(task, problem)


def _pool(processes: int) -> ProcessPoolExecutor:
    # Fresh processes on every system: nothing is inherited half-way from this one.
    return ProcessPoolExecutor(processes, get_context("spawn"), _leave_interrupts)


def _leave_interrupts() -> None:
    """An interrupt is the first process's to handle."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
