"""Answers in JSON over the wire: packed for those who take it, and nothing else is touched."""

from __future__ import annotations

import gzip
import json

import pytest
from fastapi.testclient import TestClient
from starlette.datastructures import Headers

from api.storage.store import Saved
from api.web.middleware.packing import LEAST, takes_gzip

PACKED = {"accept-encoding": "gzip"}
PLAIN = {"accept-encoding": "identity"}


def test_a_swap_answers_the_same_packed_and_plain_at_a_fraction_of_the_size(
    client: TestClient, plan: Saved
) -> None:
    swap = {"first": 0, "second": 1}
    address = f"/api/plans/{plan.id}/layout/swap"
    with client.stream("POST", address, json=swap, headers=PACKED) as answer:
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
    events = {**PACKED, "accept": "text/event-stream"}
    answers = [
        client.get("/api/health", headers=PACKED),
        client.get(picture, headers=PACKED),
        client.get(f"{here}/drawings/cloth.png", headers=PACKED),
        client.get(f"{here}/plan.zip", headers=PACKED),
        client.post(f"{here}/layout", json={}, headers=events),
    ]
    for answer in answers:
        assert answer.status_code == 200
        assert "content-encoding" not in answer.headers
    assert len(answers[0].content) < LEAST < len(answers[2].content)
    assert "event: plan" in answers[-1].text


@pytest.mark.parametrize(
    ("wish", "taken"),
    [
        ("gzip", True),
        ("br;q=1.0, GZIP;q=0.8, *;q=0.1", True),
        ("gzip;q=0.001", True),
        ("deflate, br", False),
        ("gzip;q=0, identity", False),
        ("gzip; q=0.000", False),
        ("x-gzipped", False),
        ("", False),
    ],
)
def test_who_takes_gzip_is_read_from_the_header_and_its_weights(wish: str, taken: bool) -> None:
    # RFC 9110, 12.4.2 and 12.5.3: a weight of 0 means 'not acceptable'.
    assert takes_gzip(Headers({"accept-encoding": wish})) is taken
