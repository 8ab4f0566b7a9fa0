"""A change that is sent again is made once (IETF draft httpapi-idempotency-key-header, 2.6)."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, Any

from api.web.middleware.idempotency import MOST, Idempotency
from tests.api.talk import ok, problem

if TYPE_CHECKING:
    from fastapi.testclient import TestClient
    from starlette.types import Message, Receive, Scope, Send

    from api.storage.kept import Saved

SWAP = {"first": 0, "second": 1}


def swap(client: TestClient, plan: Saved, revision: int, key: str) -> Any:
    headers = {"if-match": f'"{revision}"', "idempotency-key": key}
    return client.post(f"/api/plans/{plan.id}/layout/swap", json=SWAP, headers=headers)


def test_a_change_sent_again_is_made_once_and_its_answer_told_again(
    client: TestClient, plan: Saved
) -> None:
    first = swap(client, plan, plan.revision, "one")
    again = swap(client, plan, plan.revision, "one")
    assert ok(again) == ok(first)
    assert again.headers["etag"] == first.headers["etag"]
    assert len(client.get(f"/api/plans/{plan.id}/revisions").json()) == plan.revision + 1


def test_somebody_elses_change_one_revision_before_is_never_taken_for_ones_own(
    client: TestClient, plan: Saved
) -> None:
    ok(swap(client, plan, plan.revision, "theirs"))
    for _ in range(2):
        assert "meanwhile" in problem(swap(client, plan, plan.revision, "mine"), 412)


def test_a_key_counts_for_one_address_and_a_refusal_is_not_remembered(
    client: TestClient, plan: Saved
) -> None:
    problem(swap(client, plan, plan.revision + 1, "one"), 412)
    now = ok(swap(client, plan, plan.revision, "one"))
    headers = {"idempotency-key": "one"}
    back = ok(client.post(f"/api/plans/{plan.id}/undo", headers=headers))
    assert back["revision"] == plan.revision < now["revision"]


def test_a_key_used_again_for_another_request_is_refused(client: TestClient, plan: Saved) -> None:
    ok(swap(client, plan, plan.revision, "one"))
    address, headers = f"/api/plans/{plan.id}/layout/swap", {"idempotency-key": "one"}
    other = client.post(address, json={"first": 2, "second": 3}, headers=headers)
    # 422: the draft's 2.7, "Reusing an Idempotency-Key with a different payload".
    assert "under a key of its own" in problem(other, 422)
    asked = client.post(f"{address}?other=1", json=SWAP, headers=headers)
    assert "under a key of its own" in problem(asked, 422)


def test_an_answer_is_told_again_as_each_client_takes_it(client: TestClient) -> None:
    body, headers = {"title": "Twice"}, {"idempotency-key": "one"}
    made = client.post("/api/plans", json=body, headers=headers)
    assert made.headers["content-encoding"] == "gzip"
    plain = {**headers, "accept-encoding": "identity"}
    again = client.post("/api/plans", json=body, headers=plain)
    assert "content-encoding" not in again.headers
    assert ok(again) == ok(made)


def test_with_a_plan_its_answers_are_forgotten(client: TestClient) -> None:
    headers = {"idempotency-key": "one"}
    made = ok(client.post("/api/plans", json={"title": "Secret"}, headers=headers))
    assert ok(client.post("/api/plans", json={"title": "Secret"}, headers=headers)) == made
    assert client.delete(f"/api/plans/{made['id']}").status_code == 204
    again = ok(client.post("/api/plans", json={"title": "Secret"}, headers=headers))
    assert again["id"] != made["id"]


def test_what_followed_by_events_was_made_is_told_again(client: TestClient, plan: Saved) -> None:
    headers = {"accept": "text/event-stream", "idempotency-key": "one"}
    address = f"/api/plans/{plan.id}/layout"
    told = [client.post(address, json={}, headers=headers).text for _ in range(2)]
    assert "event: plan" in told[0]
    assert told[1] == told[0]


def test_a_change_sent_again_while_it_is_being_made_waits_and_old_answers_are_dropped() -> None:
    made: list[str] = []

    async def app(scope: Scope, _receive: Receive, send: Send) -> None:
        await asyncio.sleep(0.01)
        made.append(scope["path"])
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": scope["path"].encode()})

    again = Idempotency(app)

    async def ask(path: str) -> bytes:
        heard: list[Message] = []

        async def receive() -> Message:
            return {"type": "http.request", "body": b"", "more_body": False}

        async def send(message: Message) -> None:
            heard.append(message)

        headers = [(b"idempotency-key", b"k")]
        scope = {"type": "http", "method": "POST", "path": path, "headers": headers}
        scope["query_string"] = b""
        await again(scope, receive, send)
        return bytes(heard[-1]["body"])

    async def run() -> None:
        assert await asyncio.gather(ask("/a"), ask("/a")) == [b"/a", b"/a"]
        assert made == ["/a"]
        for number in range(MOST):
            await ask(f"/{number}")
        await ask("/a")
        assert made.count("/a") == 2

    asyncio.run(run())
