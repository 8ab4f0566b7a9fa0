"""Pictures in the sizes a page asks for."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image

from api.drawing.thumbnail import thumb, tile
from api.pattern.stored import from_json
from palette.colour import light_to_srgb
from tests.api.talk import files, ok, problem

if TYPE_CHECKING:
    from collections.abc import Callable

    from fastapi.testclient import TestClient

    from api.storage.kept import Saved
    from api.web.press import Job, Press


@pytest.mark.parametrize("width", [120, 240, 480])
def test_a_swatch_comes_in_the_width_asked_for_in_the_same_colours(
    client: TestClient, photo: Callable[..., bytes], width: int
) -> None:
    plan = ok(client.post("/api/plans"))["id"]
    bundle = files(("moss.jpg", photo((84, 110, 52), 800)))
    view = ok(client.post(f"/api/plans/{plan}/fabrics", files=bundle))["plan"]
    address = view["pictures"]["moss"]
    small = client.get(address, params={"width": width})
    assert small.headers["content-type"] == "image/jpeg"
    assert "immutable" in small.headers["cache-control"]
    shown, whole = (
        np.asarray(Image.open(io.BytesIO(data)).convert("RGB"), float)
        for data in (small.content, client.get(address).content)
    )
    assert shown.shape == (width, width, 3)
    # A mean does not depend on the size; one step of 255 is more than rounding.
    assert np.abs(shown.mean((0, 1)) - whole.mean((0, 1))).max() < 1
    assert client.get(address, params={"width": width}).content == small.content


def test_a_picture_is_never_made_larger(photo: Callable[..., bytes]) -> None:
    small = photo((84, 110, 52), 96)
    assert thumb(small, 240) == small


def test_a_tile_is_the_good_part_of_a_picture_evenly_lit() -> None:
    light = np.linspace(0.45, 0.25, 400)[None, :, None] * np.array([1.0, 0.8, 0.5])
    image = Image.fromarray(
        np.rint(255 * light_to_srgb(np.broadcast_to(light, (300, 400, 3)))).astype(np.uint8)
    )
    image.paste("white", (0, 0, 5, 300))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=95)
    shown = np.asarray(Image.open(io.BytesIO(tile(out.getvalue(), 240))), float)
    assert shown.shape == (180, 240, 3)
    # A fall of light by 44 % from left to right is 60 steps of 255 in this red.
    assert np.ptp(shown.mean(axis=0), axis=0).max() < 10


@pytest.mark.parametrize("width", ["1", "121", "100000", "wide"])
def test_other_widths_are_refused(client: TestClient, width: str) -> None:
    address = f"/api/swatches/{'0' * 64}.jpg"
    assert "Width" in problem(client.get(address, params={"width": width}), 422)


def test_a_large_drawing_is_made_once_for_all_plans_that_show_the_same(
    client: TestClient, plan: Saved, press: Press, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = []

    def counted(job: Job, _progress: object) -> bytes:
        made.extend([job] if job.name == "drawing" else [])
        # What it shows is told by where the blocks lie.
        layout = repr(from_json(job.parts[0]).layout)
        return b"a drawing" if job.name == "drawing" else layout.encode()

    monkeypatch.setattr(press, "made", counted)
    here = f"/api/plans/{plan.id}"
    large = f"{here}/drawings/cloth.png?width=2400"
    assert client.get(large).content == client.get(large).content
    ok(client.patch(f"{here}/brief", json={"sewing": {"form": "fat eighth"}}))
    client.get(large)
    assert len(made) == 1
    ok(client.post(f"{here}/layout/swap", json={"first": 0, "second": 1}))
    client.get(large)
    assert len(made) == 2
