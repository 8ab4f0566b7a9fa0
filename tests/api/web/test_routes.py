"""The job over HTTP, from photos to drawings, and what is answered when there is nothing."""

from __future__ import annotations

import io
import re
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from api.pattern.stored import from_json
from tests.api.talk import Json, files, ok, problem

if TYPE_CHECKING:
    from collections.abc import Callable

    from fastapi.testclient import TestClient

    from api.storage.kept import Saved


def test_from_photos_to_a_drawing(client: TestClient, photo: Callable[..., bytes]) -> None:
    plan = ok(client.post("/api/plans", json={"title": "Orchard"}))["id"]
    here = f"/api/plans/{plan}"
    bundle = files(*((f"{n}.jpg", photo((40 * n, 90, 250 - 40 * n))) for n in range(6)))
    assert len(ok(client.post(f"{here}/fabrics", files=bundle))["results"]) == 6
    ground = ok(
        client.post(
            f"{here}/fabrics",
            files=files(("linen.jpg", photo((240, 235, 220)))),
            params={"role": "background", "shows": "12 1/2"},
        )
    )["plan"]
    assert ground["plan"]["background"] == "linen"
    assert ground["plan"]["brief"]["backgrounds"][0]["shows"] == "12 1/2"
    assert ground["plan"]["layout"] is None
    change = {"setting": {"across": 3, "down": 2}, "count": 4, "borders": [{"width": "2 1/2"}]}
    view = ok(client.patch(f"{here}/brief", json=change, params={"arrange": True}))
    assert len(view["plan"]["layout"]["fabrics"]) == 3 * 2 + 2 * 1
    assert len(view["plan"]["choice"]["kept"]) == 4
    svg = client.get(f"{here}/drawings/cloth.svg")
    assert svg.headers["content-type"].startswith("image/svg+xml")
    assert svg.text.startswith("<svg")


def test_a_view_holds_what_a_page_needs(client: TestClient, plan: Saved) -> None:
    answer = client.get(f"/api/plans/{plan.id}")
    view = ok(answer)
    assert answer.headers["etag"] == f'"{view["revision"]}"'
    fabrics = {"brick", "moss", "slate-blue", "mustard", "linen"}
    assert set(view["colours"]) == set(view["pictures"]) == fabrics
    assert all(re.fullmatch("#[0-9a-f]{6}", colour) for colour in view["colours"].values())
    # Straight, 3 by 2 blocks of 6 inches with a 4 inch border on every side: 26 by 20.
    assert (view["size"]["width"], view["size"]["height"]) == (26, 20)
    assert view["size"]["words"] == "26 in x 20 in"
    assert [(cell["x"], cell["y"]) for cell in view["cells"][:4]] == [
        (3, 3),
        (9, 3),
        (15, 3),
        (3, 9),
    ]
    assert sum(view["verdicts"]["linen"].values()) == 4
    assert view["summary"]
    for address in view["pictures"].values():
        picture = client.get(address)
        assert picture.headers["content-type"] == "image/jpeg"
        assert "immutable" in picture.headers["cache-control"]
        assert Image.open(io.BytesIO(picture.content)).format == "JPEG"


def test_plain_alternate_blocks_come_last_among_the_cells(client: TestClient, plan: Saved) -> None:
    change = {"setting": {"alternate": True, "kind": "on point"}}
    view = ok(client.patch(f"/api/plans/{plan.id}/brief", json=change))
    plain = [cell["plain"] for cell in view["cells"]]
    assert plain == [False] * 6 + [True] * 2


