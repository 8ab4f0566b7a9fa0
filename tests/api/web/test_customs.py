"""A body is counted before it is read; what there is too much of is told in a sentence."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from tests.api.talk import problem

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

    from api.storage.kept import Saved

_JSON = {"content-type": "application/json"}


@pytest.mark.parametrize(
    ("body", "status", "words"),
    [
        (b"[" * 50_000, 422, "more than 20 deep"),
        (b'{"borders": [' + b"{}," * 200_000 + b"{}]}", 422, "100000 are the most"),
        (b'{"title": "' + b"a" * 20_000 + b'"}', 422, "a text of 20000 characters"),
        (b" " * 2_000_001, 413, "2 MB of data"),
    ],
    ids=["deep", "many", "long", "large"],
)
def test_a_body_that_is_too_much_is_refused(
    client: TestClient, plan: Saved, body: bytes, status: int, words: str
) -> None:
    answer = client.patch(f"/api/plans/{plan.id}/brief", content=body, headers=_JSON)
    assert words in problem(answer, status)


def test_a_body_that_grows_too_large_in_pieces_is_refused(client: TestClient, plan: Saved) -> None:
    answer = client.patch(
        f"/api/plans/{plan.id}/brief", content=(b" " * 500_000 for _ in range(5)), headers=_JSON
    )
    assert "2 MB of data" in problem(answer, 413)


def test_the_first_faults_of_many_are_listed(client: TestClient, plan: Saved) -> None:
    body = {"pins": [{"cell": "a", "fabric": 1}] * 300}
    answer = client.patch(f"/api/plans/{plan.id}/brief", content=json.dumps(body), headers=_JSON)
    assert "(and 599 more)" in problem(answer, 422)
    assert len(answer.json()["errors"]) == 20
