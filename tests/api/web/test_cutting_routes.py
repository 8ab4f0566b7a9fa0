"""Cutting over HTTP: the book, its text and drawings, the terms of sewing, wrong ones."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from typing import TYPE_CHECKING

import pytest

from tests.api.talk import ok, problem

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

    from api.storage.kept import Saved

OWN = {
    "name": "Rails",
    "columns": ["1", "1", "1"],
    "rows": ["1"],
    "patches": ["F B F"],
}


def test_the_cut_book_comes_as_json_and_as_text(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}"
    book = client.get(f"{here}/cutting").json()
    assert {cloth["verdict"] for cloth in book["cloths"]} <= {"fits", "fits with stacking"}
    assert book["pieces"]
    text = client.get(f"{here}/cutting.txt")
    assert text.headers["content-type"].startswith("text/plain")
    assert "Before you cut" in text.text
    assert "rotary cutter" in text.text


def test_each_fabric_has_its_cutting_drawing(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}/cutting"
    drawn = client.get(f"{here}/moss.svg")
    assert ET.fromstring(drawn.text).tag.endswith("svg")
    assert "sandbox" in drawn.headers["content-security-policy"]
    assert client.get(f"{here}/moss.png").content.startswith(b"\x89PNG")
    assert "velvet" in problem(client.get(f"{here}/velvet.svg"), 404)


def test_terms_of_sewing_are_decisions_like_any_other(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}"
    before = ok(client.get(here))
    wish = {"sewing": {"form": "fat eighth", "seam": "6 mm", "cloths": [
        {"fabric": "moss", "form": "ten-inch square", "count": 2}]}}  # fmt: skip
    after = ok(client.patch(f"{here}/brief", json=wish))
    assert after["plan"]["layout"] == before["plan"]["layout"]
    assert after["plan"]["brief"]["sewing"]["seam"] == "6 mm"
    forms = {
        cloth["fabric"]: cloth["cloth"]["form"]["kind"]
        for cloth in client.get(f"{here}/cutting").json()["cloths"]
    }
    assert forms["moss"] == "ten-inch square"
    assert forms["brick"] == "fat eighth"
    assert ok(client.post(f"{here}/undo"))["plan"] == before["plan"]


def test_a_block_of_her_own_is_cut_and_drawn_until_one_is_named(
    client: TestClient, plan: Saved
) -> None:
    here = f"/api/plans/{plan.id}"
    view = ok(client.patch(f"{here}/brief", json={"own_block": OWN}))
    assert view["plan"]["brief"]["own_block"]["name"] == "Rails"
    assert client.get(f"{here}/drawings/flat.svg").status_code == 200
    assert "rails" in " ".join(view["summary"])
    view = ok(client.patch(f"{here}/brief", json={"block": "shoo-fly"}))
    assert view["plan"]["brief"]["own_block"] is None


def test_every_fault_of_a_block_is_told_at_once(client: TestClient, plan: Saved) -> None:
    wrong = {**OWN, "columns": ["1", "0", "x"], "patches": ["F Q F"]}
    said = problem(client.patch(f"/api/plans/{plan.id}/brief", json={"own_block": wrong}), 422)
    assert "'0'" in said
    assert "'x'" in said


@pytest.mark.parametrize(
    ("sewing", "said"),
    [
        ({"form": "slim quarter"}, "slim quarter"),
        ({"seam": "-1/4"}, "seam"),
        ({"cloths": [{"fabric": "moss", "form": "rug"}]}, "rug"),
        ({"triangles": "three"}, "triangles"),
    ],
)
def test_wrong_terms_are_refused_by_name(
    client: TestClient, plan: Saved, sewing: dict[str, object], said: str
) -> None:
    answer = client.patch(f"/api/plans/{plan.id}/brief", json={"sewing": sewing})
    assert answer.status_code == 422
    assert said in answer.text


def test_a_plan_without_a_layout_is_not_cut_yet(client: TestClient) -> None:
    plan = ok(client.post("/api/plans", json={"title": "Bare"}))
    assert "layout" in problem(client.get(f"/api/plans/{plan['id']}/cutting"), 409)


def test_forms_of_cloth_are_listed_with_both_sizes(client: TestClient) -> None:
    forms = {(form["kind"], form["units"]): form for form in client.get("/api/cloth").json()}
    # Common practice: a fat quarter is 18 x 21 in as sold, 50 x 55 cm where cloth is metric.
    assert forms["fat quarter", "inches"]["nominal"] == "18 in x 21 in"
    assert forms["fat quarter", "inches"]["usable"] == "17 1/2 in x 20 1/2 in"
    assert forms["fat quarter", "metric"]["nominal"] == "50 cm x 55 cm"
    assert forms["yardage", "inches"]["yardage"]
    assert ("ten-inch square", "metric") not in forms


def test_forms_of_cloth_come_side_by_side_and_chosen_ones_are_kept(
    client: TestClient, plan: Saved
) -> None:
    here = f"/api/plans/{plan.id}"
    ok(client.patch(f"{here}/brief", json={"sewing": {"alternates": ["fat eighth"]}}))
    rows = ok(client.get(f"{here}/cutting/forms"))["rows"]
    assert [row["usual"] for row in rows].count(True) == 1
    assert rows[0]["usual"]
    assert {row["kind"] for row in rows if row["chosen"]} == {"fat eighth"}
    assert {row["along"] for row in rows if row["kind"] == "fat eighth"} == {
        "long side", "short side",
    }  # fmt: skip
    refused = client.patch(f"{here}/brief", json={"sewing": {"alternates": ["duvet"]}})
    assert "no form of cloth 'duvet'" in problem(refused, 422)


def test_ways_of_making_units_come_side_by_side_and_one_is_chosen(
    client: TestClient, plan: Saved
) -> None:
    here = f"/api/plans/{plan.id}"
    ok(client.patch(f"{here}/brief", json={"block": "shoo-fly"}))
    rows = ok(client.get(f"{here}/cutting/methods"))["rows"]
    assert [row["method"] for row in rows] == ["two", "one", "four", "eight", "strips"]
    assert [row["usual"] for row in rows] == [True, False, False, False, False]
    ok(client.patch(f"{here}/brief", json={"sewing": {"triangles": "strips"}}))
    (choice,) = ok(client.get(f"{here}/cutting/table"))["methods"]
    assert (choice["decision"], choice["chosen"]) == ("triangles", "strips")
    assert choice["label"] == "Half-square triangle units are made"
    refused = client.patch(f"{here}/brief", json={"sewing": {"geese": "one by one"}})
    assert "geese" in problem(refused, 422)
