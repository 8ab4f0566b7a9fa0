"""Who may do what, as a table that everyone who has no right tries, here and beyond."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from fastapi.testclient import TestClient

from api.web.app import create_app
from api.web.middleware.pairing import COOKIE, new_word
from tests.api.talk import ok, problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fastapi import FastAPI

    from api.photos.worker_pool import Reader
    from api.storage.kept import Saved
    from api.storage.store import Store
    from api.web.press import Press

WORD = "abcd-efgh-jkmn"


@pytest.fixture
def beyond(store: Store, reader: Reader, press: Press) -> Iterator[FastAPI]:
    """Return the program as other machines reach it."""
    return create_app(store, reader=reader, press=press, hosts=["192.0.2.7"], word=WORD)


def addresses(app: FastAPI, plan: str) -> list[tuple[str, str]]:
    """Return every method and address that the program describes, and those of its page."""
    described = [
        (method.upper(), re.sub(r"\{\w+\}", "1", path.replace("{plan}", plan)))
        for path, methods in app.openapi()["paths"].items()
        for method in methods
    ]
    assert len(described) > 40
    page = [("GET", path) for path in ("/", "/app.js", "/guide.html", "/openapi.json", "/nowhere")]
    return [*described, *page]


def visitor(app: FastAPI, cookie: str = "") -> TestClient:
    cookies = {COOKIE: cookie} if cookie else {}
    return TestClient(app, base_url="http://192.0.2.7", cookies=cookies, follow_redirects=False)


def test_beyond_this_machine_nobody_does_anything_without_the_word(
    beyond: FastAPI, store: Store, plan: Saved
) -> None:
    token = store.link(plan.id)
    tried = 0
    for cookie in ("", "abcd-efgh-jkmo", token, plan.id, WORD.upper(), f"{WORD}-"):
        client = visitor(beyond, cookie)
        for method, path in addresses(beyond, plan.id):
            if path.startswith("/view/"):
                continue
            problem(client.request(method, path), 401)
            problem(client.request(method, f"{path}?word={token}"), 401)
            tried += 2
    assert tried > 400
    assert [entry.id for entry in store.plans()] == [plan.id]


def test_a_visitors_link_shows_the_pattern_and_does_nothing_else(
    beyond: FastAPI, store: Store, plan: Saved
) -> None:
    client, address = visitor(beyond), f"/view/{store.link(plan.id)}"
    page = client.get(address)
    assert page.status_code == 200
    assert "Small quilt" in page.text
    assert "Try this pattern" not in page.text
    # Nothing on it leads anywhere else, and it runs nothing.
    assert not re.findall(r'(?:href|src|action)="(?!data:|#)', page.text)
    assert "<script" not in page.text
    for method in ("POST", "PUT", "PATCH", "DELETE"):
        problem(client.request(method, address), 401)
    for path in ("/view/../api/plans", "/view/..%2Fapi%2Fplans", "/view/", "/view/a/b"):
        problem(client.get(path), 401)


def test_the_address_with_the_word_lets_a_browser_in(beyond: FastAPI, plan: Saved) -> None:
    client = visitor(beyond)
    door = client.get("/", headers={"accept": "text/html"})
    assert door.status_code == 401
    assert '<input name="word"' in door.text
    inside = client.get(f"/?word={WORD}")
    assert (inside.status_code, inside.headers["location"]) == (303, "/")
    kept = inside.headers["set-cookie"]
    assert "HttpOnly" in kept
    assert "SameSite=lax" in kept
    assert client.get("/").status_code == 200
    assert ok(client.get("/api/plans"))[0]["id"] == plan.id


def test_on_this_machine_there_is_no_word_and_pages_of_other_sites_get_nothing(
    client: TestClient, app: FastAPI, plan: Saved
) -> None:
    assert ok(client.get("/api/plans"))[0]["id"] == plan.id
    for method, path in addresses(app, plan.id):
        if path.startswith("/api/"):
            for site in ("cross-site", "same-site"):
                problem(client.request(method, path, headers={"sec-fetch-site": site}), 403)


def test_words_are_long_and_never_the_same() -> None:
    words = {new_word() for _ in range(200)}
    assert len(words) == 200
    assert all(re.fullmatch(r"[a-z2-9]{4}-[a-z2-9]{4}-[a-z2-9]{4}", word) for word in words)