def test_a_name_with_markup_is_escaped_in_a_drawing(client: TestClient, plan: Saved) -> None:
    here, evil = f"/api/plans/{plan.id}", "<script>alert(1)</script>"
    ok(client.patch(f"{here}/fabrics/moss", json={"name": evil}))
    ok(client.patch(f"{here}/brief", json={"title": evil}))
    drawing = client.get(f"{here}/drawings/flat.svg", params={"download": True})
    assert "<script" not in drawing.text
    policy = drawing.headers["content-security-policy"]
    assert policy.startswith("default-src 'none';")
    assert "sandbox" in policy
    assert "script-src" not in policy
    assert re.fullmatch(
        r'attachment; filename="[a-z0-9-]+\.flat\.svg"', drawing.headers["content-disposition"]
    )


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [
        ("GET", "/api/plans/none", 404),
        ("DELETE", "/api/plans/none", 404),
        ("POST", "/api/plans/none/undo", 404),
        ("GET", "/api/plans/none/revisions", 404),
        ("GET", "/api/plans/none/plan.json", 404),
        ("GET", "/api/plans/none/drawings/cloth.svg", 404),
        ("GET", "/api/swatches/none.jpg", 404),
        ("GET", f"/api/swatches/{'0' * 64}.jpg", 404),
        ("GET", "/api/nothing", 404),
        ("GET", "/nothing.html", 404),
        ("GET", "/../pyproject.toml", 404),
        ("GET", "/%2e%2e/pyproject.toml", 404),
        ("GET", "/..%5cpyproject.toml", 404),
        ("PUT", "/api/plans", 405),
        ("POST", "/index.html", 405),
    ],
)
def test_what_is_not_there_is_told_in_the_same_shape(
    client: TestClient, method: str, path: str, status: int
) -> None:
    problem(client.request(method, path), status)


def test_a_wrong_method_is_told_with_all_that_are_right(client: TestClient, plan: Saved) -> None:
    answer = client.put(f"/api/plans/{plan.id}")
    problem(answer, 405)
    assert answer.headers["allow"] == "DELETE, GET"
    # What is spelt out is no plan's address, though it looks like one.
    assert client.put("/api/plans/open").headers["allow"] == "POST"


@pytest.mark.parametrize(
    ("method", "path", "body"),
    [
        ("POST", "layout/swap", {"first": 0, "second": 1}),
        ("PUT", "layout/pins/0", {"pinned": True}),
        ("GET", "layout/swaps", None),
        ("GET", "drawings/cloth.svg", None),
        ("GET", "drawings/grey.png", None),
        ("POST", "undo", None),
        ("POST", "redo", None),
    ],
)
def test_what_needs_a_layout_or_a_past_says_so(
    client: TestClient, method: str, path: str, body: Json | None
) -> None:
    plan = ok(client.post("/api/plans"))["id"]
    problem(client.request(method, f"/api/plans/{plan}/{path}", json=body), 409)


@pytest.mark.parametrize(
    ("method", "path", "body"),
    [
        ("PATCH", "brief", {"title": "Mine"}),
        ("POST", "layout", {}),
        ("POST", "layout/swap", {"first": 0, "second": 1}),
        ("PUT", "layout/pins/0", {"pinned": True}),
        ("PATCH", "fabrics/moss", {"name": "Mine"}),
        ("DELETE", "fabrics/moss", None),
        ("POST", "undo", None),
        ("POST", "redo", None),
    ],
)
def test_a_change_meant_for_another_revision_is_refused(
    client: TestClient, plan: Saved, method: str, path: str, body: Json | None
) -> None:
    address = f"/api/plans/{plan.id}/{path}"
    for stale in ('"7"', "7", "nonsense", 'W/"1"'):
        answer = client.request(method, address, json=body, headers={"if-match": stale})
        problem(answer, 412)
    assert ok(client.get(f"/api/plans/{plan.id}"))["revision"] == 1


@pytest.mark.parametrize("match", ['"1"', "1", "*"])
def test_a_change_meant_for_this_revision_is_made(
    client: TestClient, plan: Saved, match: str
) -> None:
    wish = {"title": "Mine"}
    answer = client.patch(f"/api/plans/{plan.id}/brief", json=wish, headers={"if-match": match})
    assert ok(answer)["plan"]["brief"]["title"] == "Mine"
    assert client.get("/api/plans").json()[0]["title"] == "Mine"


