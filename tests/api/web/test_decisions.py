"""Decisions over HTTP: what they change, how they are undone, and wrong ones."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from api.pattern.decision import plain
from tests.api.talk import Json, ok, problem

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

    from api.storage.kept import Saved


def test_decisions_are_undone_and_redone_with_their_words(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}"
    before = ok(client.get(here))
    after = ok(client.post(f"{here}/layout/swap", json={"first": 0, "second": 1}))
    assert after["plan"]["by_hand"]
    layout, swapped = before["plan"]["layout"]["fabrics"], after["plan"]["layout"]["fabrics"]
    assert swapped == [layout[1], layout[0], *layout[2:]]
    undone = ok(client.post(f"{here}/undo"))
    assert undone["plan"] == before["plan"]
    assert (undone["can_undo"], undone["can_redo"]) == (False, True)
    assert ok(client.post(f"{here}/redo"))["plan"] == after["plan"]
    words = [line["what"] for line in client.get(f"{here}/revisions").json()]
    assert words == ["Began", "Swapped two blocks"]
    assert problem(client.post(f"{here}/redo"), 409) == "There is nothing to redo in this plan."


def test_locked_blocks_stay_when_the_rest_is_arranged_anew(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}"
    view = ok(client.put(f"{here}/layout/pins/2", json={"pinned": True}))
    fabric = view["plan"]["layout"]["fabrics"][2]
    assert view["plan"]["layout"]["pinned"] == [2]
    for _ in range(3):
        view = ok(client.post(f"{here}/layout"))
        assert view["plan"]["layout"]["fabrics"][2] == fabric
    assert view["plan"]["brief"]["seed"] == 4
    assert "locked" in problem(
        client.post(f"{here}/layout/swap", json={"first": 2, "second": 3}), 422
    )
    view = ok(client.put(f"{here}/layout/pins/2", json={"pinned": False}))
    assert view["plan"]["layout"]["pinned"] == []


def test_sashing_is_decided_like_everything_else(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}"
    before = client.get(here).json()
    wish = {"setting": {"sashing": "1 1/2", "cornerstones": True}, "sashing_fabric": "moss"}
    view = ok(client.patch(f"{here}/brief", json=wish))
    # The same blocks in the same places, none turned, with sashing between.
    assert view["plan"]["layout"]["fabrics"] == before["plan"]["layout"]["fabrics"]
    assert view["plan"]["layout"]["turned"] == []
    parts = {(piece["part"], piece["fabric"]) for piece in view["around"]}
    assert {("sashing", "moss"), ("cornerstone", "moss")} <= parts
    assert any("1 1/2 in sashing and cornerstones" in line for line in view["summary"])
    wide = problem(client.patch(f"{here}/brief", json={"setting": {"sashing": "20"}}), 422)
    assert "not narrower than a block" in wide
    unknown = problem(client.patch(f"{here}/brief", json={"sashing_fabric": "none"}), 422)
    assert "no fabric 'none' for the sashing" in unknown
    view = ok(client.delete(f"{here}/fabrics/moss"))
    assert view["plan"]["brief"]["sashing_fabric"] == ""


def test_the_same_seed_gives_the_same_layout(client: TestClient, plan: Saved) -> None:
    first = ok(client.post(f"/api/plans/{plan.id}/layout", json={"seed": 9}))
    ok(client.post(f"/api/plans/{plan.id}/layout", json={"seed": 10}))
    again = ok(client.post(f"/api/plans/{plan.id}/layout", json={"seed": 9}))
    assert again["plan"] == first["plan"]


def test_suggested_swaps_do_what_they_say(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}"
    swaps = client.get(f"{here}/layout/swaps", params={"most": 3}).json()
    assert len(swaps) <= 3
    for swap in swaps:
        pair = {"first": swap["first"], "second": swap["second"]}
        before = ok(client.get(here))["plan"]["quality"]
        after = ok(client.post(f"{here}/layout/swap", json=pair))["plan"]["quality"]
        assert after["closest"] == pytest.approx(swap["closest_after"])
        told = swap["sentence"]
        assert ("like colours" in told) == (after["spread"] > 1.005 * before["spread"])
        assert ("evenly" in told) == (after["evenness"] < 0.995 * before["evenness"])
        assert ("blocks apart" in told) == (after["copies_apart"] > before["copies_apart"] + 0.05)
        ok(client.post(f"{here}/undo"))


def test_a_fabric_can_be_renamed_marked_and_removed(client: TestClient, plan: Saved) -> None:
    fabric = f"/api/plans/{plan.id}/fabrics/moss"
    wish = {"name": " Moss\tgreen ", "must_use": True, "shows": "215 mm"}
    view = ok(client.patch(fabric, json=wish))
    swatch = next(s for s in view["plan"]["brief"]["swatches"] if s["fabric"]["id"] == "moss")
    assert (swatch["fabric"]["name"], swatch["must_use"]) == ("Moss green", True)
    assert (swatch["shows"], swatch["shows_given"]) == ("215 mm", True)
    view = ok(client.patch(fabric, json={"leave_out": True}))
    swatch = next(s for s in view["plan"]["brief"]["swatches"] if s["fabric"]["id"] == "moss")
    assert (swatch["must_use"], swatch["leave_out"]) == (False, True)
    assert "moss" not in view["plan"]["layout"]["fabrics"]
    view = ok(client.delete(fabric))
    assert "moss" not in view["colours"]
    problem(client.delete(fabric), 404)


def test_both_marks_at_once_contradict_each_other(client: TestClient, plan: Saved) -> None:
    wish = {"must_use": True, "leave_out": True}
    answer = client.patch(f"/api/plans/{plan.id}/fabrics/moss", json=wish)
    assert "drop one mark" in problem(answer, 422)


def test_a_removed_fabric_is_mentioned_nowhere(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}"
    wish = {
        "pins": [{"cell": 0, "fabric": "moss"}],
        "bans": [{"cell": 1, "fabrics": ["moss", "brick"]}],
        "borders": [{"width": "2", "fabric": "moss"}, {"width": "1 1/2"}],
        "sewing": {"cloths": [{"fabric": "moss", "form": "fat eighth"}]},
        "binding_fabric": "moss",
        "backing_fabric": "moss",
        "second_fabric": "moss",
        "copies": [{"fabric": f, "cells": c} for f, c in (("moss", 2), ("brick", 4))],
    }
    ok(client.patch(f"{here}/brief", json=wish))
    view = ok(client.delete(f"{here}/fabrics/moss"))
    assert "moss" not in json.dumps(view["plan"]["brief"])
    assert ok(client.delete(f"{here}/fabrics/linen"))["plan"]["background"] == ""


def test_what_changes_nothing_makes_no_revision(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}"
    assert ok(client.patch(f"{here}/brief", json={}))["revision"] == 1
    assert ok(client.patch(f"{here}/brief", json={"title": "Small quilt"}))["revision"] == 1
    assert ok(client.patch(f"{here}/fabrics/moss", json={"name": None}))["revision"] == 1


def test_pins_of_other_cells_are_dropped_with_the_old_setting(
    client: TestClient, plan: Saved
) -> None:
    here = f"/api/plans/{plan.id}"
    ok(client.put(f"{here}/layout/pins/5", json={"pinned": True}))
    view = ok(client.patch(f"{here}/brief", json={"setting": {"across": 2}}))
    assert view["plan"]["brief"]["pins"] == []
    assert view["plan"]["brief"]["setting"]["down"] == 2
    assert len(view["plan"]["layout"]["fabrics"]) == 4


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"colour": "red"}, "Colour: Extra inputs are not permitted"),
        ({"count": "5"}, "count"),
        ({"count": 0}, "count"),
        ({"count": True}, "count"),
        ({"apart": 1.5}, "apart"),
        ({"borders": [{"width": "4 apples"}]}, "is not a length; write inches as 8 1/2"),
        ({"borders": [{"width": "99999 in"}]}, "at most 1000 inches"),
        ({"borders": [{"width": False}]}, "a length is text"),
        ({"borders": [{"width": "0"}]}, "borders 1 width: must be above 0 and at most"),
        ({"borders": [{"width": "1"}] * 9}, "borders"),
        ({"borders": [{"width": "1", "fabric": "velvet"}]}, "no fabric 'velvet' for the border"),
        ({"binding_fabric": "velvet"}, "no fabric 'velvet' for the binding"),
        ({"second_fabric": "velvet"}, "no fabric 'velvet' for the second feature"),
        ({"setting": {"across": 51}}, "across: must be from 1 to 50, not 51"),
        ({"sewing": {"seam": "3"}}, "seam: must be above 0 and at most 2 inches, not 3"),
        ({"sewing": {"form": "duvet"}}, "there is no form of cloth 'duvet'; choose one of"),
        ({"setting": {"block_size": "0"}}, "block"),
        ({"title": "\u0007 \u200b"}, "one character that can be seen"),
        ({"title": "x" * 121}, "title"),
        ({"block": "no-such-block"}, "there is no block 'no-such-block'; choose one of"),
        ({"background": "nowhere"}, "no background 'nowhere'"),
        ({"pins": [{"cell": 6, "fabric": ""}]}, "no block 6; this setting has 0 to 5"),
        ({"pins": [{"cell": 0, "fabric": ""}, {"cell": 0, "fabric": "moss"}]}, "locked twice"),
        ({"pins": [{"cell": 0, "fabric": "velvet"}]}, "no fabric 'velvet'"),
        ({"limits": {"lost": 30.0}}, "lost (30) must not lie above clear"),
        ({"seed": -1}, "seed"),
        ({"seed": 2**31}, "seed"),
        ({"units": "cubits"}, "units"),
    ],
)
def test_a_wrong_decision_is_told_with_its_field_and_nothing_is_changed(
    client: TestClient, plan: Saved, change: Json, says: str
) -> None:
    text = problem(client.patch(f"/api/plans/{plan.id}/brief", json=change), 422)
    assert says.casefold() in text.casefold()
    assert ok(client.get(f"/api/plans/{plan.id}"))["revision"] == 1


def test_every_wrong_field_is_listed(client: TestClient, plan: Saved) -> None:
    wish = {"count": 0, "apart": 2.0, "setting": {"across": 0}}
    answer = client.patch(f"/api/plans/{plan.id}/brief", json=wish)
    assert problem(answer, 422).endswith("(and 2 more).")
    wheres = {fault["where"] for fault in answer.json()["errors"]}
    assert wheres == {"body.count", "body.apart", "body.setting.across"}


@pytest.mark.parametrize(
    ("body", "kind"),
    [
        (b"{", "application/json"),
        (b'{"apart": NaN}', "application/json"),
        (b"{}", "text/plain"),
        (b"\xff", "application/json"),
    ],
)
def test_a_body_that_is_not_json_is_refused(
    client: TestClient, plan: Saved, body: bytes, kind: str
) -> None:
    answer = client.patch(
        f"/api/plans/{plan.id}/brief", content=body, headers={"content-type": kind}
    )
    problem(answer, 400 if body == b"\xff" else 422)


def test_a_visitor_tries_the_pattern_with_fabrics_of_her_own(
    client: TestClient, plan: Saved
) -> None:
    before = ok(client.get(f"/api/plans/{plan.id}"))
    read = client.get(f"/api/plans/{plan.id}/booklet.html").text
    assert f'href="/#pattern={plan.id}"' in read
    tried = ok(client.post("/api/plans", json={"pattern_of": plan.id}))
    assert tried["id"] != plan.id
    for part in ("setting", "block", "borders"):
        assert tried["plan"]["brief"][part] == before["plan"]["brief"][part]
    assert tried["plan"]["brief"]["swatches"] == []
    assert ok(client.get(f"/api/plans/{plan.id}")) == before
    assert "no plan" in problem(client.post("/api/plans", json={"pattern_of": "0" * 16}), 404)


def test_any_state_in_the_list_of_changes_can_be_gone_to(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}"
    for title in ("One", "Two"):
        ok(client.patch(f"{here}/brief", json={"title": title}))
    first = ok(client.post(f"{here}/revisions/1"))
    assert (first["revision"], first["can_undo"], first["can_redo"]) == (1, False, True)
    assert [line["current"] for line in client.get(f"{here}/revisions").json()] == [
        True,
        False,
        False,
    ]
    assert ok(client.post(f"{here}/revisions/3"))["plan"]["brief"]["title"] == "Two"
    assert "no revision 7" in problem(client.post(f"{here}/revisions/7"), 404)
    stale = client.post(f"{here}/revisions/1", headers={"if-match": '"1"'})
    problem(stale, 412)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(name=st.text(min_size=1, max_size=80))
@example(name='Moss: dark, no. 2 (and "ink")')
def test_any_name_goes_through_the_body_as_it_is_shown(
    client: TestClient, plan: Saved, name: str
) -> None:
    here = f"/api/plans/{plan.id}"
    body = json.dumps({"name": name}).encode()
    head = {"content-type": "application/json"}
    answer = client.patch(f"{here}/fabrics/moss", content=body, headers=head)
    if not plain(name) or not all(map(_writable, name)):
        assert answer.status_code in (400, 422)
        return
    ok(answer)
    brief = ok(client.get(here))["plan"]["brief"]
    called = {s["fabric"]["id"]: s["fabric"]["name"] for s in brief["swatches"]}
    assert called["moss"] == plain(name)


def _writable(sign: str) -> bool:
    """Whether UTF-8 knows a sign: halves of a surrogate pair it does not (RFC 3629, 3)."""
    return not "\ud800" <= sign <= "\udfff"
