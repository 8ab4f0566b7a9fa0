"""Picks exchanged by hand, and blocks that look alike, over HTTP."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from tests.api.talk import Json, ok, problem

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

    from api.storage.kept import Saved

EXTRA = {"#4a5a30": "Fern", "#e8e0d0": "Oat", "#203858": "Ink"}


@pytest.fixture
def wide(client: TestClient, plan: Saved) -> Json:
    """Return a plan of seven fabrics of which three are wanted."""
    here = f"/api/plans/{plan.id}"
    for colour, name in EXTRA.items():
        client.post(f"{here}/colours", json={"colour": colour, "name": name})
    return ok(client.patch(f"{here}/brief", json={"count": 3}))


def test_each_left_out_fabric_says_what_it_would_do(client: TestClient, wide: Json) -> None:
    here = f"/api/plans/{wide['id']}"
    out = wide["plan"]["choice"]["kept"][0]
    found = client.get(f"{here}/picks/tries", params={"out": out}).json()
    left = {entry["fabric"] for entry in wide["plan"]["choice"]["left_out"]}
    assert {entry["fabric"] for entry in found} == left
    assert found[-1]["fabric"] == "oat"
    assert "sinks into" in found[-1]["sentence"]
    able = [entry["closest_after"] for entry in found[:-1]]
    assert able == sorted(able, reverse=True)
    assert ok(client.get(here))["revision"] == wide["revision"]


def test_a_swap_is_one_change_and_at_least_as_good_as_told(client: TestClient, wide: Json) -> None:
    here = f"/api/plans/{wide['id']}"
    out = wide["plan"]["choice"]["kept"][0]
    (best, *_) = client.get(f"{here}/picks/tries", params={"out": out}).json()
    view = ok(client.post(f"{here}/picks/swap", json={"out": out, "in": best["fabric"]}))
    choice = view["plan"]["choice"]
    assert view["revision"] == wide["revision"] + 1
    assert best["fabric"] in choice["kept"]
    assert out not in choice["kept"]
    assert choice["closest"] >= best["closest_after"] - 1e-6
    assert choice["proved"]
    marks = {s["fabric"]["id"]: s for s in view["plan"]["brief"]["swatches"]}
    assert (marks[out]["leave_out"], marks[best["fabric"]]["must_use"]) == (True, True)
    assert out not in view["plan"]["layout"]["fabrics"]
    assert best["fabric"] in view["plan"]["layout"]["fabrics"]
    lines = client.get(f"{here}/revisions").json()
    assert lines[-1]["what"] == "Swapped a fabric for another"
    assert ok(client.post(f"{here}/undo"))["plan"] == wide["plan"]


def test_what_was_decided_on_a_fabric_passes_to_the_one_that_comes(
    client: TestClient, wide: Json
) -> None:
    here = f"/api/plans/{wide['id']}"
    out, second, third = wide["plan"]["choice"]["kept"]
    copies = [{"fabric": f, "cells": n} for f, n in ((out, 3), (second, 2), (third, 1))]
    wish = {"pins": [{"cell": 2, "fabric": out}], "copies": copies}
    ok(client.patch(f"{here}/brief", json=wish))
    into = next(
        e["fabric"] for e in wide["plan"]["choice"]["left_out"] if e["reason"] == "not needed"
    )
    view = ok(client.post(f"{here}/picks/swap", json={"out": out, "in": into}))
    assert view["plan"]["brief"]["pins"] == [{"cell": 2, "fabric": into}]
    assert {"fabric": into, "cells": 3} in view["plan"]["brief"]["copies"]
    if view["plan"]["layout"]:
        assert view["plan"]["layout"]["fabrics"][2] == into


@pytest.mark.parametrize(
    ("out", "into", "says"),
    [
        ("velvet", "fern", "'velvet' is not among the picks"),
        ("oat", "ink", "'oat' is not among the picks"),
        (None, None, "no left-out fabric"),
        (None, "velvet", "no left-out fabric 'velvet'"),
    ],
)
def test_only_a_chosen_and_a_left_out_one_change_places(
    client: TestClient, wide: Json, out: str | None, into: str | None, says: str
) -> None:
    kept = wide["plan"]["choice"]["kept"]
    wish = {"out": out or kept[0], "in": into or kept[1]}
    text = problem(client.post(f"/api/plans/{wide['id']}/picks/swap", json=wish), 422)
    assert says in text
    assert ok(client.get(f"/api/plans/{wide['id']}"))["revision"] == wide["revision"]


def test_wrong_questions_are_told(client: TestClient, wide: Json) -> None:
    here = f"/api/plans/{wide['id']}/picks"
    problem(client.get(f"{here}/tries"), 422)
    problem(client.get(f"{here}/tries", params={"out": "velvet"}), 404)
    assert "not among the picks" in problem(client.get(f"{here}/tries", params={"out": "oat"}), 409)
    problem(client.post(f"{here}/swap", json={"out": "moss"}), 422)
    problem(client.post(f"{here}/swap", json={"out": "moss", "into": "oat"}), 422)
    problem(client.get("/api/plans/none/picks/tries", params={"out": "moss"}), 404)


def test_the_blocks_most_alike_are_listed_nearest_first(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}"
    view = ok(client.get(here))
    found = client.get(f"{here}/layout/near", params={"most": 500}).json()
    # Three blocks across and two down: 7 edges and 4 points.
    assert [pair["touch"] for pair in found].count("edge") == 7
    assert [pair["touch"] for pair in found].count("point") == 4
    assert all(one["difference"] <= other["difference"] for one, other in pairwise(found))
    edges = [pair["difference"] for pair in found if pair["touch"] == "edge"]
    assert min(edges) == pytest.approx(view["plan"]["quality"]["closest"], abs=1e-5)
    assert found[:2] == client.get(f"{here}/layout/near", params={"most": 2}).json()


def test_one_fabric_that_touches_itself_comes_first(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}"
    pins = [{"cell": cell, "fabric": "moss"} for cell in (0, 1, 5)]
    wish = {"pins": [*pins, {"cell": 4, "fabric": ""}]}
    ok(client.patch(f"{here}/brief", json=wish))
    first, second, *_ = client.get(f"{here}/layout/near").json()
    assert (first["first"], first["second"], first["touch"]) == (0, 1, "edge")
    assert (second["first"], second["second"], second["touch"]) == (1, 5, "point")
    assert first["difference"] == 0
    assert first["sentence"] == (
        "Two blocks of 'moss' touch along an edge (row 1, place 1, and row 1, place 2)."
    )
    cells = {c for p in client.get(f"{here}/layout/near").json() for c in (p["first"], p["second"])}
    assert 4 not in cells


def test_without_a_layout_there_is_nothing_near(client: TestClient) -> None:
    plan = ok(client.post("/api/plans"))["id"]
    problem(client.get(f"/api/plans/{plan}/layout/near"), 409)
    problem(client.get(f"/api/plans/{plan}/layout/near", params={"most": 0}), 422)


def test_the_other_picks_stay_on_request_and_then_it_is_just_as_told(
    client: TestClient, wide: Json
) -> None:
    here = f"/api/plans/{wide['id']}"
    out, *rest = wide["plan"]["choice"]["kept"]
    (best, *_) = client.get(f"{here}/picks/tries", params={"out": out}).json()
    wish = {"out": out, "in": best["fabric"], "keep": True}
    choice = ok(client.post(f"{here}/picks/swap", json=wish))["plan"]["choice"]
    assert set(choice["kept"]) == {*rest, best["fabric"]}
    assert choice["closest"] == pytest.approx(best["closest_after"])


def test_across_sashing_blocks_face_each_other(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}"
    ok(client.patch(f"{here}/brief", json={"setting": {"sashing": "1"}}))
    words = {p["touch"]: p["sentence"] for p in client.get(f"{here}/layout/near?most=99").json()}
    assert "face each other across the sashing" in words["edge"]
    assert "lie corner to corner" in words["point"]
