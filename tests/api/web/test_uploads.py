"""Photos on their way into a plan: good ones, broken ones, oddly named ones."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from PIL import Image

from tests.api.talk import files, ok, problem

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from fastapi.testclient import TestClient

    from api.storage.kept import Saved
    from api.storage.store import Store

PLUM = (110, 60, 96)


def test_a_broken_photo_does_not_stop_the_others(
    client: TestClient, photo: Callable[..., bytes]
) -> None:
    plan = ok(client.post("/api/plans"))["id"]
    sent = files(("a.jpg", photo(PLUM)), ("b.jpg", b"\xff\xd8\xff broken"), ("c.jpg", photo(PLUM)))
    answer = ok(client.post(f"/api/plans/{plan}/fabrics", files=sent))
    assert [entry["fabric"] for entry in answer["results"]] == ["a", None, "c"]
    assert "'b'" in answer["results"][1]["problem"]
    assert [s["fabric"]["id"] for s in answer["plan"]["plan"]["brief"]["swatches"]] == ["a", "c"]
    assert answer["plan"]["revision"] == 2


def test_spare_cloth_is_left_out_of_the_blocks_from_the_start(
    client: TestClient, plan: Saved, photo: Callable[..., bytes]
) -> None:
    before = ok(client.get(f"/api/plans/{plan.id}"))
    sent = files(("edge.jpg", photo(PLUM)))
    answer = ok(client.post(f"/api/plans/{plan.id}/fabrics?spare=true", files=sent))
    assert answer["plan"]["revision"] == before["revision"] + 1
    assert answer["plan"]["plan"]["brief"]["swatches"][-1]["leave_out"]
    assert answer["plan"]["plan"]["layout"] == before["plan"]["layout"]
    assert answer["plan"]["plan"]["choice"]["kept"] == before["plan"]["choice"]["kept"]


def test_when_no_photo_can_be_read_nothing_is_changed(client: TestClient) -> None:
    plan = ok(client.post("/api/plans"))["id"]
    sent = files(("a.jpg", b"broken"), ("b.jpg", b""))
    text = problem(client.post(f"/api/plans/{plan}/fabrics", files=sent), 422)
    assert text.startswith("None of the 2 photos could be read. The first one: 'a' ")
    assert ok(client.get(f"/api/plans/{plan}"))["revision"] == 1


@pytest.mark.parametrize(
    ("sent", "name", "label"),
    [
        ("../../etc/passwd.jpg", "passwd", "passwd"),
        ("C:\\photos\\plum_dots-02.JPG", "plum dots 02", "plum-dots-02"),
        ("<b onclick=x()>.jpg", "<b onclick=x()>", "b-onclick-x"),
        ("a\x01\x07b.jpg", "a b", "a-b"),
        ("Blüten Nr. 7.jpg", "Blüten Nr. 7", "bluten-nr-7"),
        ("…….jpg", "……", "fabric"),
        ("x" * 500 + ".jpg", "x" * 80, "x" * 40),
    ],
)
def test_names_of_files_are_only_names(
    client: TestClient, photo: Callable[..., bytes], sent: str, name: str, label: str
) -> None:
    plan = ok(client.post("/api/plans"))["id"]
    body = (
        b'--x\r\ncontent-disposition: form-data; name="photos"; filename="'
        + sent.encode().replace(b"\\", b"\\\\")
        + b'"\r\n\r\n'
        + photo(PLUM)
        + b"\r\n--x--\r\n"
    )
    answer = client.post(
        f"/api/plans/{plan}/fabrics",
        content=body,
        headers={"content-type": "multipart/form-data; boundary=x"},
    )
    fabric = ok(answer)["plan"]["plan"]["brief"]["swatches"][0]["fabric"]
    assert (fabric["name"], fabric["id"]) == (name, label)


def test_equal_names_get_ids_of_their_own(client: TestClient, photo: Callable[..., bytes]) -> None:
    plan = ok(client.post("/api/plans"))["id"]
    sent = files(("a.jpg", photo(PLUM)), ("A.png", photo(PLUM)))
    first = ok(client.post(f"/api/plans/{plan}/fabrics", files=sent))
    assert [result["fabric"] for result in first["results"]] == ["a", "a-2"]
    again = ok(client.post(f"/api/plans/{plan}/fabrics", files=files(("a", photo(PLUM)))))
    assert again["results"][0]["fabric"] == "a-3"


def test_the_place_where_a_photo_was_taken_is_never_kept(
    client: TestClient, photo: Callable[..., bytes], tmp_path: Path, store: Store
) -> None:
    # Exif 2.32, 4.6.6: GPS tags; the words stand for the degrees, which are hard to find.
    exif = Image.Exif()
    exif[0x010E] = "SECRET-DESCRIPTION"
    exif.get_ifd(0x8825)[0x001D] = "SECRET-GPS-DATE"
    data = photo(PLUM, exif=exif, comment=b"SECRET-COMMENT")
    assert data.count(b"SECRET") == 3
    plan = ok(client.post("/api/plans"))["id"]
    view = ok(client.post(f"/api/plans/{plan}/fabrics", files=files(("a.jpg", data))))["plan"]
    assert b"SECRET" not in client.get(view["pictures"]["a"]).content
    store.close()
    kept = b"".join(path.read_bytes() for path in tmp_path.rglob("*") if path.is_file())
    assert b"JFIF" in kept
    assert b"SECRET" not in kept


def test_photos_meant_for_another_revision_are_refused_before_they_are_read(
    client: TestClient, plan: Saved, photo: Callable[..., bytes]
) -> None:
    sent = files(("a.jpg", photo(PLUM)))
    answer = client.post(f"/api/plans/{plan.id}/fabrics", files=sent, headers={"if-match": '"7"'})
    problem(answer, 412)


def lamp_photo(colour: tuple[int, int, int], paper: bool) -> bytes:
    """Return a photo by lamp light, with white paper in a corner or not."""
    pixels = np.full((240, 320, 3), colour, dtype=np.float64)
    if paper:
        pixels[15:75, 15:95] = 245
    pixels = pixels * [0.98, 0.82, 0.6] + np.random.default_rng(3).normal(0, 2, pixels.shape)
    out = io.BytesIO()
    Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8)).save(out, "JPEG", quality=92)
    return out.getvalue()


def fabrics_of(view: dict[str, Any]) -> list[dict[str, Any]]:
    return [swatch["fabric"] for swatch in view["plan"]["brief"]["swatches"]]


def test_paper_in_one_photo_serves_all_of_that_light(client: TestClient) -> None:
    plan = ok(client.post("/api/plans"))["id"]
    address = f"/api/plans/{plan}/fabrics?light=kitchen"
    sent = files(("a.jpg", lamp_photo(PLUM, paper=False)), ("b.jpg", lamp_photo(PLUM, paper=True)))
    first, second = fabrics_of(ok(client.post(address, files=sent))["plan"])
    assert first["corrected"] == second["corrected"] == "white"
    assert first["light"] == second["light"] == "kitchen"
    assert first["photo"] != second["photo"]
    sent = files(("c.jpg", lamp_photo(PLUM, paper=False)))
    later = fabrics_of(ok(client.post(address, files=sent))["plan"])[2]
    assert later["corrected"] == "white"
    for axis in ("lightness", "a", "b"):
        assert abs(first["reads_as"][axis] - second["reads_as"][axis]) < 1.5
        assert abs(first["reads_as"][axis] - later["reads_as"][axis]) < 1.5
    unknown = ok(client.post(f"/api/plans/{plan}/fabrics", files=sent))["plan"]
    assert fabrics_of(unknown)[3]["corrected"] == "none"


def test_paper_can_be_marked_and_left_alone(client: TestClient) -> None:
    plan = ok(client.post("/api/plans"))["id"]
    box, point = "0.08,0.1,0.25,0.28", "0.15,0.2"
    for white, corrected in ((box, "white"), (point, "white"), ("none", "none")):
        sent = files(("a.jpg", lamp_photo(PLUM, paper=True)))
        view = ok(client.post(f"/api/plans/{plan}/fabrics", files=sent, params={"white": white}))
        assert fabrics_of(view["plan"])[-1]["corrected"] == corrected


@pytest.mark.parametrize(
    ("white", "said"),
    [("0.5,0.5,0.4,0.6", "no part of a photo"), ("here", "no place in a photo")],
)
def test_a_place_that_is_none_is_refused(client: TestClient, white: str, said: str) -> None:
    plan = ok(client.post("/api/plans"))["id"]
    sent = files(("a.jpg", lamp_photo(PLUM, paper=True)))
    answer = client.post(f"/api/plans/{plan}/fabrics", files=sent, params={"white": white})
    assert said in problem(answer, 422)


def test_photos_that_a_camera_named_are_called_by_their_colours(
    client: TestClient, plan: Saved, photo: Callable[..., bytes]
) -> None:
    sent = [
        ("photos", (name, photo(colour), "image/jpeg"))
        for name, colour in (
            ("IMG_1234.jpg", (20, 30, 80)),
            ("PXL_20240611_081530123.jpg", (24, 34, 86)),
            ("night sky.jpg", (20, 30, 80)),
        )
    ]
    answer = ok(client.post(f"/api/plans/{plan.id}/fabrics", files=sent))
    ids = [result["fabric"] for result in answer["results"]]
    assert ids == ["navy", "navy-2", "night-sky"]
    swatches = ok(client.get(f"/api/plans/{plan.id}"))["plan"]["brief"]["swatches"][-3:]
    assert [s["fabric"]["name"] for s in swatches] == ["Navy", "Navy 2", "night sky"]
    ok(client.patch(f"/api/plans/{plan.id}/fabrics/navy", json={"name": "Midnight"}))