def test_a_drawing_a_client_has_is_not_drawn_again(client: TestClient, plan: Saved) -> None:
    drawing = f"/api/plans/{plan.id}/drawings/flat.png"
    first = client.get(drawing, params={"width": 300})
    tag = first.headers["etag"]
    again = client.get(drawing, params={"width": 300}, headers={"if-none-match": tag})
    assert (again.status_code, again.content) == (304, b"")
    assert client.get(drawing, headers={"if-none-match": tag}).status_code == 200
    ok(client.post(f"/api/plans/{plan.id}/layout/swap", json={"first": 0, "second": 1}))
    other = client.get(drawing, params={"width": 300}, headers={"if-none-match": tag})
    assert other.status_code == 200
    assert Image.open(io.BytesIO(other.content)).width == 300


@pytest.mark.parametrize("name", ["cloth.png", "flat.png", "grey.png", "picks.png"])
def test_every_png_is_a_picture(client: TestClient, plan: Saved, name: str) -> None:
    answer = client.get(f"/api/plans/{plan.id}/drawings/{name}", params={"width": 200})
    assert answer.headers["content-type"] == "image/png"
    assert Image.open(io.BytesIO(answer.content)).format == "PNG"


def test_the_picks_are_no_svg(client: TestClient, plan: Saved) -> None:
    problem(client.get(f"/api/plans/{plan.id}/drawings/picks.svg"), 404)


def test_a_plan_can_be_kept_as_a_file(client: TestClient, plan: Saved) -> None:
    answer = client.get(f"/api/plans/{plan.id}/plan.json")
    assert answer.headers["content-disposition"] == 'attachment; filename="small-quilt.json"'
    assert from_json(answer.text).brief.title == "Small quilt"


def test_a_forgotten_plan_is_gone(client: TestClient, plan: Saved) -> None:
    picture = ok(client.get(f"/api/plans/{plan.id}"))["pictures"]["moss"]
    assert client.get(picture, params={"width": 120}).status_code == 200
    answer = client.delete(f"/api/plans/{plan.id}")
    assert (answer.status_code, answer.content) == (204, b"")
    problem(client.get(f"/api/plans/{plan.id}"), 404)
    problem(client.get(picture), 404)
    problem(client.get(picture, params={"width": 120}), 404)
    assert client.get("/api/plans").json() == []


def test_the_sample_is_a_finished_plan_and_each_copy_is_its_own(client: TestClient) -> None:
    first = ok(client.post("/api/plans", json={"sample": True}))
    second = ok(client.post("/api/plans", json={"sample": True, "title": "Mine"}))
    assert first["plan"]["layout"]
    assert first["plan"]["layout"] == second["plan"]["layout"]
    assert (first["id"] == second["id"], second["plan"]["brief"]["title"]) == (False, "Mine")
    assert client.get(first["pictures"][first["plan"]["background"]]).status_code == 200


def test_blocks_fill_a_square_of_side_1(client: TestClient) -> None:
    blocks = client.get("/api/blocks").json()
    assert "sawtooth-star" in {block["name"] for block in blocks}
    for block in blocks:
        # Shoelace formula: the parts of a block cover it once.
        area = 0.0
        for patch in block["patches"]:
            points = patch["points"]
            ring = zip(points, [*points[1:], points[0]], strict=True)
            area += abs(sum(x * v - u * y for (x, y), (u, v) in ring)) / 2
        assert area == pytest.approx(1)


def test_the_page_is_served_with_types_a_browser_runs(client: TestClient) -> None:
    page = client.get("/")
    assert page.headers["content-type"].startswith("text/html")
    assert page.headers["cache-control"] == "no-cache"
    for kind, name in (("text/javascript", "app.js"), ("text/css", "page.css")):
        answer = client.get(f"/{name}")
        assert answer.headers["content-type"].startswith(kind)
        tag = answer.headers["etag"]
        assert client.get(f"/{name}", headers={"if-none-match": tag}).status_code == 304
