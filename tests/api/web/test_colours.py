"""Colours told by hand, and photos taken again."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

import pytest
from PIL import Image

from tests.api.talk import PLUM, Json, ok, problem

if TYPE_CHECKING:
    from collections.abc import Callable

    from fastapi.testclient import TestClient

    from api.storage.kept import Saved
    from api.storage.store import Store

WHERE = {"fabric": "swatches", "background": "backgrounds", "thread": "threads"}


def add(client: TestClient, plan: Saved, **wish: Any) -> Json:
    """Add a colour and return the view."""
    answer = client.post(f"/api/plans/{plan.id}/colours", json=wish)
    assert answer.status_code == 201, answer.text
    return ok(answer)


@pytest.mark.parametrize("role", ["fabric", "background", "thread"])
def test_a_colour_becomes_a_swatch_of_its_role(client: TestClient, plan: Saved, role: str) -> None:
    view = add(client, plan, colour="#6E3C60", role=role)
    newest = view["plan"]["brief"][WHERE[role]][-1]
    assert newest["fabric"]["name"] == "Plum"
    assert newest["fabric"]["warnings"] == []
    assert view["colours"][newest["fabric"]["id"]] == "#6e3c60"
    picture = client.get(view["pictures"][newest["fabric"]["id"]])
    assert Image.open(io.BytesIO(picture.content)).format == "JPEG"
    lines = client.get(f"/api/plans/{plan.id}/revisions").json()
    assert lines[-1]["what"] == f"Added 1 {role}"
    removed = ok(client.delete(f"/api/plans/{plan.id}/fabrics/{newest['fabric']['id']}"))
    assert newest["fabric"]["id"] not in removed["colours"]


def test_equal_colours_share_a_picture_and_get_ids_of_their_own(
    client: TestClient, plan: Saved, store: Store
) -> None:
    add(client, plan, colour="#fc0", name=" My\tyellow ")
    view = add(client, plan, colour="ffcc00", role="background")
    mine, ground = view["plan"]["brief"]["swatches"][-1], view["plan"]["brief"]["backgrounds"][-1]
    assert (mine["fabric"]["name"], mine["fabric"]["id"]) == ("My yellow", "my-yellow")
    assert mine["picture"] == ground["picture"]
    assert store.picture(mine["picture"])


def test_a_told_colour_is_never_too_close_to_tell(client: TestClient, plan: Saved) -> None:
    view = add(client, plan, colour="#54703e", name="Told moss", role="background")
    told = [c for c in view["plan"]["contrasts"] if c["background"] == "told-moss"]
    assert told
    assert not any(entry["doubt"] for entry in told)


def test_no_width_is_assumed_for_a_told_colour(client: TestClient, plan: Saved) -> None:
    before = ok(client.get(f"/api/plans/{plan.id}"))["summary"][-1]
    assert add(client, plan, colour="#123456")["summary"][-1] == before


@pytest.mark.parametrize(
    ("wish", "says"),
    [
        ({"colour": "reddish"}, "'reddish' is not a colour; write # and six digits"),
        ({"colour": "#12345"}, "'#12345' is not a colour"),
        ({"colour": 5}, "colour"),
        ({}, "colour"),
        ({"colour": "#123456", "role": "batting"}, "role"),
        ({"colour": "#123456", "name": " "}, "one character that can be seen"),
        ({"colour": "#123456", "shade": 1}, "shade"),
    ],
)
def test_what_is_no_colour_is_told_and_changes_nothing(
    client: TestClient, plan: Saved, wish: Json, says: str
) -> None:
    text = problem(client.post(f"/api/plans/{plan.id}/colours", json=wish), 422)
    assert says.casefold() in text.casefold()
    assert ok(client.get(f"/api/plans/{plan.id}"))["revision"] == 1


def test_a_stale_revision_or_no_plan_is_told(client: TestClient, plan: Saved) -> None:
    wish = {"colour": "#123456"}
    here = f"/api/plans/{plan.id}/colours"
    problem(client.post(here, json=wish, headers={"if-match": '"7"'}), 412)
    problem(client.post("/api/plans/none/colours", json=wish), 404)


def retake(client: TestClient, plan: Saved, fabric: str, data: bytes, **query: str) -> Any:
    """Send another photo of a fabric."""
    address = f"/api/plans/{plan.id}/fabrics/{fabric}/photo"
    return client.put(address, files={"photo": ("again.jpg", data, "image/jpeg")}, params=query)


def test_a_photo_taken_again_keeps_all_but_the_colours(
    client: TestClient, plan: Saved, photo: Callable[..., bytes]
) -> None:
    here = f"/api/plans/{plan.id}"
    marks = {"name": "Garden", "must_use": True, "directional": True, "shows": "9"}
    ok(client.patch(f"{here}/fabrics/moss", json=marks))
    cloth = {"cloths": [{"fabric": "moss", "form": "fat eighth"}]}
    ok(client.patch(f"{here}/brief", json={"sewing": cloth}))
    ok(client.put(f"{here}/layout/pins/1", json={"pinned": True}))
    before = ok(client.get(here))
    after = ok(retake(client, plan, "moss", photo(PLUM)))
    at = [s["fabric"]["id"] for s in before["plan"]["brief"]["swatches"]].index("moss")
    old, new = (view["plan"]["brief"]["swatches"][at] for view in (before, after))
    assert new["fabric"]["reads_as"] != old["fabric"]["reads_as"]
    assert new["picture"] != old["picture"]
    for part in ("shows", "shows_given", "must_use", "leave_out", "directional"):
        assert new[part] == old[part], part
    assert (new["fabric"]["id"], new["fabric"]["name"]) == ("moss", "Garden")
    for part in ("pins", "sewing", "setting", "copies"):
        assert after["plan"]["brief"][part] == before["plan"]["brief"][part], part
    assert after["plan"]["layout"] == before["plan"]["layout"]
    assert client.get(after["pictures"]["moss"]).status_code == 200
    undone = ok(client.post(f"{here}/undo"))
    assert undone["plan"] == before["plan"]
    assert client.get(undone["pictures"]["moss"]).status_code == 200


def test_the_layout_is_measured_again_with_the_new_colours(
    client: TestClient, plan: Saved, photo: Callable[..., bytes]
) -> None:
    before = ok(client.get(f"/api/plans/{plan.id}"))
    # As blue as the slate, and a little lighter: those two are the closest now.
    after = ok(retake(client, plan, "moss", photo((84, 110, 156))))
    assert after["plan"]["choice"]["kept"] == before["plan"]["choice"]["kept"]
    assert set(after["plan"]["choice"]["closest_pair"]) == {"moss", "slate-blue"}
    quality = after["plan"]["quality"]
    assert quality["closest"] <= quality["reach"]
    assert quality["reach"] != before["plan"]["quality"]["reach"]


@pytest.mark.parametrize("role", ["background", "thread"])
def test_backgrounds_and_threads_can_be_retaken_too(
    client: TestClient, plan: Saved, photo: Callable[..., bytes], role: str
) -> None:
    added = add(client, plan, colour="#123456", name="Other", role=role)
    view = ok(retake(client, plan, "other", photo(PLUM)))
    assert view["colours"]["other"] != added["colours"]["other"]
    assert view["plan"]["brief"][WHERE[role]][-1]["fabric"]["name"] == "Other"
    # The width of a solid was no width of a photo.
    assert not view["plan"]["brief"][WHERE[role]][-1]["shows_given"]
    given = ok(retake(client, plan, "other", photo(PLUM), shows="6"))
    assert given["plan"]["brief"][WHERE[role]][-1]["shows"] == "6"


def test_a_broken_photo_changes_nothing_and_says_why(
    client: TestClient, plan: Saved, photo: Callable[..., bytes]
) -> None:
    assert "'again'" in problem(retake(client, plan, "moss", b"\xff\xd8\xff broken"), 422)
    assert "'again'" in problem(retake(client, plan, "moss", b""), 422)
    problem(retake(client, plan, "moss", photo(PLUM), white="1,2,3"), 422)
    problem(retake(client, plan, "moss", photo(PLUM), shows="4 apples"), 422)
    problem(client.put(f"/api/plans/{plan.id}/fabrics/moss/photo"), 422)
    assert ok(client.get(f"/api/plans/{plan.id}"))["revision"] == 1
    assert "no fabric 'velvet'" in problem(retake(client, plan, "velvet", photo(PLUM)), 404)


def test_photos_of_threads_are_added_as_threads(
    client: TestClient, plan: Saved, photo: Callable[..., bytes]
) -> None:
    sent = {"photos": ("my spool.jpg", photo(PLUM), "image/jpeg")}
    answer = client.post(f"/api/plans/{plan.id}/fabrics", files=sent, params={"role": "thread"})
    assert ok(answer)["results"][0]["fabric"] == "my-spool"
    assert ok(answer)["plan"]["plan"]["brief"]["threads"][0]["fabric"]["name"] == "my spool"
