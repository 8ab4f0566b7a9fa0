"""Silent connections give way to those that speak, and to the clock."""

from __future__ import annotations

import asyncio
from typing import Any

import pytest
from uvicorn.config import Config
from uvicorn.server import ServerState

from api.web import connections
from api.web.connections import Watched

GET = b"GET / HTTP/1.1\r\nHost: a\r\n\r\n"


class Line(asyncio.Transport):
    """One end of a connection; it remembers whether it was cut."""

    def __init__(self, peer: str) -> None:
        super().__init__()
        self._peer = peer
        self.cut = False

    def get_extra_info(self, name: str, default: Any = None) -> Any:
        """Tell who is at the other end."""
        return (self._peer, 1) if name == "peername" else default

    def abort(self) -> None:
        """Cut the line."""
        self.cut = True

    def write(self, data: Any) -> None:
        """Take an answer."""

    def close(self) -> None:
        """Cut the line."""
        self.cut = True

    def is_closing(self) -> bool:
        """Tell whether it was cut."""
        return self.cut


async def silence(_scope: Any, _receive: Any, _send: Any) -> None:
    """Never answer."""
    await asyncio.Event().wait()


class Server:
    """Connections to one server."""

    def __init__(self) -> None:
        self.config = Config(silence, log_config=None, ws="none")
        self.config.load()
        self.state = ServerState()

    def line(self, peer: str = "192.0.2.1", said: bytes = b"") -> Line:
        """Return a new line from a peer, on which something was said."""
        connection, line = Watched(self.config, self.state, {}), Line(peer)
        connection.connection_made(line)
        if said:
            connection.data_received(said)
        return line


def run(test: Any) -> None:
    async def within() -> None:
        test(Server())
        for task in asyncio.all_tasks() - {asyncio.current_task()}:
            task.cancel()

    asyncio.run(within())


def test_of_one_peer_the_oldest_silent_connection_gives_way(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(connections, "SHARE", 3)

    def test(server: Server) -> None:
        busy, first, second = server.line(said=GET), server.line(), server.line(said=GET[:9])
        other = server.line("192.0.2.2")
        assert first.cut  # The third of its peer found three there.
        assert [line.cut for line in (busy, second, other)] == [False] * 3

    run(test)


def test_each_newcomer_makes_another_one_give_way(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connections, "SHARE", 3)

    def test(server: Server) -> None:
        lines = [server.line() for _ in range(9)]
        assert [line.cut for line in lines] == [True] * 7 + [False] * 2

    run(test)


def test_of_all_the_oldest_silent_one_gives_way(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connections, "MOST_CONNECTIONS", 2)

    def test(server: Server) -> None:
        first, second = server.line("192.0.2.1"), server.line("192.0.2.2", GET)
        assert (first.cut, second.cut) == (True, False)

    run(test)


@pytest.mark.parametrize(("said", "cut"), [(b"", True), (GET[:-2], True), (GET, False)])
def test_a_head_that_does_not_arrive_in_time_ends_the_connection(
    monkeypatch: pytest.MonkeyPatch, said: bytes, cut: bool
) -> None:
    monkeypatch.setattr(connections, "HEAD_SECONDS", 0.0)

    async def within() -> None:
        line = Server().line(said=said)
        await asyncio.sleep(0.01)
        assert line.cut is cut
        for task in asyncio.all_tasks() - {asyncio.current_task()}:
            task.cancel()

    asyncio.run(within())
