"""The page's files over the wire."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from fastapi.testclient import TestClient

from api.web.app import GZIP_FROM, create_app
from tests.api.talk import problem

if TYPE_CHECKING:
    from pathlib import Path

    from api.photos.worker_pool import Reader
    from api.storage.store import Store


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/", "text/html; charset=utf-8"),
        ("/app.js", "text/javascript; charset=utf-8"),
        ("/guide.html", "text/html; charset=utf-8"),
        ("/page.css", "text/css; charset=utf-8"),
        ("/icon.svg", "image/svg+xml"),
    ],
)
def test_every_file_is_served_with_its_type_a_tag_and_the_pages_policy(
    client: TestClient, path: str, kind: str
) -> None:
    answer = client.get(path)
    assert answer.headers["content-type"] == kind
    assert ("content-encoding" in answer.headers) == (len(answer.content) >= GZIP_FROM)
    assert answer.headers["cache-control"] == "no-cache"
    assert "default-src 'none'" in answer.headers["content-security-policy"]
    assert answer.headers["x-content-type-options"] == "nosniff"
    tag = answer.headers["etag"]
    again = client.get(path, headers={"if-none-match": tag})
    assert (again.status_code, again.content) == (304, b"")
    head = client.head(path)
    assert (head.status_code, head.content) == (200, b"")
    assert head.headers["content-length"] == answer.headers["content-length"]


def test_who_does_not_take_gzip_gets_the_same_plain(client: TestClient) -> None:
    plain = client.get("/app.js", headers={"accept-encoding": "identity"})
    assert "content-encoding" not in plain.headers
    assert plain.content == client.get("/app.js").content
    assert int(plain.headers["content-length"]) == len(plain.content)


def test_what_is_no_part_of_the_page_is_not_served(client: TestClient) -> None:
    for path in (
        "/types.d.ts",
        "/plan/workspace.js",
        "/workspace.js",
        "/types/types.d.ts",
        "/../api/app.py",
        "/static/app.js",
        "//etc/passwd",
        "/app.js/",
    ):
        problem(client.get(path), 404)
    problem(client.post("/app.js"), 405)


def test_a_changed_source_shows_at_once(tmp_path: Path, store: Store, reader: Reader) -> None:
    (tmp_path / "index.html").write_text("one", encoding="utf-8")
    app = create_app(store, reader=reader, static=tmp_path)
    with TestClient(app, base_url="http://127.0.0.1") as client:
        first = client.get("/")
        (tmp_path / "index.html").write_text("another", encoding="utf-8")
        second = client.get("/", headers={"if-none-match": first.headers["etag"]})
    assert (first.text, second.text) == ("one", "another")
