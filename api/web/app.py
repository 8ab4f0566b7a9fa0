"""The web program: addresses, guards, the page; and how it is served."""

from __future__ import annotations

import logging
import socket
import threading
from collections.abc import AsyncIterator, Callable, Iterable
from contextlib import asynccontextmanager, suppress
from importlib import import_module
from pathlib import Path
from typing import Any

import uvicorn
from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from starlette.middleware.gzip import DEFAULT_EXCLUDED_CONTENT_TYPES, GZipMiddleware

from api.files import program_version, static_folder
from api.photos.worker_pool import Reader
from api.storage.database import StoreError
from api.storage.store import Store
from api.web import problems
from api.web.connections import MOST_CONNECTIONS, Watched, door
from api.web.middleware.customs import Customs
from api.web.middleware.idempotency import Idempotency
from api.web.middleware.pairing import Pairing
from api.web.middleware.security import BodyLimit, OwnHosts, OwnPages, Shield
from api.web.page.files import Page
from api.web.press import Press
from api.web.routes import (
    booklets,
    bundle,
    by_hand,
    checking,
    cutting,
    drawings,
    fabrics,
    general,
    layout,
    links,
    picks,
    planfiles,
    plans,
    sizes,
    variants,
)
from api.web.workspace import Workspace

GZIP_FROM = 1_000
"""Bytes from which an answer is worth compressing: fewer go in one packet anyway."""
GZIP_LEVEL = 6
"""Of the page it leaves 0.1 % more than level 9 does, in three quarters of the time."""

_log = logging.getLogger("spreadwell")

_PARTS = (
    general,
    planfiles,
    plans,
    variants,
    fabrics,
    by_hand,
    picks,
    bundle,
    layout,
    drawings,
    cutting,
    checking,
    sizes,
    booklets,
    links,
)

_DESCRIPTION = """\
From photos of a fabric bundle to a quilt layout whose neighbours differ.

Every error is a problem (RFC 9457). A change may carry If-Match with the
revision it is meant for; if the plan has moved on, it is refused with 412.
A change sent again with the same Idempotency-Key is made once; its answer is
told again.

Texts of 1 kB and more come as gzip if Accept-Encoding allows it.
"""


def create_app(
    store: Store,
    *,
    reader: Reader | None = None,
    press: Press | None = None,
    static: Path | None = None,
    hosts: Iterable[str] = (),
    word: str = "",
    warm: bool = False,
) -> FastAPI:
    """Return the program on a store, which it closes at the end.

    Parameters
    ----------
    store : Store
        Where plans are kept.
    reader : Reader | None
        What reads photos; a pool of child processes unless given.
    press : Press | None
        What makes drawings and booklets; a pool of child processes unless given.
    static : Path | None
        The folder of the page; the one that comes with the program unless given.
    hosts : Iterable[str]
        Names, besides this machine's own, under which the page may be opened.
    word : str
        What lets others in; '' lets in whoever reaches the program.
    warm : bool
        Whether what the first visitor needs is loaded as soon as the server is there.
    """
    workspace = Workspace(store, reader or Reader(), press or Press())

    @asynccontextmanager
    async def lifespan(_app: FastAPI) -> AsyncIterator[None]:
        if warm:
            threading.Thread(target=_warm, args=(store,), daemon=True).start()
        yield
        workspace.close()

    app = FastAPI(
        title="Spreadwell",
        version=program_version(),
        description=_DESCRIPTION,
        lifespan=lifespan,
        openapi_url="/openapi.json",
        docs_url=None,
        redoc_url=None,
        generate_unique_id_function=lambda route: route.name,
    )
    app.state.workspace = workspace
    app.state.paired = bool(word)
    for part in _PARTS:
        app.include_router(part.router)
    problems.install(app)
    app.openapi = lambda: _described(app)  # type: ignore[method-assign]  # FastAPI's own way
    # The one added last stands outermost.
    app.add_middleware(Idempotency)
    app.add_middleware(
        GZipMiddleware,
        minimum_size=GZIP_FROM,
        compresslevel=GZIP_LEVEL,
        exclude_content_types=(*DEFAULT_EXCLUDED_CONTENT_TYPES, "application/pdf"),
    )
    app.add_middleware(Customs)
    app.add_middleware(BodyLimit)
    app.add_middleware(OwnPages)
    app.add_middleware(Pairing, word=word)
    app.add_middleware(OwnHosts, hosts=tuple(hosts))
    app.add_middleware(Shield)
    app.router.default = Page(static or static_folder())
    return app


def _keep_daily(data: Path, over: threading.Event) -> None:
    """Make the daily copy of a data file anew whenever it is a day old, until it is over."""
    from api.storage.backup import keep_daily

    while True:
        try:
            keep_daily(data)
        except StoreError as fault:
            _log.warning("no daily copy was made: %s", fault)
        if over.wait(_LOOK_FOR_DAY):
            return


_LOOK_FOR_DAY = 1800.0
"""Seconds between two looks whether the daily copy is a day old."""


def _warm(store: Store) -> None:
    """Load the heavy libraries; a first visitor gets the sample, so have it ready for him."""
    import_module("api.pattern.planner")
    if not store.plans():
        plans.sample_draft()


def _described(app: FastAPI) -> dict[str, Any]:
    """Return the OpenAPI description, with this program's errors in place of the framework's."""
    if app.openapi_schema is None:
        schema = get_openapi(
            title=app.title,
            version=app.version,
            description=app.description,
            routes=app.routes,
        )
        app.openapi_schema = problems.in_place_of_framework(schema)
    return app.openapi_schema


def serve(
    host: str = "127.0.0.1",
    port: int = 8017,
    store_path: str | Path = "plans.sqlite3",
    *,
    hosts: Iterable[str] = (),
    word: str = "",
    opened: Callable[[], object] | None = None,
) -> None:
    """Serve until stopped.

    Parameters
    ----------
    host : str
        Address to listen on; the page may be opened under it too.
    port : int
        Port to listen on.
    store_path : str | Path
        File (or database URL) that keeps the plans.
    hosts : Iterable[str]
        More names under which the page may be opened.
    word : str
        What lets others in (see api.web.middleware.pairing); '' lets in whoever gets here.
    opened : Callable[[], object]
        Called once the plans can be reached and whoever calls is heard.

    Raises
    ------
    api.storage.database.StoreError
        If the plans can't be kept there.
    api.web.connections.DoorError
        If nothing can be served there.
    """
    with door(host, port) as listening:
        store, over = Store(store_path), threading.Event()
        app = create_app(store, hosts=(host, *hosts), word=word, warm=True)
        if opened:
            opened()
        if store.file:
            threading.Thread(target=_keep_daily, args=(store.file, over), daemon=True).start()
        try:
            _run(app, listening)
        finally:
            over.set()


def _run(app: FastAPI, listening: socket.socket) -> None:
    """Answer whoever calls until stopped."""
    server = uvicorn.Server(
        uvicorn.Config(
            app,
            http=Watched,
            ws="none",
            limit_concurrency=MOST_CONNECTIONS + 50,
            timeout_keep_alive=15,
            timeout_graceful_shutdown=3,
            h11_max_incomplete_event_size=16_384,
            server_header=False,
            log_level="warning",
        )
    )
    with suppress(KeyboardInterrupt):
        server.run([listening])
