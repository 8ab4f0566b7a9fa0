"""Limits and traps: each is answered early, with its status and a sentence."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable, Iterator
from typing import TYPE_CHECKING

import pytest
from fastapi.testclient import TestClient
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.types import Message, Receive, Scope, Send

from api.web.app import create_app
from api.web.middleware.security import MOST_BODY, BodyLimit, OwnHosts, Shield

if TYPE_CHECKING:
    from fastapi import FastAPI

    from api.photos.worker_pool import Reader
    from api.storage.kept import Saved
    from api.storage.store import Store

Call = Callable[..., Awaitable[list[Message]]]


async def echo(scope: Scope, receive: Receive, send: Send) -> None:
    """Answer how long the body is."""
    body = await Request(scope, receive).body()
    await PlainTextResponse(str(len(body)))(scope, receive, send)


async def refuser(scope: Scope, receive: Receive, send: Send) -> None:
    """Turn any trouble with the body into an answer of its own, as frameworks do."""
    try:
        await Request(scope, receive).body()
    except Exception:
        await PlainTextResponse("my own words", 400)(scope, receive, send)


def sent(app: BodyLimit, chunks: list[bytes], length: str | None = None) -> tuple[int, str]:
    """Send a body in chunks, then stall if the last one is not empty; return the answer."""
    answers: list[Message] = []
    waiting = iter(chunks)

    async def receive() -> Message:
        chunk = next(waiting, None)
        if chunk is None:
            await asyncio.sleep(3600)
        return {"type": "http.request", "body": chunk, "more_body": chunk != b""}

    async def send(message: Message) -> None:
        answers.append(message)

    headers = [] if length is None else [(b"content-length", length.encode())]
    scope = {"type": "http", "method": "POST", "path": "/", "headers": headers}
    asyncio.run(app(scope, receive, send))
    body = b"".join(message.get("body", b"") for message in answers[1:])
    return answers[0]["status"], body.decode()


def test_a_body_within_the_limit_passes_whole() -> None:
    assert sent(BodyLimit(echo, most=10), [b"12345", b"67890", b""]) == (200, "10")


def test_a_body_announced_too_large_is_refused_before_any_of_it_is_read() -> None:
    status, text = sent(BodyLimit(echo, most=10), [], length="11")
    assert status == 413
    assert "send fewer or smaller photos" in text


@pytest.mark.parametrize("app", [echo, refuser])
def test_a_body_that_grows_too_large_in_chunks_is_refused(
    app: Callable[[Scope, Receive, Send], Awaitable[None]],
) -> None:
    status, text = sent(BodyLimit(app, most=10), [b"12345", b"678901"])
    assert (status, "send fewer or smaller photos" in text) == (413, True)


@pytest.mark.parametrize("app", [echo, refuser])
def test_a_body_that_stands_still_is_given_up(
    app: Callable[[Scope, Receive, Send], Awaitable[None]],
) -> None:
    status, text = sent(BodyLimit(app, most=10, pause=0.01), [b"12345"])
    assert (status, "did not arrive in time" in text) == (408, True)


def test_a_body_that_drips_for_ever_is_given_up() -> None:
    status, _ = sent(BodyLimit(echo, most=10, pause=5, total=0.0), [b"1"] * 5)
    assert status == 408


@pytest.mark.parametrize("length", ["-1", "many", "9" * 5000, "1e3", "²"])
def test_a_length_that_is_no_number_is_refused(length: str) -> None:
    scope = {"type": "http", "headers": [(b"content-length", length.encode("latin-1"))]}
    answers: list[Message] = []

    async def run() -> None:
        async def send(message: Message) -> None:
            answers.append(message)

        async def receive() -> Message:
            raise AssertionError("nothing is read")

        await BodyLimit(echo)(scope, receive, send)

    asyncio.run(run())
    assert answers[0]["status"] == 400


def test_the_program_refuses_a_large_upload_by_its_header(client: TestClient) -> None:
    def endless() -> Iterator[bytes]:
        yield b"x"
        raise AssertionError("the body is read")

    answer = client.post(
        "/api/plans", content=endless(), headers={"content-length": str(MOST_BODY + 1)}
    )
    assert answer.status_code == 413
    assert answer.json()["detail"].startswith("The request carries 64.0 MB")
    assert answer.headers["connection"] == "close"


def test_the_program_refuses_a_large_upload_in_chunks(client: TestClient, plan: Saved) -> None:
    start = (
        b'--x\r\ncontent-disposition: form-data; name="photos"; filename="a.jpg"\r\n'
        b"content-type: image/jpeg\r\n\r\n"
    )

    def endless() -> Iterator[bytes]:
        yield start
        for _ in range(MOST_BODY // 1_000_000 + 1):
            yield bytes(1_000_000)

    answer = client.post(
        f"/api/plans/{plan.id}/fabrics",
        content=endless(),
        headers={"content-type": "multipart/form-data; boundary=x"},
    )
    assert answer.status_code == 413
    assert client.get(f"/api/plans/{plan.id}").json()["revision"] == 1


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("127.0.0.1:8017", 200),
        ("localhost", 200),
        ("LOCALHOST:80", 200),
        ("[::1]:8017", 200),
        ("quilts.example", 421),
        ("localhost.evil.example", 421),
        ("127.0.0.1.evil.example:8017", 421),
        ("evil.example@localhost", 421),
        ("[::1", 421),
        ("", 421),
    ],
)
def test_only_this_machines_own_names_are_answered(
    client: TestClient, host: str, status: int
) -> None:
    answer = client.get("/api/health", headers={"host": host})
    assert answer.status_code == status
    if status == 421:
        assert "open it at the address it printed" in answer.json()["detail"]


def test_more_names_can_be_allowed(store: Store, reader: Reader) -> None:
    app = create_app(store, reader=reader, hosts=["Quilts.example", "192.0.2.7"])
    client = TestClient(app, base_url="http://quilts.example:8017")
    assert client.get("/api/health").status_code == 200
    assert client.get("/api/health", headers={"host": "192.0.2.7"}).status_code == 200
    assert client.get("/api/health", headers={"host": "192.0.2.8"}).status_code == 421


# https://www.w3.org/TR/fetch-metadata/#sec-fetch-site-header and RFC 6454, 7.
@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 201),
        ({"sec-fetch-site": "same-origin", "origin": "http://127.0.0.1"}, 201),
        ({"sec-fetch-site": "none"}, 201),
        ({"sec-fetch-site": "cross-site"}, 403),
        ({"sec-fetch-site": "same-site"}, 403),
        ({"sec-fetch-site": "cross-site", "origin": "http://127.0.0.1"}, 403),
        ({"origin": "http://127.0.0.1"}, 201),
        ({"origin": "http://127.0.0.1:9999"}, 403),
        ({"origin": "https://evil.example"}, 403),
        ({"origin": "null"}, 403),
        ({"origin": "http://[::1"}, 403),
    ],
)
def test_only_the_programs_own_page_makes_changes(
    client: TestClient, headers: dict[str, str], status: int
) -> None:
    answer = client.post("/api/plans", headers=headers)
    assert answer.status_code == status
    assert len(client.get("/api/plans").json()) == (status == 201)


@pytest.mark.parametrize("method", ["PATCH", "PUT", "DELETE", "POST"])
def test_every_unsafe_method_is_guarded(client: TestClient, method: str) -> None:
    answer = client.request(method, "/api/plans/x", headers={"sec-fetch-site": "cross-site"})
    assert answer.status_code == 403
    assert "page of another site" in answer.json()["detail"]


def test_a_page_of_another_site_may_link_here(client: TestClient) -> None:
    assert client.get("/", headers={"sec-fetch-site": "cross-site"}).status_code == 200


@pytest.mark.parametrize(
    ("method", "path"),
    [("GET", "/"), ("GET", "/api/health"), ("GET", "/nothing"), ("DELETE", "/api/blocks")],
)
def test_every_answer_carries_the_security_headers(
    client: TestClient, method: str, path: str
) -> None:
    headers = client.request(method, path).headers
    assert "default-src 'none'" in headers["content-security-policy"]
    assert "frame-ancestors 'none'" in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"
    assert headers["cross-origin-opener-policy"] == "same-origin"
    assert headers["cross-origin-resource-policy"] == "same-origin"


def test_refusals_carry_them_too(client: TestClient) -> None:
    answer = client.get("/", headers={"host": "evil.example"})
    assert "content-security-policy" in answer.headers


def test_a_fault_of_the_program_is_answered_without_its_traceback(
    app: FastAPI, caplog: pytest.LogCaptureFixture
) -> None:
    def broken() -> None:
        raise RuntimeError("the secret path /home/quilter")

    app.add_api_route("/broken", broken)
    answer = TestClient(app, base_url="http://127.0.0.1").get("/broken")
    assert answer.status_code == 500
    assert answer.headers["content-type"] == "application/problem+json"
    assert "secret" not in answer.text
    assert "nothing was changed" in answer.json()["detail"]
    assert "secret" in caplog.text
    assert "content-security-policy" in answer.headers


def test_a_fault_in_the_middle_of_an_answer_ends_it() -> None:
    async def pieces() -> AsyncIterator[bytes]:
        yield b"one"
        raise RuntimeError("too late for another status")

    async def app(_scope: Scope, _receive: Receive, send: Send) -> None:
        await send({"type": "http.response.start", "status": 200, "headers": []})
        async for piece in pieces():
            await send({"type": "http.response.body", "body": piece, "more_body": True})

    with pytest.raises(RuntimeError, match="too late"):
        TestClient(Shield(app)).get("/")


def test_what_is_not_http_passes() -> None:
    seen: list[str] = []

    async def app(scope: Scope, _receive: Receive, _send: Send) -> None:
        seen.append(scope["type"])

    async def nothing() -> Message:
        return {}

    async def ignore(_message: Message) -> None:
        return

    asyncio.run(Shield(OwnHosts(BodyLimit(app)))({"type": "lifespan"}, nothing, ignore))
    assert seen == ["lifespan"]
