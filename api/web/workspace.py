"""Where plans are worked on: one change at a time for each plan, off the event loop.

A change is read, made and kept in a worker thread. A client may follow it by
server-sent events; one that hangs up stops it.
"""

from __future__ import annotations

import asyncio
import json
import os
from collections.abc import AsyncIterator, Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict, dataclass, field
from enum import StrEnum
from hashlib import sha256
from typing import Protocol, TypeVar
from weakref import WeakValueDictionary

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse

from api.pattern.plan import Plan
from api.photos.worker_pool import Reader
from api.storage.kept import DamagedError, Draft, Saved
from api.storage.store import Store
from api.web.cache import Cache
from api.web.press import Job, Press
from api.web.problems import describe
from api.web.task import Task
from api.web.wire.view import Views
from placement.top.request import Progress, Stage

T = TypeVar("T")

EVENTS = "text/event-stream"

MOST_CACHED = 128_000_000
"""Bytes of small pictures and of drawings that are kept at hand."""


class Kind(StrEnum):
    """What work is, and so which threads do it."""

    SHOW = "show"
    """Showing what there is: quick."""
    CHANGE = "change"
    """Changing a plan."""
    TELL = "tell"
    """Working out what follows from a plan, such as its cutting."""


class Seen(Protocol):
    """What goes over the wire of a plan at a revision."""

    @property
    def revision(self) -> int:
        """The revision."""

    def model_dump_json(self) -> str:
        """Return it as JSON."""


@dataclass(frozen=True, slots=True)
class Change:
    """A change of a plan."""

    step: Callable[[Plan, Progress], Plan]
    """From the plan to the changed one; ValueError with a clear sentence if that can't be."""
    what: str
    """The change in words."""
    pictures: Mapping[str, bytes] = field(default_factory=dict)
    """Pictures it brings along, by name."""


class Workspace:
    """A store, a reader of photos, and the threads that plans are worked on in."""

    def __init__(self, store: Store, reader: Reader, press: Press) -> None:
        self.store = store
        self.reader = reader
        self._press = press
        self.cache = Cache(MOST_CACHED)
        self.views = Views()
        count = max(2, os.cpu_count() or 1)
        # What is quick never waits behind what is slow, nor a change behind what is only read.
        self._pools = {kind: ThreadPoolExecutor(count, kind) for kind in Kind}
        self._locks: WeakValueDictionary[str, asyncio.Lock] = WeakValueDictionary()

    def close(self) -> None:
        """Let go of everything."""
        for pool in self._pools.values():
            pool.shutdown(wait=False, cancel_futures=True)
        self._press.close()
        self.reader.close()
        self.store.close()

    def lock(self, plan: str) -> asyncio.Lock:
        """Return the lock under which a plan is changed."""
        return self._locks.setdefault(plan, asyncio.Lock())

    def change(
        self, request: Request, plan: str, expected: int | None, change: Change
    ) -> Callable[[Progress], Seen]:
        """Return the call that makes and keeps a change of a plan.

        Nothing is kept when nothing changes, or when the call is stopped. It answers
        what changed, or the whole plan if the request prefers that.
        """
        whole = wants_whole(request)

        def call(progress: Progress) -> Seen:
            before = saved = self.store.get(plan, expected)
            earlier = read(before)
            after = make(change.step, earlier, progress)
            progress(1.0, Stage.SAVE)
            if after != earlier:
                draft = draft_of(after, change.what, change.pictures)
                saved = self.store.save(plan, draft, expected=before.revision)
            if whole:
                return self.views.whole(saved, after, before)
            return self.views.change(before, earlier, saved, after)

        return call

    async def press(self, request: Request, call: Callable[[Progress], T]) -> T:
        """Run a call that makes something dear; end it when the client hangs up."""
        with self._press.place():
            return await self._run(request, Task(self._press.pool, call))

    def made(self, job: Job, progress: Progress) -> bytes:
        """Make something in a child process, or hand what was made of the same before."""
        key = (job.name, sha256(b"".join(job.parts)).digest(), repr(job.wish))
        return self.cache.get(key, lambda: self.pressed(job, progress))

    def pressed(self, job: Job, progress: Progress) -> bytes:
        """Make something in a child process, whether it was made before or not."""
        return self._press.made(job, progress)

    async def finish(
        self, request: Request, call: Callable[[Progress], T], kind: Kind = Kind.CHANGE
    ) -> T:
        """Run a call in a worker thread; stop it when the client hangs up."""
        return await self._run(request, Task(self._pools[kind], call))

    async def _run(self, request: Request, task: Task[T]) -> T:
        try:
            async for _ in task.ticks():
                if await request.is_disconnected():
                    raise HTTPException(408, "the client hung up; the work was stopped")
            return task.result()
        finally:
            await task.end()

    async def answer(
        self,
        request: Request,
        call: Callable[[Progress], Seen],
        lock: asyncio.Lock,
        kind: Kind = Kind.CHANGE,
    ) -> Response:
        """Run a call under a lock and answer with its view, or with events if those are wanted."""
        if EVENTS in request.headers.get("accept", ""):
            events = self._events(call, lock, kind)
            return StreamingResponse(events, 200, {"cache-control": "no-store"}, EVENTS)
        async with lock:
            return shown(await self.finish(request, call, kind))

    async def _events(
        self, call: Callable[[Progress], Seen], lock: asyncio.Lock, kind: Kind
    ) -> AsyncIterator[str]:
        async with lock:
            task = Task(self._pools[kind], call)
            try:
                async for tick in task.ticks():
                    if tick:
                        yield _event("progress", json.dumps(asdict(tick)))
                yield _last_event(task)
            finally:
                await task.end()


def wants_whole(request: Request) -> bool:
    """Tell whether a change is to be answered with the whole plan (RFC 7240, 4.2)."""
    return "return=representation" in request.headers.get("prefer", "")


def read(saved: Saved) -> Plan:
    """Return a kept plan as a value; DamagedError if this program does not understand it."""
    from api.pattern.stored import from_json

    try:
        return from_json(saved.body)
    except ValueError as fault:
        raise DamagedError(f"the kept plan {saved.id} can't be read: {fault}") from fault


def draft_of(plan: Plan, what: str, pictures: Mapping[str, bytes]) -> Draft:
    """Return a plan as it is to be kept."""
    from api.pattern.stored import remember, to_json

    text = to_json(plan)
    remember(text, plan)
    return Draft(plan.brief.title, text, what, pictures)


def make(step: Callable[[Plan, Progress], Plan], plan: Plan, progress: Progress) -> Plan:
    """Make a step; what contradicts itself is a fault of the request."""
    try:
        return step(plan, progress)
    except ValueError as fault:
        raise HTTPException(422, str(fault)) from fault


def shown(seen: Seen, status: int = 200) -> Response:
    """Answer with a view of a plan and its revision as the ETag."""
    headers = {"etag": f'"{seen.revision}"', "cache-control": "no-store"}
    return Response(seen.model_dump_json(), status, headers, "application/json")


def _event(name: str, data: str) -> str:
    return f"event: {name}\ndata: {data}\n\n"


def _last_event(task: Task[Seen]) -> str:
    try:
        return _event("plan", task.result().model_dump_json())
    except Exception as error:
        return _event("problem", describe(error).json_text())
