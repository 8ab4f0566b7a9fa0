"""Serves the page's files: small, and asked about each time so that news shows."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.types import Receive, Scope, Send

_TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
}

Stamp = tuple[tuple[str, int, int], ...]
"""Path, time of change and size of every file: another when anything was changed."""


@dataclass(frozen=True, slots=True)
class _File:
    """A file as it is served."""

    content: bytes
    """Its bytes."""
    tag: str
    """Its ETag, weak: the same for the bytes as they are and as gzip."""
    kind: str
    """Its media type."""


class Page:
    """Serves the files of one folder wherever no route answers.

    Parameters
    ----------
    folder : Path
        Where the page's sources lie; nothing else can be reached.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._stamp: Stamp = ()
        self._files: dict[str, _File] = {}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one connection."""
        if scope["type"] != "http":
            return
        if scope["path"].startswith("/api/"):
            raise HTTPException(404)
        if scope["method"] not in ("GET", "HEAD"):
            raise HTTPException(405)
        response = _answer(Request(scope), self._file(scope["path"]))
        await response(scope, receive, send)

    def _file(self, path: str) -> _File:
        self._renew()
        file = self._files.get(path.removeprefix("/") or "index.html")
        if file is None:
            raise HTTPException(404)
        return file

    def _renew(self) -> None:
        """Make the files anew if a source has changed."""
        stamp = _stamp(self._folder)
        if stamp != self._stamp:
            self._files = _made(self._folder)
            self._stamp = stamp


def page_sources(folder: Path) -> dict[str, str]:
    """Return the text of every file of a page by its path.

    Parameters
    ----------
    folder : Path
        Where the page's sources lie.
    """
    return {path: (folder / path).read_text(encoding="utf-8") for path, _, _ in _stamp(folder)}


def _stamp(folder: Path) -> Stamp:
    """Look at the sources: about a millisecond in all."""
    sources = [path for path in folder.rglob("*") if path.suffix in _TYPES and path.is_file()]
    stats = [(path.relative_to(folder).as_posix(), path.stat()) for path in sources]
    return tuple(sorted((path, stat.st_mtime_ns, stat.st_size) for path, stat in stats))


def _made(folder: Path) -> dict[str, _File]:
    from api.web.page.small import minified

    served = minified(page_sources(folder))
    return {path: _file(path, text.encode()) for path, text in served.items()}


def _file(path: str, content: bytes) -> _File:
    tag = f'W/"{sha256(content).hexdigest()[:20]}"'
    return _File(content, tag, _TYPES[Path(path).suffix])


def _answer(request: Request, file: _File) -> Response:
    headers = {"etag": file.tag, "cache-control": "no-cache"}
    if file.tag in request.headers.get("if-none-match", ""):
        return Response(status_code=304, headers=headers)
    # The server leaves the body out where only the head was asked for (RFC 9110, 9.3.2).
    return Response(file.content, 200, {**headers, "content-type": file.kind})
