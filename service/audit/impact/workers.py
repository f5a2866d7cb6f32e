"""Work shared out to processes of this machine: results in the order of the parts, one part a process at a time."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import chain, islice
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from typing import Any, Generic, TypeVar

Given = TypeVar("Given")
Part = TypeVar("Part")
Result = TypeVar("Result")

PATIENCE_SECONDS = 5.0
ENDED_EARLY = "a worker process ended before its work was done; what it said stands on standard error"


class WorkerFailed(RuntimeError):  # noqa: N818 - says what happened, as the other names of the package do
    """A worker process ended before its work was done; what it said stands on standard error."""


@dataclass(frozen=True)
class Work(Generic[Given, Part, Result]):
    """What a process does: made once in each from what is given, then done for part after part.

    Attributes:
        make: Makes the function that does a part; it must be found by its name in another process.
        given: What it is made from; it must be fit to be sent to another process.
    """

    make: Callable[[Given], Callable[[Part], Result]]
    given: Given


def processors() -> int:
    """Say how many processors this process may use."""
    return max(1, len(os.sched_getaffinity(0)))


def in_order(work: Work[Given, Part, Result], parts: Iterable[Part], jobs: int) -> Iterator[Result]:
    """Do the work for each part, on several processes.

    Parts are taken from their source only as fast as they are worked on, so a source without end takes no memory.

    Args:
        work: What is to be done.
        parts: The parts, each fit to be sent to another process.
        jobs: Number of processes; 1 works in this one, and so does a single part.

    Yields:
        The results in the order of the parts.

    Raises:
        ValueError: The number of processes is below 1.
    """
    if jobs < 1:
        raise ValueError(f"at least one process is needed, not {jobs}")
    source = iter(parts)
    first = tuple(islice(source, jobs))
    # To start a process takes longer than most parts: there is none that would have nothing to do.
    jobs = len(first)
    if jobs <= 1:
        do = work.make(work.given)
        yield from (do(part) for part in chain(first, source))
        return
    with _staff(work, jobs) as staff:
        busy: list[bool] = [False] * jobs
        turn = 0
        for part in chain(first, source):
            if busy[turn]:
                yield _received(staff[turn])
            _hand_over(staff[turn], part)
            busy[turn] = True
            turn = (turn + 1) % jobs
        for _ in range(jobs):
            if busy[turn]:
                yield _received(staff[turn])
            turn = (turn + 1) % jobs


@contextmanager
def _staff(work: Work[Given, Part, Result], jobs: int) -> Iterator[list[Connection]]:
    # A fresh interpreter each: a copy of this one would take threads and locks along in whatever state they are.
    context = get_context("spawn")
    connections: list[Connection] = []
    processes: list[SpawnProcess] = []
    try:
        for _ in range(jobs):
            ours, theirs = context.Pipe()
            process = context.Process(target=_serve, args=(theirs, work), daemon=True)
            process.start()
            theirs.close()
            connections.append(ours)
            processes.append(process)
        yield connections
    finally:
        for connection in connections:
            connection.close()
        for process in processes:
            # A closed connection ends a process that waits; one that still calculates for nobody is stopped.
            process.join(PATIENCE_SECONDS)
            if process.is_alive():
                process.terminate()
                process.join()


def _serve(connection: Connection, work: Work[Given, Part, Result]) -> None:
    do = work.make(work.given)
    while True:
        try:
            part = connection.recv()
        except (EOFError, ConnectionError):
            return
        connection.send(do(part))


def _hand_over(connection: Connection, part: object) -> None:
    try:
        connection.send(part)
    except ConnectionError:
        raise WorkerFailed(ENDED_EARLY) from None


def _received(connection: Connection) -> Any:
    try:
        return connection.recv()
    except (EOFError, ConnectionError):
        raise WorkerFailed(ENDED_EARLY) from None
