"""Where what is dear is made: drawings, booklets and sizes, in child processes.

A job has bounded time and memory, and is ended when nobody waits for it any more, at once:
threads can't be stopped, and would take the time of everybody else.
"""

from __future__ import annotations

import os
import queue
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from starlette.exceptions import HTTPException

from api.photos.child import MEMORY, Answer, Child, LostError
from api.web.jobs import do
from api.web.problems import Problem, ProblemError
from placement.top.request import Progress, Stage

SECONDS = 60.0
"""For one job; a booklet of seventy blocks takes three."""
MOST_WAITING = 100
"""Jobs that wait for their turn; more are refused."""

_TOO_MUCH = (
    "this takes more than {seconds:g} seconds or 1 GB of memory to make; ask for a smaller "
    "drawing, or for fewer blocks"
)
_BUSY = "too much is being made at once; try again in a minute"


@dataclass(frozen=True, slots=True)
class Job:
    """Something to be made."""

    name: str
    """One of api.web.jobs."""
    parts: Sequence[bytes]
    """The plan's text, then pictures."""
    wish: Mapping[str, Any]
    """What is wanted, as JSON has it."""


class Press:
    """Children that make things, each watched by a thread; they are started when first needed.

    Parameters
    ----------
    workers : int | None
        How many; one a core unless given.
    seconds : float
        How long one job may take.
    memory : int
        Bytes of address space a child may use.
    """

    def __init__(
        self, workers: int | None = None, *, seconds: float = SECONDS, memory: int = MEMORY
    ) -> None:
        count = workers or os.cpu_count() or 1
        self.pool = ThreadPoolExecutor(count, "press")
        self._seconds = seconds
        self._children = [Child(do, memory) for _ in range(count)]
        # Last in, first out: a child that is warm is used before another is started.
        self._idle: queue.LifoQueue[Child] = queue.LifoQueue()
        for child in self._children:
            self._idle.put(child)
        self._waiting = 0

    @contextmanager
    def place(self) -> Iterator[None]:
        """Stand in the queue; HTTPException if it is too long."""
        if self._waiting >= MOST_WAITING:
            raise HTTPException(503, _BUSY, {"retry-after": "60"})
        self._waiting += 1
        try:
            yield
        finally:
            self._waiting -= 1

    def made(self, job: Job, progress: Progress) -> bytes:
        """Make something, in a thread of the pool.

        Raises
        ------
        ProblemError
            If it can't be made; HTTPException if it takes too much.
        """
        child = self._idle.get()
        try:
            answer = child.do(job.name, job.parts, job.wish, self._seconds, _looking(progress))
        except LostError:
            raise HTTPException(422, _TOO_MUCH.format(seconds=self._seconds)) from None
        finally:
            self._idle.put(child)
        return of(answer)

    def close(self) -> None:
        """End all children."""
        self.pool.shutdown(wait=False, cancel_futures=True)
        for child in self._children:
            child.end()


def of(answer: Answer) -> bytes:
    """Return what a job made; ProblemError if it could not."""
    if "problem" in answer.values:
        raise ProblemError(Problem.model_validate(answer.values["problem"]))
    return answer.parts[0]


def _looking(progress: Progress) -> Callable[[], object]:
    """Return what raises once nobody waits any more."""
    return lambda: progress(0.0, Stage.DONE)
