"""A change answers what changed: a JSON Patch that an independent library applies."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import jsonpatch
import pytest
from fastapi.testclient import TestClient
from hypothesis import given
from hypothesis import strategies as st

from api.pattern.stored import from_json, stored, to_json, whole
from api.web.app import create_app
from api.web.routes.plans import sample_draft
from api.web.wire.patch import difference
from tests.api.conftest import WHOLE
from tests.api.talk import Json, files, ok

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fastapi import FastAPI

    from api.photos.worker_pool import Reader
    from api.storage.kept import Saved
    from api.storage.store import Store

MOST_SWAP = 4096
"""Bytes of the answer to a swap in the sample, before packing: what was set as the goal."""
MOST_SAVED = 40_000
"""Bytes of the saved sample, what its prints show in patches included."""

_values = st.recursive(
    st.none() | st.booleans() | st.integers(-3, 3) | st.sampled_from(["", "a", "a/b", "~1"]),
    lambda inner: (
        st.lists(inner, max_size=5)
        | st.dictionaries(st.sampled_from(["a", "b", "c/d", "e~f"]), inner, max_size=4)
    ),
    max_leaves=12,
)


@given(_values, _values)
def test_a_difference_makes_one_value_of_another(before: Any, after: Any) -> None:
    steps = difference(before, after)
    # python-json-patch, an implementation of RFC 6902 that shares no code with this one.
    assert jsonpatch.apply_patch(before, steps) == after
    assert bool(steps) == (before != after)


@pytest.fixture
def light(app: FastAPI) -> Iterator[TestClient]:
    """Return a client that asks for nothing but what changed, as the page does."""
    with TestClient(app, base_url="http://127.0.0.1") as opened:
        yield opened


def _after(view: Json, change: Json) -> Json:
    """Return the view that a change leads to."""
    assert (change["id"], change["base"]) == (view["id"], view["revision"])
    own: Json = {name: change[name] for name in ("revision", "can_undo", "can_redo")}
    return jsonpatch.apply_patch(view, change["patch"]) | own


def test_every_kind_of_change_leads_to_the_plan_as_it_stands(
    light: TestClient, plan: Saved, photo: Any
) -> None:
    here = f"/api/plans/{plan.id}"
    view = ok(light.get(here))
    steps: list[tuple[str, str, Any]] = [
        ("POST", "layout/swap", {"first": 0, "second": 1}),
        ("PUT", "layout/pins/2", {"pinned": True}),
        ("PATCH", "brief", {"title": "Other", "count": 3, "setting": {"down": 3}}),
        ("PATCH", "brief", {"count": None, "borders": [], "sewing": {"form": "fat eighth"}}),
        ("PATCH", "fabrics/moss", {"name": 'Moss: dark, no. 2 (and "ink")'}),
        ("POST", "colours", {"colour": "#2040a0"}),
        ("DELETE", "fabrics/brick", None),
        ("POST", "layout", {}),
        ("POST", "undo", None),
        ("POST", "undo", None),
        ("POST", "redo", None),
        ("POST", "revisions/2", None),
    ]
    for method, path, body in steps:
        change = ok(light.request(method, f"{here}/{path}", json=body))
        view = _after(view, change)
        assert view == ok(light.get(here)), path
    upload = ok(light.post(f"{here}/fabrics", files=files(("plum.jpg", photo((110, 60, 96))))))
    assert _after(view, upload["plan"]) == ok(light.get(here))


def test_a_change_is_answered_with_the_whole_plan_if_that_is_preferred(
    light: TestClient, plan: Saved
) -> None:
    here = f"/api/plans/{plan.id}"
    swap = {"first": 0, "second": 1}
    # RFC 7240, 4.2.
    whole = ok(light.post(f"{here}/layout/swap", json=swap, headers=WHOLE))
    assert whole == ok(light.get(here))


def test_the_sample_is_kept_small_and_a_swap_in_it_is_answered_shortly(
    store: Store, reader: Reader
) -> None:
    draft = sample_draft()
    assert len(draft.body.encode()) <= MOST_SAVED
    assert whole(stored(draft.body)) == from_json(draft.body)
    assert to_json(from_json(draft.body)) == draft.body
    with TestClient(create_app(store, reader=reader), base_url="http://127.0.0.1") as client:
        here = f"/api/plans/{store.add(draft).id}"
        fabrics = ok(client.get(here))["plan"]["layout"]["fabrics"]
        other = next(k for k, fabric in enumerate(fabrics) if fabric != fabrics[0])
        answer = client.post(f"{here}/layout/swap", json={"first": 0, "second": other})
        assert ok(answer)["patch"]
        assert len(answer.content) <= MOST_SWAP
