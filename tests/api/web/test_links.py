"""A link shows the pattern, to those who have it, for as long as it is meant to."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tests.api.talk import ok, problem

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

    from api.storage.kept import Saved

BROWSER = {"accept": "text/html,application/xhtml+xml"}


def link_of(client: TestClient, plan: str) -> str:
    return str(ok(client.post(f"/api/plans/{plan}/link"))["address"])


def test_whoever_has_the_link_sees_the_pattern_and_nothing_of_the_plan(
    client: TestClient, plan: Saved
) -> None:
    there = f"/api/plans/{plan.id}/link"
    assert ok(client.get(there)) == {"address": ""}
    address = link_of(client, plan.id)
    assert ok(client.get(there)) == {"address": address}
    # 128 random bits in base 64 (RFC 4648, 5) are 22 letters.
    assert re.fullmatch(r"/view/[A-Za-z0-9_-]{22}", address)
    assert link_of(client, plan.id) == address
    page = client.get(address, headers=BROWSER)
    assert page.headers["content-type"].startswith("text/html")
    assert "Small quilt" in page.text
    assert plan.id not in page.text + str(page.headers)
    assert "/api/" not in page.text
    policy = page.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "script-src" not in policy
    assert page.headers["x-robots-tag"] == "noindex"


def test_the_link_shows_the_newest_state(client: TestClient, plan: Saved) -> None:
    address = link_of(client, plan.id)
    ok(client.patch(f"/api/plans/{plan.id}/brief", json={"title": "Evening"}))
    assert "Evening" in client.get(address).text


def test_a_visitor_can_try_the_pattern_with_the_word_of_the_link_alone(
    client: TestClient, plan: Saved
) -> None:
    word = link_of(client, plan.id).removeprefix("/view/")
    assert f'href="/#pattern={word}"' in client.get(f"/view/{word}").text
    tried = ok(client.post("/api/plans", json={"pattern_of": word}))
    assert tried["id"] != plan.id
    assert tried["plan"]["brief"]["swatches"] == []
    before = ok(client.get(f"/api/plans/{plan.id}"))["plan"]["brief"]
    assert tried["plan"]["brief"]["setting"] == before["setting"]
    problem(client.get(f"/api/plans/{word}"), 404)


def test_a_link_that_was_withdrawn_leads_nowhere(client: TestClient, plan: Saved) -> None:
    address = link_of(client, plan.id)
    assert client.delete(f"/api/plans/{plan.id}/link").status_code == 204
    assert ok(client.get(f"/api/plans/{plan.id}/link")) == {"address": ""}
    assert "withdrawn" in problem(client.get(address), 404)
    page = client.get(address, headers=BROWSER)
    assert page.status_code == 404
    assert page.headers["content-type"].startswith("text/html")
    assert "withdrawn" in page.text
    word = address.removeprefix("/view/")
    problem(client.post("/api/plans", json={"pattern_of": word}), 404)
    assert link_of(client, plan.id) != address


def test_a_pattern_without_a_layout_says_that_it_is_still_being_made(client: TestClient) -> None:
    address = link_of(client, ok(client.post("/api/plans"))["id"])
    assert "still at work" in problem(client.get(address), 409)
    assert "still at work" in client.get(address, headers=BROWSER).text


def test_nothing_is_found_by_a_plans_id_or_with_no_word(client: TestClient, plan: Saved) -> None:
    link_of(client, plan.id)
    problem(client.get(f"/view/{plan.id}"), 404)
    problem(client.get("/view/"), 404)
    for path in ("/api/plans/none/link",):
        problem(client.post(path), 404)
        problem(client.delete(path), 404)
