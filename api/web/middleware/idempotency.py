"""Answers told again to a client that did not hear them.

A change whose answer was lost on the way has been made all the same. A client
that sends it again under the same Idempotency-Key (IETF draft
httpapi-idempotency-key-header) hears the answer of the first time, and nothing
is made twice.
"""

from __future__ import annotations

import asyncio
import re
from collections import OrderedDict
from dataclasses import dataclass
from hashlib import sha256
from weakref import WeakValueDictionary

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.web.problems import refuse

MOST = 32
"""Answers that are remembered: those of the last changes, about 3 MB of plans."""

_PLAN = re.compile(r"/api/plans/([^/]+)")
_OTHER = (
    "this Idempotency-Key was used for another request; send a request of its own under a key of "
    "its own"
)

Key = tuple[str, str, str]
"""Method, address and key of a request."""


@dataclass(frozen=True, slots=True)
class Told:
    """A request that was answered."""

    digest: bytes
    """SHA-256 of its query and body."""
    answer: tuple[Message, ...]
    """What was answered."""

    def names(self, plan: str) -> bool:
        """Tell whether the answer is about a plan."""
        return any(plan.encode() in message.get("body", b"") for message in self.answer)


class Idempotency:
    """Remembers the answers to changes that were made, as long as the program runs.

    With a plan that is deleted the answers that tell of it are forgotten.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app
        self._told: OrderedDict[Key, Told] = OrderedDict()
        self._locks: WeakValueDictionary[Key, asyncio.Lock] = WeakValueDictionary()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one connection."""
        if scope["type"] == "http" and scope["method"] == "DELETE":
            send = self._forgetting(scope["path"], send)
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
        told = self._told[key]
        if await _rest(_Noted(scope, receive)) != told.digest:
            await refuse(422, _OTHER)(scope, receive, send)
            return
        for message in told.answer:
            await send(_copied(message))

    async def _make(self, key: Key, scope: Scope, receive: Receive, send: Send) -> None:
        answer: list[Message] = []
        noted = _Noted(scope, receive)

        async def note(message: Message) -> None:
            # What packs answers on their way out changes them in place.
            answer.append(_copied(message))
            await send(message)

        await self._app(scope, noted.receive, note)
        if answer[0]["status"] < 300 and not answer[-1].get("more_body"):
            self._told[key] = Told(await _rest(noted), tuple(answer))
            if len(self._told) > MOST:
                self._told.popitem(last=False)

    def _forgetting(self, path: str, send: Send) -> Send:
        """Return what sends an answer, and forgets a plan once it says that the plan is gone."""
        gone = _PLAN.fullmatch(path)

        async def sent(message: Message) -> None:
            if gone and message.get("status") == 204:
                self._forget(gone[1])
            await send(message)

        return sent

    def _forget(self, plan: str) -> None:
        for key in [k for k, told in self._told.items() if plan in k[1] or told.names(plan)]:
            del self._told[key]


def _copied(message: Message) -> Message:
    headers = {"headers": [*message["headers"]]} if "headers" in message else {}
    return {**message, **headers}


class _Noted:
    """A request's body on its way in, and what it comes to."""

    def __init__(self, scope: Scope, receive: Receive) -> None:
        self._receive = receive
        self._sum = sha256(scope["query_string"] + b"\n")
        self.over = False

    @property
    def digest(self) -> bytes:
        """What has come in until now, as a hash."""
        return self._sum.digest()

    async def receive(self) -> Message:
        """Hand on what comes in."""
        message = await self._receive()
        if message["type"] == "http.request":
            self._sum.update(message.get("body", b""))
            self.over = not message.get("more_body", False)
        else:
            self.over = True
        return message


async def _rest(noted: _Noted) -> bytes:
    """Read what is left of a body; return the hash of all of it."""
    while not noted.over:
        await noted.receive()
    return noted.digest
