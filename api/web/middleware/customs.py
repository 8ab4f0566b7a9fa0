"""Bodies of requests are counted before anything reads them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.datastructures import Headers
from starlette.requests import ClientDisconnect

from api.pattern.customs import MOST_JSON, CustomsError, counted
from api.web.problems import refuse

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

_FORMS = ("multipart/form-data", "application/x-www-form-urlencoded")
_TOO_LARGE = (
    "the request carries more than the {most:g} MB of data taken at once; photos and plan files "
    "go as multipart/form-data"
)


class Customs:
    """Takes bodies that are no forms up to a size, and hands on those that can be read safely."""

    def __init__(self, app: ASGIApp, most: int = MOST_JSON) -> None:
        self._app = app
        self._most = most

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one connection."""
        if scope["type"] != "http" or not _carries_data(Headers(scope=scope)):
            await self._app(scope, receive, send)
            return
        try:
            body = await self._whole(receive, Headers(scope=scope).get("content-length", "0"))
            counted(body)
        except _TooLargeError:
            response = refuse(413, _TOO_LARGE.format(most=self._most / 1e6))
            # What is left of the body is not read, so the connection can't be used again.
            response.headers["connection"] = "close"
            await response(scope, receive, send)
        except CustomsError as fault:
            await refuse(422, f"the request can't be taken: {fault}")(scope, receive, send)
        else:
            await self._app(scope, _again(body, receive), send)

    async def _whole(self, receive: Receive, announced: str) -> bytes:
        """Read a body; _TooLargeError if it is longer than any that is taken."""
        body, more = bytearray(), True
        while more:
            if max(len(body), int(announced)) > self._most:
                raise _TooLargeError
            message = await receive()
            if message["type"] != "http.request":
                raise ClientDisconnect
            body += message.get("body", b"")
            more = message.get("more_body", False)
        if len(body) > self._most:
            raise _TooLargeError
        return bytes(body)


class _TooLargeError(Exception):
    """A body is longer than any that is taken."""


def _carries_data(headers: Headers) -> bool:
    """Tell whether a request has a body that is no form; forms are read piece by piece."""
    if headers.get("content-length", "0") == "0" and "transfer-encoding" not in headers:
        return False
    return not headers.get("content-type", "").lower().startswith(_FORMS)


def _again(body: bytes, receive: Receive) -> Receive:
    """Return what gives a body that was read, then all that comes after it."""
    given = False

    async def replayed() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return replayed
