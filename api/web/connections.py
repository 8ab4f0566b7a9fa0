"""Where the program listens, and how: connections that say nothing give way.

They do so to the clock, and to those that have something to say.
"""

from __future__ import annotations

import asyncio
import socket
from typing import Any

from uvicorn.protocols.http.h11_impl import H11Protocol

MOST_CONNECTIONS = 200
"""At once; of those without a request the oldest gives way, and more requests are answered 503."""
SHARE = 100
"""Of one peer; a browser holds six."""
HEAD_SECONDS = 10.0
"""For the head of a request to arrive in."""


_WAITING = 1024
"""Calls that are heard before the program answers the first."""

_LAST_PORT = 65_535


class DoorError(Exception):
    """Nothing can be served at an address; the message says why, in the system's words."""


def door(host: str, port: int) -> socket.socket:
    """Return what listens at an address; whoever calls from now on is heard.

    Raises
    ------
    DoorError
        If that can't be.
    """
    if port > _LAST_PORT:
        raise DoorError(f"ports go up to {_LAST_PORT}")
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
        family, _, _, _, address = found[0]
        return socket.create_server(address, family=family, backlog=_WAITING)
    except (OSError, UnicodeError) as fault:
        raise DoorError(getattr(fault, "strerror", None) or str(fault)) from None


class Watched(H11Protocol):
    """A connection that must send the head of a request in time, and yields while it has none."""

    _began = 0.0
    _cut = False
    _clock: asyncio.TimerHandle | None = None

    @property
    def silent(self) -> bool:
        """Whether no request is being answered on it."""
        return self.cycle is None or self.cycle.response_complete

    def connection_made(self, transport: Any) -> None:
        """Take a new connection in; one that is silent makes room for it if there are too many."""
        super().connection_made(transport)
        self._began = self.loop.time()
        self._wind()
        # One that was cut is still listed for a moment.
        others = [e for e in self.connections if isinstance(e, Watched) and not e._cut]
        of_peer = [entry for entry in others if entry.client and entry.client[0] == self._peer]
        for crowd, most in ((of_peer, SHARE), (others, MOST_CONNECTIONS)):
            if len(crowd) >= most:
                self._make_room(crowd)

    def data_received(self, data: bytes) -> None:
        """Take data in; what is no whole head yet runs against the clock."""
        super().data_received(data)
        if not self.silent:
            self._stop()
        elif self._clock is None:
            self._wind()

    def connection_lost(self, exc: Exception | None) -> None:
        """Forget the connection."""
        self._stop()
        super().connection_lost(exc)

    @property
    def _peer(self) -> str:
        return self.client[0] if self.client else ""

    def _make_room(self, crowd: list[Watched]) -> None:
        quiet = [entry for entry in crowd if entry.silent and entry is not self]
        if quiet:
            min(quiet, key=lambda entry: entry._began)._end()

    def _wind(self) -> None:
        self._clock = self.loop.call_later(HEAD_SECONDS, self._late)

    def _stop(self) -> None:
        if self._clock:
            self._clock.cancel()
            self._clock = None

    def _late(self) -> None:
        self._clock = None
        if self.silent:
            self._end()

    def _end(self) -> None:
        self._cut = True
        self.transport.abort()
