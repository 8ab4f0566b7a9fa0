"""Answers in JSON as gzip, so that a phone over a weak network has them sooner."""

from __future__ import annotations

import gzip
import re

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LEAST = 1_000
"""Bytes below which an answer stays as it is: it goes in one packet anyway."""
LEVEL = 4
"""Of the sample's 88 KB it leaves 19 KB in 0.6 ms; level 9 leaves 18 KB in 1.3 ms."""

_PACKED = ("application/json", "application/problem+json")


def takes_gzip(headers: Headers) -> bool:
    """Tell whether a client takes gzip (RFC 9110, 12.5.3)."""
    for wish in headers.get("accept-encoding", "").lower().split(","):
        coding, *weights = (part.strip() for part in wish.split(";"))
        if coding == "gzip":
            return not any(re.fullmatch(r"q=0(\.0*)?", weight) for weight in weights)
    return False


class Packing:
    """Packs answers in JSON for clients that take gzip; pictures, files and events stay."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one connection."""
        takes = scope["type"] == "http" and takes_gzip(Headers(scope=scope))
        await self._app(scope, receive, _Packer(send) if takes else send)


class _Packer:
    """Sends an answer on, packed if that is worth it."""

    def __init__(self, send: Send) -> None:
        self._send = send
        self._start: Message | None = None

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start" and _is_worth_it(message):
            self._start = message
            return
        if self._start is not None:
            message = _packed(self._start, message)
            start, self._start = self._start, None
            await self._send(start)
        await self._send(message)


def _is_worth_it(start: Message) -> bool:
    """Tell whether an answer is JSON that comes in one piece, and not a small one."""
    headers = Headers(raw=start["headers"])
    kind = headers.get("content-type", "").split(";")[0]
    return kind in _PACKED and int(headers.get("content-length", 0)) >= LEAST


def _packed(start: Message, body: Message) -> Message:
    """Return the body packed, and say so in the headers."""
    content = gzip.compress(body["body"], LEVEL, mtime=0)
    headers = MutableHeaders(scope=start)
    headers["content-encoding"] = "gzip"
    headers["content-length"] = str(len(content))
    headers.add_vary_header("accept-encoding")
    return {**body, "body": content}
