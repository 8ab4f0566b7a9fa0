"""Pictures in the sizes a page asks for."""

from __future__ import annotations

import io
from collections.abc import Callable

import numpy as np
import pytest
from fastapi.testclient import TestClient
from PIL import Image

from api.drawing.thumb import thumb
from tests.api.talk import files, ok, problem


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


@pytest.mark.parametrize("width", ["1", "121", "100000", "wide"])
def test_other_widths_are_refused(client: TestClient, width: str) -> None:
    address = f"/api/swatches/{'0' * 64}.jpg"
    assert "Width" in problem(client.get(address, params={"width": width}), 422)
