"""The steps of the page, and how its tests ask the program behind it."""

from __future__ import annotations

import json
import urllib.request
from typing import Any

PATIENCE = 60
"""Seconds an answer may take on a busy machine."""
STEPS = (
    "fabrics",
    "background",
    "picks",
    "setting",
    "layout",
    "finish",
    "cutting",
    "variants",
    "keep",
)
"""The steps beside the quilt, from top to bottom."""


def send(address: str, method: str, path: str, body: object = None) -> Any:
    """Send a request with JSON; return the JSON of its answer."""
    data = None if body is None else json.dumps(body).encode()
    head = {"Content-Type": "application/json"}
    request = urllib.request.Request(address + path, data, head, method=method)
    with urllib.request.urlopen(request, timeout=PATIENCE) as answer:
        return json.load(answer)


def begin(address: str, title: str | None = None, **wish: Any) -> str:
    """Begin a copy of the sample that no other test touches, with other decisions; its id."""
    plan = str(send(address, "POST", "/api/plans", {"sample": True, "title": title})["id"])
    if wish:
        send(address, "PATCH", f"/api/plans/{plan}/brief", wish)
    return plan


def seen(address: str, plan: str) -> Any:
    """Return a plan as a page sees it."""
    return send(address, "GET", f"/api/plans/{plan}")
