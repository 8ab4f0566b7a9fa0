"""The booklet over HTTP."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

    from api.storage.kept import Saved


def test_the_booklet_comes_as_a_pdf_named_after_the_plan(client: TestClient, plan: Saved) -> None:
    answer = client.get(f"/api/plans/{plan.id}/booklet.pdf?paper=a4&ink=black&designer=Maren")
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/pdf"
    assert 'filename="small-quilt.pdf"' in answer.headers["content-disposition"]
    assert answer.content.startswith(b"%PDF-")


def test_the_booklet_comes_as_a_page_that_may_run_nothing(client: TestClient, plan: Saved) -> None:
    answer = client.get(f"/api/plans/{plan.id}/booklet.html")
    assert answer.status_code == 200
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "script-src" not in policy
    assert "Small quilt" in answer.text


@pytest.mark.parametrize("query", ["paper=legal", "ink=gold", "designer=" + "x" * 300])
def test_an_edition_that_can_not_be_is_a_problem(
    client: TestClient, plan: Saved, query: str
) -> None:
    answer = client.get(f"/api/plans/{plan.id}/booklet.pdf?{query}")
    assert answer.status_code == 422
    assert answer.headers["content-type"] == "application/problem+json"


def test_a_plan_without_a_layout_has_no_booklet(client: TestClient) -> None:
    made = client.post("/api/plans", json={"title": "Empty"}).json()
    for form in ("pdf", "html"):
        answer = client.get(f"/api/plans/{made['id']}/booklet.{form}")
        assert answer.status_code == 409
        assert "layout" in answer.json()["detail"]
