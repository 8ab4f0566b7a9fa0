"""A fabric put right by hand over HTTP: corners, the whole photo, paper, a colour of one's own."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from PIL import Image
from skimage.color import deltaE_ciede2000, rgb2lab

from tests.api.talk import ok, problem

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

    from api.storage.kept import Saved

LEFT, RIGHT = (168, 62, 50), (70, 96, 140)
"""Cloth of two colours in one photo: what is framed tells which is read (sRGB)."""


@pytest.fixture(scope="module")
def halves() -> bytes:
    """Return a photo of two plain halves, 400 x 300."""
    pixels = np.zeros((300, 400, 3)) + LEFT
    pixels[:, 200:] = RIGHT
    noise = np.random.default_rng(5).normal(0, 2, (300, 400, 1))
    out = io.BytesIO()
    Image.fromarray(np.clip(pixels + noise, 0, 255).astype(np.uint8)).save(out, "PNG")
    return out.getvalue()


@pytest.fixture
def fabric(client: TestClient, plan: Saved, halves: bytes) -> str:
    """Add that photo; return where its fabric is."""
    files = {"photos": ("halves.png", halves, "image/png")}
    answer = ok(client.post(f"/api/plans/{plan.id}/fabrics", files=files))
    return f"/api/plans/{plan.id}/fabrics/{answer['results'][0]['fabric']}"


def off(web: str, colour: tuple[int, ...]) -> float:
    """Return the CIEDE2000 between a web colour and an sRGB triple, as a library has it."""
    seen = [int(web[k : k + 2], 16) for k in (1, 3, 5)]
    one, other = (rgb2lab(np.array(c, dtype=float) / 255) for c in (seen, colour))
    return float(deltaE_ciede2000(one, other))


def box(left: float, top: float, right: float, bottom: float) -> list[list[float]]:
    return [[left, top], [right, top], [right, bottom], [left, bottom]]


def swatch(client: TestClient, fabric: str) -> dict[str, Any]:
    plan, name = fabric.split("/fabrics/")
    swatches = ok(client.get(plan))["plan"]["brief"]["swatches"]
    return next(s for s in swatches if s["fabric"]["id"] == name)


def colour(client: TestClient, fabric: str) -> str:
    plan, name = fabric.split("/fabrics/")
    return str(ok(client.get(plan))["colours"][name])


def test_corners_tell_which_cloth_is_read_and_undo_takes_them_back(
    client: TestClient, fabric: str
) -> None:
    before = swatch(client, fabric)
    for corners, truth in ((box(0, 0, 0.5, 1), LEFT), (box(0.5, 0, 1, 1), RIGHT)):
        tried = ok(client.post(f"{fabric}/reading/look", json={"corners": corners}))
        assert off(tried["reads_as"], truth) < 1.5
        assert tried["corners"] == corners
        ok(client.put(f"{fabric}/reading", json={"corners": corners}))
        assert off(colour(client, fabric), truth) < 1.5
    now = swatch(client, fabric)
    assert now["fabric"]["name"] == before["fabric"]["name"]
    assert now["taken"]["photo"] == before["taken"]["photo"]
    for _ in range(2):
        ok(client.post(f"{fabric.split('/fabrics/')[0]}/undo"))
    assert swatch(client, fabric) == before


def test_trying_changes_nothing(client: TestClient, fabric: str) -> None:
    before = swatch(client, fabric)
    ok(client.post(f"{fabric}/reading/look", json={"colour": "#112233"}))
    assert swatch(client, fabric) == before


def test_a_colour_of_ones_own_goes_before_the_one_in_the_photo(
    client: TestClient, fabric: str
) -> None:
    wish = {"corners": box(0, 0, 0.5, 1), "colour": "#7a3b4e"}
    whole = {"prefer": "return=representation"}
    told = ok(client.put(f"{fabric}/reading", json=wish, headers=whole))
    name = fabric.split("/")[-1]
    assert told["colours"][name] == "#7a3b4e"
    assert "was given, not read" in told["obtained"][name]
    picture = Image.open(io.BytesIO(client.get(told["pictures"][name]).content))
    mean = tuple(np.asarray(picture, dtype=float).mean(axis=(0, 1)))
    assert off("#7a3b4e", mean) < 1.5
    # Without one it is read again.
    ok(client.put(f"{fabric}/reading", json={"corners": box(0, 0, 0.5, 1)}))
    assert off(colour(client, fabric), LEFT) < 1.5


def test_what_is_said_to_be_paper_corrects_the_colours(client: TestClient, fabric: str) -> None:
    wish = {"corners": box(0, 0, 0.5, 1), "white": "0.6,0.1,0.9,0.9", "paper": "grey-card"}
    ok(client.put(f"{fabric}/reading", json=wish))
    now = swatch(client, fabric)
    assert now["fabric"]["corrected"] == "white"
    assert (now["taken"]["white"], now["taken"]["paper"]) == (wish["white"], "grey-card")


def test_a_narrower_frame_shows_less_cloth(client: TestClient, fabric: str) -> None:
    ok(client.patch(fabric, json={"shows": "12"}))
    ok(client.put(f"{fabric}/reading", json={"corners": box(0, 0, 0.5, 1)}))
    assert swatch(client, fabric)["shows"] == "6"
    ok(client.put(f"{fabric}/reading", json={"whole": True}))
    assert swatch(client, fabric)["shows"] == "12"


def test_a_fabric_without_a_kept_photo_is_read_from_its_picture(
    client: TestClient, plan: Saved
) -> None:
    view = ok(client.get(f"/api/plans/{plan.id}"))
    first = view["plan"]["brief"]["swatches"][0]
    assert first["taken"] is None
    fabric = f"/api/plans/{plan.id}/fabrics/{first['fabric']['id']}"
    ok(client.put(f"{fabric}/reading", json={"corners": box(0.2, 0.2, 0.8, 0.8)}))
    assert swatch(client, fabric)["taken"]["photo"] == first["picture"]


@pytest.mark.parametrize(
    ("wish", "words"),
    [
        ({"corners": box(0.6, 0, 0.2, 1)}, "enclose no proper piece"),
        ({"corners": box(0, 0, 1.2, 1)}, "less than or equal to 1"),
        ({"white": "here"}, "'here' is no place in a photo"),
        ({"colour": "reddish"}, "reddish"),
    ],
)
def test_what_can_not_be_is_refused_with_a_sentence(
    client: TestClient, fabric: str, wish: dict[str, Any], words: str
) -> None:
    assert words in problem(client.put(f"{fabric}/reading", json=wish), 422)


def test_a_plans_file_brings_the_photos_along(
    client: TestClient, fabric: str, halves: bytes
) -> None:
    plan = fabric.split("/fabrics/")[0]
    data = client.get(f"{plan}/plan.zip").content
    opened = ok(client.post("/api/plans/open", files={"file": ("plan.zip", data)}))
    there = f"/api/plans/{opened['id']}/fabrics/{fabric.split('/')[-1]}"
    assert opened["plan"] == ok(client.get(plan))["plan"]
    ok(client.put(f"{there}/reading", json={"corners": box(0.5, 0, 1, 1)}))
    assert off(colour(client, there), RIGHT) < 1.5
    kept = swatch(client, there)["taken"]["photo"]
    copy = Image.open(io.BytesIO(client.get(f"/api/swatches/{kept}.jpg").content))
    assert copy.size == Image.open(io.BytesIO(halves)).size
