"""How the tests talk with the server and look at its answers."""

from __future__ import annotations

from typing import Any

Json = dict[str, Any]
PLUM = (110, 60, 96)


def ok(answer: Any) -> Json:
    """Check that an answer is no error; return its JSON."""
    assert answer.status_code in (200, 201), answer.text
    body: Json = answer.json()
    return body


def problem(answer: Any, status: int) -> str:
    """Check that an answer is a problem of that status (RFC 9457, 3.1); return its sentence."""
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    body = answer.json()
    assert body["status"] == status
    assert body["type"] == "about:blank"
    assert body["title"]
    assert not body["detail"][0].islower()
    assert body["detail"].endswith((".", "!", "?"))
    assert set(body) <= {"type", "title", "status", "detail", "errors"}
    return str(body["detail"])


def files(*photos: tuple[str, bytes]) -> list[tuple[str, tuple[str, bytes, str]]]:
    """Return photos as the fields of a form."""
    return [("photos", (name, data, "image/jpeg")) for name, data in photos]
