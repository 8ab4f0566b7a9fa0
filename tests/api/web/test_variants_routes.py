"""Variants of a plan: copies that go their own way, side by side in figures."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from PIL import Image
from skimage.color import deltaE_ciede2000

from api.pattern.stored import from_json
from api.pattern.variants import near_pairs, next_title
from tests.api.talk import Json, ok, problem

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

    from api.storage.kept import Draft, Saved


def test_a_variant_is_a_full_copy_that_goes_its_own_way(client: TestClient, plan: Saved) -> None:
    first = ok(client.get(f"/api/plans/{plan.id}"))
    copy = ok(client.post("/api/plans", json={"copy_of": plan.id}))
    assert (copy["id"] == plan.id, copy["revision"], copy["can_undo"]) == (False, 1, False)
    assert copy["plan"]["brief"]["title"] == "Small quilt 2"
    assert copy["plan"]["layout"] == first["plan"]["layout"]
    for address in copy["pictures"].values():
        assert client.get(address).status_code == 200
    ok(client.post(f"/api/plans/{copy['id']}/layout/swap", json={"first": 0, "second": 1}))
    assert ok(client.get(f"/api/plans/{plan.id}")) == first
    assert client.delete(f"/api/plans/{plan.id}").status_code == 204
    assert client.get(copy["pictures"]["moss"]).status_code == 200


def test_variants_are_listed_side_by_side(client: TestClient, plan: Saved) -> None:
    wish = {"copy_of": plan.id, "title": "With a wide border"}
    copy = ok(client.post("/api/plans", json=wish))["id"]
    third = ok(client.post("/api/plans", json={"copy_of": copy}))["id"]
    ok(client.post("/api/plans"))
    ok(client.patch(f"/api/plans/{copy}/brief", json={"borders": [{"width": "8"}]}))
    lines = client.get(f"/api/plans/{copy}/variants").json()
    assert [line["id"] for line in lines] == [plan.id, copy, third]
    assert [line["current"] for line in lines] == [False, True, False]
    assert lines[2]["title"] == "With a wide border 2"
    # 3 by 2 blocks of 6 inches, straight, with borders of 4 and of 8 inches.
    assert [line["size"] for line in lines[:2]] == ["26 in x 20 in", "34 in x 28 in"]
    assert {line["background"] for line in lines} == {"linen"}
    assert {line["fabrics"] for line in lines} == {4}
    for line in lines:
        assert 0 < line["closest"] <= line["reach"]
        drawn = client.get(line["picture"])
        assert Image.open(io.BytesIO(drawn.content)).width == 480
        assert line["facts"][0] == "4 fabrics on 'linen'"
        assert line["facts"][1] == line["size"]
        assert f"differ by {line['closest']:.1f}" in line["facts"][2]
        assert line["facts"][3].startswith(str(line["near"]) if line["near"] else "no pair")
    assert client.get(f"/api/plans/{third}/variants").json()[0]["current"] is False


def test_the_list_tells_who_is_kin_and_shows_only_what_can_be_drawn(
    client: TestClient, plan: Saved
) -> None:
    empty = ok(client.post("/api/plans"))["id"]
    copy = ok(client.post("/api/plans", json={"copy_of": plan.id}))["id"]
    lines = {line["id"]: line for line in client.get("/api/plans").json()}
    assert lines[copy]["family"] == lines[plan.id]["family"] == plan.id
    assert (lines[empty]["family"], lines[empty]["picture"]) == (empty, "")
    assert client.get(lines[plan.id]["picture"]).status_code == 200
    ok(client.post(f"/api/plans/{plan.id}/layout/swap", json={"first": 0, "second": 1}))
    after = {line["id"]: line for line in client.get("/api/plans").json()}
    assert after[plan.id]["picture"] != lines[plan.id]["picture"]


def test_a_small_drawing_of_an_equal_state_is_the_same_answer(
    client: TestClient, plan: Saved
) -> None:
    drawing = f"/api/plans/{plan.id}/drawings/cloth.png"
    first = client.get(drawing, params={"width": 480})
    swap: Json = {"first": 0, "second": 1}
    ok(client.post(f"/api/plans/{plan.id}/layout/swap", json=swap))
    changed = client.get(drawing, params={"width": 480})
    assert changed.headers["etag"] != first.headers["etag"]
    ok(client.post(f"/api/plans/{plan.id}/undo"))
    again = client.get(drawing, params={"width": 480})
    assert (again.headers["etag"], again.content) == (first.headers["etag"], first.content)


def test_nobody_is_kin_of_a_plan_that_is_not_there(client: TestClient) -> None:
    problem(client.get("/api/plans/none/variants"), 404)
    problem(client.post("/api/plans", json={"copy_of": "none"}), 404)


def test_near_pairs_are_those_another_library_finds(finished: Draft) -> None:
    plan = from_json(finished.body)
    assert plan.layout
    # Straight, 3 across and 2 down: by hand, who shares an edge.
    edges = [(0, 1), (1, 2), (3, 4), (4, 5), (0, 3), (1, 4), (2, 5)]
    labs = {
        s.fabric.id: (s.fabric.reads_as.lightness, s.fabric.reads_as.a, s.fabric.reads_as.b)
        for s in plan.brief.swatches
    }
    names = plan.layout.fabrics
    found = [float(deltaE_ciede2000(labs[names[a]], labs[names[b]])) for a, b in edges]
    assert near_pairs(plan) == sum(value < plan.brief.limits.clear for value in found)
    assert near_pairs(from_json(finished.body.replace('"clear":20.0', '"clear":100.0'))) == 7


def test_a_number_in_a_title_goes_on_if_it_counts_variants() -> None:
    assert next_title("Stars 2", ["Stars", "Stars 2", "Stars 3"]) == "Stars 4"
    assert next_title("Route 66", ["Route 66"]) == "Route 66 2"
