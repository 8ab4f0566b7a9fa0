"""The cutting table over HTTP: verdicts in words, totals, metric work, what is solved anew."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pytest

from api.pattern import cut_book as cutbook
from tests.api.talk import ok, problem

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

    from api.storage.kept import Saved


def _sew(client: TestClient, plan: Saved, **wish: Any) -> dict[str, Any]:
    ok(client.patch(f"/api/plans/{plan.id}/brief", json=wish))
    return dict(ok(client.get(f"/api/plans/{plan.id}/cutting/table")))


def test_fabrics_that_are_short_come_first_and_are_counted(client: TestClient, plan: Saved) -> None:
    small = {"fabric": "brick", "form": "five-inch square"}
    table = _sew(client, plan, sewing={"form": "fat quarter", "cloths": [small]})
    first = table["cloths"][0]
    assert (first["fabric"], first["verdict"]) == ("brick", "short")
    assert first["brief"].startswith("short by ")
    assert "no place for" in first["sentences"][0]
    assert table["verdict"] == "1 fabric is short."


def test_the_count_that_would_do_does(client: TestClient, plan: Saved) -> None:
    small = {"fabric": "brick", "form": "five-inch square"}
    table = _sew(client, plan, sewing={"form": "fat quarter", "cloths": [small]})
    row = next(row for row in table["cloths"] if row["fabric"] == "brick")
    assert row["verdict"] == "short"
    assert row["enough"] > 1
    more = {**small, "count": row["enough"]}
    table = _sew(client, plan, sewing={"form": "fat quarter", "cloths": [more]})
    assert table["verdict"] == "Everything fits."
    assert all(row["enough"] is None for row in table["cloths"])


def test_the_totals_name_what_to_buy_and_what_goes_round(client: TestClient, plan: Saved) -> None:
    amounts = {a["what"]: a["much"] for a in _sew(client, plan)["amounts"]}
    book = client.get(f"/api/plans/{plan.id}/cutting").json()
    wide, high = book["batting"]
    assert {"Batting", "Binding of linen"} <= amounts.keys()
    assert any(what.startswith("Backing, ") for what in amounts)
    # The batting is the quilt and a margin, told to 1/8 in.
    told = [_decimal(part) for part in amounts["Batting"].rstrip(".").split(" in x ")]
    assert told == pytest.approx([wide, high], abs=1 / 16)


def _decimal(text: str) -> float:
    parts = text.removesuffix(" in").split(" ")
    halves = [part.split("/") for part in parts]
    return sum(float(half[0]) / float(half[1] if len(half) > 1 else 1) for half in halves)


def test_yardage_to_buy_comes_with_its_proved_bound(client: TestClient, plan: Saved) -> None:
    background = _sew(client, plan)["cloths"][-1]
    assert background["brief"].startswith("buy ")
    assert "proved" in background["sentences"][1]


def test_metric_work_is_told_in_centimetres_whatever_the_cloth(
    client: TestClient, plan: Saved
) -> None:
    own = {"fabric": "brick", "form": "ten-inch square"}
    sewing = {"form": "fat quarter", "cloths": [own]}
    table = _sew(client, plan, units="metric", sewing=sewing)
    said = [s for row in table["cloths"] for s in (*row["sentences"], *_words(row), row["size"])]
    said += [a["much"] for a in table["amounts"]] + table["setting"]
    assert [text for text in said if re.search(r"\d in\b|\d/\d", text)] == []
    assert any("cm" in text for text in said)
    assert [text for text in said if re.search(r"\d mm\b", text)] == []


def _words(row: dict[str, Any]) -> list[str]:
    return [step["words"] for step in row["cuts"]]


def test_the_steps_carry_the_numbers_of_the_drawing(client: TestClient, plan: Saved) -> None:
    row = _sew(client, plan)["cloths"][-1]
    drawn = client.get(f"/api/plans/{plan.id}/cutting/{row['fabric']}.svg").text
    for step in row["cuts"]:
        for number in step["numbers"].split(" to "):
            assert f">{number}</text>" in drawn


def test_every_seam_has_its_arrow(client: TestClient, plan: Saved) -> None:
    arrows = _sew(client, plan)["arrows"]
    book = client.get(f"/api/plans/{plan.id}/cutting").json()
    assert [len(way) for way in arrows] == [len(way) for way in book["pressing"]["plans"]]
    assert all(0 <= arrow["x"] <= 1 and 0 <= arrow["y"] <= 1 for way in arrows for arrow in way)


def test_a_swap_of_blocks_solves_nothing_anew(client: TestClient, plan: Saved) -> None:
    _sew(client, plan)
    before = cutbook._solved.cache_info().misses
    view = ok(client.post(f"/api/plans/{plan.id}/layout/swap", json={"first": 0, "second": 1}))
    assert view["revision"] > plan.revision
    ok(client.get(f"/api/plans/{plan.id}/cutting/table"))
    assert cutbook._solved.cache_info().misses == before


def test_squares_of_her_own_can_be_given_up_again(client: TestClient, plan: Saved) -> None:
    own = _sew(client, plan, setting={"kind": "on point"}, sewing={"side_square": "13"})
    assert len(own["setting"]) == 3
    assert "suit blocks up to" in own["setting"][-1] or "clear the block" in own["setting"][-1]
    assert len(_sew(client, plan, sewing={"side_square": 0})["setting"]) == 2


def test_progress_can_be_followed(client: TestClient, plan: Saved) -> None:
    events = client.get(
        f"/api/plans/{plan.id}/cutting/table", headers={"accept": "text/event-stream"}
    ).text
    assert "event: plan" in events
    assert '"verdict"' in events


def test_a_plan_without_a_layout_has_no_table_yet(client: TestClient) -> None:
    bare = ok(client.post("/api/plans", json={"title": "Bare"}))
    assert "layout" in problem(client.get(f"/api/plans/{bare['id']}/cutting/table"), 409)


def test_going_over_to_metric_work_takes_its_usual_terms_along(
    client: TestClient, plan: Saved
) -> None:
    def sewing(**change: Any) -> dict[str, Any]:
        return ok(client.patch(f"/api/plans/{plan.id}/brief", json=change))["plan"]["brief"][
            "sewing"
        ]

    # Common practice: seams of 7.5 mm in metric work, 1/4 in otherwise; what is given stays.
    given = sewing(units="metric", sewing={"binding": "60 mm"})
    assert (given["seam"], given["binding"], given["squaring"]) == ("7.5 mm", "60 mm", "10 mm")
    back = sewing(units="inches")
    assert (back["seam"], back["binding"], back["squaring"]) == ("1/4", "60 mm", "1/4")


def test_a_block_of_her_own_that_no_ruler_cuts_is_refused(client: TestClient, plan: Saved) -> None:
    odd = {"name": "Odd geese", "columns": ["1"], "rows": ["1"], "patches": ["vBF"]}
    answer = client.patch(f"/api/plans/{plan.id}/brief", json={"own_block": odd})
    assert answer.status_code == 422
    assert "twice as long at its base" in answer.text
