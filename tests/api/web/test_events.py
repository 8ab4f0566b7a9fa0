"""Long work can be followed, and hanging up stops it."""

from __future__ import annotations

import asyncio
import json
import threading
from typing import TYPE_CHECKING, Any

import pytest

import api.pattern.planner
import api.web.workspace
from placement.top.request import Doing, Stage

if TYPE_CHECKING:
    from collections.abc import Callable

    from fastapi import FastAPI
    from fastapi.testclient import TestClient
    from starlette.types import Message

    from api.pattern.brief import Brief
    from api.pattern.plan import Plan
    from api.storage.kept import Saved
    from api.storage.store import Store
    from placement.top.request import Progress

EVENTS = {"accept": "text/event-stream"}


def events(text: str) -> list[tuple[str, Any]]:
    """Parse server-sent events (WHATWG HTML, 9.2.6: fields a line, a blank line ends an event)."""
    found = []
    for block in text.split("\n\n"):
        fields = dict(line.split(": ", 1) for line in block.splitlines() if line)
        if fields:
            found.append((fields["event"], json.loads(fields["data"])))
    return found


@pytest.fixture
def slow(monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """Make arranging take until it is released; note how far it came."""
    seen: dict[str, Any] = {"steps": 0, "ended": threading.Event(), "error": None,
                            "began": threading.Event(), "released": threading.Event()}  # fmt: skip
    make = api.pattern.planner.make

    def slowly(
        brief: Brief,
        progress: Progress | None = None,
        previous: Plan | None = None,
        *,
        known: Plan | None = None,
    ) -> Plan:
        try:
            while not seen["released"].wait(0.001):
                seen["steps"] += 1
                seen["began"].set()
                if progress:
                    share = 1 - 1 / seen["steps"]
                    progress(share, Doing(Stage.TRY, f"{seen['steps']} in"))
            return make(brief, None, previous, known=known)
        except Exception as error:
            seen["error"] = type(error).__name__
            raise
        finally:
            seen["ended"].set()

    monkeypatch.setattr(api.pattern.planner, "make", slowly)
    return seen


def test_progress_grows_and_the_plan_comes_last(
    client: TestClient, plan: Saved, slow: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    event, sent = api.web.workspace._event, []

    def noted(name: str, data: str) -> str:
        sent.append(name)
        if len(sent) == 3:
            slow["released"].set()
        return event(name, data)

    monkeypatch.setattr(api.web.workspace, "_event", noted)
    answer = client.post(f"/api/plans/{plan.id}/layout", headers=EVENTS)
    assert answer.headers["content-type"].startswith("text/event-stream")
    assert answer.headers["cache-control"] == "no-store"
    told = events(answer.text)
    *ticks, (name, view) = told
    assert {kind for kind, _ in ticks} == {"progress"}
    shares = [data["share"] for _, data in ticks]
    assert len(shares) >= 3
    assert shares == sorted(shares)
    assert all(data["words"] for _, data in ticks)
    assert (name, view["revision"]) == ("plan", 2)
    assert view == client.get(f"/api/plans/{plan.id}").json()


def test_decisions_can_be_followed_too(client: TestClient, plan: Saved) -> None:
    wish = {"setting": {"down": 3}}
    answer = client.patch(f"/api/plans/{plan.id}/brief", json=wish, headers=EVENTS)
    assert events(answer.text)[-1][0] == "plan"


@pytest.mark.parametrize(
    ("path", "headers", "body", "status"),
    [
        ("/api/plans/none/layout", {}, {}, 404),
        ("/api/plans/{plan}/layout", {"if-match": '"9"'}, {}, 412),
    ],
)
def test_a_problem_comes_as_an_event(
    client: TestClient, plan: Saved, path: str, headers: dict[str, str], body: Any, status: int
) -> None:
    answer = client.post(path.format(plan=plan.id), json=body, headers={**EVENTS, **headers})
    (name, problem), *rest = events(answer.text)
    assert (name, problem["status"], rest) == ("problem", status, [])
    assert problem["detail"].endswith(".")


def test_a_fault_of_the_program_is_not_told_in_an_event(
    client: TestClient, plan: Saved, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_args: Any) -> Plan:
        raise RuntimeError("the secret path")

    monkeypatch.setattr(api.pattern.planner, "make", broken)
    answer = client.post(f"/api/plans/{plan.id}/layout", headers=EVENTS)
    assert events(answer.text)[-1][1]["status"] == 500
    assert "secret" not in answer.text


def hang_up(app: FastAPI, path: str, headers: dict[str, str], *, after: Callable[[], bool]) -> None:
    """Post to the app and hang up as soon as something has happened, as a server tells it."""

    async def run() -> None:
        asked = False

        async def receive() -> Message:
            nonlocal asked
            if not asked:
                asked = True
                return {"type": "http.request", "body": b"", "more_body": False}
            while not after():
                await asyncio.sleep(0.01)
            return {"type": "http.disconnect"}

        async def send(_message: Message) -> None:
            return

        pairs = [(b"host", b"127.0.0.1"), *((k.encode(), v.encode()) for k, v in headers.items())]
        scope = {
            "type": "http",
            "asgi": {"version": "3.0", "spec_version": "2.3"},
            "method": "POST",
            "path": path,
            "raw_path": path.encode(),
            "query_string": b"",
            "headers": pairs,
            "client": ("127.0.0.1", 1),
            "server": ("127.0.0.1", 80),
            "scheme": "http",
            "root_path": "",
        }
        await app(scope, receive, send)

    asyncio.run(run())


@pytest.mark.parametrize("headers", [EVENTS, {}])
def test_hanging_up_stops_the_work_and_changes_nothing(
    app: FastAPI, store: Store, plan: Saved, slow: dict[str, Any], headers: dict[str, str]
) -> None:
    path = f"/api/plans/{plan.id}/layout"
    hang_up(app, path, headers, after=lambda: slow["steps"] >= 5)
    assert slow["ended"].wait(5)
    assert slow["error"] == "StoppedError"
    assert store.get(plan.id).revision == 1


def test_changes_sent_at_once_are_made_one_after_the_other(client: TestClient, plan: Saved) -> None:
    path, statuses = f"/api/plans/{plan.id}/brief", []

    def rename(number: int) -> None:
        answer = client.patch(path, json={"title": f"Quilt {number}"})
        statuses.append(answer.status_code)

    threads = [threading.Thread(target=rename, args=(number,)) for number in range(5)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert statuses == [200] * 5
    assert client.get(f"/api/plans/{plan.id}").json()["revision"] == 6


def test_the_server_answers_others_while_it_works(
    client: TestClient, plan: Saved, slow: dict[str, Any]
) -> None:
    path = f"/api/plans/{plan.id}/layout"
    worker = threading.Thread(target=client.post, args=(path,))
    worker.start()
    assert slow["began"].wait(60)
    assert client.get("/api/health").status_code == 200
    assert client.get(f"/api/plans/{plan.id}").json()["revision"] == 1
    assert not slow["ended"].is_set()
    slow["released"].set()
    worker.join()
    assert client.get(f"/api/plans/{plan.id}").json()["revision"] == 2
