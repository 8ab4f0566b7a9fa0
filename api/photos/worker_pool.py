"""Photos and plan files are opened in child processes, so that a hostile one can harm nothing else.

A child may use 1 GiB of address space and ten seconds for a file; one that
takes more, or dies, is replaced. What comes back is parsed as data, never
unpickled, so a child that was taken over can't take over its parent.
"""

from __future__ import annotations

import json
import os
import queue
import signal
import sys
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import TYPE_CHECKING, Any

from api.photos.worker import Answer, do, fabrics, references

if TYPE_CHECKING:
    from collections.abc import Mapping

    from palette.photo.quad import Point
    from palette.photo.read import Reading
    from palette.photo.reference import Reference

Corners = tuple["Point", "Point", "Point", "Point"]

MEMORY = 2**30
"""Bytes of address space of a child."""
SECONDS = 10.0
"""For one photo."""
START_SECONDS = 60.0
"""For a child to load its libraries."""
_MOST_ANSWER = 64_000_000
"""Bytes of one part of an answer."""
_MOST_PARTS = 1000

_TOO_HARD = (
    "{name}: this photo could not be opened within {seconds:g} seconds and 1 GB of memory; "
    "save it as an ordinary JPEG of at most 20 megapixels and try again"
)

_PLAN_TOO_HARD = (
    "the plan in this file takes more than {seconds:g} seconds or 1 GB of memory to read, more "
    "than any that this program makes; choose another file"
)


class Reader:
    """A pool of children that read photos; they are started when first needed.

    Parameters
    ----------
    workers : int | None
        How many children; one a core unless given.
    seconds : float
        How long one photo may take.
    memory : int
        Bytes of address space a child may use.
    """

    def __init__(
        self, workers: int | None = None, *, seconds: float = SECONDS, memory: int = MEMORY
    ) -> None:
        self._seconds = seconds
        self._children = [_Child(memory) for _ in range(workers or os.cpu_count() or 1)]
        # Last in, first out: a child that is warm is used before another is started.
        self._idle: queue.LifoQueue[_Child] = queue.LifoQueue()
        for child in self._children:
            self._idle.put(child)

    def read(
        self,
        data: bytes,
        *,
        id: str,  # noqa: A002 (the field's name)
        name: str,
        white: str = "none",
        otherwise: Reference | None = None,
        even: bool = True,
        whole: bool = False,
        paper: str = "office",
        corners: Corners | None = None,
        light: str = "",
    ) -> Reading:
        """Read a fabric from the bytes of its photo, as palette.photo.read.read does.

        ``white`` is 'none', 'auto', or where white paper lies, as in api.photos.worker.place;
        ``paper`` is one of palette.photo.paper_kind.PaperKind.
        ``corners`` are those of the cloth, told by hand: upper left, upper right, lower right,
        lower left, in parts of the photo.

        Raises
        ------
        PhotoError
            If the bytes are no photo that can be used; the message says what to do.
        """
        from palette.photo.quad import Quad
        from palette.photo.read import Reading

        wish: dict[str, Any] = {"id": id, "name": name, "white": white, "corners": corners}
        wish |= {"even": even, "whole": whole, "paper": paper}
        told = references().dump_python(otherwise, mode="json")
        answer = self.do("read", data, {**wish, "light": light, "otherwise": told})
        fabric = fabrics().validate_python(answer.values["fabric"])
        reference = references().validate_python(answer.values["reference"])
        found = answer.values["corners"]
        quad = None if found is None else Quad.given(found)
        return Reading(fabric, answer.parts[0], reference, answer.values["across"], quad)

    def do(self, job: str, data: bytes, wish: Mapping[str, Any]) -> Answer:
        """Have a child do one of the jobs of api.photos.worker with a photo.

        Waits for a child that is free; safe to call from many threads.

        Raises
        ------
        PhotoError
            If the photo can't be used for it; the message says what to do.
        """
        from palette.photo.open import PhotoError

        child = self._idle.get()
        try:
            answer = child.do(job, data, wish, self._seconds)
        except _LostError:
            words = _PLAN_TOO_HARD if job == "vet" else _TOO_HARD
            name = wish.get("name", "the photo")
            raise PhotoError(words.format(name=name, seconds=self._seconds)) from None
        finally:
            self._idle.put(child)
        if "problem" in answer.values:
            raise PhotoError(str(answer.values["problem"]))
        return answer

    def vet(self, text: bytes) -> bytes:
        """Have a child read a plan of unknown origin; return its JSON form, which can be trusted.

        Raises
        ------
        ValueError
            If it can't be taken; the message says why and what to do.
        """
        return self.do("vet", text, {}).parts[0]

    def close(self) -> None:
        """End all children."""
        for child in self._children:
            child.end()


class _LostError(Exception):
    """A child died or took too long."""


class _GoneError(_LostError):
    """A child has died."""


@dataclass(frozen=True, slots=True)
class _Running:
    """A child that was started."""

    process: BaseProcess
    link: Connection


class _Child:
    """One place in the pool, with a process in it or not."""

    def __init__(self, memory: int) -> None:
        self._memory = memory
        self._running: _Running | None = None

    def do(self, job: str, data: bytes, wish: Mapping[str, Any], seconds: float) -> Answer:
        if self._running:
            try:
                return self._ask(self._running, job, data, wish, seconds)
            except _GoneError:
                pass  # It may have died while it was idle: a new one tries once more.
        return self._ask(self._start(), job, data, wish, seconds)

    def _ask(
        self, running: _Running, job: str, data: bytes, wish: Mapping[str, Any], seconds: float
    ) -> Answer:
        try:
            running.link.send_bytes(json.dumps([job, wish]).encode())
            running.link.send_bytes(data)
            values, count = json.loads(_receive(running.link, seconds))
            parts = [_receive(running.link, seconds) for _ in range(min(count, _MOST_PARTS))]
        except (OSError, EOFError):
            self.end()
            raise _GoneError from None
        except (_LostError, ValueError, TypeError):
            self.end()
            raise _LostError from None
        return Answer(values, tuple(parts))

    def end(self) -> None:
        running, self._running = self._running, None
        if running:
            running.link.close()
            running.process.kill()
            running.process.join()

    def _start(self) -> _Running:
        # A fresh interpreter: forking a server with threads is not safe.
        context = get_context("spawn")
        link, theirs = context.Pipe()
        process = context.Process(target=_work, args=(theirs, self._memory), daemon=True)
        process.start()
        theirs.close()
        self._running = _Running(process, link)
        try:
            _receive(link, START_SECONDS)
        except (_LostError, OSError, EOFError):
            self.end()
            raise RuntimeError("the process that reads photos does not start") from None
        return self._running


def _receive(link: Connection, seconds: float) -> bytes:
    if not link.poll(seconds):
        raise _LostError
    return link.recv_bytes(_MOST_ANSWER)


def _work(link: Connection, memory: int) -> None:
    """Read photos until the parent hangs up: the life of a child."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    # One thread each: the children share the cores, and threads cost address space.
    os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1")
    from palette.photo import read as _warm  # noqa: F401

    _limit(memory)
    link.send_bytes(b"ready")
    while True:
        try:
            job, wish = json.loads(link.recv_bytes())
            answer = do(job, link.recv_bytes(), wish)
        except EOFError:
            return
        link.send_bytes(json.dumps([answer.values, len(answer.parts)]).encode())
        for part in answer.parts:
            link.send_bytes(part)


def _limit(memory: int) -> None:
    if sys.platform != "win32":
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (memory, memory))
