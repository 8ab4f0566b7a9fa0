"""One photo of a bundle over HTTP: found, corrected, and added in one change."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from PIL import Image, ImageDraw

from placement.inches import Inches
from tests.api.talk import problem

if TYPE_CHECKING:
    from collections.abc import Callable

    from fastapi.testclient import TestClient

    from api.storage.kept import Saved

COLOURS = ((168, 62, 50), (84, 110, 52), (70, 96, 140), (204, 160, 48))
LINEN = (226, 218, 204)


@pytest.fixture(scope="module")
def table() -> bytes:
    """Return a photo of four plain fabrics, two by two, on a pale table."""
    image = Image.new("RGB", (600, 600), LINEN)
    draw = ImageDraw.Draw(image)
    for number, colour in enumerate(COLOURS):
        left, top = 60 + 260 * (number % 2), 60 + 260 * (number // 2)
        draw.rectangle((left, top, left + 219, top + 219), fill=colour)
    grain = np.random.default_rng(3).normal(0, 2, (600, 600, 1))
    pixels = np.clip(np.asarray(image) + grain, 0, 255).astype(np.uint8)
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", quality=92)
    return out.getvalue()


def found(client: TestClient, plan: Saved, photo: bytes, **query: Any) -> dict[str, Any]:
    files = {"photos": ("table.jpg", photo, "image/jpeg")}
    answer = client.post(f"/api/plans/{plan.id}/fabrics", files=files, params=query)
    assert answer.status_code == 200, answer.text
    (result,) = answer.json()["results"]
    assert (result["fabric"], result["problem"]) == (None, None)
    body: dict[str, Any] = result["bundle"]
    return body


def look(client: TestClient, plan: Saved, picture: str, **lie: Any) -> Any:
    wish = {"picture": picture, "lie": lie}
    return client.post(f"/api/plans/{plan.id}/bundle/look", json=wish)


def sent(body: dict[str, Any]) -> dict[str, Any]:
    """Return what was answered in the form in which it is sent back."""
    pieces = [{"name": piece["name"], "corners": piece["corners"]} for piece in body["pieces"]]
    kept = ("picture", "kind", "width", "height")
    return {**{name: body[name] for name in kept}, "pieces": pieces}


def correct(client: TestClient, plan: Saved, body: dict[str, Any], **change: Any) -> Any:
    wish = {"bundle": sent(body), "change": change}
    return client.post(f"/api/plans/{plan.id}/bundle/correct", json=wish)


def test_four_fabrics_are_found_and_the_plan_stays(
    client: TestClient, plan: Saved, table: bytes
) -> None:
    body = found(client, plan, table)
    assert [piece["name"] for piece in body["pieces"]] == [f"Fabric {n}" for n in (1, 2, 3, 4)]
    (left, top), _, (right, bottom), _ = body["pieces"][0]["corners"]
    assert [left, top, right, bottom] == pytest.approx([0.1, 0.1, 280 / 600, 280 / 600], abs=0.006)
    assert all(piece["crop"].startswith("data:image/jpeg;base64,") for piece in body["pieces"])
    assert client.get(body["address"]).headers["content-type"] == "image/jpeg"
    assert client.get(f"/api/plans/{plan.id}").json()["revision"] == plan.revision


def test_accepting_adds_all_fabrics_in_one_change(
    client: TestClient, plan: Saved, table: bytes
) -> None:
    body = sent(found(client, plan, table))
    body["pieces"][0]["name"] = "Old brick"
    answer = client.post(
        f"/api/plans/{plan.id}/bundle/accept", json={"bundle": body, "edge": "10"}
    ).json()
    assert answer["revision"] == plan.revision + 1
    added = answer["plan"]["brief"]["swatches"][-4:]
    assert added[0]["fabric"]["id"] == "old-brick"
    # Four fifths of a ten-inch square are cut out; the width is told in sixteenths.
    assert {swatch["shows"] for swatch in added} == {"8"}
    assert all(swatch["shows_given"] for swatch in added)
    for swatch, colour in zip(added, COLOURS, strict=True):
        shown = answer["colours"][swatch["fabric"]["id"]]
        channels = [int(shown[k : k + 2], 16) for k in (1, 3, 5)]
        assert np.abs(np.array(channels) - colour).max() <= 3
    undone = client.post(f"/api/plans/{plan.id}/undo").json()
    assert len(undone["plan"]["brief"]["swatches"]) == 4


def test_a_ruler_tells_how_much_cloth_is_shown(
    client: TestClient, plan: Saved, table: bytes
) -> None:
    body = sent(found(client, plan, table))
    # 300 of 600 pixels are 15 inches, so 176 pixels of cloth, 0.8 of 220, are 8.8.
    ruler = {"start": [0.2, 0.95], "end": [0.7, 0.95], "length": "15"}
    answer = client.post(
        f"/api/plans/{plan.id}/bundle/accept", json={"bundle": body, "ruler": ruler}
    ).json()
    for swatch in answer["plan"]["brief"]["swatches"][-4:]:
        assert float(Inches.parse(swatch["shows"])) == pytest.approx(8.8, abs=0.15)


def test_pieces_are_corrected_by_hand(client: TestClient, plan: Saved, table: bytes) -> None:
    body = found(client, plan, table)
    body = correct(client, plan, body, do="move", number=0, corner=0, to=[0.15, 0.12]).json()
    assert body["pieces"][0]["corners"][0] == [0.15, 0.12]
    body = correct(client, plan, body, do="split", number=1, across=True).json()
    assert len(body["pieces"]) == 5
    body = correct(client, plan, body, do="join", first=1, second=2).json()
    assert len(body["pieces"]) == 4
    body = correct(client, plan, body, do="remove", number=3).json()
    assert len(body["pieces"]) == 3
    body = correct(client, plan, body, do="tap", at=[0.75, 0.75]).json()
    assert body["pieces"][-1]["corners"][2] == pytest.approx([0.9, 0.9], abs=0.01)


def test_a_bundle_is_divided_anew_in_an_outline_given_by_hand(
    client: TestClient, plan: Saved, table: bytes
) -> None:
    picture = found(client, plan, table)["picture"]
    body = look(client, plan, picture, kind="grid", rows=2, columns=2).json()
    outline = [[0.1, 0.1], [0.5, 0.1], [0.5, 0.5], [0.1, 0.5]]
    lie = {"kind": "grid", "rows": 1, "columns": 2}
    body = correct(client, plan, body, do="divide", outline=outline, lie=lie).json()
    assert [piece["corners"][0] for piece in body["pieces"]] == [[0.1, 0.1], [0.3, 0.1]]


@pytest.mark.parametrize(
    ("lie", "words"),
    [
        ({"kind": "grid"}, "how many rows and how many columns"),
        ({"kind": "stack"}, "how many fabrics"),
        ({"kind": "grid", "rows": 50, "columns": 50}, "At most 150"),
    ],
)
def test_missing_counts_are_asked_for(
    client: TestClient, plan: Saved, table: bytes, lie: dict[str, Any], words: str
) -> None:
    answer = look(client, plan, found(client, plan, table)["picture"], **lie)
    assert answer.status_code == 422
    assert words in answer.json()["detail"]


def test_what_can_not_be_is_refused_with_a_sentence(
    client: TestClient, plan: Saved, table: bytes
) -> None:
    body = found(client, plan, table)
    for change, words in (
        ({"do": "remove", "number": 9}, "no piece 9 among the 4"),
        ({"do": "move", "number": 0, "corner": 0, "to": [0.9, 0.9]}, "no proper piece"),
        ({"do": "tap", "at": [0.2, 0.2]}, "lies there already"),
        ({"do": "join", "first": 1, "second": 1}, "itself"),
    ):
        answer = correct(client, plan, body, **change)
        assert answer.status_code == 422
        assert words in answer.json()["detail"]


def test_a_photo_of_one_fabric_may_be_taken_apart_after_all_and_goes_as_its_fabrics_come(
    client: TestClient, plan: Saved, photo: Callable[..., bytes]
) -> None:
    files = {"photos": ("two.jpg", photo((168, 62, 50), side=400), "image/jpeg")}
    added = client.post(f"/api/plans/{plan.id}/fabrics", files=files).json()["results"][0]
    here = client.get(f"/api/plans/{plan.id}").json()["plan"]["brief"]["swatches"]
    (swatch,) = (s for s in here if s["fabric"]["id"] == added["fabric"])
    body = look(client, plan, swatch["taken"]["photo"], kind="grid", rows=1, columns=2).json()
    wish = {"bundle": sent(body), "instead": added["fabric"]}
    after = client.post(f"/api/plans/{plan.id}/bundle/accept", json=wish).json()
    ids = {s["fabric"]["id"] for s in after["plan"]["brief"]["swatches"]}
    assert added["fabric"] not in ids
    assert len(ids) == len(here) + 1


def test_a_photo_is_one_fabric_where_that_is_told(
    client: TestClient, plan: Saved, table: bytes
) -> None:
    files = {"photos": ("table.jpg", table, "image/jpeg")}
    wish = {"one": True}
    answer = client.post(f"/api/plans/{plan.id}/fabrics", files=files, params=wish).json()
    assert answer["results"][0]["fabric"] == "table"


def test_photos_of_one_and_of_several_come_in_together(
    client: TestClient, plan: Saved, table: bytes, photo: Callable[..., bytes]
) -> None:
    files = [("photos", ("a.jpg", photo((92, 40, 74)), "image/jpeg"))]
    files += [("photos", ("table.jpg", table, "image/jpeg"))]
    answer = client.post(f"/api/plans/{plan.id}/fabrics", files=files).json()
    one, several = answer["results"]
    assert (one["fabric"], one["bundle"], several["fabric"]) == ("a", None, None)
    assert len(several["bundle"]["pieces"]) == 4
    assert answer["plan"]["revision"] == plan.revision + 1


def test_an_empty_bundle_is_refused(client: TestClient, plan: Saved, table: bytes) -> None:
    body = {**sent(found(client, plan, table)), "pieces": []}
    answer = client.post(f"/api/plans/{plan.id}/bundle/accept", json={"bundle": body})
    assert answer.status_code == 422
    assert "no piece to add" in answer.json()["detail"]


def test_a_picture_that_was_never_sent_is_missing(client: TestClient, plan: Saved) -> None:
    bundle = {"picture": "0" * 64, "kind": "spread", "width": 9, "height": 9, "pieces": []}
    answer = client.post(f"/api/plans/{plan.id}/bundle/accept", json={"bundle": bundle})
    assert answer.status_code == 404


def test_bent_corners_are_refused_for_what_they_are(
    client: TestClient, plan: Saved, table: bytes
) -> None:
    body = found(client, plan, table)
    bow_tie = [[0.1, 0.1], [0.9, 0.9], [0.9, 0.1], [0.1, 0.9]]
    lie = {"kind": "grid", "rows": 2, "columns": 2}
    told = problem(correct(client, plan, body, do="divide", outline=bow_tie, lie=lie), 422)
    assert "seconds" not in told
    assert "corner" in told
    inside_out = correct(client, plan, body, do="move", number=0, corner=0, to=[0.99, 0.99])
    assert "seconds" not in problem(inside_out, 422)
