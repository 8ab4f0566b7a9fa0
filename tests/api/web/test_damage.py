"""What is damaged hides nothing else, and is told as what it is."""

from __future__ import annotations

import io
import sqlite3
import zipfile
from typing import TYPE_CHECKING

import pytest

from tests.api.talk import ok, problem

if TYPE_CHECKING:
    from pathlib import Path

    from fastapi.testclient import TestClient

    from api.storage.kept import Draft, Saved
    from api.storage.store import Store


@pytest.mark.parametrize("body", [b"no zlib stream", b"x\x9c\x03\x00\x00\x00\x00\x01"])
def test_one_plan_that_cant_be_read_is_listed_as_such_and_hides_no_other(
    body: bytes,
    client: TestClient,
    store: Store,
    plan: Saved,
    finished: Draft,
    tmp_path: Path,
) -> None:
    other = store.add(finished, like=plan.id)
    link = sqlite3.connect(tmp_path / "plans.sqlite3")
    link.execute("update revisions set body = ? where plan = ?", (body, plan.id))
    link.commit()
    link.close()
    lines = {line["id"]: line for line in ok(client.get("/api/plans"))}
    assert lines.keys() == {plan.id, other.id}
    assert (bool(lines[plan.id]["problem"]), lines[other.id]["problem"]) == (True, "")
    assert ok(client.get(f"/api/plans/{other.id}"))["id"] == other.id
    assert [line["id"] for line in ok(client.get(f"/api/plans/{other.id}/variants"))] == [other.id]
    assert plan.id in problem(client.get(f"/api/plans/{plan.id}"), 500)
    assert client.delete(f"/api/plans/{plan.id}").status_code == 204
    assert [line["id"] for line in ok(client.get("/api/plans"))] == [other.id]


def test_a_corrupt_entry_is_told_whatever_packed_it(client: TestClient, finished: Draft) -> None:
    for method in (zipfile.ZIP_LZMA, zipfile.ZIP_BZIP2, zipfile.ZIP_DEFLATED):
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", method) as archive:
            archive.writestr("plan.json", finished.body)
        data = bytearray(out.getvalue())
        # Behind the local header of 30 bytes and the name (APPNOTE.TXT, 4.3.7).
        for place in range(60, 120):
            data[place] ^= 0xFF
        sent = {"file": ("plan.zip", bytes(data), "application/zip")}
        assert "damaged" in problem(client.post("/api/plans/open", files=sent), 422)
