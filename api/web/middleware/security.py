"""What stands between the network and the program: plain ASGI middlewares.

Each one refuses early, with a problem that says what to do.
"""

from __future__ import annotations

import asyncio
import re
import time
from collections.abc import Iterable
from contextlib import suppress
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.web.problems import answer, describe, refuse

MOST_BODY = 64_000_000
"""Bytes a request may carry."""
BODY_PAUSE = 20.0
"""Seconds a body may stand still."""
BODY_TIME = 180.0
"""Seconds a body may take in all."""

LOCAL_HOSTS = ("127.0.0.1", "localhost", "::1")
"""Names under which a machine knows itself."""

PAGE_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
DRAWING_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox"
"""For an SVG file opened by itself: its own style and pictures, and nothing that runs."""

_HEADERS = {
    "content-security-policy": PAGE_POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}

_SAFE_METHODS = {"GET", "HEAD", "OPTIONS", "TRACE"}


class Shield:
    """Adds the security headers to every answer, and answers 500 when the program fails."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one connection."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        started = False

        async def sealed(message: Message) -> None:
            nonlocal started
            if message["type"] == "http.response.start":
                started = True
                headers = MutableHeaders(scope=message)
                for name, value in _HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        try:
            await self._app(scope, receive, sealed)
        except Exception as error:
            if started:
                raise
            await answer(describe(error))(scope, receive, sealed)


class OwnHosts:
    """Answers only under the names this server goes by, so that no other name can be rebound."""

    def __init__(self, app: ASGIApp, hosts: Iterable[str] = ()) -> None:
        self._app = app
        self._hosts = {*LOCAL_HOSTS, *(host.strip("[]").lower() for host in hosts)}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one connection."""
        if scope["type"] == "http" and _host(scope) not in self._hosts:
            await refuse(
                421,
                "this server does not go by the name in the Host header; open it at the address "
                "it printed when it started",
            )(scope, receive, send)
            return
        await self._app(scope, receive, send)


class OwnPages:
    """Refuses changes sent by a page of another site, and all work that such a page asks for."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one connection."""
        if scope["type"] == "http" and _foreign(scope):
            if scope["method"] not in _SAFE_METHODS:
                await refuse(403, _NOT_MADE)(scope, receive, send)
                return
            # Only pages may be gone to from elsewhere; to work out what-if takes seconds.
            if scope["path"].startswith("/api/"):
                await refuse(403, _NOT_TOLD)(scope, receive, send)
                return
        await self._app(scope, receive, send)


_NOT_MADE = (
    "this change was sent by a page of another site and was not made; make it on the program's "
    "own page"
)
_NOT_TOLD = "a page of another site asked for this; open it on the program's own page"


class BodyLimit:
    """Refuses bodies that are too large or too slow, whatever the program reads of them."""

    def __init__(
        self,
        app: ASGIApp,
        most: int = MOST_BODY,
        pause: float = BODY_PAUSE,
        total: float = BODY_TIME,
    ) -> None:
        self._app = app
        self._most = most
        self._pause = pause
        self._total = total

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one connection."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        body = _Body(receive, self._most, self._pause, time.monotonic() + self._total)
        length = Headers(scope=scope).get("content-length", "0")
        if not re.fullmatch(r"[0-9]{1,18}", length):
            body.refused = (400, f"the Content-Length {length[:40]!r} is not a number of bytes")
        elif int(length) > self._most:
            body.refuse_size(int(length))
        else:
            await self._run(scope, body, send)
        if body.refused:
            status, detail = body.refused
            response = refuse(status, detail)
            # What is left of the body is not read, so the connection can't be used again.
            response.headers["connection"] = "close"
            await response(scope, receive, send)

    async def _run(self, scope: Scope, body: _Body, send: Send) -> None:
        started = False

        async def watched(message: Message) -> None:
            nonlocal started
            if not body.refused or started:
                started = True
                await send(message)

        with suppress(_RefusedError):
            await self._app(scope, body.receive, watched)
        if started:
            body.refused = None


class _RefusedError(Exception):
    """Stops whoever reads a refused body."""


class _Body:
    """A request's body on its way in, counted and timed."""

    def __init__(self, receive: Receive, most: int, pause: float, end: float) -> None:
        self._receive = receive
        self._most = most
        self._pause = pause
        self._end = end
        self._size = 0
        self._whole = False
        self.refused: tuple[int, str] | None = None

    def refuse_size(self, size: int) -> None:
        self.refused = (
            413,
            (
                f"the request carries {size / 1e6:.1f} MB, more than the {self._most / 1e6:g} MB "
                "taken at once; send fewer or smaller photos"
            ),
        )

    async def receive(self) -> Message:
        if self._whole:
            return await self._receive()
        wait = max(0.0, min(self._pause, self._end - time.monotonic()))
        try:
            message = await asyncio.wait_for(self._receive(), wait)
        except TimeoutError:
            self.refused = (408, "the body did not arrive in time; check the network and try again")
            raise _RefusedError from None
        self._whole = not message.get("more_body", False)
        self._size += len(message.get("body", b""))
        if self._size > self._most:
            self.refuse_size(self._size)
            raise _RefusedError
        return message


def _host(scope: Scope) -> str:
    """Return the name in the Host header without its port; '' if that is not what it holds."""
    address = Headers(scope=scope).get("host", "")
    try:
        return "" if "@" in address else urlsplit(f"//{address}").hostname or ""
    except ValueError:
        return ""


def _foreign(scope: Scope) -> bool:
    """Tell whether a request comes from another site (Fetch Metadata, else RFC 6454's Origin).

    A program that is no browser sends neither header and is let through: it
    acts for its own user, not for a page.
    """
    headers = Headers(scope=scope)
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site not in ("same-origin", "none")
    origin = headers.get("origin")
    return origin is not None and _netloc(origin) != headers.get("host", "").lower()


def _netloc(origin: str) -> str:
    """Return host and port of an origin; '' for the opaque origin 'null'."""
    try:
        return urlsplit(origin).netloc.lower()
    except ValueError:
        return ""
