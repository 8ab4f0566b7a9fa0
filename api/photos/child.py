"""A child process that does jobs with bounded time and memory, and can be ended at any moment.

What comes back is parsed as data, never unpickled, so a child that was taken over can't take
over its parent.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

MEMORY = 2**30
"""Bytes of address space of a child."""
START_SECONDS = 60.0
"""For a child to load its libraries."""
_MOST_ANSWER = 128_000_000
"""Bytes of one part of an answer."""
_MOST_PARTS = 1000
_LOOK = 0.1
"""Seconds between two looks whether anybody still waits."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What came of a job."""

    values: Mapping[str, Any]
    """As JSON has them; just 'problem' if it can't be done."""
    parts: tuple[bytes, ...] = ()
    """Pictures and other bytes."""


Work = Callable[[str, Sequence[bytes], Mapping[str, Any]], Answer]
"""Does a job of a name with some bytes and values; a function of a module."""


class LostError(Exception):
    """A child died or took too long."""


class GoneError(LostError):
    """A child has died."""


@dataclass(frozen=True, slots=True)
class _Running:
    """A child that was started."""

    process: BaseProcess
    link: Connection
    folder: tempfile.TemporaryDirectory[str]
    """Where it writes what it needs for a while; it goes with the child."""


class Child:
    """A place for a process that does jobs, with one in it or not.

    Parameters
    ----------
    work : Work
        Does the jobs.
    memory : int
        Bytes of address space it may use.
    """

    def __init__(self, work: Work, memory: int = MEMORY) -> None:
        self._work = work
        self._memory = memory
        self._running: _Running | None = None

    @property
    def running(self) -> bool:
        """Whether there is a process."""
        return self._running is not None

    def do(
        self,
        job: str,
        parts: Sequence[bytes],
        wish: Mapping[str, Any],
        seconds: float,
        look: Callable[[], object] = lambda: None,
    ) -> Answer:
        """Have a job done.

        Parameters
        ----------
        job, parts, wish : str, Sequence[bytes], Mapping[str, Any]
            What is to be done, and with what.
        seconds : float
            How long it may take.
        look : Callable[[], object]
            Called now and then; what it raises ends the process.

        Raises
        ------
        LostError
            If it takes longer, or dies of it.
        """
        if self._running:
            try:
                return self._ask(self._running, job, parts, wish, seconds, look)
            except GoneError:
                pass  # It may have died while it was idle: a new one tries once more.
        return self._ask(self._start(look), job, parts, wish, seconds, look)

    def _ask(
        self,
        running: _Running,
        job: str,
        parts: Sequence[bytes],
        wish: Mapping[str, Any],
        seconds: float,
        look: Callable[[], object],
    ) -> Answer:
        end = time.monotonic() + seconds
        try:
            running.link.send_bytes(json.dumps([job, wish, len(parts)]).encode())
            for part in parts:
                running.link.send_bytes(part)
            values, count = json.loads(_receive(running.link, end, look))
            count = min(count, _MOST_PARTS)
            return Answer(values, tuple(_receive(running.link, end, look) for _ in range(count)))
        except (OSError, EOFError):
            self.end()
            raise GoneError from None
        except (ValueError, TypeError):
            self.end()
            raise LostError from None
        except BaseException:
            self.end()
            raise

    def end(self) -> None:
        """End the process, whatever it does."""
        running, self._running = self._running, None
        if running:
            running.link.close()
            running.process.kill()
            running.process.join()
            with suppress(OSError):
                running.folder.cleanup()

    def _start(self, look: Callable[[], object]) -> _Running:
        # A fresh interpreter: forking a server with threads is not safe.
        context = get_context("spawn")
        link, theirs = context.Pipe()
        folder = tempfile.TemporaryDirectory(prefix="spreadwell-")
        told = (theirs, self._work, self._memory, folder.name)
        process = context.Process(target=_serve, args=told, daemon=True)
        process.start()
        theirs.close()
        self._running = _Running(process, link, folder)
        try:
            _receive(link, time.monotonic() + START_SECONDS, look)
        except (LostError, OSError, EOFError):
            self.end()
            raise RuntimeError("a process that works for this one does not start") from None
        except BaseException:
            self.end()
            raise
        return self._running


def _receive(link: Connection, end: float, look: Callable[[], object]) -> bytes:
    while not link.poll(min(_LOOK, max(0.0, end - time.monotonic()))):
        look()
        if time.monotonic() >= end:
            raise LostError
    return link.recv_bytes(_MOST_ANSWER)


def _serve(link: Connection, work: Work, memory: int, folder: str) -> None:
    """Do jobs until the parent hangs up: the life of a child."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    tempfile.tempdir = folder
    # One thread each: the children share the cores, and threads cost address space.
    os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1", RAYON_NUM_THREADS="1")
    work("warm", (), {})
    _limit(memory)
    link.send_bytes(b"ready")
    while True:
        try:
            job, wish, count = json.loads(link.recv_bytes())
            answer = work(job, [link.recv_bytes() for _ in range(count)], wish)
        except EOFError:
            return
        link.send_bytes(json.dumps([answer.values, len(answer.parts)]).encode())
        for part in answer.parts:
            link.send_bytes(part)


def _limit(memory: int) -> None:
    if sys.platform != "win32":
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (memory, memory))
