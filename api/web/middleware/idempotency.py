"""Answers told again to a client that did not hear them.

A change whose answer was lost on the way has been made all the same. A client
that sends it again under the same Idempotency-Key (IETF draft
httpapi-idempotency-key-header) hears the answer of the first time, and nothing
is made twice.
"""

from __future__ import annotations

import asyncio
from collections import OrderedDict
from weakref import WeakValueDictionary

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST = 32
"""Answers that are remembered: those of the last changes, about 3 MB of plans."""

Key = tuple[str, str, str]
"""Method, address and key of a request."""


class Idempotency:
    """Remembers the answers to changes that were made, as long as the program runs."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app
        self._told: OrderedDict[Key, list[Message]] = OrderedDict()
        self._locks: WeakValueDictionary[Key, asyncio.Lock] = WeakValueDictionary()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one connection."""
        word = Headers(scope=scope).get("idempotency-key") if scope["type"] == "http" else None
        if word is None:
            await self._app(scope, receive, send)
            return
        key = (scope["method"], scope["path"], word)
        lock = self._locks.setdefault(key, asyncio.Lock())
        # Sent again while it is still being made, it waits for its answer.
        async with lock:
            if key not in self._told:
                await self._make(key, scope, receive, send)
                return
        for message in self._told[key]:
            await send(message)

    async def _make(self, key: Key, scope: Scope, receive: Receive, send: Send) -> None:
        told: list[Message] = []

        async def note(message: Message) -> None:
            told.append(message)
            await send(message)

        await self._app(scope, receive, note)
        if told[0]["status"] < 300 and not told[-1].get("more_body"):
            self._told[key] = told
            if len(self._told) > MOST:
                self._told.popitem(last=False)
