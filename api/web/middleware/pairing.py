"""Beyond this machine only those who were told a word may come in; a visitor's link shows, no more.

The word is part of the address that the program prints. A browser that opens it is given a cookie
and needs the word no more, until the program is started again.
"""

from __future__ import annotations

import hmac
import re
import secrets
from http.cookies import CookieError, SimpleCookie
from typing import TYPE_CHECKING
from urllib.parse import parse_qs

from starlette.datastructures import Headers
from starlette.responses import Response

from api.web.problems import refuse

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Receive, Scope, Send

COOKIE = "spreadwell-pairing"
_VISIT = re.compile(r"/view/[\w-]+")
_LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"
"""Without those that look alike."""
_LENGTH = 12
"""59 random bits: nobody finds a word by trying."""

_TOLD = "this program is open to those who were told its word; open the address that it printed"
_DOOR = """\
<!doctype html><html lang="en"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1"><title>Spreadwell</title></head>
<body><main><h1>The word, please</h1>
<p>Type the word that the program printed when it was started, or open the whole address.</p>
<form action="/"><label>Word <input name="word" autocomplete="off" autocapitalize="none"></label>
<button>Open</button></form></main></body></html>
"""


def new_word() -> str:
    """Return a word to let others in by."""
    letters = "".join(secrets.choice(_LETTERS) for _ in range(_LENGTH))
    return "-".join(letters[at : at + 4] for at in range(0, _LENGTH, 4))


class Pairing:
    """Lets in whoever has the word, and anybody to what a visitor's link shows."""

    def __init__(self, app: ASGIApp, word: str = "") -> None:
        self._app = app
        self._word = word

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one connection."""
        if scope["type"] != "http" or not self._word or _is_visit(scope) or self._has_cookie(scope):
            await self._app(scope, receive, send)
            return
        await self._at_the_door(scope)(scope, receive, send)

    def _at_the_door(self, scope: Scope) -> Response:
        given = parse_qs(scope["query_string"].decode("latin-1")).get("word", [""])[0]
        if scope["path"] == "/" and self._is_word(given.strip().lower()):
            response = Response(status_code=303, headers={"location": "/"})
            response.set_cookie(COOKIE, self._word, httponly=True, samesite="lax")
            return response
        if "text/html" in Headers(scope=scope).get("accept", ""):
            return Response(_DOOR, 401, {"cache-control": "no-store"}, "text/html; charset=utf-8")
        return refuse(401, _TOLD)

    def _has_cookie(self, scope: Scope) -> bool:
        cookies: SimpleCookie = SimpleCookie()
        try:
            cookies.load(Headers(scope=scope).get("cookie", ""))
        except CookieError:
            return False
        held = cookies.get(COOKIE)
        return held is not None and self._is_word(held.value)

    def _is_word(self, given: str) -> bool:
        return hmac.compare_digest(given.encode(), self._word.encode())


def _is_visit(scope: Scope) -> bool:
    """Tell whether a request looks at a pattern by its link, which changes nothing."""
    return scope["method"] in ("GET", "HEAD") and bool(_VISIT.fullmatch(scope["path"]))
