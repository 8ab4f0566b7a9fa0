"""Answers over the wire: texts as gzip for those who take it, the rest as it is."""

from __future__ import annotations

import gzip
import json
from typing import TYPE_CHECKING

from api.web.app import GZIP_FROM

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

    from api.storage.kept import Saved

GZIP = {"accept-encoding": "gzip"}
PLAIN = {"accept-encoding": "identity"}


def test_a_swap_answers_the_same_packed_and_plain_at_a_fraction_of_the_size(
    client: TestClient, plan: Saved
) -> None:
    swap = {"first": 0, "second": 1}
    address = f"/api/plans/{plan.id}/layout/swap"
    with client.stream("POST", address, json=swap, headers=GZIP) as answer:
        raw = b"".join(answer.iter_raw())
        headers = answer.headers
    assert headers["content-encoding"] == "gzip"
    assert int(headers["content-length"]) == len(raw)
    assert headers["vary"].lower() == "accept-encoding"
    assert headers["etag"] == '"2"'
    plain = client.get(f"/api/plans/{plan.id}", headers=PLAIN)
    assert "content-encoding" not in plain.headers
    assert json.loads(gzip.decompress(raw)) == plain.json()
    assert len(raw) < len(plain.content) / 3


def test_small_answers_pictures_and_events_stay_as_they_are(
    client: TestClient, plan: Saved
) -> None:
    here = f"/api/plans/{plan.id}"
    picture = client.get(here).json()["pictures"]["moss"]
    events = {**GZIP, "accept": "text/event-stream"}
    answers = [
        client.get("/api/health", headers=GZIP),
        client.get(picture, headers=GZIP),
        client.get(f"{here}/drawings/cloth.png", headers=GZIP),
        client.get(f"{here}/plan.zip", headers=GZIP),
        client.post(f"{here}/layout", json={}, headers=events),
    ]
    for answer in answers:
        assert answer.status_code == 200
        assert "content-encoding" not in answer.headers
    assert len(answers[0].content) < GZIP_FROM < len(answers[2].content)
    assert "event: plan" in answers[-1].text
