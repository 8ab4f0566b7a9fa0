"""Long work in a thread that can be watched, and stopped when nobody waits for it any more."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import AsyncIterator, Callable
from concurrent.futures import Executor
from dataclasses import dataclass
from typing import Generic, TypeVar

import anyio

from api.wording.progress import doing
from placement.top.request import Doing, Progress, Stage

T = TypeVar("T")

PAUSE = 0.1
"""Seconds between two looks at the work."""


class StoppedError(Exception):
    """Raised inside the work when it is to end."""


@dataclass(frozen=True, slots=True)
class Tick:
    """How far the work is."""

    share: float
    """Part done, 0 to 1."""
    words: str
    """What is going on."""


class Task(Generic[T]):
    """A call that runs in a thread and reports how far it is."""

    def __init__(self, pool: Executor, call: Callable[[Progress], T]) -> None:
        self._stop = threading.Event()
        self._tick: Tick | None = None
        self._thread = pool.submit(call, self._progress)
        self._done = asyncio.wrap_future(self._thread)
        # Work that was given up may still fail; nobody needs to hear of it.
        self._done.add_done_callback(lambda done: done.cancelled() or done.exception())

    def _progress(self, share: float, what: Stage | Doing) -> None:
        if self._stop.is_set():
            raise StoppedError
        self._tick = Tick(share, doing(what))

    async def ticks(self) -> AsyncIterator[Tick | None]:
        """Yield every now and then until the work is done: news, or None when there is none."""
        seen = None
        while not self._done.done():
            await asyncio.wait((self._done,), timeout=PAUSE)
            news, seen = (self._tick if self._tick is not seen else None), self._tick
            yield news

    def result(self) -> T:
        """Return what the call returned, or raise what it raised, once it is done."""
        return self._done.result()

    async def end(self) -> None:
        """Ask the work to end and wait until it has, however often this wait is cancelled.

        It ends when it next reports; what was being saved by then is saved.
        """
        self._stop.set()
        self._thread.cancel()
        with anyio.CancelScope(shield=True):
            while not self._thread.done():
                await asyncio.sleep(0.01)
